/**
 * Reads a block part by part and puts the tree together. A part that the library reads without errors is taken as it is; a
 * broken one is taken apart further, down to the line that is wrong, and repaired or reported there.
 */
import type { Problem } from '../findings/finding.ts';
import { coverSpans, pointSpan, type Span } from '../text/span.ts';
import type { Block } from './blocks.ts';
import { contentLines, DASH_AT_START, insideItem, splitBlock, splitKey } from './blocks.ts';
import type { Anchors } from './compose-piece.ts';
import { composePiece } from './compose-piece.ts';
import { readPlainPiece } from './plain-piece.ts';
import { KnownItems } from './known-items.ts';
import { errorsInPlainWords } from './plain-words.ts';
import { repairPiece } from './repair.ts';
import { assemble, joinKey } from './put-together.ts';
import type { SourcePiece } from './source-piece.ts';
import type { KnownPart, TreeMemory } from './tree-memory.ts';
import type { ScalarNode, TreeNode } from './tree.ts';
import { shortened } from './yaml-traps.ts';

export interface PartRead {
  readonly node: TreeNode | undefined;
  readonly problems: readonly Problem[];
  /** Gathered when someone asks: hardly anyone does, and an editor puts parts together at every key. */
  readonly comments: () => readonly Span[];
  /** How many errors no repair met. */
  readonly broken: number;
}

/** Lists longer than this are read item by item from the start: it is faster, and an editor changes one item at a time. */
export const LONG_PART = 1500;
/** Levels to which a broken part is taken apart. */
const DEEPEST_RECOVERY = 12;

export class PartReader {
  #problems: readonly Problem[] = [];
  #known: readonly KnownPart[] | undefined;
  readonly #lists = new Map<SourcePiece, NonNullable<KnownPart['list']>>();

  constructor(
    private readonly anchors: Anchors,
    private readonly file: string,
    private readonly memory?: TreeMemory,
  ) {}

  /** Of the whole file, once `readBlock` has been called. */
  problems(): Problem[] {
    const unused: Problem[] = [];
    for (const anchor of this.anchors.nodes.values()) if (!anchor.used && anchor.text !== undefined) unused.push(anchor.text);
    return [...this.#problems, ...unused];
  }

  readBlock(block: Block): PartRead {
    const read = this.#readParts(block, 0);
    this.#problems = read.problems;
    return read;
  }

  /** The parts of the text as they were read, where each of them can be read again without the others. */
  knownParts(): readonly KnownPart[] | undefined {
    return this.anchors.nodes.size === 0 ? this.#known : undefined;
  }

  /** Reads one item of a list again. */
  readItem(piece: SourcePiece): PartRead {
    return this.#readPart(piece, 1);
  }

  #readParts(block: Block, depth: number): PartRead {
    const reads = block.parts.map((part) => this.#readPart(part, depth));
    if (depth === 0 && block.kind === 'map' && !block.strayStart && reads.length > 1) {
      this.#known = block.parts.map((part, index) => knownPart(part, reads[index] as PartRead, this.#lists.get(part)));
    }
    return this.#assembled(block, reads);
  }

  #assembled(block: Block, reads: readonly PartRead[]): PartRead {
    const [only] = reads;
    if (reads.length === 1 && only !== undefined) return only;
    const whole = assemble(block.kind, reads);
    return block.strayStart ? { ...whole, problems: [strayStart(block, this.file), ...whole.problems], broken: whole.broken + 1 } : whole;
  }

  #readPart(part: SourcePiece, depth: number): PartRead {
    if (part.text.length > LONG_PART) {
      const key = splitKey(part);
      const value = key === undefined ? undefined : splitBlock(key.value);
      if (key !== undefined && value?.kind === 'list' && value.parts.length > 1) return this.#readKeyWithBlock(key.header, value, depth, part);
    }
    // Anchors and aliases reach from part to part: such parts are read anew each time.
    const memory = depth <= 1 && part.isAsWritten && !/[&*]/.test(part.text) ? this.memory : undefined;
    const known = memory?.recall(part.text, part.at(0));
    if (known !== undefined) return known;
    const read = this.#readPlain(part) ?? this.#readThroughLibrary(part, depth);
    memory?.keep(part.text, part.at(0), read);
    return read;
  }

  #readHeader(header: SourcePiece): PartRead {
    const plain = header.isAsWritten ? /^( *)([A-Za-z0-9_][A-Za-z0-9_-]*): *\n?$/.exec(header.text) : null;
    if (plain !== null) {
      const [, indent = '', text = ''] = plain;
      const span = { start: header.at(indent.length), end: header.at(indent.length + text.length) };
      const key: ScalarNode = { kind: 'scalar', text, span, style: 'plain', offsetAt: (index) => span.start + Math.max(0, Math.min(index, text.length)) };
      return { node: { kind: 'map', entries: [{ key, value: undefined, span }], span, flow: false }, problems: [], comments: () => [], broken: 0 };
    }
    const { node, problems, comments, errors } = composePiece(header, this.anchors, this.file);
    return { node, problems: [...problems, ...errorsInPlainWords(errors, header)], comments: () => comments, broken: errors.length };
  }

  #readPlain(part: SourcePiece): PartRead | undefined {
    const plain = readPlainPiece(part);
    return plain && { node: plain.node, problems: [], comments: () => plain.comments, broken: 0 };
  }

  #readThroughLibrary(part: SourcePiece, depth: number): PartRead {
    const composed = composePiece(part, this.anchors, this.file);
    return composed.errors.length === 0 ? withoutErrors(composed) : this.#recover(part, composed, depth);
  }

  #readKeyWithBlock(header: SourcePiece, value: Block, depth: number, part?: SourcePiece): PartRead {
    const head = this.#readHeader(header);
    const reads = value.parts.map((item) => this.#readPart(item, depth + 1));
    if (part !== undefined && depth === 0 && !value.strayStart && reads.length > 1) {
      const items = KnownItems.of(value.parts.map((item, index) => knownPart(item, reads[index] as PartRead)));
      this.#lists.set(part, { header: head, column: value.column, items });
      return joinKey(head, items.read());
    }
    return joinKey(head, this.#assembled(value, reads));
  }

  #recover(part: SourcePiece, composed: ReturnType<typeof composePiece>, depth: number): PartRead {
    const asComposed = (): PartRead => ({
      node: composed.node,
      problems: [...composed.problems, ...errorsInPlainWords(composed.errors, part)],
      comments: () => composed.comments,
      broken: composed.errors.length,
    });
    if (depth > DEEPEST_RECOVERY) return asComposed();
    const block = splitBlock(part);
    if (block.parts.length > 1) return this.#readParts(block, depth + 1);
    const inner = this.#readInside(part, block, depth);
    if (inner?.broken === 0) return inner;
    const repaired = repairPiece(part, block, this.file);
    if (repaired !== undefined && (inner === undefined || repaired.errorsLeft < inner.broken)) {
      const again = this.#readRepaired(repaired.piece, depth + 1);
      if (inner === undefined || again.broken < inner.broken) return { ...again, problems: [...repaired.problems, ...again.problems] };
    }
    return inner ?? asComposed();
  }

  #readRepaired(piece: SourcePiece, depth: number): PartRead {
    const block = splitBlock(piece);
    return block.parts.length > 1 ? this.#readParts(block, depth) : this.#readPart(piece, depth);
  }

  /** A list item or a key, read from its inside. */
  #readInside(part: SourcePiece, block: Block, depth: number): PartRead | undefined {
    if (block.kind === 'list') {
      const inside = insideItem(part);
      if (inside === undefined) return undefined;
      const read = this.#readParts(splitBlock(inside), depth + 1);
      const span = read.node?.span ?? pointSpan(part.at(block.column));
      const dash = { start: part.at(part.text.search(/-/)), end: span.end };
      return { ...read, node: { kind: 'list', items: [read.node], span: coverSpans(dash, span), flow: false } };
    }
    if (block.kind === 'map') {
      const key = splitKey(part);
      if (key === undefined) return undefined;
      return this.#readKeyWithBlock(key.header, splitBlock(key.value), depth);
    }
    return undefined;
  }
}

function withoutErrors({ node, problems, comments }: ReturnType<typeof composePiece>): PartRead {
  return { node, problems, comments: () => comments, broken: 0 };
}

/** The first of a block stands further in than the others: often a dash was left out. */
function strayStart(block: Block, file: string): Problem {
  const [first] = block.parts;
  const line = first === undefined ? undefined : contentLines(first.text)[0];
  if (first === undefined || line === undefined) return { check: 'yaml-syntax', span: pointSpan(0), message: 'A line stands at the wrong column.' };
  const column = line.textStart - line.start;
  const needsDash = block.kind === 'list' && !DASH_AT_START.test(first.text.slice(line.textStart, line.end));
  const span = { start: first.at(line.textStart), end: first.at(Math.min(line.end, line.textStart + 40)) };
  const indentation = { start: first.at(line.start), end: first.at(line.textStart) };
  return {
    check: 'yaml-syntax', span,
    message: `'${shortened(first.text.slice(line.textStart, line.end))}' begins at column ${column + 1}; its neighbours begin at column ${block.column + 1}.`,
    help: needsDash ? `Begin it with a dash at column ${block.column + 1}.` : `Begin it, and what belongs to it, at column ${block.column + 1}.`,
    fixes: needsDash && column === block.column + 2
      ? [{ title: 'Begin it with a dash', altersMeaning: false, edits: [{ file, span: indentation, newText: `${' '.repeat(block.column)}- ` }] }] : [],
  };
}

function knownPart(part: SourcePiece, read: PartRead, list?: KnownPart['list']): KnownPart {
  return { start: part.at(0), end: part.at(part.text.length), read, ...(list === undefined ? {} : { list }) };
}
