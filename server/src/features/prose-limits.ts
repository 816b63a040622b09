/** Limits in sentences: '12.4 V or more', 'must not exceed 0.4 V', '18–26 ohm', 'between 5 and 9 bar'. They become bands. */
import { findQuantitiesInProse } from '../quantity/prose-quantities.ts';
import type { QuantityWord } from '../quantity/quantity-words.ts';
import { bandInWords } from './format-words.ts';

export interface ProseLimit {
  /** As a band, in canonical words where it can be read. */
  readonly band: string;
  /** The sentence speaks of what lies outside it. */
  readonly outside: boolean;
  /** Kind of its unit; undefined where no unit was written. */
  readonly dimension: string | undefined;
  /** Words compared it; else it is a value alone. */
  readonly compared: boolean;
}

type Comparison = 'at least' | 'at most' | 'above' | 'below' | 'equal to';

/** Before the value, the most telling first. */
const BEFORE: readonly (readonly [RegExp, Comparison])[] = [
  [
    /(?:not (?:be |fall |drop )?(?:less|lower|below|under|smaller)(?: than)?|no (?:less|lower|fewer) than|at least|min(?:imum)?\.?(?: of| value)?|>=|=>|≥|⩾|mindestens|from)\s*(?:about\s*)?$/i,
    'at least',
  ],
  [
    /(?:not (?:be )?(?:more|higher|greater|above|over|larger|longer)(?: than)?|not exceed(?:ing)?|no (?:more|higher|greater|longer) than|at (?:the )?most|max(?:imum)?\.?(?: of| value)?|up to|<=|=<|≤|⩽|höchstens|within)\s*(?:about\s*)?$/i,
    'at most',
  ],
  [/(?:below|less than|lower than|under|smaller than|short of|<|unter)\s*(?:about\s*)?$/i, 'below'],
  [
    /(?:above|more than|greater than|higher than|over|larger than|longer than|exceeds?|exceeding|>|über)\s*(?:about\s*)?$/i,
    'above',
  ],
];
const AFTER: readonly (readonly [RegExp, Comparison])[] = [
  [
    /^\s*(?:or|and) (?:more|higher|above|greater|over|better|longer|up)\b|^\s*(?:min(?:imum)?|at least|at the least)\b/i,
    'at least',
  ],
  [/^\s*(?:or|and) (?:less|lower|below|under|smaller|shorter|down)\b|^\s*(?:max(?:imum)?|at (?:the )?most)\b/i, 'at most'],
];

/**
 * The first limit of a text, one that words compare before a value alone; undefined where it holds no value that could be one.
 */
export function limitIn(text: string): ProseLimit | undefined {
  const quantities = findQuantitiesInProse(text);
  const limits = quantities.map((_, index) => limitAt(text, quantities, index));
  return limits.find((limit) => limit.compared) ?? limits[0] ?? bareLimit(text);
}

function limitAt(text: string, quantities: ReturnType<typeof findQuantitiesInProse>, index: number): ProseLimit {
  const first = quantities[index] as (typeof quantities)[number];
  const second = quantities[index + 1];
  const before = text.slice(index === 0 ? 0 : (quantities[index - 1]?.span.end ?? 0), first.span.start);
  const outside = /\b(?:outside|out of|not (?:be )?(?:between|within|in))\b[^.;]*$/i.test(before);
  const dimension = first.quantity.unit?.dimension;
  if (first.tolerance !== undefined) return made(`${first.quantity.text} ± ${first.tolerance.text}`, outside, dimension, true);
  const isPair = second !== undefined && first.pairedWith?.span.start === second.span.start;
  if (
    second !== undefined &&
    !isPair &&
    isRange(text.slice(first.span.end, second.span.start)) &&
    second.quantity.unit?.dimension === dimension
  ) {
    const hasUnit = /[^\d.,\s+-]/.test(first.quantity.text);
    const low = hasUnit ? first.quantity.text : `${first.quantity.text} ${second.quantity.text.replace(/^[-+\d.,\s]+/, '')}`;
    return made(`between ${low} and ${second.quantity.text}`, outside, dimension, true);
  }
  const comparison = comparisonOf(before, text.slice(first.pairedWith?.span.end ?? first.span.end).replace(/^\)/, ''));
  return made(
    `${comparison ?? 'equal to'} ${first.quantity.text}`,
    outside && comparison === undefined,
    dimension,
    comparison !== undefined,
  );
}

/** What is measured, by the unit of its limit and the words around it; undefined where they do not tell. */
export function quantityOf(dimension: string | undefined, text: string): QuantityWord | undefined {
  const says = (pattern: RegExp): boolean => pattern.test(text);
  const byUnit: Readonly<Record<string, QuantityWord>> = {
    voltage: says(/\b(?:ac|vac|alternating|mains)\b/i) ? 'ac_voltage' : 'dc_voltage',
    current: says(/\b(?:ac|alternating)\b/i) ? 'ac_current' : 'dc_current',
    resistance: says(/\binsulation\b/i) ? 'insulation_resistance' : says(/\bcontinuity\b/i) ? 'continuity' : 'resistance',
    pressure: says(/\bvacuum\b/i) ? 'vacuum' : 'pressure',
    gauge_pressure: 'pressure',
    absolute_pressure: 'pressure',
    pressure_difference: 'pressure',
    vacuum: 'vacuum',
    temperature: 'temperature',
    temperature_difference: 'temperature_difference',
    torque: 'torque',
    force: 'force',
    length: says(/\b(?:depth|tread)\b/i) ? 'depth' : 'length',
    mass: 'mass',
    volume: 'volume',
    flow_rate: 'flow_rate',
    volume_flow: 'flow_rate',
    rotational_speed: 'rotational_speed',
    speed: 'speed',
    angle: 'angle',
    time: 'time',
    charge: 'charge',
    power: 'power',
    frequency: 'frequency',
    capacitance: 'capacitance',
    illuminance: 'illuminance',
    sound_level: 'sound_level',
    ratio: says(/\b(?:specific gravity|density|hydrometer)\b/i) ? 'relative_density' : says(/\bduty\b/i) ? 'duty_cycle' : 'ratio',
  };
  if (dimension !== undefined) return byUnit[dimension];
  const byWord: readonly (readonly [RegExp, string])[] = [
    [/\bvoltages?\b|\bvolts\b|spannung/i, 'voltage'],
    [/\bresistances?\b|\bohms\b|\bcontinuity\b|widerstand/i, 'resistance'],
    [/\bcurrent\b|\bamps\b/i, 'current'],
    [/\bpressure\b|\bdruck\b/i, 'pressure'],
    [/\btemperature\b/i, 'temperature'],
    [/\btorque\b/i, 'torque'],
    [/\bspecific gravity\b/i, 'ratio'],
  ];
  const found = byWord.find(([pattern]) => says(pattern))?.[1];
  return found === undefined ? undefined : byUnit[found];
}

/** 'below 12.4': no unit, and yet a limit. */
function bareLimit(text: string): ProseLimit | undefined {
  const number =
    /(?<![\p{L}\d.,-])-?\d+(?:[.,]\d+)?(?![\p{L}\d%°]|\s*(?:[-–:/]\s*\d|times\b|(?:second|minute|hour|step|turn)s?\b))/u.exec(
      text,
    );
  if (number === null) return undefined;
  const comparison = comparisonOf(text.slice(0, number.index), text.slice(number.index + number[0].length));
  return comparison === undefined ? undefined : made(`${comparison} ${number[0]}`, false, undefined, true);
}

function comparisonOf(before: string, after: string): Comparison | undefined {
  return BEFORE.find(([pattern]) => pattern.test(before))?.[1] ?? AFTER.find(([pattern]) => pattern.test(after))?.[1];
}

function isRange(between: string): boolean {
  return /^\s*(?:-|–|—|to|and|\.\.\.?|…|bis|und)\s*$/i.test(between);
}

function made(band: string, outside: boolean, dimension: string | undefined, compared: boolean): ProseLimit {
  return { band: bandInWords(band) ?? band, outside, dimension, compared };
}
