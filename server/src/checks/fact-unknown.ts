import type { Asset, Fact } from '../procedure/model.ts';
import type { Declared } from '../procedure/scope.ts';
import type { RelatedPlace } from '../findings/finding.ts';
import { usedNames } from './names-used.ts';
import { dimensionsCompare, dimensionTitle } from '../quantity/dimension.ts';
import { parseQuantity } from '../quantity/parse-quantity.ts';
import { quantityDimension } from '../quantity/quantity.ts';
import { quantityPhrase, quantityWord, unitFits } from '../quantity/quantity-words.ts';
import { assetsOf } from './assets-of.ts';
import type { Check } from './check.ts';
import { listed, words } from './edits.ts';

export const factUnknown: Check = {
  name: 'fact-unknown',
  severity: 'warning',
  group: 'document',
  proves: 'Every asset to which the procedure applies has each fact that it needs, as a word or quantity that fits.',
  why: 'The run stops in front of the machine for want of a number that a data sheet in the office holds.',
  source: 'Common practice, no source',
  files: {
    'assets.yaml': `assets:
  TL-03: {equipment: tail_lift, maker_plate: readable, relief_pressure: 170 bar}
  TL-07: {equipment: tail_lift, maker_plate: lost}
  SW-01: {equipment: street_sweeper}
`,
  },
  bad: `procedure: lift
title: Lift slow
applies_to: {equipment: tail_lift}
facts:
  relief_pressure: {quantity: pressure, from: Data plate}
steps:
  - step: pressure
    measure: pressure
    results:
      - when: at least relief_pressure
        passes: true
      - when: below relief_pressure
        refer: Test the relief valve.
`,
  good: `procedure: lift
title: Lift slow
applies_to: {equipment: tail_lift, maker_plate: readable}
facts:
  relief_pressure: {quantity: pressure, from: Data plate}
steps:
  - step: pressure
    measure: pressure
    results:
      - when: at least relief_pressure
        passes: true
      - when: below relief_pressure
        refer: Test the relief valve.
`,
  *run(context) {
    const { procedure } = context;
    const assets = context.once(assetsOf);
    if (assets.length === 0) return;
    const used = context.once(usedNames);
    const decided = new Set([...procedure.steps, ...procedure.afterRepair].flatMap((step) => step.decide?.text.trim() ?? []));
    for (const fact of procedure.facts) {
      const name = fact.name.value;
      if (!used.has(`fact ${name}`) && !decided.has(name)) continue;
      const lacking = assets.filter((asset) => valueOf(asset, name) === undefined);
      if (lacking.length > 0) {
        const first = lacking[0] as Declared<Asset>;
        yield {
          span: fact.name.span,
          subject: name,
          message: `${listed(shortList(lacking.map((asset) => asset.item.id.value)))} ${lacking.length === 1 ? 'has' : 'have'} no ${words(name)}, which this procedure needs.`,
          help: `Add \`${name}\` to assets.yaml, or narrow \`applies_to\`.`,
          related: [{ file: first.file, span: first.item.id.span, message: `${first.item.id.value} is here.` }],
        };
      }
      yield* misfits(fact, assets);
    }
  },
};

/** Values that are no choice of the fact, or no quantity of its kind: one finding for each kind of mistake. */
function* misfits(fact: Fact, assets: readonly Declared<Asset>[]) {
  const found = assets.flatMap((asset): (RelatedPlace & { id: string; problem: string })[] => {
    const value = valueOf(asset, fact.name.value);
    const problem = value && problemOf(fact, value.value);
    return value && problem ? [{ id: asset.item.id.value, problem, file: asset.file, span: value.span, message: `'${value.value}' is here.` }] : [];
  });
  for (const problem of new Set(found.map((each) => each.problem))) {
    const same = found.filter((each) => each.problem === problem);
    const choices = fact.choices?.map((choice) => choice.value) ?? [];
    yield {
      span: fact.name.span,
      subject: fact.name.value,
      message: `The ${words(fact.name.value)} of ${listed(shortList(same.map((each) => each.id)))} is ${problem}.`,
      help: choices.length > 0 ? `Write ${listed(choices, 'or')} in assets.yaml.` : 'Correct it in assets.yaml.',
      related: same.slice(0, 3).map(({ file, span, message }) => ({ file, span, message })),
    };
  }
}

function problemOf(fact: Fact, value: string): string | undefined {
  if (fact.choices) return fact.choices.some((choice) => choice.value === value) ? undefined : `'${value}', which is none of its choices`;
  const word = quantityWord(fact.quantity?.value ?? '');
  if (word === undefined) return undefined;
  const { quantity, problems } = parseQuantity(value);
  if (quantity === undefined || problems.length > 0) return `'${value}', which is no quantity`;
  if (unitFits(quantity.unit, word)) return undefined;
  if (quantity.unit === undefined) return `'${value}', without a unit`;
  if (dimensionsCompare(word, quantityDimension(quantity))) return undefined;
  return `'${value}': ${dimensionTitle(quantityDimension(quantity))}, not ${article(quantityPhrase(word))}`;
}

function article(phrase: string): string {
  return /^[aeiou]/iu.test(phrase) ? `an ${phrase}` : `a ${phrase}`;
}

function valueOf(asset: Declared<Asset>, fact: string) {
  return asset.item.facts.find((candidate) => candidate.name.value === fact)?.value;
}

function shortList(ids: readonly string[]): string[] {
  return ids.length <= 4 ? [...ids] : [...ids.slice(0, 3), `${ids.length - 3} more`];
}
