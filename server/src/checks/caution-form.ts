import type { Caution, Procedure } from '../procedure/model.ts';
import type { Report } from '../findings/finding.ts';
import { allSteps, type Check } from './check.ts';
import { listed } from './edits.ts';

const SIGNAL_WORDS = ['danger', 'warning', 'caution', 'notice'];
/** Consequences that no `caution` or `notice` may carry: death and lasting injury. */
const GRAVE = /\b(kill(s|ed)?|dea(th|dly)|die[sd]?|fatal|crush(es|ed)?|amputat\w*|blind(ed|ness)?|electrocut\w*|suffocat\w*|lose (a|the|your) (hand|finger|arm|eye|limb|life))\b/iu;
/** How a caution may open: a command, or a condition that leads to one. */
const NOT_A_COMMAND = /^(the|a|an|it|this|that|there|you|all|any|some|someone|people|persons?|please|caution|warning|danger)\b/iu;
const PROCEDURAL = /\b(then (turn|remove|connect|disconnect|measure|read|open|install|fit)|go to step|next,|measure the|record the reading)\b/iu;

export const cautionForm: Check = {
  name: 'caution-form',
  severity: 'error',
  group: 'safety',
  proves: 'Every caution used has signal word, hazard, consequence and avoidance, with a signal word that fits, a command first and no step hidden in it.',
  why: "A caution that does not say what can happen, or how to avoid it, is a red frame around nothing.",
  source: 'ANSI Z535.4-2007 4.14.1 to 4.14.4 (signal words); ANSI Z535.6 (parts; from memory); MIL-STD-38784 (no steps inside; from memory)',
  bad: `procedure: spring
title: Spring change
cautions:
  spring:
    signal: notice
    hazard: The spring is under load.
    consequence: It can kill.
    avoid: Use the clamp.
steps:
  - step: clamp
    ask: Is the clamp tight?
    cautions: [spring]
    results:
      - when: yes
        passes: true
      - when: no
        refer: Replace the clamp.
`,
  good: `procedure: spring
title: Spring change
cautions:
  spring:
    signal: danger
    hazard: The spring is under load.
    consequence: It will kill when it slips.
    avoid: Use the clamp.
steps:
  - step: clamp
    ask: Is the clamp tight?
    cautions: [spring]
    results:
      - when: yes
        passes: true
      - when: no
        refer: Replace the clamp.
`,
  *run({ procedure, scope }) {
    const declaredHere = new Set(procedure.cautions.map((caution) => caution.name.value));
    for (const caution of procedure.cautions) yield* problemsOf(caution, caution.name.span, caution.name.value);
    const seen = new Set<string>();
    for (const step of allSteps(procedure)) {
      for (const use of step.cautions) {
        if (use.kind === 'written') yield* problemsOf(use.caution, use.caution.span, `of '${step.name?.value ?? ''}'`, step.name?.value);
        else if (!declaredHere.has(use.name.value) && !seen.has(use.name.value)) {
          seen.add(use.name.value);
          const declared = scope.cautions.get(use.name.value);
          // A shared caution is reported once, where this procedure first uses it.
          if (declared) yield* problemsOf(declared.item, use.name.span, use.name.value, step.name?.value);
        }
      }
    }
  },
};

function* problemsOf(caution: Caution, span: Procedure['span'], name: string, step?: string): Generator<Report> {
  const base = { span, subject: caution.name.value, ...(step ? { step } : {}) };
  const title = name.startsWith('of ') ? `The caution ${name}` : `The caution '${name}'`;
  const signal = caution.signal?.value ?? '';
  const missing = [
    ...(caution.signal ? [] : ['`signal`']),
    ...(caution.hazard ? [] : ['`hazard`']),
    ...(caution.consequence || signal === 'notice' ? [] : ['`consequence`']),
    ...(caution.avoid ? [] : ['`avoid`']),
  ];
  if (missing.length > 0) {
    yield { ...base, message: `${title} lacks ${listed(missing)}.`, help: 'Say what the hazard is, what it does to a person, and how to avoid it, under the fitting signal word.' };
  }
  if (caution.signal && !SIGNAL_WORDS.includes(signal)) {
    yield { ...base, message: `${title} has the signal word '${signal}'.`, help: 'Use danger, warning, caution or notice.' };
  }
  const consequence = caution.consequence?.value ?? '';
  if ((signal === 'caution' || signal === 'notice') && GRAVE.test(consequence)) {
    yield {
      ...base,
      message: `${title} says '${signal}', and its consequence is grave: '${consequence}'`,
      note: 'Caution is for minor or moderate injury, notice for property alone.',
      help: 'Use danger where it will kill or maim, warning where it could.',
    };
  }
  const avoid = caution.avoid?.value ?? '';
  if (avoid && NOT_A_COMMAND.test(avoid.trim())) {
    yield { ...base, message: `${title} does not begin its avoidance with a command.`, note: `It begins '${avoid.split(/\s+/u).slice(0, 3).join(' ')} …'.`, help: "Begin with what to do: 'Keep …', 'Wear …', 'Do not …'." };
  }
  if (PROCEDURAL.test(avoid)) {
    yield { ...base, message: `A step hides in the caution${title.slice('The caution'.length)}.`, note: 'Cautions are read before the work and are not ticked off.', help: 'Move the action into the steps.' };
  }
}
