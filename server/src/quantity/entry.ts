/**
 * What a technician types for a reading: `12,6`, `12.6V`, `450 mV`, `OL`, `lit`. Understood or refused with a reason; nothing is
 * guessed that could change a verdict.
 */
import { describeQuantityWord, quantityPhrase, unitFits } from './quantity-words.ts';
import { impossibleValue, makeQuantity, quantityDimension } from './quantity.ts';
import { formatQuantityPlain } from './format-quantity.ts';
import { compareRational, isWholeRational, negateRational, rational } from './rational.ts';
import { lookUpUnit } from './unit.ts';
import { parseQuantity } from './parse-quantity.ts';
import { sameWord } from './band-meaning.ts';
import { listOf } from './scan-quantity.ts';
import type { Quantity } from './quantity.ts';
import type { QuantityProblem } from './parse-quantity.ts';
import type { QuantityWord } from './quantity-words.ts';
import type { Unit } from './unit.ts';

export interface EntryContext {
  /** What is measured; undefined where only words are shown. */
  readonly word: QuantityWord | undefined;
  /** The unit that a bare number is taken in: that of the step's limits or range. Undefined: a bare number is refused. */
  readonly unit?: Unit | undefined;
  /** Words the instrument shows instead of a number. */
  readonly words?: readonly string[];
}

export type Entry =
  | { readonly quantity: Quantity; readonly open?: undefined; readonly word?: undefined; readonly problem?: undefined }
  | { readonly open: true; readonly quantity?: undefined; readonly word?: undefined; readonly problem?: undefined }
  | { readonly word: string; readonly quantity?: undefined; readonly open?: undefined; readonly problem?: undefined }
  | { readonly problem: string; readonly quantity?: undefined; readonly open?: undefined; readonly word?: undefined };

/** Pascal: the pressure of the air on a very high barometer. */
const DEEPEST_VACUUM = rational(104_000);

/** What meters show, and people say, for an overload. */
const OPEN =
  /^(?:o\.?\s?l\.?|0l|0\.l|\.ol|open|open circuit|overload|over\s?load|over\s?range|infinite|infinity|inf|∞|1\s?\.|---+)(?:\s*(?:[kM]?(?:Ω|ohms?)))?$/i;

/** Reads an entry. The quantity keeps the text as typed. */
export function understandEntry(typed: string, context: EntryContext): Entry {
  const text = typed.trim();
  if (text === '') return { problem: 'Nothing was typed.' };
  if (text.length > 200) return { problem: 'That is too long for a reading.' };
  const word = context.words?.find((each) => sameWord(each, text));
  if (word !== undefined) return { word };
  if (context.words && context.words.length > 0 && !/\d/.test(text)) {
    return { problem: `'${text}' is not what the instrument shows. Type ${listOf(context.words, 'or')}.` };
  }
  if (context.word === undefined) return { problem: `'${text}' is not what the instrument shows.` };
  if (OPEN.test(text)) return understandOpen(text, context.word);
  return understandNumber(text, context.word, context.unit);
}

function understandOpen(text: string, word: QuantityWord): Entry {
  const info = describeQuantityWord(word);
  if (info.showsOpen || /^(?:o|over)/i.test(text)) return { open: true };
  return { problem: `'${text}' is no reading of ${quantityPhrase(word)}.` };
}

function understandNumber(text: string, word: QuantityWord, unit: Unit | undefined): Entry {
  const info = describeQuantityWord(word);
  // A meter in its kilohm range shows a k alone.
  const spelled = info.dimension === 'resistance' ? text.replace(/(?<=\d)\s*([kKM])$/, ' $1Ω') : text;
  const parsed = parseQuantity(spelled);
  let quantity = parsed.quantity;
  const ambiguous = parsed.problems[0]?.kind === 'unit-ambiguous' ? chooseByKind(text, word) : undefined;
  if (ambiguous) quantity = ambiguous;
  else if (parsed.problems.length > 0 || !quantity) return { problem: problemText(text, parsed.problems[0]) };
  if (quantity.unit === undefined) {
    if (unit) quantity = makeQuantity(text, quantity.number, unit, quantity.decimals);
    else if (!info.bareNumber)
      return {
        problem: `The unit is missing. Type it after the number, such as ${formatQuantityPlain(quantity)} ${info.usualUnits[0] ?? ''}.`,
      };
  } else if (word === 'temperature_difference' && quantity.unit.dimension === 'temperature') {
    quantity = asDifference(text, quantity);
  } else if (!unitFits(quantity.unit, word)) {
    return {
      problem: `${quantity.unit.symbol} is not a unit of ${quantityPhrase(word)}. Type it in ${listOf(info.usualUnits.slice(0, 3), 'or') || 'plain numbers'}.`,
    };
  }
  return impossible(quantity, word) ?? { quantity: { ...quantity, text } };
}

function problemText(text: string, problem: QuantityProblem | undefined): string {
  if (!problem) return `'${text}' is not a reading.`;
  if (problem.kind === 'impossible') return problem.message;
  return problem.help === undefined ? problem.message : `${problem.message} ${problem.help}`;
}

/** `20 C` where a temperature is read, `5 oz` where a force is: the reading's kind leaves one choice. */
function chooseByKind(text: string, word: QuantityWord): Quantity | undefined {
  const match = /^(.*[\d.,½¼¾])\s*(\D+)$/.exec(text);
  const found = lookUpUnit(match?.[2]?.trim() ?? '');
  const fitting = (found?.ambiguous ?? []).filter((unit) => unitFits(unit, word));
  const [unit] = fitting;
  const number = parseQuantity(match?.[1] ?? '').quantity;
  if (!unit || fitting.length !== 1 || !number || number.unit !== undefined) return undefined;
  return makeQuantity(text, number.number, unit, number.decimals);
}

function asDifference(text: string, quantity: Quantity): Quantity {
  const unit = lookUpUnit(`Δ${quantity.unit?.symbol ?? ''}`)?.unit;
  return unit ? makeQuantity(text, quantity.number, unit, quantity.decimals) : quantity;
}

function impossible(quantity: Quantity, word: QuantityWord): Entry | undefined {
  const info = describeQuantityWord(word);
  const never = impossibleValue(quantity.base, quantityDimension(quantity));
  if (never !== undefined) return { problem: never };
  const kind = quantityDimension(quantity);
  const beyondVacuum = word === 'vacuum' ? quantity.base : kind === 'pressure' || kind === 'gauge_pressure' ? negateRational(quantity.base) : undefined;
  if (beyondVacuum && compareRational(beyondVacuum, DEEPEST_VACUUM) > 0)
    return { problem: 'No vacuum is deeper than the pressure of the air: about 1 bar (101 kPa, 30 inHg).' };
  const negative = quantity.base.numerator < 0n;
  if (info.domain !== 'any' && negative) return { problem: `A reading of ${quantityPhrase(word)} cannot be negative.` };
  if (info.domain === 'whole' && !isWholeRational(quantity.base)) return { problem: 'A count is a whole number.' };
  if (info.domain === 'share' && quantity.base.numerator > quantity.base.denominator)
    return { problem: `${info.title} is at most 100 %.` };
  return undefined;
}
