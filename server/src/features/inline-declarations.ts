/** What steps need that come into a procedure from another: declarations of the other file that the first does not have. */
import type { Analysis } from '../analysis/analysis.ts';
import { formatFile, readForFormatting } from './format.ts';
import { declarationsFor } from './extract-declarations.ts';
import { entryText, edited, topEntry, withSection, type Change } from './text-parts.ts';

/** The sections of a procedure, in the order of the table of keys. */
const ORDER = [
  'references',
  'facts',
  'states',
  'circuits',
  'instruments',
  'hazards',
  'cautions',
  'qualifications',
  'values',
  'faults',
  'steps',
];

/** Changes of `to` that declare what steps of `from` use; or which name both declare, each in its own way. */
export function declarationsToBring(
  from: Analysis,
  steps: ReadonlySet<string>,
  to: Analysis,
): { readonly changes: readonly Change[] } | { readonly problem: string } {
  const { sections } = declarationsFor(from, steps, new Set());
  // The sections as a file of their own, so that they are read as any other.
  const parts = readForFormatting('parts.procedure.yaml', `${sections.join('\n')}\n`);
  const changes: Change[] = [];
  for (const key of ORDER) {
    const entry = topEntry(parts.tree, key);
    if (entry?.value === undefined) continue;
    const own = topEntry(to.tree, key)?.value;
    const added: string[] = [];
    if (entry.value.kind === 'map') {
      for (const one of entry.value.entries) {
        const there = own?.kind === 'map' ? own.entries.find((other) => other.key.text === one.key.text) : undefined;
        const text = entryText(parts, one);
        if (there === undefined) added.push(text);
        else if (alike(key, entryText(to, there)) !== alike(key, text))
          return {
            problem: `Both procedures declare '${one.key.text}' under '${key}', each in its own way. Make them alike first.`,
          };
      }
    } else if (entry.value.kind === 'list') {
      const ids = new Set(own?.kind === 'list' ? own.items.map((item) => idOf(to, item)) : []);
      for (const item of entry.value.items)
        if (item !== undefined && !ids.has(idOf(parts, item)))
          added.push(`- ${parts.text.slice(item.span.start, item.span.end).trimEnd()}`);
    }
    if (added.length === 0) continue;
    const change = withSection(to, to.tree, key, added, ORDER.slice(ORDER.indexOf(key) + 1));
    if (change === undefined)
      return { problem: `'${key}' is written in a way that nothing can be added to by machine. Write it line by line first.` };
    changes.push(change);
  }
  return { changes };
}

/** A declaration as it is best written, so that layout alone makes no difference. */
function alike(key: string, text: string): string {
  const whole = `${key}:\n${text
    .split('\n')
    .map((line) => `  ${line}`)
    .join('\n')}\n`;
  return edited(whole, formatFile(readForFormatting('one.procedure.yaml', whole))).replace(/\s+/g, ' ');
}

function idOf(
  { text }: { readonly text: string },
  item: { readonly span: { readonly start: number; readonly end: number } } | undefined,
): string {
  return /\bid:\s*([^,}\n]+)/.exec(item === undefined ? '' : text.slice(item.span.start, item.span.end))?.[1]?.trim() ?? '';
}
