/**
 * Repairs a broken piece as its writer must have meant it, so that the rest of it is understood. A repair is taken only where the
 * library then finds less wrong; each gives one problem, in plain words, with the same change as its fix. The
 * repairs themselves are in repair-lines.ts.
 */
import type { Problem } from '../findings/finding.ts';
import type { Block } from './blocks.ts';
import type { LibraryError } from './compose-piece.ts';
import { readDocument } from './compose-piece.ts';
import { indentationRepairs, lineRepairs, type Repair } from './repair-lines.ts';
import type { SourcePiece } from './source-piece.ts';

export interface Repaired {
  readonly piece: SourcePiece;
  readonly problems: readonly Problem[];
  readonly errorsLeft: number;
}

/** Repairs in one piece; a piece that needs more is reported as it is. */
const MOST_REPAIRS = 12;
/** Lines before and after an error that may be its cause. */
const LINES_AROUND = 2;
/** Longer pieces than this are not tried again and again. */
const LONGEST_PIECE = 20_000;

/** Undefined where no repair helps. */
export function repairPiece(part: SourcePiece, block: Block, file: string): Repaired | undefined {
  if (part.text.length > LONGEST_PIECE) return undefined;
  let piece = part;
  let errors = readDocument(piece).errors;
  const problems: Problem[] = [];
  for (let round = 0; round < MOST_REPAIRS && errors.length > 0; round++) {
    const best = bestRepair(piece, block, errors, file);
    if (best === undefined) break;
    problems.push(best.repair.problem);
    piece = best.piece;
    errors = best.errors;
  }
  return problems.length === 0 ? undefined : { piece, problems, errorsLeft: errors.length };
}

function bestRepair(
  piece: SourcePiece, block: Block, errors: readonly LibraryError[], file: string,
): { repair: Repair; piece: SourcePiece; errors: LibraryError[] } | undefined {
  let best: { repair: Repair; piece: SourcePiece; errors: LibraryError[] } | undefined;
  for (const repair of candidates(piece, block, errors, file)) {
    const repaired = piece.edit(repair.edits);
    const left = readDocument(repaired).errors;
    const measure = best?.errors ?? errors;
    if (left.length < measure.length) best = { repair, piece: repaired, errors: left };
    if (left.length === 0) break;
  }
  return best;
}

function candidates(piece: SourcePiece, block: Block, errors: readonly LibraryError[], file: string): Repair[] {
  const repairs: Repair[] = [...indentationRepairs(piece, file)];
  const seen = new Set<number>();
  const lines = piece.text.split('\n');
  const starts: number[] = [];
  let start = 0;
  for (const line of lines) {
    starts.push(start);
    start += line.length + 1;
  }
  const lineOf = (offset: number): number => {
    let index = 0;
    while (index + 1 < starts.length && (starts[index + 1] ?? 0) <= offset) index++;
    return index;
  };
  const take = (index: number): void => {
    const line = lines[index];
    if (line === undefined || seen.has(index)) return;
    seen.add(index);
    repairs.push(...lineRepairs({ piece, start: starts[index] ?? 0, text: line, column: block.column, kind: block.kind, file }));
  };
  for (const error of errors.slice(0, 3)) {
    const at = lineOf(error.start);
    for (let distance = 0; distance <= LINES_AROUND; distance++) {
      take(at - distance);
      take(at + distance);
    }
  }
  // What is opened and never closed is reported far from where it was opened.
  if (lines.length <= 30) for (let index = 0; index < lines.length; index++) take(index);
  return repairs;
}
