import { nearest } from '../procedure/nearest.ts';
import { assetsOf, sameValue } from './assets-of.ts';
import type { Check } from './check.ts';
import { listed } from './edits.ts';

export const appliesToNothing: Check = {
  name: 'applies-to-nothing',
  severity: 'warning',
  group: 'document',
  proves: 'At least one asset is what the procedure applies to.',
  why: 'With one letter wrong in `applies_to` no asset is checked against the procedure, and nobody finds the procedure for the machine.',
  source: 'Common practice, no source',
  files: {
    'assets.yaml': `assets:
  WP-01: {equipment: air_compressor, cut_in_pressure: 8 bar}
  WP-05: {equipment: vehicle_hoist}
`,
  },
  bad: `procedure: compressor
title: Compressor hums
applies_to: {equipment: air_compresor}
steps:
  - step: look
    ask: Does it start?
    results:
      - when: yes
        passes: true
      - when: no
        refer: Ask the electrician.
`,
  good: `procedure: compressor
title: Compressor hums
applies_to: {equipment: air_compressor}
steps:
  - step: look
    ask: Does it start?
    results:
      - when: yes
        passes: true
      - when: no
        refer: Ask the electrician.
`,
  *run(context) {
    const { procedure, scope } = context;
    if (scope.assets.length === 0 || procedure.appliesTo.length === 0 || context.once(assetsOf).length > 0) return;
    const facts = scope.assets.flatMap(({ item }) => item.facts);
    let explained = false;
    for (const applies of procedure.appliesTo) {
      const fact = applies.fact.value;
      const known = [...new Set(facts.filter(({ name }) => name.value === fact).map(({ value }) => value.value.trim()))];
      if (known.length === 0) {
        const near = nearest(fact, facts.map(({ name }) => name.value));
        explained = true;
        yield {
          span: applies.fact.span, subject: fact, message: `No asset has a fact '${fact}', so this procedure applies to none.`,
          help: near === undefined ? 'Correct it here, or add the fact in assets.yaml.' : `Do you mean '${near}'?`,
          ...(near === undefined ? {} : { fixes: [{ title: `Write '${near}'`, altersMeaning: true, edits: [{ file: context.file, span: applies.fact.span, newText: near }] }] }),
        };
        continue;
      }
      for (const value of applies.values) {
        if (known.some((other) => sameValue(other, value.value)) || applies.values.length > 1) continue;
        const near = nearest(value.value, known);
        explained = true;
        yield {
          span: value.span, subject: value.value, message: `No asset has ${fact} '${value.value}', so this procedure applies to none.`,
          help: near === undefined ? `Assets have ${listed(known.slice(0, 6), 'or')}. Correct it here, or add the asset in assets.yaml.` : `Do you mean '${near}'?`,
          ...(near === undefined ? {} : { fixes: [{ title: `Write '${near}'`, altersMeaning: true, edits: [{ file: context.file, span: value.span, newText: near }] }] }),
        };
      }
    }
    const first = procedure.appliesTo[0];
    if (explained || first === undefined) return;
    yield {
      span: first.span, message: 'No asset has all of these facts, so this procedure applies to none.', help: 'Correct them here, or add what is missing in assets.yaml.',
    };
  },
};
