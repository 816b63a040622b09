/** What a tree says as plain text, and how a change of it is put into a sentence. */
import { formatBand } from '../quantity/format-band.ts';
import { parseBand } from '../quantity/parse-band.ts';
import type { MapEntry, TreeNode } from '../syntax/tree.ts';
import type { Bearing, Change } from './change.ts';

/** A change of one thing: given now, taken away, or another. */
export function changeOf(bearing: Bearing, at: string, what: string, before: TreeNode | undefined, after: TreeNode | undefined): Change {
  const [was, is] = [plainText(before), plainText(after)];
  const subject = `${what.charAt(0).toUpperCase()}${what.slice(1)}`;
  // A sentence inside a sentence reads badly: whole ones stand under it.
  const short = was.length + is.length <= 90 && !`${was}${is}`.includes('\n') && ![was, is].some((text) => /[.?!]$/u.test(text));
  const message = before === undefined ? `${subject} is new${short ? `: ${is}` : ''}.` : after === undefined ? `${subject} is gone${short ? `; it was ${was}` : ''}.`
    : short ? `${subject} is now ${is}; it was ${was}.` : `${subject} has changed.`;
  return {
    bearing, at, message, ...(before ? { before: was, spanBefore: before.span } : {}), ...(after ? { after: is, spanAfter: after.span } : {}),
  };
}

/** Keys of both, in the order of the later one; those that only the earlier has come last. */
export function keysOf(before: TreeNode | undefined, after: TreeNode | undefined): string[] {
  const keys = (node: TreeNode | undefined): string[] => (node?.kind === 'map' ? node.entries.map((entry) => entry.key.text) : []);
  return [...new Set([...keys(after), ...keys(before)])];
}

function entryOf(node: TreeNode | undefined, key: string): MapEntry | undefined {
  return node?.kind === 'map' ? node.entries.find((entry) => entry.key.text === key) : undefined;
}

export function valueOf(node: TreeNode | undefined, key: string): TreeNode | undefined {
  return entryOf(node, key)?.value;
}

/** The text of a key whose value is one. */
export function scalarOf(node: TreeNode, key: string): string | undefined {
  const value = valueOf(node, key);
  return value?.kind === 'scalar' ? value.text : undefined;
}

/** What a value says, on one line, whatever its layout. The order of a map's keys says nothing; the order of a list does. */
export function plainText(node: TreeNode | undefined): string {
  if (node === undefined) return '';
  if (node.kind === 'scalar') return node.text.trim().replace(/\s+/gu, ' ');
  if (node.kind === 'list') return `[${node.items.map(plainText).join(', ')}]`;
  const entries = node.entries.map(({ key, value }) => `${key.text}: ${key.text === 'when' ? whenText(value) : plainText(value)}`);
  return `{${entries.sort().join(', ')}}`;
}

/** A `when` in its canonical words, so that `>= 12 V` and 'at least 12 V' are one. */
export function whenText(node: TreeNode | undefined): string {
  const text = plainText(node);
  const { band, problems } = parseBand(text);
  return band === undefined || problems.length > 0 ? text : formatBand(band);
}
