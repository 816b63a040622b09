/**
 * What every builder uses to read the tree: maps held against the table of keys, and problems gathered in one place. It knows the
 * table of keys and no object in particular; read-values.ts reads the values.
 */
import type { Fix, Problem, RelatedPlace, Report } from '../findings/finding.ts';
import type { MapEntry, MapNode, ScalarNode, TreeNode } from '../syntax/tree.ts';
import type { Span } from '../text/span.ts';
import { objectInfo, OTHER_WORDS_FOR_KEYS, STEP_KINDS, type ObjectInfo, type ObjectName } from './keys.ts';
import type { At } from './model.ts';
import { nearest } from './nearest.ts';

/** Checks of structure, which reading and building report. */
export type StructureCheck =
  | 'yaml-syntax' | 'text-cut-off' | 'unknown-key' | 'missing-key' | 'wrong-kind' | 'duplicate-name'
  | 'unit-missing' | 'unit-unknown' | 'unit-ambiguous' | 'unit-mismatch';

/** What is being read: the phrase that messages use for it, as "the step 'listen'". */
export type Owner = string;

export class Reader {
  readonly problems: Problem[] = [];
  /** The step that problems belong to, while one is read. */
  step: string | undefined;

  constructor(
    readonly file: string,
    readonly text: string,
  ) {}

  report(check: StructureCheck, report: Report): void {
    this.problems.push({ check, ...(this.step === undefined ? {} : { step: this.step }), ...report });
  }

  related(span: Span, message: string): RelatedPlace {
    return { file: this.file, span, message };
  }

  /** A fix that writes one text in place of a span. */
  fix(title: string, span: Span, newText: string, altersMeaning = false): Fix {
    return { title, edits: [{ file: this.file, span, newText }], altersMeaning };
  }

  /** Reads a node as an object of the table; undefined, with a problem, where it is no map. */
  fields(node: TreeNode, objectName: ObjectName, owner: Owner): Fields | undefined {
    const info = objectInfo(objectName);
    if (info === undefined) return undefined;
    if (node.kind !== 'map') {
      const keys = (objectName === 'step' ? ['step', ...STEP_KINDS] : Object.keys(info.keys)).slice(0, 4).map((key) => `'${key}:'`).join(', ');
      this.report('wrong-kind', {
        span: node.span, message: `${capital(owner)} is ${describe(node)}; a map of keys is expected.`,
        help: `Write its keys line by line: ${keys} …`,
      });
      return undefined;
    }
    return new Fields(this, node, info, owner);
  }
}

/** The keys of one map, held against the table: unknown, doubled, empty and missing ones are reported when it is made. */
export class Fields {
  readonly #entries = new Map<string, MapEntry>();

  constructor(
    readonly reader: Reader,
    readonly node: MapNode,
    readonly info: ObjectInfo,
    readonly owner: Owner,
  ) {
    const unknown = new Map<string, MapEntry>();
    for (const entry of node.entries) {
      const key = entry.key.text;
      const entries = Object.hasOwn(info.keys, key) ? this.#entries : unknown;
      const earlier = entries.get(key);
      if (earlier === undefined) entries.set(key, entry);
      else reportTwice(reader, entry, earlier, owner);
    }
    for (const entry of unknown.values()) this.#reportUnknown(entry);
  }

  has(key: string): boolean {
    return this.#entries.has(key);
  }

  entry(key: string): MapEntry | undefined {
    return this.#entries.get(key);
  }

  keySpan(key: string): Span | undefined {
    return this.#entries.get(key)?.key.span;
  }

  /** The value of a key; undefined where the key is absent, or empty, which is reported. */
  value(key: string): TreeNode | undefined {
    const entry = this.#entries.get(key);
    if (entry === undefined) return undefined;
    if (!isEmpty(entry.value)) return entry.value;
    this.reader.report('wrong-kind', {
      span: entry.key.span, message: `'${key}' of ${this.owner} is empty.`, help: `Write what belongs there, or delete the key.`,
    });
    return undefined;
  }

  /** Reports the required keys that are missing. `place` is where the finding shows. */
  requireKeys(place: Span, except: readonly string[] = []): void {
    for (const key of requiredKeys(this.info)) {
      if (this.#entries.has(key) || except.includes(key)) continue;
      this.reader.report('missing-key', {
        span: place, message: `${capital(this.owner)} has no '${key}'.`, help: `Add '${key}:'. ${this.info.keys[key]?.says ?? ''}`,
      });
    }
  }

  #reportUnknown(entry: MapEntry): void {
    const key = entry.key.text;
    const known = Object.keys(this.info.keys);
    const free = known.filter((word) => !this.#entries.has(word));
    const synonyms = Object.hasOwn(OTHER_WORDS_FOR_KEYS, key.toLowerCase()) ? (OTHER_WORDS_FOR_KEYS[key.toLowerCase()] ?? []) : [];
    const near = nearest(key, free) ?? synonyms.find((word) => free.includes(word));
    const all = known.length <= 14 ? ` ${capital(this.info.title)} may have: ${known.join(', ')}.` : '';
    this.reader.report('unknown-key', {
      span: entry.key.span,
      message: `${capital(this.owner)} has a key '${shown(key)}', which ${this.info.title} does not have.`,
      help: near === undefined ? `Delete it, or say it with a key that there is.${all}` : `Did you mean '${near}'?`,
      fixes: near === undefined ? [] : [this.reader.fix(`Change '${shown(key)}' to '${near}'`, entry.key.span, near, !this.#isOnlyRead(near))],
    });
  }

  /** A text that explains and decides nothing. Any other key may be a way, a limit, a state or a caution that was without effect until now. */
  #isOnlyRead(key: string): boolean {
    return EXPLAINING_KEYS.has(key) && this.info.keys[key]?.value.shape === 'text';
  }
}

const EXPLAINING_KEYS: ReadonlySet<string> = new Set(['title', 'complaint', 'text', 'why', 'says', 'note', 'figure', 'from', 'sheet', 'remedy']);

const requiredKnown = new WeakMap<ObjectInfo, readonly string[]>();

function requiredKeys(info: ObjectInfo): readonly string[] {
  let keys = requiredKnown.get(info);
  if (keys === undefined) requiredKnown.set(info, (keys = Object.keys(info.keys).filter((key) => info.keys[key]?.required === true)));
  return keys;
}

function reportTwice(reader: Reader, entry: MapEntry, earlier: MapEntry, owner: Owner): void {
  reader.report('duplicate-name', {
    span: entry.key.span, message: `'${shown(entry.key.text)}' stands twice in ${owner}; the first one counts.`,
    help: 'Delete one of them, or rename it.', related: [reader.related(earlier.key.span, 'The first one is here.')],
  });
}

/** Nothing after the colon or the dash, or YAML's words for nothing. */
export function isNothing(node: TreeNode | undefined): node is undefined {
  return node === undefined || (node.kind === 'scalar' && node.style === 'plain' && node.text.length <= 4 && /^(?:~|null|Null|NULL)$/.test(node.text));
}

/** Nothing, or a text of nothing but quotes and spaces. */
export function isEmpty(node: TreeNode | undefined): node is undefined {
  return isNothing(node) || ((node as TreeNode).kind === 'scalar' && (node as ScalarNode).text.trim() === '');
}

/** What a node is, as a sentence needs it: "the text 'two'", 'a list'. */
export function describe(node: TreeNode): string {
  if (node.kind === 'scalar') return node.text.trim() === '' ? 'an empty text' : `'${shown(node.text)}'`;
  return node.kind === 'list' ? 'a list' : 'a map';
}

/** A text short enough for a message, on one line. */
export function shown(text: string, length = 48): string {
  if (text.length <= length && /^[\w-]*$/.test(text)) return text;
  const line = text.replace(/\s+/g, ' ').trim();
  return line.length <= length ? line : `${line.slice(0, length - 1).trimEnd()}…`;
}

export function capital(sentence: string): string {
  return sentence.charAt(0).toUpperCase() + sentence.slice(1);
}

/** A scalar's text with its place. */
export function textAt(node: ScalarNode): At<string> {
  return { value: node.style === 'block' ? node.text.trimEnd() : node.text, span: node.span, node };
}

/** The span of a part of a scalar's text. */
export function spanInside(node: ScalarNode, start: number, end: number): Span {
  const from = node.offsetAt(start);
  return { start: from, end: Math.max(from, node.offsetAt(end)) };
}
