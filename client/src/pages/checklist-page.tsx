/**
 * The checklist page. In the editor's panel it asks the panel; as a file of its own it reads the document that it carries.
 * Bundled once, hosted twice.
 */
import { render } from 'preact';
import type { ChecklistDocument } from '../../../server/src/run/checklist.ts';
import { ChecklistApp } from './checklist/app.tsx';
import { openBrowserStore } from './checklist/browser-store.ts';
import { editorHost } from './checklist/editor-host.ts';
import { fileHost } from './checklist/file-host.ts';
import { editorLink } from './editor-link.ts';

const place = document.getElementById('page');
if (place) void mount(place);

async function mount(place: HTMLElement): Promise<void> {
  const link = editorLink();
  const host = link ? editorHost(link) : fileHost(carriedDocument(), await openBrowserStore());
  place.textContent = '';
  render(<ChecklistApp host={host} />, place);
}

/** The document stands in the page as data, never as code (see render/checklist-page.ts). */
function carriedDocument(): ChecklistDocument {
  const data = document.getElementById('checklist-document');
  if (!data?.textContent) throw new Error('This page carries no checklist.');
  return JSON.parse(data.textContent) as ChecklistDocument;
}
