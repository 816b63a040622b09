/**
 * One piece of YAML text → tree nodes, through the `yaml` library. It turns the library's nodes into ours with places in the
 * file, resolves aliases within bounds, and reports what the library says in the library's own terms (plain-words.ts turns
 * them into ours). It knows nothing of pieces beside its own.
 */
import { Composer, isAlias, isMap, isPair, isScalar, isSeq, Parser, Schema } from 'yaml';
import type { CST, Document, ParsedNode, Pair } from 'yaml';
import type { Span } from '../text/span.ts';
import type { Problem } from '../findings/finding.ts';
import type { ListNode, MapEntry, MapNode, ScalarNode, TreeNode } from './tree.ts';
import type { MappedText } from './scalar-offsets.ts';
import { mapBlock, mapDoubleQuoted, mapPlain, mapSingleQuoted } from './scalar-offsets.ts';
import type { SourcePiece } from './source-piece.ts';
import { aliasProblem, anchorInText, commentCutsText, commaCutsText, mergeKeyProblem, tagProblem } from './yaml-traps.ts';

/** Deeper nesting than this is cut off: no writer's file comes near it. */
const DEEPEST_NESTING = 60;
/** How many nodes all aliases of a file together may stand for. */
const MOST_ALIASED_NODES = 20_000;

/** Every scalar is a text: what it means is for the builder to say. Made once, since it costs as much as a short piece. */
const SCHEMA = new Schema({ schema: 'failsafe' });

/** What the library found wrong: offsets in the piece's text. */
export interface LibraryError {
  readonly code: string;
  readonly message: string;
  readonly start: number;
  readonly end: number;
}

export interface Composed {
  readonly node: TreeNode | undefined;
  readonly errors: readonly LibraryError[];
  /** What a reader can misread without the library's noticing. */
  readonly problems: readonly Problem[];
  readonly comments: readonly Span[];
}

/** Anchors of a file, gathered in the order of its pieces; the rest bounds what aliases may cost. */
export class Anchors {
  readonly nodes = new Map<string, { node: TreeNode | undefined; size: number; span: Span; text: Problem | undefined; used: boolean }>();
  aliasedNodes = 0;
}

/** The library's document for a piece, and what it found wrong. Never throws. */
export function readDocument(piece: SourcePiece): { document: Document.Parsed | undefined; errors: LibraryError[]; tokens: CST.Token[] } {
  const errors: LibraryError[] = [];
  const tokens: CST.Token[] = [];
  try {
    for (const token of new Parser().parse(piece.text)) tokens.push(token);
    capNesting(tokens, errors);
    const composer = new Composer({ schema: SCHEMA, uniqueKeys: false, keepSourceTokens: true, strict: true });
    const [document] = [...composer.compose(tokens, true, piece.text.length)] as Document.Parsed[];
    errors.push(...oddIndentation(piece.text));
    for (const error of document?.errors ?? []) {
      errors.push({ code: error.code, message: error.message, start: error.pos[0], end: error.pos[1] });
    }
    errors.sort((a, b) => a.start - b.start);
    return { document, errors, tokens };
  } catch (error) {
    errors.push({ code: 'IMPOSSIBLE', message: error instanceof Error ? error.message : String(error), start: 0, end: piece.text.length });
    return { document: undefined, errors, tokens: [] };
  }
}

/** A no-break or wide space before a key or a dash: YAML makes it part of the key. */
function oddIndentation(text: string): LibraryError[] {
  const odd = /^ *[\u00a0\u2000-\u200b\u202f\u3000][ \u00a0\u2000-\u200b\u202f\u3000]*(?=- |[A-Za-z_]+:(?:\s|$))/m.exec(text);
  return odd === null ? [] : [{ code: 'ODD_SPACE', message: 'odd space', start: odd.index, end: odd.index + odd[0].length }];
}

/** Reads one piece. Never throws. */
export function composePiece(piece: SourcePiece, anchors: Anchors, file: string): Composed {
  const { document, errors, tokens } = readDocument(piece);
  return convertDocument(piece, document, errors, tokens, anchors, file);
}

/** The library's document as our tree. */
export function convertDocument(
  piece: SourcePiece, document: Document.Parsed | undefined, errors: readonly LibraryError[], tokens: readonly CST.Token[],
  anchors: Anchors, file: string,
): Composed {
  const converter = new Converter(piece, anchors, file);
  const node = document?.contents ? converter.node(document.contents) : undefined;
  return { node, errors, problems: converter.problems, comments: commentsOf(tokens, piece) };
}

class Converter {
  readonly problems: Problem[] = [];
  #size = 0;

  constructor(
    private readonly piece: SourcePiece,
    private readonly anchors: Anchors,
    private readonly file: string,
  ) {}

  node(node: ParsedNode): TreeNode | undefined {
    const before = this.#size;
    this.#size++;
    if (isAlias(node)) return this.#alias(node);
    const anchor = node.anchor;
    const opened = anchor === undefined ? undefined : { node: undefined, size: Infinity, span: this.#span(node), text: undefined, used: false };
    if (anchor !== undefined && opened !== undefined) this.anchors.nodes.set(anchor, opened);
    const converted = this.#content(node);
    if (anchor !== undefined) {
      const text = converted?.kind === 'scalar' && converted.style === 'plain' ? anchorInText(anchor, converted, this.#wholeSpan(node), this.file) : undefined;
      const span = this.#wholeSpan(node);
      this.anchors.nodes.set(anchor, { node: converted, size: this.#size - before, span, text, used: false });
    }
    if (node.tag !== undefined && !node.tag.startsWith('tag:yaml.org,2002:')) {
      const span = this.#wholeSpan(node);
      const source = this.piece.text.slice(this.#propsStart(node), node.range[1]);
      this.problems.push(tagProblem(source, span, this.file));
      if (converted?.kind === 'scalar') return { ...converted, text: source, span, offsetAt: (index) => span.start + Math.max(0, Math.min(index, span.end - span.start)) };
    }
    return converted;
  }

  #content(node: Exclude<ParsedNode, { type: 'ALIAS' }>): TreeNode | undefined {
    if (isScalar(node)) return this.#scalar(node);
    if (isMap(node)) return this.#map(node.items as Pair<ParsedNode, ParsedNode | null>[], node.flow === true, this.#collectionSpan(node));
    if (isSeq(node)) return this.#list(node.items as ParsedNode[], node.flow === true, this.#collectionSpan(node));
    return undefined;
  }

  #span(node: ParsedNode): Span {
    return { start: this.piece.at(node.range[0]), end: this.piece.at(node.range[1]) };
  }

  /** A block ends with the last thing in it; the library lets it run on to the next line. */
  #collectionSpan(node: ParsedNode): Span {
    return { start: this.piece.at(node.range[0]), end: this.piece.at(Math.max(node.range[0], endOf(node))) };
  }

  /** With the anchor or tag before it. */
  #wholeSpan(node: ParsedNode): Span {
    return { start: this.piece.at(this.#propsStart(node)), end: this.piece.at(node.range[1]) };
  }

  /** Where the anchor or tag before a node begins: on its own line, back to the first `&` or `!` after `: ` or `- `. */
  #propsStart(node: ParsedNode): number {
    const lineStart = this.piece.text.lastIndexOf('\n', node.range[0] - 1) + 1;
    const before = this.piece.text.slice(lineStart, node.range[0]);
    const props = /(?:[&!][^\s]*[ \t]+)+$/.exec(before);
    return props === null ? node.range[0] : lineStart + props.index;
  }

  #scalar(node: ParsedNode & { source?: string; srcToken?: unknown }): ScalarNode | undefined {
    const token = node.srcToken as CST.FlowScalar | CST.BlockScalar | undefined;
    if (token === undefined || (token.type === 'scalar' && token.source === '')) return undefined;
    const span = this.#span(node);
    const text = node.source ?? '';
    const start = token.offset;
    const piece = this.piece;
    const style = token.type === 'block-scalar' ? 'block'
      : token.type === 'single-quoted-scalar' ? 'single' : token.type === 'double-quoted-scalar' ? 'double' : 'plain';
    const scalar = scalarNode(text, style, span, () => mapToken(token, piece.text), (index) => piece.at(start + index));
    if (style === 'plain') {
      const cut = commentCutsText(piece, start, node.range[1], span, this.file);
      if (cut) this.problems.push(cut);
    }
    return scalar;
  }

  #map(items: readonly Pair<ParsedNode, ParsedNode | null>[], flow: boolean, span: Span): MapNode {
    const entries: MapEntry[] = [];
    for (const item of items) {
      const key = this.#key(item.key);
      if (key === undefined) continue;
      const value = item.value ? this.node(item.value) : undefined;
      const end = item.value && value !== undefined ? this.piece.at(item.value.range[1]) : key.span.end;
      if (key.text === '<<' && key.style === 'plain') {
        this.problems.push(mergeKeyProblem(key.span));
        if (value?.kind === 'map') for (const entry of value.entries) if (!entries.some((e) => e.key.text === entry.key.text)) entries.push(entry);
        continue;
      }
      // `{red: pin 3, 4}`: a key without a colon after a text is the rest of that text.
      const previous = entries.at(-1);
      if (flow && item.value === null && previous?.value?.kind === 'scalar' && previous.value.style === 'plain') {
        const joined = this.#joined(previous.value, key);
        this.problems.push(commaCutsText(previous.value.text, key.text, joined, this.file));
        entries[entries.length - 1] = { key: previous.key, value: joined, span: { start: previous.span.start, end: joined.span.end } };
        continue;
      }
      entries.push({ key, value, span: { start: key.span.start, end: Math.max(end, key.span.end) } });
    }
    return { kind: 'map', entries, span, flow };
  }

  #joined(first: ScalarNode, rest: ScalarNode): ScalarNode {
    const span = { start: first.span.start, end: rest.span.end };
    const text = `${first.text}, ${rest.text}`;
    const restAt = first.text.length + 2;
    return {
      kind: 'scalar', text, span, style: 'plain',
      offsetAt: (index) => (index >= restAt ? rest.offsetAt(index - restAt) : first.offsetAt(Math.min(index, first.text.length))),
    };
  }

  #key(node: ParsedNode | null): ScalarNode | undefined {
    if (node === null) return undefined;
    const converted = this.node(node);
    if (converted === undefined) {
      const span = this.#span(node);
      return { kind: 'scalar', text: '', span, style: 'plain', offsetAt: () => span.start };
    }
    if (converted.kind === 'scalar') return converted;
    // A list or a map as a key: its source stands for it.
    const { span } = converted;
    const text = this.piece.text.slice(node.range[0], node.range[1]).replace(/\s+/g, ' ').slice(0, 80);
    return { kind: 'scalar', text, span, style: 'plain', offsetAt: (index) => Math.min(span.start + index, span.end) };
  }

  #list(items: readonly ParsedNode[], flow: boolean, span: Span): ListNode {
    return { kind: 'list', items: items.map((item) => this.node(item)), span, flow };
  }

  #alias(node: ParsedNode & { source: string }): TreeNode | undefined {
    const span = this.#span(node);
    const anchor = this.anchors.nodes.get(node.source);
    if (anchor === undefined || anchor.size === Infinity) {
      this.problems.push(aliasProblem(anchor === undefined ? 'unknown' : 'circle', node.source, span, this.file));
      const text = this.piece.text.slice(node.range[0], node.range[1]);
      return anchor === undefined
        ? { kind: 'scalar', text, span, style: 'plain', offsetAt: (index) => Math.min(span.start + index, span.end) }
        : undefined;
    }
    anchor.used = true;
    this.anchors.aliasedNodes += anchor.size;
    this.#size += anchor.size;
    if (this.anchors.aliasedNodes > MOST_ALIASED_NODES) {
      this.problems.push(aliasProblem('too-many', node.source, span, this.file));
      return undefined;
    }
    return anchor.node;
  }
}

/** Where the last thing in a node ends. */
function endOf(node: ParsedNode): number {
  if (!(isMap(node) || isSeq(node)) || node.flow === true) return node.range[1];
  const last: unknown = node.items.at(-1);
  const item = (isPair(last) ? (last.value ?? last.key) : last) as ParsedNode | null | undefined;
  return item ? endOf(item) : node.range[1];
}

/** A scalar whose places are worked out when first asked for. */
function scalarNode(
  text: string, style: ScalarNode['style'], span: Span, map: () => MappedText, place: (sourceIndex: number) => number,
): ScalarNode {
  let indexes: readonly number[] | undefined;
  return {
    kind: 'scalar', text, span, style,
    offsetAt(index) {
      if (indexes === undefined) {
        const mapped = map();
        indexes = mapped.text === text ? mapped.indexes : [];
      }
      const inside = Math.max(0, Math.min(index, text.length));
      const sourceIndex = indexes[inside];
      return sourceIndex === undefined ? Math.min(span.start + inside, span.end) : place(sourceIndex);
    },
  };
}

function mapToken(token: CST.FlowScalar | CST.BlockScalar, pieceText: string): MappedText {
  if (!('props' in token)) {
    if (token.type === 'single-quoted-scalar') return mapSingleQuoted(token.source);
    return token.type === 'double-quoted-scalar' ? mapDoubleQuoted(token.source) : mapPlain(token.source);
  }
  let headerLength = 0;
  let header = '';
  for (const prop of token.props) {
    if (prop.type === 'block-scalar-header') header = prop.source;
    if ('source' in prop && typeof prop.source === 'string') headerLength += prop.source.length;
  }
  // The body as it stands in the text: the token's own source lacks nothing but what precedes it.
  const body = pieceText.startsWith(token.source, token.offset + headerLength) ? token.source : '';
  return mapBlock(header, body, headerLength, token.indent);
}

/** Cuts off what is nested too deep, without recursion, so that nothing that follows can overflow the stack. */
function capNesting(tokens: readonly CST.Token[], errors: LibraryError[]): void {
  const stack: { token: CST.Token; depth: number }[] = tokens.map((token) => ({ token, depth: 0 }));
  let reported = false;
  for (let entry = stack.pop(); entry !== undefined; entry = stack.pop()) {
    const { token, depth } = entry;
    if (token.type === 'document') {
      if (token.value) stack.push({ token: token.value, depth });
      continue;
    }
    if (token.type !== 'block-map' && token.type !== 'block-seq' && token.type !== 'flow-collection') continue;
    if (depth >= DEEPEST_NESTING) {
      if (!reported) {
        errors.push({ code: 'TOO_DEEP', message: 'nested too deep', start: token.offset, end: token.offset + 1 });
        reported = true;
      }
      token.items.length = 0;
      continue;
    }
    for (const item of token.items) {
      if (item.key) stack.push({ token: item.key, depth: depth + 1 });
      if (item.value) stack.push({ token: item.value, depth: depth + 1 });
    }
  }
}

function commentsOf(tokens: readonly CST.Token[], piece: SourcePiece): Span[] {
  const comments: Span[] = [];
  const take = (token: CST.SourceToken): void => {
    if (token.type === 'comment') {
      comments.push({ start: piece.at(token.offset), end: piece.at(token.offset + token.source.length) });
    }
  };
  const stack: CST.Token[] = [...tokens];
  for (let token = stack.pop(); token !== undefined; token = stack.pop()) {
    if (token.type === 'comment') take(token as CST.SourceToken);
    if ('start' in token && Array.isArray(token.start)) token.start.forEach(take);
    if ('end' in token && Array.isArray(token.end)) token.end.forEach(take);
    if ('props' in token && Array.isArray(token.props)) for (const prop of token.props) if (prop.type === 'comment') take(prop as CST.SourceToken);
    if (token.type === 'document' && token.value) stack.push(token.value);
    if (!('items' in token)) continue;
    for (const item of token.items) {
      item.start.forEach(take);
      item.sep?.forEach(take);
      if (item.key) stack.push(item.key);
      if (item.value) stack.push(item.value);
    }
  }
  return comments.sort((a, b) => a.start - b.start);
}
