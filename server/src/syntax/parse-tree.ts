/**
 * Text → tolerant YAML tree, with every problem in plain words. It never throws. A file is read part by part (each top-level key,
 * each item of a long list, such as the steps), so that what is broken in one part costs no other; repair.ts
 * reads a broken part as its writer must have meant it.
 *
 * It knows YAML 1.2, not the format: what keys mean is for procedure/ to say.
 */
import type { Problem } from '../findings/finding.ts';
import type { Span } from '../text/span.ts';
import type { TreeNode } from './tree.ts';
import { splitBlock } from './blocks.ts';
import { Anchors } from './compose-piece.ts';
import { mayHoldMarks, repairLayout } from './repair-layout.ts';
import { readEdited } from './read-edited.ts';
import { PartReader, type PartRead } from './read-part.ts';
import { SourcePiece } from './source-piece.ts';
import type { TreeMemory } from './tree-memory.ts';

export interface ParsedTree {
  readonly root: TreeNode | undefined;
  /** In the order of their places. */
  readonly problems: readonly Problem[];
  readonly comments: readonly Span[];
}

/** Longer files than this, in characters, are read up to here. */
export const LONGEST_FILE = 8_000_000;

/**
 * Reads a text. `file` is the name that the edits of fixes give. With a `memory` of the same file, parts that stayed as they were are not
 * read again; the tree is the same.
 */
export function parseTree(text: string, file = '', memory?: TreeMemory): ParsedTree {
  const edited = memory && readEdited(text, file, memory);
  if (edited !== undefined) return finish(edited, edited.problems, text.length);
  memory?.begin();
  const problems: Problem[] = [];
  const document = firstDocument(readable(text, problems), problems);
  const reader = new PartReader(new Anchors(), file, memory);
  const read = reader.readBlock(splitBlock(document));
  const better = readLaidOut(document, file, reader.problems());
  if (better !== undefined) return finish(better.read, [...problems, ...better.problems], text.length);
  if (memory !== undefined && problems.length === 0 && document.text === text) {
    const parts = reader.knownParts();
    if (parts !== undefined) memory.known = { text, parts };
  }
  problems.push(...reader.problems());
  return finish(read, problems, text.length);
}

/** The text read once more with its layout put right, where that is better. */
function readLaidOut(document: SourcePiece, file: string, found: readonly Problem[]): { readonly read: PartRead; readonly problems: readonly Problem[] } | undefined {
  if (!found.some(isBroken) && !mayHoldMarks(document.text)) return undefined;
  const laidOut = repairLayout(document, file);
  if (laidOut === undefined) return undefined;
  const reader = new PartReader(new Anchors(), file);
  const read = reader.readBlock(splitBlock(laidOut.piece));
  const left = reader.problems();
  const count = (problems: readonly Problem[]): number => problems.filter(isBroken).length;
  const isBetter = laidOut.silent ? count(left) <= count(found) : count(left) + laidOut.problems.length <= count(found);
  return isBetter ? { read, problems: [...laidOut.problems, ...left] } : undefined;
}

function isBroken({ check }: Problem): boolean {
  return check === 'yaml-syntax';
}

function finish({ node, comments }: PartRead, problems: readonly Problem[], length: number): ParsedTree {
  return {
    root: node,
    problems: problems.map((problem) => within(problem, length)).sort((a, b) => a.span.start - b.span.start || a.span.end - b.span.end),
    get comments() {
      return comments();
    },
  };
}

/** The text without what no YAML text may hold; every place stays where it was. */
function readable(text: string, problems: Problem[]): SourcePiece {
  let kept = text;
  if (kept.length > LONGEST_FILE) {
    const cut = Math.max(kept.lastIndexOf('\n', LONGEST_FILE) + 1, 1);
    problems.push({
      check: 'yaml-syntax', span: { start: cut, end: cut },
      message: `This file is longer than ${LONGEST_FILE} characters; it is read up to here.`,
      help: 'Split it into several procedures.',
    });
    kept = kept.slice(0, cut);
  }
  // Allowed: tab, line feed, carriage return, and U+0085; see YAML 1.2.2, 5.1 Character Set.
  // eslint-disable-next-line no-control-regex
  const forbidden = /[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]/g;
  const first = forbidden.exec(kept);
  if (first !== null) {
    const code = (kept.codePointAt(first.index) ?? 0).toString(16).toUpperCase().padStart(4, '0');
    const count = kept.match(forbidden)?.length ?? 1;
    problems.push({
      check: 'yaml-syntax', span: { start: first.index, end: first.index + 1 },
      message: `This file holds ${count === 1 ? 'a control character' : `${count} control characters`} that no text should hold (here U+${code}).`,
      help: 'Delete it, or save the file again as UTF-8 text.',
    });
    kept = kept.replace(forbidden, '\ufffd');
  }
  kept = kept.replace(/\r(?!\n)/g, '\n');
  return kept.startsWith('\ufeff') ? SourcePiece.of(kept.slice(1), 1) : SourcePiece.of(kept);
}

/** The first document of a stream; a second one is reported. */
function firstDocument(piece: SourcePiece, problems: Problem[]): SourcePiece {
  const { text } = piece;
  if (!/^(?:---|\.\.\.|%)/m.test(text)) return piece;
  const marker = /^(?:---(?=[ \t\r\n]|$)|\.\.\.(?=[ \t\r\n]|$))/gm;
  let start = 0;
  let first = marker.exec(text);
  const head = first === null ? text : text.slice(0, first.index);
  const directive = /^%[^\r\n]*/m.exec(head);
  const headIsEmpty = /^(?:[ \t]*(?:#.*)?\r?\n|%.*\r?\n)*$/.test(head);
  if (directive !== null && headIsEmpty && !/^%YAML[ \t]+1\.2\s*$/.test(directive[0])) {
    problems.push({
      check: 'yaml-syntax', span: { start: piece.at(directive.index), end: piece.at(directive.index + directive[0].length) },
      message: `'${directive[0].trim()}' has no effect: this format is read as YAML 1.2, without tags.`,
      help: 'Delete the line.',
    });
  }
  if (first !== null && first[0] === '---' && headIsEmpty) {
    start = first.index + 3;
    first = marker.exec(text);
  }
  const end = first === null ? text.length : first.index;
  if (first !== null) reportMoreDocuments(piece, first.index, problems);
  // Blanks in place of the marker keep what follows it on its line at its column.
  return piece.slice(0, end).edit(start === 0 ? [] : [{ start: 0, end: start, newText: text.slice(0, start).replace(/[^\n]/g, ' ') }]);
}

function reportMoreDocuments(piece: SourcePiece, from: number, problems: Problem[]): void {
  const rest = piece.text.slice(from).replace(/^(?:---|\.\.\.)/gm, '').replace(/#.*$/gm, '');
  if (rest.trim() === '') return;
  problems.push({
    check: 'yaml-syntax', span: { start: piece.at(from), end: piece.at(from + 3) },
    message: `'${piece.text.slice(from, from + 3)}' ends the file for its reader: what follows it is not read.`,
    help: 'Delete the line, or move what follows it to a file of its own.',
  });
}

/** Keeps places inside the file, whatever went wrong on the way. */
function within(problem: Problem, length: number): Problem {
  const { start, end } = problem.span;
  if (start >= 0 && end <= length && start <= end) return problem;
  const from = Math.max(0, Math.min(start, length));
  return { ...problem, span: { start: from, end: Math.max(from, Math.min(end, length)) } };
}
