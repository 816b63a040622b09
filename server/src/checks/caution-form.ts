import type { Caution, Procedure } from '../procedure/model.ts';
import type { Report } from '../findings/finding.ts';
import { cautionUsesOf } from './caution-gaps.ts';
import type { Check } from './check.ts';
import { listed } from './edits.ts';

const SIGNAL_WORDS = ['danger', 'warning', 'caution', 'notice'];
/** Consequences that no `caution` or `notice` may carry: death and lasting injury. */
const GRAVE = /\b(kill(s|ed)?|dea(th|dly)|die[sd]?|fatal|crush(es|ed)?|amputat\w*|blind(ed|ness)?|electrocut\w*|suffocat\w*|lose (a|the|your) (hand|finger|arm|eye|limb|life))\b/iu;
/** What hurts a person at all: words for injuries, or what is done to a part of the body. */
const INJURY = /\b(injur\w*|hurt\w*|bruis\w*|scald\w*|sprain\w*|wound(s|ed|ing)?|poison\w*|deafen\w*|(make|makes) (you|a person|people) (ill|sick))\b/iu;
const HARM = /\b(burn|burns|cut|cuts|pinch\w*|trap|traps|catch|catches|hit|hits|strike|strikes|squeeze\w*|draw|draws|shock\w*|sting\w*|irritat\w*|harm\w*|jam|jams|freez\w*|prick\w*|scratch\w*|tear|tears|throw|throws|pull|pulls)\b/iu;
const OF_A_PERSON = /\b(person|people|someone|anyone|you|feet|foot|fingers?|hands?(?!\s*brake)|eyes?|skin|toes?|lungs?|legs?|your \w+)\b/iu;
/** How a caution may not open: with anything but a command, or a condition that leads to one. */
const NOT_A_COMMAND = /^(the|a|an|it|this|that|there|you|all|any|some|someone|people|persons?|please|caution|warning|danger)\b/iu;
const PROCEDURAL = /\b(then (turn|remove|connect|disconnect|measure|read|open|install|fit)|go to step|next,|measure the|record the reading)\b/iu;
/** Work, in place of keep, stay, stop, wear, do not: it belongs into the steps. */
const WORK = /^(then |first,? |always )?(remove|lift|lift off|open|fit|refit|measure|disconnect|reconnect|connect|unscrew|unbolt|unplug|undo|loosen|slacken|tighten|install|replace|dismantle|drain|take (off|out))\b/iu;
/** What turns such a command into the way of doing it, or into care for oneself. */
const MANNER = /\b(slowly|gently|carefully|only|first|last|with (one|both) hands?|your legs|second person|two (people|persons)|hoist|little by little|rings?|watch(es)?|jewell?ery|necklaces?|cloth(es|ing)|doors|windows?)\b/iu;

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
    for (const caution of procedure.cautions) yield* problemsOf(caution, caution.name.span, caution.name.value, true);
    const seen = new Set<string>();
    for (const { use, owner, step } of cautionUsesOf(procedure)) {
      if (use.kind === 'written') yield* problemsOf(use.caution, use.caution.span, `of '${owner}'`, true, step);
      else if (!declaredHere.has(use.name.value) && !seen.has(use.name.value)) {
        seen.add(use.name.value);
        const declared = scope.cautions.get(use.name.value);
        // A shared caution is reported once, where this procedure first uses it.
        if (declared) yield* problemsOf(declared.item, use.name.span, use.name.value, false, step);
      }
    }
  },
};

/** `own`: the caution stands in this file, and each finding at the part of it that is concerned. */
function* problemsOf(caution: Caution, span: Procedure['span'], name: string, own: boolean, step?: string): Generator<Report> {
  const at = (part: { readonly span: Procedure['span'] } | undefined) => ({ span: (own ? part?.span : undefined) ?? span, subject: caution.name.value, ...(step ? { step } : {}) });
  const title = name.startsWith('of ') ? `The caution ${name}` : `The caution '${name}'`;
  const signal = caution.signal?.value ?? '';
  const missing = [
    ...(caution.signal ? [] : ['`signal`']),
    ...(caution.hazard ? [] : ['`hazard`']),
    ...(caution.consequence || signal === 'notice' ? [] : ['`consequence`']),
    ...(caution.avoid ? [] : ['`avoid`']),
  ];
  if (missing.length > 0) {
    yield { ...at(undefined), message: `${title} lacks ${listed(missing)}.`, help: 'Say what the hazard is, what it does to a person, and how to avoid it, under the fitting signal word.' };
  }
  if (caution.signal && !SIGNAL_WORDS.includes(signal)) {
    yield { ...at(caution.signal), message: `${title} has the signal word '${signal}', which is none.`, help: 'Use danger, warning, caution or notice.' };
  }
  const consequence = caution.consequence?.value ?? '';
  if ((signal === 'caution' || signal === 'notice') && GRAVE.test(consequence)) {
    yield {
      ...at(caution.signal),
      message: `${title} says '${signal}', and its consequence is grave: '${consequence}'`,
      note: 'Caution is for minor or moderate injury, notice for property alone.',
      help: 'Use danger where it will kill or maim, warning where it could.',
    };
  } else if (signal === 'notice' && hurtsAPerson(consequence)) {
    yield {
      ...at(caution.signal),
      message: `${title} says 'notice', and its consequence hurts a person: '${consequence}'`,
      note: 'Notice is for property alone.',
      help: 'Use caution for a minor or moderate injury, warning or danger for a worse one.',
    };
  }
  const avoid = caution.avoid?.value ?? '';
  if (avoid && NOT_A_COMMAND.test(avoid.trim())) {
    yield { ...at(caution.avoid), message: `${title} does not begin its avoidance with a command.`, note: `It begins '${avoid.split(/\s+/u).slice(0, 3).join(' ')} …'.`, help: "Begin with what to do: 'Keep …', 'Wear …', 'Do not …'." };
  }
  const work = avoid.split(/(?<=[.!;])\s+/u).find((sentence) => PROCEDURAL.test(sentence) || (WORK.test(sentence.trim()) && !MANNER.test(sentence)));
  if (work !== undefined) {
    yield {
      ...at(caution.avoid),
      message: `A step hides in the caution${title.slice('The caution'.length)}: '${work.trim()}'`,
      note: 'Cautions are read before the work and are not ticked off.',
      help: "Move the action into the steps, and say here what to keep away from: 'Keep …', 'Do not …'.",
    };
  }
}

function hurtsAPerson(consequence: string): boolean {
  return INJURY.test(consequence) || consequence.split(/(?<=[.!;])\s+/u).some((sentence) => HARM.test(sentence) && OF_A_PERSON.test(sentence));
}
