/** A page that loads nothing and runs nothing, for a screen in light or dark and for print: its policy allows its one style sheet alone. */
import { sha256 } from '@noble/hashes/sha2.js';
import { utf8ToBytes } from '@noble/hashes/utils.js';
import { escapeMarkup } from './markup.ts';

/** A whole HTML document around a body that is already markup. */
export function plainPage({ title, body, style }: { readonly title: string; readonly body: string; readonly style: string }): string {
  return [
    '<!doctype html>',
    '<html lang="en">',
    '<head>',
    '<meta charset="utf-8">',
    `<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src '${styleHash(style)}'; base-uri 'none'; form-action 'none'">`,
    '<meta name="viewport" content="width=device-width, initial-scale=1">',
    '<meta name="color-scheme" content="light dark">',
    `<title>${escapeMarkup(title)}</title>`,
    `<style>${style}</style>`,
    '</head>',
    '<body>',
    body,
    '</body>',
    '</html>',
    '',
  ].join('\n');
}

function styleHash(style: string): string {
  let binary = '';
  for (const byte of sha256(utf8ToBytes(style))) binary += String.fromCharCode(byte);
  return `sha256-${btoa(binary)}`;
}

/** Colours, type and print of such a page; what a page needs beside it comes after. */
export const PLAIN_PAGE_STYLE = `
@page { size: A4; margin: 14mm; @bottom-right { content: "Page " counter(page) " of " counter(pages); font: 8pt Helvetica, Arial, sans-serif; color: #333; } }
:root { color-scheme: light dark; --ink: #1d1f21; --quiet: #51565b; --paper: #fbfaf7; --line: #c4c2bb; --raised: #f0eee8; --focus: #1b5fa8; --risk: #a3161f; --gain: #1c6b35; }
@media (prefers-color-scheme: dark) { :root { --ink: #eceae5; --quiet: #b3b0a8; --paper: #17191b; --line: #43464a; --raised: #222528; --focus: #8cc2ff; --risk: #ff9d96; --gain: #86d69b; } }
@media (prefers-contrast: more) { :root { --quiet: var(--ink); --line: var(--ink); } }
@media print { :root { color-scheme: light; --ink: #000; --quiet: #333; --paper: #fff; --line: #888; --raised: #fff; --risk: #a3161f; --gain: #1c6b35; } }
* { box-sizing: border-box; }
body { margin: 0; background: var(--paper); color: var(--ink); font: 1rem/1.45 system-ui, -apple-system, "Segoe UI", Roboto, "DejaVu Sans", sans-serif;
  font-variant-numeric: tabular-nums; overflow-wrap: break-word; }
main { max-width: 62rem; margin: 0 auto; padding: 1.5rem 1rem 3rem; }
h1 { font-size: 1.5rem; line-height: 1.2; margin: 0; }
h2 { font-size: 1rem; margin: 2rem 0 0.5rem; }
.identity { margin: 0.25rem 0 0; color: var(--quiet); }
p { margin: 0 0 0.5rem; max-width: 46rem; }
ul { margin: 0 0 0.5rem; padding-left: 1.25rem; }
footer { margin-top: 2rem; border-top: 1px solid var(--line); padding-top: 0.75rem; color: var(--quiet); font-size: 0.875rem; }
@media print { body { font-size: 9.5pt; } main { max-width: none; padding: 0; } tr, li { break-inside: avoid; } h2 { break-after: avoid; } }
`.trim();
