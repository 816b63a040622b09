import { nameUses } from '../procedure/names.ts';
import type { Name } from '../procedure/model.ts';
import type { Check } from './check.ts';

export const unusedName: Check = {
  name: 'unused-name',
  severity: 'warning',
  group: 'structure',
  proves: 'Every state, fact, circuit, caution and reference that the procedure declares is used in it. (Of faults, fault-never-found says more.)',
  why: 'What is declared and never used is either a leftover or a test that was forgotten.',
  wholeOnly: true,
  bad: `procedure: lamp
title: Lamp dark
facts:
  bulb_power: {quantity: power, from: Data plate}
steps:
  - step: look
    ask: Is the lamp lit?
    results:
      - when: yes
        passes: true
      - when: no
        refer: Replace the lamp.
`,
  good: `procedure: lamp
title: Lamp dark
facts:
  bulb_power: {quantity: power, from: Data plate}
steps:
  - step: look
    ask: Is the lamp lit?
    results:
      - when: yes
        passes: true
      - when: no
        refer: Replace the lamp with one of {bulb_power}.
`,
  *run(context) {
    const { procedure } = context;
    const used = new Set(nameUses(procedure).map((use) => `${use.kind} ${use.name}`));
    const accepted = new Set(procedure.accept.map((deviation) => deviation.at?.value));
    const kinds: readonly { readonly kind: string; readonly title: string; readonly names: readonly Name[] }[] = [
      { kind: 'state', title: 'state', names: procedure.states.map((state) => state.name) },
      { kind: 'fact', title: 'fact', names: procedure.facts.map((fact) => fact.name) },
      { kind: 'circuit', title: 'circuit', names: procedure.circuits.map((circuit) => circuit.name) },
      { kind: 'caution', title: 'caution', names: procedure.cautions.map((caution) => caution.name) },
      { kind: 'reference', title: 'reference', names: procedure.references.map((reference) => reference.id) },
    ];
    const applied = new Set(procedure.appliesTo.map((applies) => applies.fact.value));
    for (const { kind, title, names } of kinds) {
      for (const name of names) {
        const isUsed = used.has(`${kind} ${name.value}`) || accepted.has(name.value) || (kind === 'fact' && applied.has(name.value));
        if (isUsed) continue;
        yield {
          span: name.span,
          subject: name.value,
          message: `The ${title} '${name.value}' is declared and never used.`,
          help: 'Take it out, or use it where it was meant.',
        };
      }
    }
  },
};
