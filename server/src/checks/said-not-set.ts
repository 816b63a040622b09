import type { Prose, State, Step } from '../procedure/model.ts';
import type { Scope } from '../procedure/scope.ts';
import { allSteps, type Check, type CheckContext } from './check.ts';
import { listed, words } from './edits.ts';
import { asWitness, begunSteps, nameOf } from './walk-of.ts';
import { walkTo } from '../flow/explore.ts';
import { statesDuring } from '../flow/meaning.ts';
import type { ProgramStep } from '../flow/program.ts';

export const saidNotSet: Check = {
  name: 'said-not-set',
  severity: 'error',
  group: 'safety',
  proves: 'Where a step tells the technician to do what brings a state to a value, in the words of its `changes`, the step sets it so.',
  why: 'The technician switches the supply on as told, and every later step is still checked as if it were off.',
  source: 'Common practice, no source',
  texts: (context, { step }) => saidIn(context.scope, step).map(({ state, value, text }) => `${state} ${value} ${textsOf(step).indexOf(text)}`).join('\n'),
  shop: `shop: Workshop
states:
  feed:
    title: Feed of the bench
    values: [on, off]
    at_start: on
    changes:
      - {to: off, do: [Turn the feed off.]}
      - {to: on, do: [Turn the feed on.]}
`,
  bad: `procedure: bench_lamp
title: Lamp of the bench stays dark
steps:
  - step: off
    do: [Turn the feed off.]
    sets: {feed: off}
  - step: socket
    do:
      - Clean the contacts of the lamp holder.
      - Turn the feed on.
  - step: lamp
    ask: Is the new lamp in its holder?
    needs: {feed: off}
    results:
      - when: yes
        passes: true
      - when: no
        refer: Fetch a lamp.
`,
  good: `procedure: bench_lamp
title: Lamp of the bench stays dark
steps:
  - step: off
    do: [Turn the feed off.]
    sets: {feed: off}
  - step: socket
    do: [Clean the contacts of the lamp holder.]
  - step: lamp
    ask: Is the new lamp in its holder?
    needs: {feed: off}
    results:
      - when: yes
        passes: true
      - when: no
        refer: Fetch a lamp.
`,
  *run(context) {
    const { program, exploration } = context;
    const steps = allSteps(context.procedure);
    for (const { step, index, nodes } of begunSteps(context)) {
      const programStep = program.steps[index] as ProgramStep;
      for (const said of lastOfEach(saidIn(context.scope, step))) {
        const meant = meantBy(context, said);
        // Words that more than one state is changed by are right where one of them follows.
        if (meant.length === 0 || meant.some(({ state, value }) => isBrought(step, state, value))) continue;
        for (const { state, value } of meant.slice(0, 1)) {
          const stateIndex = program.states.findIndex((candidate) => candidate.name === state);
          const wanted = 1 << (program.states[stateIndex]?.values.indexOf(value) ?? 0);
          const node = nodes.find((candidate) => statesDuring(programStep, candidate.begun)[stateIndex] !== wanted);
          const against = [...step.sets, ...step.during].find((set) => set.state.value === state);
          const values = program.states[stateIndex]?.values ?? [];
          // A value that there is not has been reported; what was meant may well be this one.
          if ((node === undefined && against === undefined) || (against && !values.includes(against.values[0]?.value ?? ''))) continue;
          const believed = node && values.filter((_, place) => ((statesDuring(programStep, node.begun)[stateIndex] ?? 0) >> place) & 1);
          yield {
            span: said.text.span,
            step: nameOf(step),
            subject: state,
            message: against
              ? `'${nameOf(step)}' says '${said.sentence}' and sets ${words(state)} to ${words(against.values[0]?.value ?? '')}.`
              : `'${nameOf(step)}' says '${said.sentence}' and does not set ${words(state)} to ${words(value)}.`,
            note: against ? `Those words bring it to ${words(value)}.` : `Every check after it takes ${words(state)} to be ${listed((believed ?? []).map(words), 'or')}.`,
            help: `Say \`sets: {${state}: ${value}}\` at '${nameOf(steps[index] ?? step)}', or take the sentence out.`,
            ...asWitness(context, walkTo(exploration, (node ?? nodes[0])?.id ?? 0), index),
          };
        }
      }
    }
  },
};

/** A sentence of a step that says what a change of a state says. */
interface Said {
  readonly state: string;
  readonly value: string;
  readonly sentence: string;
  readonly text: Prose;
  /** Its place among the sentences of the step. */
  readonly order: number;
}

/** States that take part here, to which the sentence may bring a value. */
function meantBy(context: CheckContext, said: Said & { readonly others: readonly Said[] }): Said[] {
  return [said, ...said.others].filter(({ state }) => context.program.states.some((candidate) => candidate.name === state));
}

function isBrought(step: Step, state: string, value: string): boolean {
  return [step.sets, step.during, ...step.results.map((result) => result.sets)].flat()
    .some((set) => set.state.value === state && set.values.some((one) => one.value === value));
}

/** For each state the last that is said of it; sentences that say it of several states come once, with the others beside. */
function lastOfEach(said: readonly Said[]): (Said & { readonly others: readonly Said[] })[] {
  const last = new Map<string, Said>();
  for (const one of said) last.set(one.state, one);
  const found = new Map<number, Said & { others: Said[] }>();
  for (const one of last.values()) {
    const known = found.get(one.order);
    if (known) known.others.push(one);
    else found.set(one.order, { ...one, others: [] });
  }
  return [...found.values()];
}

function textsOf(step: Step): Prose[] {
  return [...step.actions, step.text].filter((text) => text !== undefined);
}

function saidIn(scope: Scope, step: Step): Said[] {
  const known = sentencesOf(scope);
  if (known.size === 0) return [];
  const found: Said[] = [];
  let order = 0;
  for (const text of textsOf(step)) {
    for (const sentence of text.value.split(/(?<=[.!?;])\s+/u)) {
      order++;
      for (const form of formsOf(plain(sentence))) {
        for (const change of known.get(form) ?? []) found.push({ ...change, sentence: sentence.replace(/[.!?;]+$/u, ''), text, order });
      }
    }
  }
  return found;
}

/** A sentence as it is, and its first and last act where 'and' or 'then' joins two: 'Remove the lock and turn the isolator on.' */
function formsOf(sentence: string): string[] {
  const parts = sentence.split(/ (?:and then|and|then) /u);
  const [first = '', second = ''] = parts;
  const last = parts.at(-1) ?? '';
  if (parts.length === 1) return [sentence];
  // 'Turn it on and off again' does not end on.
  const goesOn = /^(on|off|back|again|up|down|in|out)\b/u.test(second);
  return [sentence, ...(goesOn ? [] : [first]), last];
}

const sentencesKnown = new WeakMap<Scope['states'], ReadonlyMap<string, readonly { readonly state: string; readonly value: string }[]>>();

/** Sentence → the states that it changes, and to what. */
function sentencesOf(scope: Scope): ReadonlyMap<string, readonly { readonly state: string; readonly value: string }[]> {
  let known = sentencesKnown.get(scope.states);
  if (known === undefined) {
    const found = new Map<string, { state: string; value: string }[]>();
    for (const { item } of scope.states.values()) {
      for (const { value, sentence } of tellingSentences(item)) {
        const others = found.get(sentence);
        if (others) others.push({ state: item.name.value, value });
        else found.set(sentence, [{ state: item.name.value, value }]);
      }
    }
    sentencesKnown.set(scope.states, (known = found));
  }
  return known;
}

/** The only sentence of a change; of several, those that name the state and the value. Others of several ('Keep the key') tell nothing by themselves. */
function tellingSentences(state: State): { value: string; sentence: string }[] {
  const name = plain(words(state.name.value));
  const found = state.changes.flatMap(({ to, do: texts }) => {
    const sentences = texts.flatMap((text) => text.value.split(/(?<=[.!?;])\s+/u)).map(plain).filter(Boolean);
    const telling = sentences.length === 1 ? sentences : sentences.filter((sentence) => ` ${sentence} `.includes(` ${name} `) && ` ${sentence} `.includes(` ${plain(words(to.value))} `));
    return telling.map((sentence) => ({ value: to.value, sentence }));
  });
  // What brings it to two values tells neither.
  return found.filter(({ value, sentence }) => !found.some((other) => other.sentence === sentence && other.value !== value));
}

/** Small letters and single spaces, without marks and articles. */
function plain(text: string): string {
  return text.toLowerCase().replace(/[^\p{L}\p{N}\s-]/gu, ' ').replace(/\b(the|a|an|your|its)\b/gu, ' ').replace(/\s+/gu, ' ').trim();
}
