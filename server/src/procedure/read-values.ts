/** Reads the values of keys: texts, names, numbers, quantities, states. Whatever cannot be read is reported and left out. */
import { parseQuantity } from '../quantity/parse-quantity.ts';
import { QUANTITY_WORDS, quantityWord, unitFits } from '../quantity/quantity-words.ts';
import type { Quantity } from '../quantity/quantity.ts';
import { quoted } from '../syntax/yaml-traps.ts';
import type { ListNode, MapEntry, ScalarNode, TreeNode } from '../syntax/tree.ts';
import { keptByText } from '../text/kept-by-text.ts';
import { coverSpans, type Span } from '../text/span.ts';
import type { At, Name, Prose } from './model.ts';
import { nearest } from './nearest.ts';
import { capital, describe, isEmpty, shown, spanInside, textAt, type Fields, type Owner, type Reader, type StructureCheck } from './reader.ts';

/** As the table of keys says it. */
const ANY_QUANTITY = 'a quantity';
const IDENTIFIER = /^[a-z][a-z0-9_]*$/;

/** A text of one key. */
export function readText(fields: Fields, key: string): Prose | undefined {
  const node = fields.value(key);
  return node === undefined ? undefined : proseOf(fields.reader, node, `'${key}' of ${fields.owner}`);
}

/** A text or a list of texts. `sentences` are watched for commas that split them. */
export function readTexts(fields: Fields, key: string, { sentences = false } = {}): Prose[] {
  const node = fields.value(key);
  if (node === undefined) return [];
  const owner = `'${key}' of ${fields.owner}`;
  if (node.kind !== 'list') {
    const prose = proseOf(fields.reader, node, owner);
    return prose === undefined ? [] : [prose];
  }
  const texts = listItems(fields.reader, node, owner).map((item) => proseOf(fields.reader, item, `a text in ${owner}`));
  const present = texts.filter((prose) => prose !== undefined);
  return sentences && node.flow ? joinSplitSentences(fields.reader, present) : present;
}

/** A node as a text; what YAML made a map or a list of is taken back to the text it was. */
export function proseOf(reader: Reader, node: TreeNode, owner: Owner): Prose | undefined {
  if (node.kind === 'scalar') {
    if (node.text.trim() !== '') return textAt(node);
    reader.report('wrong-kind', { span: node.span, message: `${capital(owner)} is an empty text.`, help: 'Write the text, or delete the key.' });
    return undefined;
  }
  const raw = rawText(reader, node);
  const first = node.kind === 'map' ? node.entries[0] : undefined;
  const byColon = first !== undefined && node.kind === 'map' && node.entries.length === 1 && /^\S/.test(raw.text) && !node.flow;
  if (byColon) {
    reader.report('wrong-kind', {
      span: node.span, message: `The colon after '${shown(first.key.text)}' makes a map of this text; ${owner} should be a text.`,
      help: 'Put the text in quotes, or write it without the colon.', fixes: quoteFixes(reader, raw),
    });
    return { value: raw.text, span: raw.span, node: raw };
  }
  if (node.flow) {
    const sign = node.kind === 'map' ? '{' : '[';
    const inList = !reader.text.startsWith(sign, node.span.start);
    reader.report('wrong-kind', {
      span: node.span,
      message: inList
        ? `The colon after '${shown(first?.key.text ?? '')}' makes a map of this text; ${owner} should be a text.`
        : `The '${sign}' at its start makes a ${node.kind} of this text; ${owner} should be a text.`,
      help: 'Put the text in quotes.', fixes: quoteFixes(reader, raw),
    });
    return { value: raw.text, span: raw.span, node: raw };
  }
  reader.report('wrong-kind', {
    span: node.span, message: `${capital(owner)} is ${describe(node)}; one text is expected.`, help: 'Write it as one text.',
  });
  return { value: raw.text, span: raw.span, node: raw };
}

function quoteFixes(reader: Reader, raw: ScalarNode): ReturnType<Reader['fix']>[] {
  const source = reader.text.slice(raw.span.start, raw.span.end);
  return /\n/.test(source) ? [] : [reader.fix('Put the text in quotes', raw.span, quoted(source))];
}

/** The source of a node as if it were one plain text. */
function rawText(reader: Reader, node: TreeNode): ScalarNode {
  const source = reader.text.slice(node.span.start, node.span.end).trimEnd();
  const span = { start: node.span.start, end: node.span.start + source.length };
  const text = source.replace(/[ \t]*\r?\n\s*/g, ' ');
  return { kind: 'scalar', text, span, style: 'plain', offsetAt: (index) => Math.min(span.start + index, span.end) };
}

/** `[Turn off, then lock.]`: an item in lower case after one with a capital is the rest of its sentence. */
function joinSplitSentences(reader: Reader, texts: readonly Prose[]): Prose[] {
  const joined: Prose[] = [];
  for (const text of texts) {
    const previous = joined.at(-1);
    const goesOn = previous !== undefined && /^\p{Ll}/u.test(text.value) && /^\p{Lu}/u.test(previous.value)
      && text.node?.style === 'plain' && previous.node?.style === 'plain';
    if (!goesOn) {
      joined.push(text);
      continue;
    }
    const span = coverSpans(previous.span, text.span);
    const value = `${previous.value}, ${text.value}`;
    reader.report('text-cut-off', {
      span, message: `Inside '[…]' a comma ends the text: '${shown(previous.value)}' is cut off before '${shown(text.value)}'.`,
      help: "Put the text in quotes, or write the list line by line with dashes.", fixes: [reader.fix('Put the text in quotes', span, quoted(value))],
    });
    const restAt = previous.value.length + 2;
    const node: ScalarNode = {
      kind: 'scalar', text: value, span, style: 'plain',
      offsetAt: (index) => (index >= restAt ? (text.node?.offsetAt(index - restAt) ?? span.end) : (previous.node?.offsetAt(index) ?? span.start)),
    };
    joined[joined.length - 1] = { value, span, node };
  }
  return joined;
}

/** The items of a list that hold something; a lone dash is reported. */
export function listItems(reader: Reader, list: ListNode, owner: Owner): TreeNode[] {
  const items: TreeNode[] = [];
  for (const item of list.items) {
    if (!isEmpty(item)) items.push(item as TreeNode);
    else reader.report('wrong-kind', { span: list.span, message: `An item of ${owner} is empty.`, help: 'Delete the lone dash or comma, or write the item.' });
  }
  return items;
}

/** One name. */
export function readName(fields: Fields, key: string): Name | undefined {
  const node = fields.value(key);
  return node === undefined ? undefined : nameOf(fields.reader, node, `'${key}' of ${fields.owner}`);
}

export function nameOf(reader: Reader, node: TreeNode, owner: Owner): Name | undefined {
  if (node.kind === 'scalar' && node.text.trim() !== '') return textAt(node);
  reader.report('wrong-kind', { span: node.span, message: `${capital(owner)} is ${describe(node)}; one name is expected.`, help: 'Write one name.' });
  return undefined;
}

/** A quantity by its word: dc_voltage, resistance. One that is none is reported, and kept. */
export function readQuantityWord(fields: Fields, key: string): Name | undefined {
  const name = readName(fields, key);
  if (name !== undefined) reportNoQuantity(fields.reader, name, `'${key}' of ${fields.owner}`);
  return name;
}

/** Reports a word that is no quantity's. */
export function reportNoQuantity(reader: Reader, name: Name, owner: Owner): void {
  if (quantityWord(name.value) === name.value) return;
  const near = quantityWord(name.value) ?? nearest(name.value, QUANTITY_WORDS);
  reader.report('wrong-kind', {
    span: name.span, message: `${capital(owner)} is '${shown(name.value)}', which is no quantity.`,
    help: near === undefined ? `Write one of: ${QUANTITY_WORDS.join(', ')}.` : `Did you mean '${near}'?`,
    fixes: near === undefined ? [] : [reader.fix(`Change it to '${near}'`, name.span, near, true)],
  });
}

/** One name, or a list of them; the list may be empty where the table does not say `some`. */
export function readNames(fields: Fields, key: string): Name[] {
  const node = fields.value(key);
  const shape = fields.info.keys[key]?.value;
  if (node?.kind === 'list' && node.items.length === 0 && !(shape?.shape === 'names' && shape.some === true)) return [];
  return node === undefined ? [] : namesOf(fields.reader, node, `'${key}' of ${fields.owner}`);
}

export function namesOf(reader: Reader, node: TreeNode, owner: Owner): Name[] {
  if (node.kind === 'list' && node.items.length === 0) {
    reportEmptyList(reader, node, owner);
    return [];
  }
  if (node.kind === 'list') {
    const names = listItems(reader, node, owner).map((item) => nameOf(reader, item, `an item of ${owner}`)).filter((name) => name !== undefined);
    return withoutDoubles(reader, names, owner);
  }
  if (node.kind === 'scalar' && node.style === 'plain' && /^[a-z0-9_]+(?:\s*,\s*[a-z0-9_]+)+$/.test(node.text)) {
    reader.report('wrong-kind', {
      span: node.span, message: `${capital(owner)} is one text with commas; a list is expected.`, help: 'Put it in square brackets.',
      fixes: [reader.fix(`Write [${shown(node.text)}]`, node.span, `[${node.text}]`)],
    });
    return [...node.text.matchAll(/[a-z0-9_]+/g)].map((match) => ({ value: match[0], span: spanInside(node, match.index, match.index + match[0].length) }));
  }
  const name = nameOf(reader, node, owner);
  return name === undefined ? [] : [name];
}

function reportEmptyList(reader: Reader, node: ListNode, owner: Owner): void {
  reader.report('wrong-kind', { span: node.span, message: `${capital(owner)} is an empty list.`, help: 'Write what belongs there, or delete the key.' });
}

function withoutDoubles(reader: Reader, names: readonly Name[], owner: Owner): Name[] {
  const seen = new Map<string, Name>();
  for (const name of names) {
    const earlier = seen.get(name.value);
    if (earlier === undefined) seen.set(name.value, name);
    else {
      reader.report('duplicate-name', {
        span: name.span, message: `'${shown(name.value)}' stands twice in ${owner}.`, help: 'Delete one of them.',
        related: [reader.related(earlier.span, 'The first one is here.')],
      });
    }
  }
  return [...seen.values()];
}

/** A name that is declared here: it must be snake_case. `what` is what it names, as 'a step'. */
export function declaredName(reader: Reader, name: Name, what: string): Name {
  if (name.node?.style === 'plain' && (name.value === 'true' || name.value === 'false')) {
    reader.report('wrong-kind', { span: name.span, message: `'${name.value}' cannot name ${what}: YAML takes it for a truth value.`, help: 'Give it another name.' });
    return name;
  }
  if (IDENTIFIER.test(name.value)) return name;
  const suggestion = snakeCase(name.value);
  reader.report('wrong-kind', {
    span: name.span, message: `'${shown(name.value)}' cannot name ${what}: names are lower-case letters, digits and '_', and begin with a letter.`,
    help: suggestion === '' ? 'Give it another name.' : `Write '${suggestion}', here and wherever it is used.`,
    fixes: suggestion === '' ? [] : [reader.fix(`Change it to '${suggestion}'`, name.span, suggestion, true)],
  });
  return name;
}

function snakeCase(text: string): string {
  const plain = text.normalize('NFKD').replace(/\p{M}/gu, '').replace(/([a-z0-9])([A-Z])/g, '$1_$2').toLowerCase();
  return plain.replace(/[^a-z0-9]+/g, '_').replace(/^[_\d]+|_+$/g, '').slice(0, 48);
}

/** One of a few words; `otherWords` are what a writer may call them. */
export function readChoice<T extends string>(
  fields: Fields, key: string, choices: readonly T[], otherWords: Readonly<Record<string, T>> = {},
): At<T> | undefined {
  const node = fields.value(key);
  if (node === undefined) return undefined;
  const exact = node.kind === 'scalar' ? choices.find((choice) => choice === node.text) : undefined;
  if (node.kind === 'scalar' && exact !== undefined) return { value: exact, span: node.span, node };
  const text = node.kind === 'scalar' ? node.text : '';
  const near = (Object.hasOwn(otherWords, text.toLowerCase()) ? otherWords[text.toLowerCase()] : undefined) ?? nearest(text, choices);
  fields.reader.report('wrong-kind', {
    span: node.span, message: `'${key}' of ${fields.owner} is ${describe(node)}; it must be ${oneOf(choices)}.`,
    help: near === undefined ? `Write ${oneOf(choices)}.` : `Did you mean '${near}'?`,
    fixes: near === undefined ? [] : [fields.reader.fix(`Change it to '${near}'`, node.span, near, true)],
  });
  return near === undefined || near !== snakeCase(text) ? undefined : { value: near as T, span: node.span };
}

/** "'a', 'b' or 'c'" */
export function oneOf(words: readonly string[]): string {
  const all = words.map((word) => `'${word}'`);
  return all.length < 2 ? (all[0] ?? '') : `${all.slice(0, -1).join(', ')} or ${all.at(-1) ?? ''}`;
}

/** A number without a unit. */
export function readNumber(fields: Fields, key: string, { whole, least }: { whole: boolean; least: number }): At<number> | undefined {
  const node = fields.value(key);
  if (node === undefined) return undefined;
  const text = node.kind === 'scalar' && node.style === 'plain' ? node.text : '';
  const number = /^[+-]?(?:\.\d+|\d+(?:\.\d*)?)(?:[eE][+-]?\d+)?$/.test(text) ? Number(text) : NaN;
  const fits = Number.isFinite(number) && number >= least && (!whole || Number.isSafeInteger(number));
  if (fits) return { value: number, span: node.span };
  const kind = whole ? `a whole number from ${least} up` : `a number from ${least} up`;
  const isQuoted = node.kind === 'scalar' && node.style !== 'plain' && /^\d+(?:\.\d+)?$/.test(node.text);
  fields.reader.report('wrong-kind', {
    span: node.span, message: `'${key}' of ${fields.owner} is ${describe(node)}${isQuoted ? ' in quotes' : ''}; ${kind} is expected.`,
    help: `Write digits alone, such as ${Math.max(least, 2)}.`,
    fixes: isQuoted ? [fields.reader.fix('Leave the quotes out', node.span, node.text)] : [],
  });
  return undefined;
}

/** The one value `true`; absent means no. */
export function readTrue(fields: Fields, key: string): boolean {
  const node = fields.value(key);
  if (node === undefined) return false;
  if (node.kind === 'scalar' && node.style === 'plain' && /^(?:true|True|TRUE)$/.test(node.text)) return true;
  const meant = node.kind === 'scalar' && /^(?:yes|on|true|y)$/i.test(node.text);
  fields.reader.report('wrong-kind', {
    span: node.span, message: `'${key}' of ${fields.owner} is ${describe(node)}; only 'true' can stand there.`,
    help: meant ? "Write 'true'." : `Write 'true', or delete '${key}'.`,
    fixes: meant ? [fields.reader.fix("Change it to 'true'", node.span, 'true')] : [],
  });
  return meant;
}

const CHECK_OF_QUANTITY_PROBLEM: Readonly<Record<string, StructureCheck>> = {
  'unit-unknown': 'unit-unknown', 'unit-ambiguous': 'unit-ambiguous', 'unit-missing': 'unit-missing', 'not-a-number': 'wrong-kind',
  'trailing-text': 'wrong-kind', 'too-long': 'wrong-kind',
};

/** The check that a problem of quantity/ belongs to. */
export function checkOfQuantityProblem(kind: string, otherwise: StructureCheck = 'wrong-kind'): StructureCheck {
  return CHECK_OF_QUANTITY_PROBLEM[kind] ?? otherwise;
}

/**
 * A quantity that stands alone, with its unit. Where the table asks for any quantity, a bare number will do unless `of`, the word for
 * what it is a quantity of, needs a unit: ratios and counts have none.
 */
export function readQuantity(fields: Fields, key: string, { of }: { of?: string } = {}): At<Quantity> | undefined {
  const node = fields.value(key);
  if (node === undefined) return undefined;
  const owner = `'${key}' of ${fields.owner}`;
  const info = fields.info.keys[key]?.value;
  const { dimension, example } = info?.shape === 'quantity' ? info : { dimension: 'a quantity', example: '12 V' };
  if (node.kind !== 'scalar') {
    fields.reader.report('wrong-kind', { span: node.span, message: `${capital(owner)} is ${describe(node)}; ${dimension} is expected.`, help: `Write a number and a unit, such as ${example}.` });
    return undefined;
  }
  const word = of === undefined ? undefined : quantityWord(of);
  const bare = dimension === ANY_QUANTITY && (word === undefined || unitFits(undefined, word));
  return quantityOf(fields.reader, node, owner, dimension, example, { bare });
}

const quantityIn = keptByText((text) => parseQuantity(text));

function quantityOf(
  reader: Reader, node: ScalarNode, owner: Owner, dimension: string, example: string, { bare }: { bare: boolean },
): At<Quantity> | undefined {
  const { quantity, problems } = quantityIn(node.text);
  for (const problem of problems) {
    const fixes = (problem.choices ?? (problem.near === undefined ? [] : [problem.near])).map((word) =>
      reader.fix(`Change it to '${word}'`, spanInside(node, problem.span.start, problem.span.end), word, true));
    reader.report(checkOfQuantityProblem(problem.kind), {
      span: spanInside(node, problem.span.start, problem.span.end), message: problem.message,
      note: `It stands in ${owner}.`, help: problem.help, fixes,
    });
  }
  if (quantity === undefined || problems.length > 0) return quantity === undefined ? undefined : { value: quantity, span: node.span, node };
  if (quantity.unit === undefined) {
    if (!bare) reader.report('unit-missing', {
      span: node.span, message: `${capital(owner)} is ${shown(node.text)} without a unit.`, help: `Write ${dimension} with its unit, such as ${example}.`,
    });
  } else if (dimension !== ANY_QUANTITY && quantity.unit.dimension !== dimension.replace(/^an? /, '')) {
    reader.report('unit-mismatch', {
      span: node.span, message: `${capital(owner)} is ${shown(node.text)}; ${dimension} is expected.`, help: `Write ${dimension}, such as ${example}.`,
    });
    return undefined;
  }
  return { value: quantity, span: node.span, node };
}

/** A map of names to objects; a list of one-key maps is understood, and reported. */
export function namedEntries(fields: Fields, key: string, what: string): MapEntry[] {
  const node = fields.value(key);
  return node === undefined ? [] : entriesOf(fields.reader, node, `'${key}' of ${fields.owner}`, what);
}

export function entriesOf(reader: Reader, node: TreeNode, owner: Owner, what: string): MapEntry[] {
  if (node.kind === 'map') return node.entries.length === 0 ? [] : distinct(reader, node.entries, owner);
  const maps = node.kind === 'list' ? node.items.filter((item) => item?.kind === 'map') : [];
  const understood = node.kind === 'list' && maps.length === node.items.length && maps.every((map) => map.kind === 'map' && map.entries.length === 1);
  reader.report('wrong-kind', {
    span: node.span, message: `${capital(owner)} is ${describe(node)}; a map is expected: ${what}.`,
    help: understood ? 'Write the lines without their dashes.' : `Write ${what}.`,
  });
  return understood ? distinct(reader, maps.flatMap((map) => (map.kind === 'map' ? map.entries : [])), owner) : [];
}

function distinct(reader: Reader, entries: readonly MapEntry[], owner: Owner): MapEntry[] {
  const seen = new Map<string, Span>();
  return entries.filter((entry) => {
    const earlier = seen.get(entry.key.text);
    if (earlier === undefined) {
      seen.set(entry.key.text, entry.key.span);
      return true;
    }
    reader.report('duplicate-name', {
      span: entry.key.span, message: `'${shown(entry.key.text)}' stands twice in ${owner}; the first one counts.`,
      help: 'Delete one of them, or rename it.', related: [reader.related(earlier, 'The first one is here.')],
    });
    return false;
  });
}
