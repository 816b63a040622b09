/**
 * Parts of a procedure's text that move from file to file: steps with their comments, declarations. Places in, text or edits out.
 */
import type { LineIndex } from '../text/line-index.ts';
import type { Span } from '../text/span.ts';
import type { ListNode, MapEntry, MapNode, TreeNode } from '../syntax/tree.ts';

export interface Change {
  readonly span: Span;
  readonly newText: string;
}

export interface TextSource {
  readonly text: string;
  readonly lines: LineIndex;
}

/** The value of a key at the top of a file. */
export function topValue(tree: TreeNode | undefined, key: string): TreeNode | undefined {
  return topEntry(tree, key)?.value;
}

export function topEntry(tree: TreeNode | undefined, key: string): MapEntry | undefined {
  return tree?.kind === 'map' ? tree.entries.find((entry) => entry.key.text === key) : undefined;
}

/**
 * The whole lines of items of a block list, from the first to the last, with the comments that stand right above the first.
 * Undefined where the list is written in brackets.
 */
export function linesOfItems(source: TextSource, list: ListNode, first: number, last: number): Span | undefined {
  const from = list.items[first];
  const to = list.items[last];
  if (list.flow || from === undefined || to === undefined) return undefined;
  const { lines } = source;
  let start = lines.positionAt(from.span.start).line;
  while (start > 0 && isComment(lineText(source, start - 1))) start--;
  const next = list.items[last + 1];
  let end = lines.positionAt(Math.max(to.span.start, to.span.end - 1)).line + 1;
  // Comments further in than the dash belong to the last item.
  const inside = lines.positionAt(to.span.start).column;
  const stop = next === undefined ? lines.lineCount : lines.positionAt(next.span.start).line;
  while (end < stop && isComment(lineText(source, end)) && lineText(source, end).search(/\S/) >= inside) end++;
  return { start: lines.lineStart(start), end: end < lines.lineCount ? lines.lineStart(end) : source.text.length };
}

/**
 * The text of an entry of a map, its first line without indentation. Of a block the lines below keep theirs, counted from the
 * key.
 */
export function entryText(source: TextSource, entry: MapEntry): string {
  const { text, lines } = source;
  const end = entry.value === undefined ? entry.key.span.end : Math.max(entry.key.span.end, entry.value.span.end);
  const column = lines.positionAt(entry.key.span.start).column;
  const [first = '', ...others] = text.slice(entry.key.span.start, end).trimEnd().split(/\r?\n/);
  return [first, ...others.map((line) => (line.slice(0, column).trim() === '' ? line.slice(column) : line.trimStart()))].join(
    '\n',
  );
}

/** The text of an item of a list without its dash; the lines below the first stand as they will below a dash at column 2. */
export function itemText({ text, lines }: TextSource, item: TreeNode): string {
  const column = lines.positionAt(item.span.start).column;
  const [first = '', ...others] = text.slice(item.span.start, item.span.end).trimEnd().split(/\r?\n/);
  return [
    first,
    ...others.map((line) => `    ${line.slice(0, column).trim() === '' ? line.slice(column) : line.trimStart()}`),
  ].join('\n');
}

/** A key that is added at the end of a map. */
export function withKey({ text, lines }: TextSource, map: MapNode, line: string): Change {
  if (map.flow)
    return { span: { start: map.span.end - 1, end: map.span.end - 1 }, newText: `${map.entries.length > 0 ? ', ' : ''}${line}` };
  const column = lines.positionAt(map.entries[0]?.key.span.start ?? map.span.start).column;
  const last = lines.positionAt(Math.max(0, text.slice(0, map.span.end).trimEnd().length - 1)).line;
  const stop = last + 1 < lines.lineCount ? lines.lineStart(last + 1) : text.length;
  const at = text.slice(0, stop).replace(/\r?\n$/, '').length;
  return {
    span: { start: at, end: at },
    newText: line
      .split('\n')
      .map((one) => `\n${' '.repeat(column)}${one}`)
      .join(''),
  };
}

/**
 * Entries or items that are added to a section at the top of a file; a new section goes before the first of `before` that there
 * is. `lines` are those of the section, two spaces in.
 */
export function withSection(
  source: TextSource,
  tree: TreeNode | undefined,
  key: string,
  added: readonly string[],
  before: readonly string[],
): Change | undefined {
  const entry = topEntry(tree, key);
  if (entry?.value !== undefined && entry.value.kind !== 'scalar') {
    const { value } = entry;
    if (value.flow) {
      if (added.some((one) => one.includes('\n'))) return undefined;
      const at = value.span.end - 1;
      const filled = value.kind === 'map' ? value.entries.length > 0 : value.items.length > 0;
      return {
        span: { start: at, end: at },
        newText: (filled ? ', ' : '') + added.map((one) => one.replace(/^- /, '')).join(', '),
      };
    }
    const column = source.lines.positionAt(value.span.start).column - (value.kind === 'list' ? 0 : 0);
    const { end } = wholeLines(source, value.span);
    const text = added
      .map((one) =>
        one
          .split('\n')
          .map((line) => `${' '.repeat(column)}${line}\n`)
          .join(''),
      )
      .join('');
    return { span: { start: end, end }, newText: source.text.slice(0, end).endsWith('\n') ? text : `\n${text}` };
  }
  const holder = before.map((name) => topEntry(tree, name)).find((one) => one !== undefined);
  if (entry !== undefined || holder === undefined) return undefined;
  let line = source.lines.positionAt(holder.key.span.start).line;
  while (line > 0 && isComment(lineText(source, line - 1))) line--;
  const start = source.lines.lineStart(line);
  return {
    span: { start, end: start },
    newText: [`${key}:`, ...added.flatMap((one) => one.split('\n').map((each) => `  ${each}`)), '', ''].join('\n'),
  };
}

/** What to delete so that entries of a map are gone; the whole key where nothing is left of it. */
export function withoutEntries(source: TextSource, holder: MapEntry, names: ReadonlySet<string>): Span[] {
  const map = holder.value;
  if (map?.kind !== 'map' || !map.entries.some((entry) => names.has(entry.key.text))) return [];
  if (map.entries.every((entry) => names.has(entry.key.text)))
    return [withBlankBefore(source, wholeLines(source, { start: holder.key.span.start, end: map.span.end }))];
  return withoutKeys(source, map, names) ?? [];
}

/** What to delete so that keys of a map are gone, others being left; undefined where the first of them stands behind a dash. */
export function withoutKeys(source: TextSource, map: MapNode, names: ReadonlySet<string>): Span[] | undefined {
  const gone = map.entries.filter((entry) => names.has(entry.key.text));
  if (map.flow) return flowEntries(map, gone);
  if (
    gone.some(
      (entry) =>
        source.text
          .slice(source.lines.lineStart(source.lines.positionAt(entry.key.span.start).line), entry.key.span.start)
          .trim() !== '',
    )
  )
    return undefined;
  return gone.map((entry) =>
    wholeLines(source, { start: entry.key.span.start, end: entry.value?.span.end ?? entry.key.span.end }),
  );
}

/** Keys of a map that give way to others, which come at its end; undefined where the first to go stands behind a dash. */
export function withKeysInstead(
  source: TextSource,
  map: MapNode,
  gone: ReadonlySet<string>,
  lines: readonly string[],
): Change[] | undefined {
  const spans = withoutKeys(source, map, gone);
  const [first, ...others] = lines.map((line) => withKey(source, map, line));
  if (spans === undefined || first === undefined) return spans?.map((span) => ({ span, newText: '' }));
  const at = first.span.start;
  const newText = [first, ...others].map((change) => change.newText).join('');
  // The lines of the last key are written over: both may not change the break behind them.
  const over = map.flow ? undefined : spans.find(({ start, end }) => start < at && at <= end);
  return [
    ...spans.filter((span) => span !== over).map((span) => ({ span, newText: '' })),
    over === undefined
      ? { span: first.span, newText }
      : { span: over, newText: newText.replace(/^\n/, '') + source.text.slice(at, over.end) },
  ];
}

/** What to delete so that items of a list are gone; the whole key where nothing is left of it. */
export function withoutItems(source: TextSource, holder: MapEntry, gone: readonly TreeNode[]): Span[] {
  const list = holder.value;
  if (list?.kind !== 'list' || gone.length === 0) return [];
  if (gone.length === list.items.length)
    return [withBlankBefore(source, wholeLines(source, { start: holder.key.span.start, end: list.span.end }))];
  if (!list.flow) return gone.map((item) => wholeLines(source, item.span));
  return list.items.flatMap((item, index) => {
    if (item === undefined || !gone.includes(item)) return [];
    const next = list.items[index + 1];
    const before = list.items[index - 1];
    return [
      next !== undefined
        ? { start: item.span.start, end: next.span.start }
        : { start: before?.span.end ?? item.span.start, end: item.span.end },
    ];
  });
}

function flowEntries(map: MapNode, gone: readonly MapEntry[]): Span[] {
  return map.entries.flatMap((entry, index) => {
    if (!gone.includes(entry)) return [];
    const end = (one: MapEntry): number => one.value?.span.end ?? one.key.span.end;
    const next = map.entries[index + 1];
    const before = map.entries[index - 1];
    // The comma behind goes too; where nothing stays behind it, the one before.
    if (next !== undefined && map.entries.slice(index + 1).some((one) => !gone.includes(one)))
      return [{ start: entry.key.span.start, end: next.key.span.start }];
    return [{ start: before === undefined ? entry.key.span.start : end(before), end: end(entry) }];
  });
}

/** A section that goes takes the blank line above it along. */
function withBlankBefore(source: TextSource, span: Span): Span {
  const line = source.lines.positionAt(span.start).line;
  return line > 0 && lineText(source, line - 1).trim() === '' ? { start: source.lines.lineStart(line - 1), end: span.end } : span;
}

/** The lines of a span, with the break behind the last. */
export function wholeLines({ text, lines }: TextSource, span: Span): Span {
  const first = lines.positionAt(span.start).line;
  const last = lines.positionAt(Math.max(span.start, span.end - 1)).line;
  return { start: lines.lineStart(first), end: last + 1 < lines.lineCount ? lines.lineStart(last + 1) : text.length };
}

export function lineText({ text, lines }: TextSource, line: number): string {
  const end = line + 1 < lines.lineCount ? lines.lineStart(line + 1) : text.length;
  return text.slice(lines.lineStart(line), end).replace(/[\r\n]+$/, '');
}

function isComment(line: string): boolean {
  return line.trimStart().startsWith('#');
}

/** A text with edits made; they must not overlap. What is put in at one place stands in the order of the edits. */
export function edited(text: string, edits: readonly Change[]): string {
  const pieces: string[] = [];
  let at = 0;
  for (const { span, newText } of [...edits].sort((a, b) => a.span.start - b.span.start)) {
    pieces.push(text.slice(at, span.start), newText);
    at = Math.max(at, span.end);
  }
  return [...pieces, text.slice(at)].join('');
}
