import type { Report } from '../findings/finding.ts';
import type { Assets } from '../procedure/model.ts';
import { comparisonEnds } from '../quantity/band-meaning.ts';
import { evaluate, type Known } from '../quantity/evaluate.ts';
import { formatExpression } from '../quantity/format-band.ts';
import { formatQuantityPlain } from '../quantity/format-quantity.ts';
import { parseQuantity } from '../quantity/parse-quantity.ts';
import { quantityDimension } from '../quantity/quantity.ts';
import { compareRational } from '../quantity/rational.ts';
import { assetsOf } from './assets-of.ts';
import { stepsLookedAt, type Check } from './check.ts';
import { bandsOf, environmentsOf, placeInBand } from './limits-of.ts';
import { nameOf } from './walk-of.ts';

/** Two facts that are the ends of a band somewhere. */
export interface FactPair {
  readonly low: string;
  readonly high: string;
}

export const limitsReversed: Check = {
  name: 'limits-reversed',
  severity: 'error',
  group: 'quantities',
  proves: 'For every asset some value lies between the two limits of a band.',
  why: 'With two values swapped on a data sheet no reading can be right, and a sound part is thrown away.',
  files: {
    'assets.yaml': `assets:
  TL-03: {equipment: tail_lift, coil_low: 16 ohm, coil_high: 24 ohm}
  TL-07: {equipment: tail_lift, coil_low: 18 ohm, coil_high: 40 ohm}
`,
  },
  bad: `procedure: coil
title: Coil of the contactor
applies_to: {equipment: tail_lift}
facts:
  coil_low: {quantity: resistance, from: Data sheet}
  coil_high: {quantity: resistance, from: Data sheet}
steps:
  - step: coil
    measure: resistance
    results:
      - when: between coil_low and coil_high - 10 ohm
        passes: true
      - when: otherwise
        refer: Replace the contactor.
`,
  good: `procedure: coil
title: Coil of the contactor
applies_to: {equipment: tail_lift}
facts:
  coil_low: {quantity: resistance, from: Data sheet}
  coil_high: {quantity: resistance, from: Data sheet}
steps:
  - step: coil
    measure: resistance
    results:
      - when: between coil_low and coil_high - 2 ohm
        passes: true
      - when: otherwise
        refer: Replace the contactor.
`,
  *run(context) {
    const assets = context.once(assetsOf);
    for (const [, step] of stepsLookedAt(context)) {
      for (const at of bandsOf(step)) {
        for (const { comparison } of at.band.kind === 'conditions' ? at.band.conditions : []) {
          if (comparison.kind !== 'between') continue;
          const { low, high } = comparisonEnds(comparison);
          // Of two facts and nothing else the asset itself says so; of two quantities the check of what is never met.
          if (!low || !high || (low.bound.kind === 'name' && high.bound.kind === 'name') || (low.bound.kind === 'quantity' && high.bound.kind === 'quantity')) continue;
          for (const { asset, known } of context.once(environmentsOf)) {
            const [a, b] = [evaluate(low.bound, known).value, evaluate(high.bound, known).value];
            if (asset === undefined || !a || !b || a.dimension !== b.dimension || compareRational(a.base, b.base) <= 0) continue;
            const place = assets.find(({ item }) => item.id.value === asset);
            yield {
              span: placeInBand(at, { start: low.bound.span.start, end: high.bound.span.end }),
              step: nameOf(step),
              subject: asset,
              message: `For ${asset} nothing lies between ${formatExpression(low.bound)} (${shown(a)}) and ${formatExpression(high.bound)} (${shown(b)}).`,
              help: 'Correct the limits here, or the values of the asset.',
              ...(place ? { related: [{ file: place.file, span: place.item.id.span, message: `${asset} is here.` }] } : {}),
            };
            break;
          }
        }
      }
    }
  },
};

function shown({ base, unit }: Known): string {
  return formatQuantityPlain({ base, unit });
}

/** Assets of which the first of two limits is above the second. */
export function* limitsReversedIn(assets: Assets, pairs: readonly FactPair[]): Iterable<Report> {
  for (const { id, facts } of assets.assets) {
    for (const { low, high } of pairs) {
      const [first, second] = [low, high].map((name) => facts.find((fact) => fact.name.value === name));
      if (!first || !second) continue;
      const [a, b] = [first, second].map(({ value }) => parseQuantity(value.value));
      if (!a?.quantity || !b?.quantity || a.problems.length + b.problems.length > 0 || quantityDimension(a.quantity) !== quantityDimension(b.quantity)) continue;
      if (compareRational(a.quantity.base, b.quantity.base) <= 0) continue;
      yield {
        span: first.value.span,
        subject: id.value,
        message: `The ${low} of ${id.value} is ${first.value.value}, and its ${high} ${second.value.value}: nothing lies between them.`,
        note: `A procedure judges a reading by \`between ${low} and ${high}\`; for ${id.value} every reading is outside.`,
        help: 'Look at the data sheet. Are the two swapped?',
        related: [{ file: assets.file, span: second.value.span, message: `The ${high} is here.` }],
        fixes: [{
          title: `Swap ${low} and ${high} of ${id.value}`,
          altersMeaning: true,
          edits: [{ file: assets.file, span: first.value.span, newText: second.value.value }, { file: assets.file, span: second.value.span, newText: first.value.value }],
        }],
      };
    }
  }
}
