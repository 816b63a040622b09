/**
 * Whether a reading is too close to a limit for the instrument it was read with. It is judged all the same, as the procedure says; the
 * remark tells the person and the record. Decision rule: a guard band of the expanded uncertainty, k = 2 (quantity/accuracy.ts). Where the
 * limit itself was read (`at least supply - 1.5 V`), its uncertainty counts too: independent parts add as squares (JCGM 100, 5.1.2).
 */
import { guardWidth, parseAccuracy, resultsWithin, uncertaintyOf } from '../quantity/accuracy.ts';
import { evaluate, type Environment } from '../quantity/evaluate.ts';
import { boundsOf, expressionsOf, namesIn, type Band, type Comparison, type Expression } from '../quantity/expression.ts';
import { formatQuantity } from '../quantity/format-quantity.ts';
import { parseQuantity } from '../quantity/parse-quantity.ts';
import { amountOf, fromBase } from '../quantity/quantity.ts';
import { addRational, exactDecimals, rationalToNumber, subtractRational, type Rational } from '../quantity/rational.ts';
import { selectResult, type Reading, type Selection } from '../quantity/select-band.ts';
import type { Unit } from '../quantity/unit.ts';
import type { StepSheet } from './checklist-document.ts';
import { orList } from './texts.ts';

type NumberReading = Extract<Reading, { kind: 'number' }>;

/** What a step's readings are held against. */
export interface Comparing {
  readonly sheet: StepSheet;
  readonly bands: readonly (Band | undefined)[];
  readonly environment: Environment;
  /** The limits of the results in words. */
  readonly limits: readonly string[];
  /** The step that a name of a limit was read at. */
  readonly readAt?: (name: string) => StepSheet | undefined;
}

/**
 * A remark where the true value may belong to another result than the one taken; undefined where the verdict stands, or where the
 * instrument's accuracy is not known. `parts`: the readings that a spread lies between, each of which is uncertain.
 */
export function closenessRemark(comparing: Comparing, reading: Reading, taken: number, parts: readonly Reading[] = []): string | undefined {
  if (reading.kind !== 'number') return undefined;
  return remark(comparing, reading, taken, parts, (base) => selectResult(comparing.bands, { ...reading, base }, comparing.environment));
}

/** The same for one of several points, whose conditions name them; the other points' readings stay as they are. */
export function closenessAtPoint(comparing: Comparing, readings: ReadonlyMap<string, Reading>, point: string, taken: number): string | undefined {
  const reading = readings.get(point);
  if (reading?.kind !== 'number') return undefined;
  return remark(comparing, reading, taken, [], (base) => selectResult(comparing.bands, new Map(readings).set(point, { ...reading, base }), comparing.environment));
}

function remark(
  comparing: Comparing, reading: NumberReading, taken: number, parts: readonly Reading[], select: (base: Rational) => Selection,
): string | undefined {
  const own = parts.length > 0 ? spreadUncertainty(comparing.sheet, parts) : expandedUncertainty(comparing.sheet, reading.base, reading.unit);
  if (own === undefined) return undefined;
  const width = guardWidth({ expanded: Math.hypot(own, limitUncertainty(comparing)) });
  const possible = resultsWithin(select, reading.base, width, boundValues(comparing))?.filter((index) => index !== taken) ?? [];
  if (possible.length === 0) return undefined;
  const others = possible.map((index) => comparing.limits[index] ?? 'anything else');
  return `Too close to call with this instrument, which reads to ±${widthWords(width, reading.unit)} (k = 2): it may also be ${orList(others)}.`;
}

/** U = 2u of a reading taken at a step, in base units; undefined where nothing is known of the instrument. */
function expandedUncertainty(sheet: StepSheet, reading: Rational, unit: Unit | undefined): number | undefined {
  const { instrument } = sheet;
  const accuracy = instrument?.accuracy === undefined ? undefined : parseAccuracy(instrument.accuracy).accuracy;
  if (instrument === undefined || accuracy === undefined) return undefined;
  const fullScale = amount(sheet.range) ?? amount(instrument.upTo);
  return uncertaintyOf(reading, { accuracy, resolution: amount(instrument.resolution), fullScale, unit })?.expanded;
}

/** A spread lies between the highest and the lowest reading, and both are uncertain. */
function spreadUncertainty(sheet: StepSheet, parts: readonly Reading[]): number | undefined {
  const each = parts.flatMap((part) => (part.kind === 'number' ? [expandedUncertainty(sheet, part.base, part.unit)] : []));
  const known = each.filter((one) => one !== undefined).sort((a, b) => b - a);
  return known.length < each.length || known.length === 0 ? undefined : Math.hypot(known[0] ?? 0, known[1] ?? 0);
}

/** U of the limit that is least certain: by how much it moves when each reading in it moves by its own U. */
function limitUncertainty({ bands, environment, readAt }: Comparing): number {
  if (readAt === undefined) return 0;
  const bounds = bands.flatMap((band) => (band ? expressionsOf(band) : []));
  return Math.max(0, ...bounds.map((bound) => Math.hypot(...[...new Set(namesIn(bound).map(({ name }) => name))].map((name) => shiftBy(bound, name)))));

  function shiftBy(bound: Expression, name: string): number {
    const sheet = readAt?.(name);
    const known = environment(name);
    const own = sheet && known && !known.open ? expandedUncertainty(sheet, known.base, known.unit) : undefined;
    if (own === undefined || known === undefined) return 0;
    const moved = evaluate(bound, (other) => (other === name ? { ...known, base: addRational(known.base, guardWidth({ expanded: own })) } : environment(other))).value;
    const still = evaluate(bound, environment).value;
    return moved && still ? Math.abs(rationalToNumber(subtractRational(moved.base, still.base))) : 0;
  }
}

/** The values of all bounds: between two of them a result may lie that neither end of the guard band meets. */
function boundValues({ bands, environment }: Comparing): Rational[] {
  const bounds = bands.flatMap((band) => (band ? expressionsOf(band) : []));
  return bounds.flatMap((bound) => evaluate(bound, environment).value?.base ?? []);
}

/** As an amount: a resolution of 0.1 °C is a tenth of a kelvin. */
function amount(written: string | undefined): Rational | undefined {
  const quantity = written === undefined ? undefined : parseQuantity(written).quantity;
  return quantity && amountOf(quantity);
}

/** The half-width of an uncertainty (base units) to two significant figures, as one is given: `0.096 V`. */
export function widthWords(width: Rational, unit: Unit | undefined): string {
  // A width is a difference: of a temperature, without the scale's zero.
  const scale = unit === undefined ? undefined : { ...unit, offset: undefined };
  const number = scale === undefined ? width : fromBase(width, scale);
  const order = Math.floor(Math.log10(Math.max(rationalToNumber(number), 1e-12)));
  const exact = exactDecimals(number);
  return formatQuantity({ base: width, unit: scale }, { decimals: Math.max(0, Math.min(exact ?? 12, 1 - order)) });
}

/** The comparisons that take what a single one leaves; undefined for a band of several conditions. */
export function oppositeOf(band: Band): readonly Comparison[] | undefined {
  const comparison = band.kind === 'conditions' && band.conditions.length === 1 ? band.conditions[0]?.comparison : undefined;
  if (comparison === undefined || comparison.kind === 'shows' || comparison.kind === 'equal') return undefined;
  const [low, high] = boundsOf(comparison);
  if (comparison.kind === 'between') return low && high ? [{ kind: 'below', bound: low }, { kind: 'above', bound: high }] : undefined;
  const opposite = { at_least: 'below', below: 'at_least', at_most: 'above', above: 'at_most' } as const;
  return [{ kind: opposite[comparison.kind], bound: comparison.bound }];
}
