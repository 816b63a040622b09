/**
 * The checklist as one HTML file that a technician opens from disk: document, page code and styles inside, nothing from
 * elsewhere. A strict content security policy admits exactly this script and these styles, by hash, and no connection at all.
 * It knows nothing of the page's code but where it mounts (`#page`) and where it looks for its document
 * (`#checklist-document`).
 */
import type { AssetSheet, ChecklistDocument } from '../run/checklist.ts';
import { textDigest } from '../run/digest.ts';

export interface PageOptions {
  /** Where the page keeps its runs when it is served; without it, the browser keeps them and no connection is allowed. */
  readonly connect?: { readonly base: string };
  /** The assets to choose from, each with its facts. */
  readonly assets?: readonly AssetSheet[];
  /** Figure as the procedure names it → data URI. */
  readonly figures?: Readonly<Record<string, string>>;
  /** Language of the page where the person has chosen none; without it, that of the browser. */
  readonly language?: 'en' | 'de';
}

/**
 * The whole file. `script` and `styles` are the text of the page's bundle (`dist/pages/checklist-page.js` and `.css`). What
 * writers wrote goes in as data and as escaped text alone.
 */
export function checklistPageHtml(document: ChecklistDocument, script: string, styles: string, options: PageOptions = {}): string {
  const safeScript = withoutMap(script)
    .replace(/<\/(script)/gi, '<\\/$1')
    .replace(/<!--/g, '<\\!--');
  const safeStyles = withoutMap(styles).replace(/<\/(style)/gi, '<\\/$1');
  const policy = [
    `default-src 'none'`,
    `script-src '${sourceHash(safeScript)}'`,
    `style-src '${sourceHash(safeStyles)}'`,
    `img-src data:`,
    `connect-src ${options.connect ? `'self'` : `'none'`}`,
    `base-uri 'none'`,
    `form-action 'none'`,
  ].join('; ');
  const { title, revision } = document.procedure;
  return `<!DOCTYPE html>
<html lang="${options.language ?? 'en'}">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="referrer" content="no-referrer">
<meta name="color-scheme" content="light dark">
<title>${text(title)}${revision === undefined ? '' : `, revision ${text(revision)}`}</title>
<style>${safeStyles}</style>
</head>
<body>
<div id="page">
<p>${text(title)}</p>
<noscript><p>This checklist needs scripts to run. Print the paper checklist instead.</p></noscript>
</div>
${carried('checklist-document', document)}${carried('checklist-assets', options.assets)}${carried('checklist-figures', options.figures)}${carried('checklist-language', options.language)}${carried('checklist-connect', options.connect)}
<script>${safeScript}</script>
</body>
</html>
`;
}

/** `sha256-…` as a content security policy names an inline script or style (W3C Content Security Policy Level 3). */
function sourceHash(content: string): string {
  const bytes = (textDigest(content).match(/../g) ?? []).map((byte) => String.fromCharCode(Number.parseInt(byte, 16)));
  return `sha256-${btoa(bytes.join(''))}`;
}

/** A bundle names its source map; a file on its own has none, and asks for none. */
function withoutMap(bundle: string): string {
  return bundle
    .replace(/^\/\/# sourceMappingURL=.*$/m, '')
    .replace(/\/\*# sourceMappingURL=[^*]*\*\//, '')
    .trimEnd();
}

/** Data for the page under an id; nothing where there is none. */
function carried(id: string, value: unknown): string {
  return value === undefined ? '' : `<script type="application/json" id="${id}">${jsonInHtml(value)}</script>`;
}

/** JSON that cannot end its element or begin a comment, whatever the texts in it. */
function jsonInHtml(value: unknown): string {
  return JSON.stringify(value).replace(
    /[<>&\u2028\u2029]/g,
    (character) => `\\u${character.charCodeAt(0).toString(16).padStart(4, '0')}`,
  );
}

function text(value: string): string {
  return value.replace(/&/g, '&amp;').replace(/</g, '&lt;').replace(/>/g, '&gt;').replace(/"/g, '&quot;');
}
