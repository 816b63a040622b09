/** Pages of the page server that need no script: the list of procedures, and sentences where something cannot be shown. */
import { createHash } from 'node:crypto';
import { harmlessLine } from '../render/harmless-text.ts';
import { CLOSING_CAUTIONS } from '../run/checklist.ts';
import { inGerman } from '../render/run-in-german.ts';
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

const WORDS = {
  en: {
    title: 'Procedures', inspection: 'inspection', noStatus: 'no status', none: 'There are no procedures in the folder that is served.', all: 'All procedures',
    cannot: 'This cannot be shown', revision: (revision: string) => `revision ${revision}`, status: {} as Readonly<Record<string, string>>,
    errors: (count: number) => (count === 1 ? '1 error stands against it.' : `${count} errors stand against it.`), otherName: 'Deutsch', other: 'de',
  },
  de: {
    title: 'Verfahren', inspection: 'Prüfung', noStatus: 'ohne Status', none: 'In dem Ordner, der bereitgestellt wird, liegen keine Verfahren.', all: 'Alle Verfahren',
    cannot: 'Das lässt sich nicht zeigen', revision: (revision: string) => `Revision ${revision}`,
    status: { draft: 'Entwurf', in_review: 'in Prüfung', released: 'freigegeben', withdrawn: 'zurückgezogen' } as Readonly<Record<string, string>>,
    errors: (count: number) => (count === 1 ? '1 Fehler steht dagegen.' : `${count} Fehler stehen dagegen.`), otherName: 'English', other: 'en',
  },
} as const;

type Language = keyof typeof WORDS;

/** The procedures with the assets that each applies to. `asked`: the address says the language, and its links go on saying it. */
export function listSheet(procedures: readonly ServedProcedure[], language: Language, asked: boolean): Sheet {
  const words = WORDS[language];
  const address = (id: string, asset?: string): string => {
    const query = [...(asset === undefined ? [] : [`asset=${encodeURIComponent(asset)}`]), ...(asked ? [`language=${language}`] : [])].join('&amp;');
    return `/run/${id}${query === '' ? '' : `?${query}`}`;
  };
  const items = procedures.map((one) => {
    const status = one.status ?? '';
    const facts = [
      one.purpose === 'inspection' ? words.inspection : '', one.revision === undefined ? '' : words.revision(one.revision),
      status === '' ? words.noStatus : Object.hasOwn(words.status, status) ? (words.status[status] ?? '') : plainWords(status),
    ].filter((part) => part !== '');
    const errors = one.errors === 0 ? '' : `<p><strong>${words.errors(one.errors)}</strong></p>`;
    const assets = one.assets.length === 0 ? '' : `<p class="assets">${one.assets.map((asset) => `<a href="${address(one.id, asset)}">${escaped(asset)}</a>`).join('')}</p>`;
    return `<li><a href="${address(one.id)}">${escaped(one.title)}</a><p>${escaped(facts.join(', '))}</p>${errors}${assets}</li>`;
  });
  const body = items.length === 0 ? `<p>${words.none}</p>` : `<ul>${items.join('')}</ul>`;
  const closing = `<ul class="closing">${CLOSING_CAUTIONS.map((line) => `<li>${escaped(said(line, language))}</li>`).join('')}</ul>`;
  const other = `<p><a href="/?language=${words.other}" hreflang="${words.other}" lang="${words.other}">${words.otherName}</a></p>`;
  return sheet(words.title, `<h1>${words.title}</h1>${body}${closing}${other}`, language);
}

/** One sentence of the server, in the language asked for. */
export function messageSheet(message: string, language: Language): Sheet {
  const words = WORDS[language];
  return sheet(words.cannot, `<h1>${words.cannot}</h1><p>${escaped(said(message, language))}</p><p><a href="/">${words.all}</a></p>`, language);
}

function said(sentence: string, language: Language): string {
  return language === 'de' ? inGerman(sentence) : sentence;
}

function sheet(title: string, body: string, language: Language): Sheet {
  const hash = createHash('sha256').update(STYLES).digest('base64');
  return {
    policy: `default-src 'none'; style-src 'sha256-${hash}'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'`,
    html: `<!DOCTYPE html>\n<html lang="${language}">\n<head>\n<meta charset="utf-8">\n<meta name="viewport" content="width=device-width, initial-scale=1">\n<title>${escaped(title)}</title>\n<style>${STYLES}</style>\n</head>\n<body>\n<main>${body}</main>\n</body>\n</html>\n`,
  };
}

function escaped(text: string): string {
  return harmlessLine(text).replace(/&/g, '&amp;').replace(/</g, '&lt;').replace(/>/g, '&gt;').replace(/"/g, '&quot;').replace(/'/g, '&#39;');
}
