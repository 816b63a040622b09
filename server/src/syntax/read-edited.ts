/**
 * The next version of a text that was read before, where the edit lies inside one item of a list, such as a step: only that item is
 * read again. It gives what a whole reading would give, or nothing where it cannot be sure of that.
 */
import { ownText } from '../text/own-text.ts';
import { changeBetween, type TextChange } from '../text/text-change.ts';
import { contentLines, DASH_AT_START } from './blocks.ts';
import { Anchors } from './compose-piece.ts';
import { assemble, joinKey } from './put-together.ts';
import { LONG_PART, PartReader, type PartRead } from './read-part.ts';
import { SourcePiece } from './source-piece.ts';
import { mayHoldMarks } from './repair-layout.ts';
import { moveRead, type KnownPart, type TreeMemory } from './tree-memory.ts';

/** Reads an edited text from the difference to what `memory` knows; undefined where the whole has to be read. */
export function readEdited(text: string, file: string, memory: TreeMemory): PartRead | undefined {
  const { known } = memory;
  if (known === undefined) return undefined;
  const change = changeBetween(known.text, text);
  const at = known.parts.findIndex((part) => isInside(change, part));
  const part = known.parts[at];
  const list = part?.list;
  if (part === undefined || list === undefined) return undefined;
  const itemAt = list.items.holding(change);
  const by = change.newEnd - change.oldEnd;
  if (itemAt === undefined || part.end - part.start + by <= LONG_PART) return undefined;
  const item = list.items.at(itemAt);
  const piece = SourcePiece.of(ownText(text.slice(item.start, item.end + by)), item.start);
  if (!isOneItem(piece.text, list.column)) return undefined;
  const anchors = new Anchors();
  const read = new PartReader(anchors, file, memory).readItem(piece);
  // What is wrong in it may be a matter of the layout around it.
  if (anchors.nodes.size > 0 || mayHoldMarks(piece.text) || read.problems.some(({ check }) => check === 'yaml-syntax')) return undefined;
  memory.drop(known.text.slice(item.start, item.end));
  const items = list.items.with(itemAt, { start: item.start, end: item.end + by, read }, by);
  const whole = joinKey(list.header, items.read());
  const parts = known.parts.map((other, index): KnownPart =>
    index < at ? other : index > at ? moved(other, by) : { start: part.start, end: part.end + by, read: whole, list: { ...list, items } });
  memory.known = { text, parts };
  return assemble('map', parts.map((each) => each.read));
}

/** Its last character, a line break, stays: what comes after begins a line as before. */
function isInside(change: TextChange, part: { readonly start: number; readonly end: number }): boolean {
  return part.start <= change.start && change.oldEnd < part.end;
}

/** Whether a text, in the place of an item, is one item still, and nothing in it could be part of anything outside. */
function isOneItem(text: string, column: number): boolean {
  // Control characters, lone carriage returns and complex keys are dealt with over a whole text; anchors reach from part to part.
  // eslint-disable-next-line no-control-regex
  if (/[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]|\r(?!\n)|^ *\?[ \t]|^\ufeff/m.test(text)) return false;
  const [first, ...others] = contentLines(text);
  if (first === undefined || first.textStart - first.start !== column || !DASH_AT_START.test(text.slice(first.textStart, first.end))) return false;
  return others.every((line) => line.textStart - line.start > column);
}

function moved(part: KnownPart, by: number): KnownPart {
  if (by === 0) return part;
  const place = { start: part.start + by, end: part.end + by };
  if (part.list === undefined) return { ...place, read: moveRead(part.read, by) };
  const list = { ...part.list, header: moveRead(part.list.header, by), items: part.list.items.moved(by) };
  return { ...place, list, read: joinKey(list.header, list.items.read()) };
}
