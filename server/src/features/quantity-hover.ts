/**
 * What is said of a quantity under the cursor: its kind, the other units of that kind, the class of a voltage, and, of a limit, which
 * readings the step's instrument cannot tell from it.
 */
import type { Analysis } from '../analysis/analysis.ts';
import { guardWidth, parseAccuracy, uncertaintyOf } from '../quantity/accuracy.ts';
import { dimensionTitle } from '../quantity/dimension.ts';
import { formatQuantityPlain } from '../quantity/format-quantity.ts';
import { otherUnits } from '../quantity/other-units.ts';
import { amountOf, fromBase, quantityDimension, toBase } from '../quantity/quantity.ts';
import type { Quantity } from '../quantity/quantity.ts';
import { addRational, ceilingRational, divideRational, floorRational, multiplyRational, rational, subtractRational } from '../quantity/rational.ts';
import type { Rational } from '../quantity/rational.ts';
import { approachDistance, voltageClass } from '../quantity/safety-computations.ts';
import { toUcum } from '../quantity/ucum.ts';
import { lookUpUnit } from '../quantity/unit.ts';
import { widthWords } from '../run/closeness.ts';
import { spanHolds } from '../text/span.ts';
import type { Span } from '../text/span.ts';
import { prose } from './describe.ts';
import { inOtherSystemWords, quantitiesWritten } from './quantities.ts';
import { stepAt } from './symbols.ts';
import { treePathAt } from './tree-path.ts';
import { ENGLISH, type FeatureWords } from './words-english.ts';

/** Markdown, and the words it is about; undefined where no quantity stands. */
export function quantityHover(
  analysis: Analysis, offset: number, words: FeatureWords = ENGLISH,
): { readonly markdown: string; readonly span: Span } | undefined {
  for (const written of quantitiesWritten(analysis, { start: offset, end: offset }, { cited: true })) {
    const { group, inFile, span } = written;
    const [first] = group.items;
    const item = group.items.find((one) => spanHolds(inFile(one.span), offset)) ?? (first?.tolerance && spanHolds(span, offset) ? first : undefined);
    if (!item) continue;
    const { quantity, tolerance } = item;
    const whole = tolerance && inOtherSystemWords(written, words)?.label;
    const code = toUcum(quantity.unit);
    const shown = tolerance ? analysis.text.slice(span.start, span.end) : quantity.text;
    const lines = [
      `**${prose(shown)}**, ${words.hover.quantity(dimensionTitle(quantityDimension(quantity)))}`,
      whole,
      ...otherUnits(quantity).map(({ text, exact }) => `${exact ? '=' : '≈'} ${text}`),
      ...voltageSays(quantity, words),
      guardSays(analysis, offset, quantity, words),
      code === undefined ? undefined : `UCUM: \`${code}\``,
    ];
    return { markdown: lines.filter((line) => line !== undefined).join('\n\n'), span: tolerance ? span : inFile(item.span) };
  }
  return undefined;
}

/** The class of a hazardous voltage, and how far a qualified person keeps away from it. */
function voltageSays({ base, unit }: Quantity, { hover, symbol }: FeatureWords): string[] {
  if (unit?.dimension !== 'voltage') return [];
  const classes = (['dc', 'ac'] as const).filter((supply) => unit.supply === undefined || unit.supply === supply)
    .map((supply) => ({ supply, is: voltageClass(base, supply) }));
  if (classes.every(({ is }) => is === 'A')) return [];
  const said = classes.map(({ supply, is }) => (is === 'above_B' ? hover.aboveClassB(supply.toUpperCase()) : hover.voltageClass(supply.toUpperCase(), is)));
  const away = unit.supply === 'dc' ? undefined : approachDistance(base);
  return [
    `${hover.voltageClasses(said.join(', '))} *${symbol.from('ISO 6469-3, UN R100 (from memory)')}*`,
    ...(away === undefined
      ? []
      : [`${hover.approach(centimetresUp(away))} *${symbol.from('29 CFR 1910.333(c)(3), table S-5 (from memory)')}*`]),
  ];
}

/** A distance to keep is never rounded down. */
function centimetresUp(metres: Rational): string {
  const whole = ceilingRational(multiplyRational(metres, rational(100)));
  return formatQuantityPlain({ base: rational(whole, 100n), unit: lookUpUnit('m')?.unit }, { decimals: 2 });
}

/** Of a limit of a step: the readings beside it that are too close to call with its instrument. */
function guardSays(analysis: Analysis, offset: number, quantity: Quantity, { hover }: FeatureWords): string | undefined {
  if (!treePathAt(analysis.tree, offset)?.path.some((key) => key === 'when' || key === 'seek')) return undefined;
  const step = stepAt(analysis, offset);
  const instrument = analysis.scope?.instruments.get(step?.instrument?.value ?? '')?.item;
  const measure = instrument?.measures.find((one) => one.quantity.value === step?.quantity?.value);
  const accuracy = measure?.accuracy && parseAccuracy(measure.accuracy.value).accuracy;
  const fullScale = step?.range?.value ?? measure?.upTo?.value;
  if (!instrument || !measure || !accuracy || measure.upTo?.value.unit?.dimension !== quantity.unit?.dimension) return undefined;
  const { unit } = quantity;
  const uncertainty = uncertaintyOf(quantity.base, {
    accuracy, unit, resolution: measure.resolution && amountOf(measure.resolution.value), fullScale: fullScale && amountOf(fullScale),
  });
  if (!uncertainty) return undefined;
  const width = guardWidth(uncertainty);
  const decimals = Math.max(quantity.decimals, measure.resolution?.value.decimals ?? 0);
  // To the steps of the display, inward: the readings just outside are decided.
  const scale = rational(10n ** BigInt(decimals));
  const inDisplay = (base: Rational, whole: (value: Rational) => bigint): string => {
    const steps = whole(multiplyRational(unit ? fromBase(base, unit) : base, scale));
    const number = divideRational(rational(steps), scale);
    return formatQuantityPlain({ base: unit ? toBase(number, unit) : number, unit }, { decimals });
  };
  const ends = [inDisplay(subtractRational(quantity.base, width), ceilingRational), inDisplay(addRational(quantity.base, width), floorRational)];
  const title = prose(instrument.title?.value ?? instrument.name.value);
  const shown = widthWords(width, unit).replace('\u202f', ' ');
  return hover.tooClose(title, shown, prose(measure.accuracy?.value ?? ''), ends[0] ?? '', ends[1] ?? '');
}
