/** Quantities in a text of any kind, and the same value in the other units that a shop reads. */
import type { Analysis } from '../analysis/analysis.ts';
import { formatQuantityPlain } from '../quantity/format-quantity.ts';
import { convertedTo, inOtherSystem, togetherInOtherSystem } from '../quantity/other-units.ts';
import { findQuantitiesInProse, findQuantityGroups } from '../quantity/prose-quantities.ts';
import type { QuantityGroup } from '../quantity/prose-quantities.ts';
import { makeQuantity } from '../quantity/quantity.ts';
import type { Quantity } from '../quantity/quantity.ts';
import { lookUpUnit } from '../quantity/unit.ts';
import type { ScalarNode, TreeNode } from '../syntax/tree.ts';
import type { Span } from '../text/span.ts';
import { spanInScalar } from './tree-path.ts';
import { ENGLISH, type FeatureWords } from './words-english.ts';

/** Quantities with a unit, with their spans in the text. */
export function quantitiesIn(text: string): { readonly quantity: Quantity; readonly span: Span }[] {
  return findQuantitiesInProse(text).filter(({ quantity }) => quantity.unit !== undefined);
}

/** A quantity, a range or a value with its tolerance, as it stands in a file. */
export interface WrittenQuantity {
  /** In the file. */
  readonly span: Span;
  /** In the text of its scalar. Temperatures that are a difference have become one. */
  readonly group: QuantityGroup;
  /** A size by name: a 10 mm socket is no 0.39 in socket. */
  readonly nominal: boolean;
  /** The place in the file of a place in the text of its scalar. */
  inFile(span: Span): Span;
}

/** What is written between two offsets of a file, in order. `cited: false` leaves out what names, dates or cites. */
export function quantitiesWritten(analysis: Analysis, range: Span, { cited }: { readonly cited: boolean }): WrittenQuantity[] {
  const found: WrittenQuantity[] = [];
  collect(analysis.tree, range, cited ? NOTHING : CITING, false, found);
  return found;
}

/** The same in the other system, in words for a hint: `≈ 26 lb·ft`, `≈ 26 ± 4 lb·ft`; undefined where there is none. */
export function inOtherSystemWords({ group }: WrittenQuantity, said: FeatureWords = ENGLISH): { readonly label: string; readonly tooltip: string } | undefined {
  const [first, second] = group.items;
  if (!first) return undefined;
  const { quantity, tolerance } = first;
  const percent = tolerance?.unit?.symbol === '%' && quantity.unit?.symbol !== '%';
  if (tolerance && !percent) {
    const both = togetherInOtherSystem([quantity, asAmount(tolerance)]);
    return both && words(`${both.numbers.join(' ± ')} ${both.unit.symbol}`, both.exact, [quantity], said);
  }
  if (second) {
    const both = togetherInOtherSystem([quantity, second.quantity]);
    return both && words(`${said.hint.range(both.numbers[0] ?? '', both.numbers[1] ?? '')} ${both.unit.symbol}`, both.exact, [quantity, second.quantity], said);
  }
  const one = inOtherSystem(quantity);
  return one && words(percent ? `${one.text} ± ${formatQuantityPlain(tolerance)}` : one.text, one.exact, [quantity], said);
}

function words(label: string, exact: boolean, quantities: readonly Quantity[], { hint }: FeatureWords): { readonly label: string; readonly tooltip: string } {
  const finer = quantities.flatMap((quantity) => {
    const other = inOtherSystem(quantity);
    if (!other) return [];
    // A fraction is shown as it was written, and what it comes to with decimals.
    const named = /[/½¼¾⅓⅔⅛⅜⅝⅞]|AWG/i.test(quantity.text) ? quantity.text : formatQuantityPlain(quantity);
    const text = convertedTo({ ...quantity, text: '', decimals: quantity.decimals + 4 }, other.unit).text;
    return hint.equals(named, text.replace(/(\.\d*?)0+(?= )/, '$1').replace(/\.(?= )/, ''));
  });
  return exact
    ? { label: `= ${label}`, tooltip: `${finer.join(', ')}.` }
    : { label: `≈ ${label}`, tooltip: `${hint.rounded} ${finer.join(', ')}. ${hint.writtenCounts}` };
}

/** Keys whose text names, dates or cites. */
const NOTHING: ReadonlySet<string> = new Set();
const CITING: ReadonlySet<string> = new Set(['from', 'id', 'sheet', 'on', 'by', 'because', 'figure', 'revision', 'category', 'procedure', 'references', 'checks']);
/** Keys whose temperatures are differences. */
const AMOUNTS = new Set(['resolution', 'accuracy']);

function collect(node: TreeNode | undefined, range: Span, without: ReadonlySet<string>, amounts: boolean, found: WrittenQuantity[]): void {
  if (!node || node.span.end < range.start || node.span.start > range.end) return;
  if (node.kind === 'list') for (const item of node.items) collect(item, range, without, amounts, found);
  else if (node.kind === 'scalar') collectScalar(node, amounts, found);
  else {
    const readsDifference = node.entries.some(({ key, value }) => value?.kind === 'scalar' &&
      ((key.text === 'measure' && value.text === 'temperature_difference') || (key.text === 'judge' && value.text === 'spread')));
    for (const { key, value } of node.entries) {
      if (without.has(key.text)) continue;
      const inner = amounts || AMOUNTS.has(key.text) || (readsDifference && /^(?:results|seek)$/.test(key.text));
      collect(value, range, without, inner && key.text !== 'says', found);
    }
  }
}

function collectScalar(scalar: ScalarNode, amounts: boolean, found: WrittenQuantity[]): void {
  if (!/\d|[½¼¾⅓⅔⅛⅜⅝⅞]/.test(scalar.text)) return;
  for (const group of findQuantityGroups(scalar.text)) {
    const difference = amounts || saysDifference(scalar.text, group.span);
    const items = difference ? group.items.map((item) => ({ ...item, quantity: asAmount(item.quantity) })) : group.items;
    found.push({
      span: spanInScalar(scalar, group.span),
      group: { ...group, items },
      nominal: NOMINAL.test(scalar.text.slice(group.span.end, group.span.end + 24)),
      inFile: (span) => spanInScalar(scalar, span),
    });
  }
}

const NOMINAL = /^[- ](?:\w+ )?(?:sockets?|spanners?|wrench(?:es)?|drive|bolts?|nuts?|screws?|drills?|hoses?|pipes?|tubes?|cables?|wires?|keys?|hex|Allen|thread|tyres?|tires?|wheels?|rims?|fuses?|conductors?)\b/i;

const CHANGE_BEFORE =
  /(?:\b(?:by|within)|\b(?:difference|rise|drop|fall|increase|decrease|change|spread)\s+(?:of|is|at|above|below|over|under)|±)(?:\s+(?:at least|at most|about|more than|less than|up to|not more than|no more than))?\s*$/i;
const CHANGE_AFTER =
  /^\s*(?:difference|warmer|colder|hotter|cooler|higher|lower|apart|of each other|(?:above|below|over|under|more than|less than) (?:the )?(?:ambient|outside|inlet|outlet|air|room|other|others|coldest|hottest|surroundings?))\b/i;

/** Whether a sentence speaks of a change: `rises by 10 °C`, `within 5 °C of each other`, `10 °C above ambient`. */
function saysDifference(text: string, span: Span): boolean {
  return CHANGE_BEFORE.test(text.slice(Math.max(0, span.start - 40), span.start)) || CHANGE_AFTER.test(text.slice(span.end, span.end + 40));
}

/** A temperature as a difference: 5 °C as 5 K. */
function asAmount(quantity: Quantity): Quantity {
  if (quantity.unit?.dimension !== 'temperature') return quantity;
  const unit = lookUpUnit(`Δ${quantity.unit.symbol}`)?.unit;
  return unit ? makeQuantity(quantity.text, quantity.number, unit, quantity.decimals) : quantity;
}
