import { loadCatalogue } from '../catalogue/load-catalogue.ts';
import type { Hazard, HazardTriggers, StateCondition } from '../procedure/model.ts';
import { compareRational } from '../quantity/rational.ts';
import type { Check } from './check.ts';
import { inSentence, listed, words } from './edits.ts';

export const hazardWeakened: Check = {
  name: 'hazard-weakened',
  severity: 'error',
  group: 'safety',
  proves: 'No procedure declares a hazard of the built-in catalogue anew so that it arises from less, needs fewer cautions or no qualified person.',
  why: 'A declaration replaces the catalogue entry whole: one line for the title silences every check of that hazard.',
  source: 'Common practice, no source',
  bad: `procedure: lift_oil
title: Lift is low on oil
hazards:
  raised_load: {title: Something heavy}
steps:
  - step: look
    ask: Is the oil at the mark?
    results:
      - when: yes
        passes: true
      - when: no
        refer: Fill to the mark.
`,
  good: `procedure: lift_oil
title: Lift is low on oil
hazards:
  swinging_hook: {title: Hook of the lift swings, arises_from: {words: [let the hook down]}}
steps:
  - step: look
    ask: Is the oil at the mark?
    results:
      - when: yes
        passes: true
      - when: no
        refer: Fill to the mark.
`,
  *run({ procedure, file }) {
    if (procedure.hazards.length === 0) return;
    const builtIn = new Map(loadCatalogue().hazards.map((hazard) => [hazard.name.value, hazard]));
    for (const hazard of procedure.hazards) {
      const before = builtIn.get(hazard.name.value);
      const lost = before ? losses(before, hazard) : [];
      if (before === undefined || lost.length === 0) continue;
      yield {
        span: hazard.name.span,
        subject: hazard.name.value,
        message: `The hazard '${hazard.name.value}' of the catalogue is declared anew and loses ${listed(lost)}.`,
        note: `In the catalogue it is ${inSentence(before.title?.value ?? words(hazard.name.value))}; this declaration replaces it whole.`,
        help: 'Give your hazard a name of its own and leave that of the catalogue as it is, or repeat all that it arises from.',
        fixes: [{ title: `Call it '${hazard.name.value}_here'`, edits: [{ file, span: hazard.name.span, newText: `${hazard.name.value}_here` }], altersMeaning: true }],
      };
    }
  },
};

/** What the new declaration no longer has, in words. */
function losses(before: Hazard, after: Hazard): string[] {
  const one = before.arisesFrom;
  const other = after.arisesFrom;
  const lost: string[] = [];
  const count = (what: string, all: readonly string[], kept: readonly string[]): void => {
    const gone = all.filter((item) => !kept.includes(item)).length;
    if (gone > 0) lost.push(gone === all.length ? `its ${what}` : `${gone} of its ${all.length} ${what}`);
  };
  count('words', one.words.map(({ value }) => small(value)), other.words.map(({ value }) => small(value)));
  count('quantities', one.quantities.map(({ value }) => value), other.quantities.map(({ value }) => value));
  count('tools', one.tools.map(({ value }) => value), other.tools.map(({ value }) => value));
  count('states', statesIn(one), statesIn(other));
  if (isHigher(one.dcAbove, other.dcAbove) || isHigher(one.acAbove, other.acAbove)) lost.push('its limit of voltage');
  if (before.repeat === 'every_step' && after.repeat !== 'every_step') lost.push('the caution at every step');
  if (before.qualified && after.qualified === undefined) lost.push('the qualified person');
  return lost;
}

function isHigher(before: HazardTriggers['dcAbove'], after: HazardTriggers['dcAbove']): boolean {
  return before !== undefined && (after === undefined || compareRational(after.value.base, before.value.base) > 0);
}

/** Each value of each condition, by what it triggers. */
function statesIn(triggers: HazardTriggers): string[] {
  const of = (kind: string, alternatives: readonly (readonly StateCondition[])[]): string[] =>
    alternatives.flatMap((alternative) =>
      alternative.length === 1
        ? alternative.flatMap(({ state, values }) => values.map((value) => `${kind} ${state.value} ${value.value}`))
        : [`${kind} ${alternative.map(({ state, values }) => `${state.value} ${values.map((value) => value.value).sort().join(' ')}`).sort().join(' ')}`]);
  return [...of('during', triggers.during), ...of('states', triggers.states), ...of('sets', triggers.sets)];
}

function small(text: string): string {
  return text.toLowerCase().replace(/\s+/gu, ' ').trim();
}
