import { hazardsAtSteps } from './caution-gaps.ts';
import { allSteps, type Check } from './check.ts';
import { addToRemedy, fixOf, words } from './edits.ts';
import { hazardsOfRemedies } from './remedy-hazards.ts';
import { nameOf } from './walk-of.ts';

export const qualifiedPerson: Check = {
  name: 'qualified-person',
  severity: 'error',
  group: 'safety',
  proves: 'Where a hazard needs a qualified or licensed person, the procedure or the step says so.',
  why: 'Whoever opens the sheet must see before the first step that it is not for them.',
  source: '29 CFR 1910.333 (qualified persons; from memory); 40 CFR 82.34 (refrigerant; from memory)',
  shop: `shop: Workshop
qualifications:
  rope_work: {title: Trained for work on ropes}
hazards:
  hanging:
    title: Fall from the rope
    arises_from: {words: [rope down]}
    qualified: rope_work
cautions:
  hanging:
    signal: danger
    hazard: You hang from the rope.
    consequence: You will be killed when it slips.
    avoid: Use two ropes.
    covers: [hanging]
`,
  bad: `procedure: mast_lamp
title: Mast lamp dark
steps:
  - step: descend
    do: [Rope down to the lamp.]
    cautions: [hanging]
  - step: look
    ask: Is the lens clean?
    results:
      - when: yes
        passes: true
      - when: no
        refer: Clean the lens.
`,
  good: `procedure: mast_lamp
title: Mast lamp dark
qualified: rope_work
steps:
  - step: descend
    do: [Rope down to the lamp.]
    cautions: [hanging]
  - step: look
    ask: Is the lens clean?
    results:
      - when: yes
        passes: true
      - when: no
        refer: Clean the lens.
`,
  *run(context) {
    const steps = allSteps(context.procedure);
    const held = new Set(context.procedure.qualified.map((name) => name.value));
    const reported = new Set<string>();
    for (const at of context.once(hazardsAtSteps)) {
      const wanted = at.hazard.qualified?.value;
      const step = steps[at.step];
      if (wanted === undefined || step === undefined || held.has(wanted) || reported.has(wanted)) continue;
      if (step.qualified.some((name) => name.value === wanted)) continue;
      // One mistake, one finding: the first step that needs it.
      reported.add(wanted);
      const title = context.scope.qualifications.get(wanted)?.item.title?.value ?? words(wanted);
      yield {
        span: at.span,
        step: nameOf(step),
        subject: wanted,
        message: `'${nameOf(step)}' needs a person who is qualified (${title}), and nothing says so.`,
        note: `${at.hazard.title?.value ?? words(at.hazard.name.value)}: it arises because ${at.cause}.`,
        help: `Add \`qualified: ${wanted}\` at the top of the procedure or at this step.`,
      };
    }
    for (const { fault, remedy, hazard, cause } of context.once(hazardsOfRemedies)) {
      const wanted = hazard.qualified?.value;
      if (wanted === undefined || held.has(wanted) || reported.has(wanted) || fault.qualified?.some((name) => name.value === wanted)) continue;
      reported.add(wanted);
      const title = context.scope.qualifications.get(wanted)?.item.title?.value ?? words(wanted);
      const fixes = fixOf(`Add \`qualified: [${wanted}]\` to the remedy of '${fault.name.value}'`, addToRemedy(context, fault, 'qualified', wanted), true);
      yield {
        span: remedy.span,
        subject: wanted,
        message: `The remedy of '${fault.name.value}' needs a person who is qualified (${title}), and nothing says so.`,
        note: `${hazard.title?.value ?? words(hazard.name.value)}: it arises because ${cause}.`,
        help: `Add \`qualified: [${wanted}]\` to the fault, or at the top of the procedure.`,
        ...(fixes ? { fixes } : {}),
      };
    }
  },
};
