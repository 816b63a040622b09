import { parseQuantity } from '../quantity/parse-quantity.ts';
import { quantityDimension } from '../quantity/quantity.ts';
import { compareRational } from '../quantity/rational.ts';
import { assetsOf } from './assets-of.ts';
import { stepsLookedAt, type Check } from './check.ts';
import { placeInProse } from './prose-of.ts';
import { nameOf } from './walk-of.ts';

export const waitTooShort: Check = {
  name: 'wait-too-short',
  severity: 'error',
  group: 'safety',
  proves: 'Where the text of a step shows a time of the asset, the `wait` of the step is at least as long.',
  why: 'The sheet says that the label asks for 30 minutes, the runner counts down 10, and the capacitors are still charged.',
  source: 'Common practice, no source',
  files: {
    'assets.yaml': `assets:
  ET-01: {equipment: yard_tractor, discharge_label: 10 min}
  ET-02: {equipment: yard_tractor, discharge_label: 30 min}
`,
  },
  bad: `procedure: discharge
title: Discharge
purpose: inspection
applies_to: {equipment: yard_tractor}
facts:
  discharge_label: {quantity: time, from: Label of the inverter}
steps:
  - step: discharge
    do:
      - Wait for the discharge time. The label asks for {discharge_label}.
    wait: 10 min
  - step: look
    ask: Is the lamp of the inverter dark?
    results:
      - when: yes
        passes: true
      - when: no
        refer: Touch nothing.
`,
  good: `procedure: discharge
title: Discharge
purpose: inspection
applies_to: {equipment: yard_tractor}
facts:
  discharge_label: {quantity: time, from: Label of the inverter}
steps:
  - step: label
    decide: discharge_label
    results:
      - when: at most 10 min
      - when: above 10 min
        refer: Touch nothing. The label asks for {discharge_label}.
  - step: discharge
    do:
      - Wait for the discharge time.
    wait: 10 min
  - step: look
    ask: Is the lamp of the inverter dark?
    results:
      - when: yes
        passes: true
      - when: no
        refer: Touch nothing.
`,
  texts: 'each',
  *run(context) {
    const declared = new Map(context.procedure.facts.map((fact) => [fact.name.value, fact]));
    for (const [, step] of stepsLookedAt(context)) {
      const { wait } = step;
      if (wait === undefined) continue;
      for (const prose of [...step.actions, step.question, step.text]) {
        for (const shown of prose?.value.matchAll(/\{\s*([a-z][a-z0-9_]*)\s*\}/gu) ?? []) {
          const name = shown[1] ?? '';
          if (prose === undefined || !declared.has(name)) continue;
          const longer = context.once(assetsOf).flatMap(({ item, file }) => {
            const value = item.facts.find((fact) => fact.name.value === name)?.value;
            const { quantity, problems } = parseQuantity(value?.value ?? '');
            if (value === undefined || quantity === undefined || problems.length > 0 || quantityDimension(quantity) !== 'time') return [];
            return compareRational(quantity.base, wait.value.base) > 0 ? [{ id: item.id.value, quantity, file, span: value.span }] : [];
          });
          const longest = longer.sort((a, b) => compareRational(b.quantity.base, a.quantity.base))[0];
          if (longest === undefined) continue;
          yield {
            span: placeInProse(prose, shown.index, shown.index + shown[0].length),
            step: nameOf(step),
            subject: name,
            message: `For ${longest.id} the text shows ${longest.quantity.text.trim()} (${name}), and '${nameOf(step)}' waits ${wait.value.text}.`,
            note: '`wait` is one time for all assets; it does not follow the fact.',
            help: `Make \`wait\` at least ${longest.quantity.text.trim()}, or decide by ${name} before this step and refer what asks for more.`,
            related: [{ file: longest.file, span: longest.span, message: `The ${name} of ${longest.id} is here.` }],
          };
        }
      }
    }
  },
};
