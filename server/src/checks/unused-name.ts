import { nameUses } from '../procedure/names.ts';
import { usedNames } from './names-used.ts';
import type { Name } from '../procedure/model.ts';
import type { Report } from '../findings/finding.ts';
import { allSteps, type Check, type CheckContext } from './check.ts';

export const unusedName: Check = {
  name: 'unused-name',
  severity: 'warning',
  group: 'structure',
  proves: 'Every state, fact, circuit, caution and reference that the procedure declares is used in it, and so is every reading that is only stored. (Of faults, fault-never-found says more.)',
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
    const used = context.once(usedNames);
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
    yield* unusedReadings(context, used, accepted);
  },
};

/** A measure without results only stores its reading: where nothing uses it, here or in a procedure that runs this one, it was for nothing. */
function* unusedReadings(context: CheckContext, used: ReadonlySet<string>, accepted: ReadonlySet<string | undefined>): Generator<Report> {
  const { procedure } = context;
  // An inspection may take a reading for its record.
  const unused = procedure.purpose === 'inspection' ? [] : allSteps(procedure).filter(({ kind, name, results, provesDead, seek, photo }) =>
    kind === 'measure' && name !== undefined && results.length === 0 && provesDead === undefined && seek === undefined && photo === undefined
    && !used.has(`reading ${name.value}`) && !accepted.has(name.value));
  if (unused.length === 0) return;
  const usedByCallers = readingsUsedByCallers(context);
  for (const step of unused) {
    if (step.name === undefined || usedByCallers.has(step.name.value)) continue;
    yield {
      span: step.name.span,
      step: step.name.value,
      subject: step.name.value,
      message: `The reading '${step.name.value}' is taken, and nothing uses it.`,
      help: 'Give the step results, use the reading in a limit or a text, or take the step out.',
    };
  }
}

/** Readings of this procedure that others use: `battery.rest` where `battery` runs it. */
function readingsUsedByCallers(context: CheckContext): Set<string> {
  const found = new Set<string>();
  for (const other of context.callers()) {
    const runs = new Set(allSteps(other).flatMap((step) => (step.kind === 'run' && step.run?.value === context.procedure.name?.value && step.name ? [step.name.value] : [])));
    for (const use of nameUses(other)) if (use.kind === 'reading' && use.of !== undefined && runs.has(use.of)) found.add(use.name);
  }
  return found;
}
