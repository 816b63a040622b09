/** Pages of the page server that need no script: the list of procedures, and sentences where something cannot be shown. */
import { createHash } from 'node:crypto';
import { harmlessLine } from '../render/harmless-text.ts';
import { CLOSING_CAUTIONS } from '../run/checklist.ts';
import { plainWords } from '../run/texts.ts';
import type { ServedProcedure } from './served-library.ts';

export interface Sheet {
  readonly html: string;
  readonly policy: string;
}

const STYLES = `
:root { color-scheme: light dark; font: 100%/1.5 system-ui, sans-serif; }
body { max-width: 44rem; margin: 0 auto; padding: 1rem; }
h1 { font-size: 1.4rem; }
ul { list-style: none; padding: 0; }
li { border-top: 1px solid; padding: 0.75rem 0; }
a { display: block; min-height: 2.75rem; font-size: 1.15rem; color: inherit; }
p { margin: 0.25rem 0; }
ul.closing { margin-top: 2rem; font-size: 0.9rem; }
.closing li { border: 0; padding: 0.25rem 0; }
.assets { display: flex; flex-wrap: wrap; gap: 0.5rem; }
.assets a { display: inline-flex; align-items: center; font-size: 1rem; border: 1px solid; border-radius: 4px; padding: 0 0.75rem; text-decoration: none; }
`;

/** The procedures with the assets that each applies to. */
export function listSheet(procedures: readonly ServedProcedure[]): Sheet {
  const items = procedures.map((one) => {
    const facts = [one.purpose === 'inspection' ? 'inspection' : '', one.revision === undefined ? '' : `revision ${one.revision}`, plainWords(one.status ?? 'no status')].filter((part) => part !== '');
    const errors = one.errors === 0 ? '' : `<p><strong>${one.errors === 1 ? '1 error stands' : `${one.errors} errors stand`} against it.</strong></p>`;
    const assets = one.assets.length === 0 ? '' : `<p class="assets">${one.assets.map((asset) => `<a href="/run/${one.id}?asset=${encodeURIComponent(asset)}">${escaped(asset)}</a>`).join('')}</p>`;
    return `<li><a href="/run/${one.id}">${escaped(one.title)}</a><p>${escaped(facts.join(', '))}</p>${errors}${assets}</li>`;
  });
  const body = items.length === 0 ? '<p>There are no procedures in the folder that is served.</p>' : `<ul>${items.join('')}</ul>`;
  const closing = `<ul class="closing">${CLOSING_CAUTIONS.map((line) => `<li>${escaped(line)}</li>`).join('')}</ul>`;
  return sheet('Procedures', `<h1>Procedures</h1>${body}${closing}`);
}

/** One sentence. */
export function messageSheet(title: string, message: string): Sheet {
  return sheet(title, `<h1>${escaped(title)}</h1><p>${escaped(message)}</p><p><a href="/">All procedures</a></p>`);
}

function sheet(title: string, body: string): Sheet {
  const hash = createHash('sha256').update(STYLES).digest('base64');
  return {
    policy: `default-src 'none'; style-src 'sha256-${hash}'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'`,
    html: `<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n<meta name="viewport" content="width=device-width, initial-scale=1">\n<title>${escaped(title)}</title>\n<style>${STYLES}</style>\n</head>\n<body>\n<main>${body}</main>\n</body>\n</html>\n`,
  };
}

function escaped(text: string): string {
  return harmlessLine(text).replace(/&/g, '&amp;').replace(/</g, '&lt;').replace(/>/g, '&gt;').replace(/"/g, '&quot;').replace(/'/g, '&#39;');
}
