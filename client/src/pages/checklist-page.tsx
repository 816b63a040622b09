/**
 * The checklist page. In the editor's panel it asks the panel; served, it asks the server; as a file of its own it reads the
 * document that it carries. Bundled once, hosted three times. In the panel it speaks the editor's display language.
 */
import { render } from 'preact';
import type { ChecklistDocument } from '../../../server/src/run/checklist.ts';
import { ChecklistApp } from './checklist/app.tsx';
import { openBrowserStore } from './checklist/browser-store.ts';
import { editorHost } from './checklist/editor-host.ts';
import { fileHost } from './checklist/file-host.ts';
import { servedHost, type Connection } from './checklist/served-host.ts';
import { setSignalVariables } from './checklist/signal-variables.ts';
import { wantedLanguage } from './checklist/settings.ts';
import type { Language } from './checklist/words.ts';
import { editorLink } from './editor-link.ts';

const place = document.getElementById('page');
if (place) void mount(place);

async function mount(place: HTMLElement): Promise<void> {
  const link = editorLink();
  const connection = carried<Connection>('checklist-connect');
  const host = link
    ? editorHost(link)
    : connection
      ? servedHost(connection, carriedDocument(), carried('checklist-figures'))
      : fileHost(carriedDocument(), await openBrowserStore(), {
          assets: carried('checklist-assets'),
          figures: carried('checklist-figures'),
        });
  const language = link ? wantedLanguage([place.dataset['language'] ?? '']) : carried<Language>('checklist-language');
  setSignalVariables(document.documentElement);
  place.textContent = '';
  render(<ChecklistApp host={host} language={language} />, place);
}

/** The document stands in the page as data, never as code (see render/checklist-page.ts). */
function carriedDocument(): ChecklistDocument {
  const data = carried<ChecklistDocument>('checklist-document');
  if (!data) throw new Error('This page carries no checklist.');
  return data;
}

function carried<T>(id: string): T | undefined {
  const data = document.getElementById(id);
  return data?.textContent ? (JSON.parse(data.textContent) as T) : undefined;
}
