/**
 * What the steps of a procedure no longer ask for: states, waits, cautions, instruments, people, points and limits of a proof, and what is
 * said to be done where the machine is made safe. It compares what is written; whether the walks still arrive safely is compare-walks.
 */
import type { Caution, Procedure, Result, StateCondition, Step } from '../procedure/model.ts';
import type { Scope } from '../procedure/scope.ts';
import { isWeaker, joined, spoken, written, type Loss } from './loss.ts';
import { cautionLosses, instrumentIsWeaker, isLowerSignal } from './weaker-declarations.ts';
import { speaksOfProtection, textChange, wordsInCommon } from './weaker-texts.ts';

/** One revision of a procedure. */
export interface Revision {
  readonly procedure: Procedure;
  readonly scope: Scope;
}

/** `nameBefore` gives for the name of a step the one it had; undefined for a step that is new. */
export function stepLosses(before: Revision, after: Revision, nameBefore: (name: string) => string | undefined): Loss[] {
  const earlier = new Map(stepsOf(before).map((step) => [step.name?.value, step]));
  const pairs = stepsOf(after).flatMap((is) => {
    const was = is.name && earlier.get(nameBefore(is.name.value));
    return was ? [{ was, is }] : [];
  });
  const kept = new Set(pairs.map(({ was }) => was));
  const guarding = guardingStates(before, after);
  const said = saidAsOften(before, after);
  return [
    ...pairs.flatMap(({ was, is }) => new StepLosses(before, after, was, is).all(guarding, said)),
    ...stepsOf(before).filter((step) => !kept.has(step)).flatMap((step) => removedStep(before, step, guarding, said)),
    ...namesLost(before.procedure.qualified, after.procedure.qualified).map((name): Loss => ({
      key: `qualified ${name.value}`, say: () => `The procedure no longer asks for the qualification ${spoken(name.value)}.`, before: written(before.procedure.file, name, name.value) as NonNullable<Loss['before']>,
    })),
  ];
}

/** Actions that the later revision says at least as often: they have moved, and nothing is lost. */
function saidAsOften(before: Revision, after: Revision): ReadonlySet<string> {
  const counts = (revision: Revision): Map<string, number> => {
    const found = new Map<string, number>();
    for (const { value } of stepsOf(revision).flatMap(({ actions }) => actions)) found.set(value, (found.get(value) ?? 0) + 1);
    return found;
  };
  const [was, is] = [counts(before), counts(after)];
  return new Set([...is].filter(([text, count]) => count >= (was.get(text) ?? 0)).map(([text]) => text));
}

function stepsOf({ procedure }: Revision): Step[] {
  return [...procedure.steps, ...procedure.afterRepair];
}

/** States of which something depends that protects: a circuit that they make dead, or a step that needs them. */
function guardingStates(...revisions: readonly Revision[]): ReadonlySet<string> {
  const found = new Set<string>();
  for (const revision of revisions) {
    for (const { item } of revision.scope.circuits.values()) for (const { state } of (item.deadWhen ?? []).flat()) found.add(state.value);
    for (const step of stepsOf(revision)) for (const { state } of step.needs) found.add(state.value);
  }
  return found;
}

class StepLosses {
  readonly #losses: Loss[] = [];
  readonly #name: string;

  constructor(private readonly before: Revision, private readonly after: Revision, private readonly was: Step, private readonly is: Step) {
    this.#name = is.name?.value ?? 'a step';
  }

  all(guarding: ReadonlySet<string>, saidElsewhere: ReadonlySet<string>): Loss[] {
    this.#states();
    this.#times();
    this.#people();
    this.#cautions();
    this.#reading();
    if (this.was.provesDead) this.#proof(this.was.provesDead.value);
    this.#texts(guarding, saidElsewhere);
    this.#results();
    return this.#losses;
  }

  /** `what` is the same for every step that loses the same. */
  #lose(what: string, say: Loss['say'], was: { readonly span: Span } | undefined, is?: { readonly span: Span }, texts: readonly [string?, string?] = []): void {
    const before = written(this.before.procedure.file, was, texts[0]);
    const after = written(this.after.procedure.file, is ?? this.is.name ?? this.is, is === undefined ? undefined : texts[1]);
    this.#losses.push({ key: what, step: this.#name, say, ...(before ? { before } : {}), ...(after ? { after } : {}), span: is?.span ?? this.is.name?.span ?? this.is.span });
  }

  #states(): void {
    for (const condition of this.was.needs) {
      const state = condition.state.value;
      const now = this.is.needs.find((other) => other.state.value === state);
      const wanted = valuesOf(condition);
      if (now === undefined) {
        this.#lose(`needs ${state} ${wanted}`, (steps, several) => `${steps} no longer ${several ? 'need' : 'needs'} ${spoken(state)} ${spoken(wanted)}.`, condition, undefined, [`${state}: ${wanted}`]);
      } else if (now.values.some(({ value }) => !condition.values.some((other) => other.value === value))) {
        const [a, b] = [wanted, valuesOf(now)];
        this.#lose(`needs ${state} ${a} ${b}`, (steps, several) => `${steps} now ${several ? 'do' : 'does'} with ${spoken(state)} ${spoken(b)}; ${several ? 'they' : 'it'} needed ${spoken(a)}.`, condition, now, [`${state}: ${a}`, `${state}: ${b}`]);
      }
    }
    const protects = this.was.provesDead !== undefined || this.was.wait !== undefined || this.was.cautions.length > 0;
    for (const condition of protects ? this.is.onlyIf : []) {
      const state = condition.state.value;
      const before = this.was.onlyIf.find((other) => other.state.value === state);
      const lost = before ? before.values.some(({ value }) => !condition.values.some((other) => other.value === value)) : true;
      const values = valuesOf(condition);
      if (lost) this.#lose(`only_if ${state} ${values}`, (steps, several) => `${steps} ${several ? 'are' : 'is'} now passed over unless ${spoken(state)} is ${spoken(values)}.`, before ?? this.was.name, condition, [before && `${state}: ${valuesOf(before)}`, `${state}: ${values}`]);
    }
  }

  #times(): void {
    for (const { key, weaker, gone, changed } of TIMES) {
      const [was, is] = [this.was[key], this.is[key]];
      if (was === undefined || !isWeaker(was, is, weaker)) continue;
      const [a, b] = [was.value.text, is?.value.text];
      this.#lose(`${key} ${a} ${b ?? ''}`, (steps, several) => (b === undefined ? gone(steps, several, a) : changed(steps, several, a, b)), was, is, [a, b]);
    }
  }

  #people(): void {
    const { people: was, qualified } = this.was;
    const is = this.is.people;
    if (was && (is?.value ?? 1) < was.value) {
      this.#lose(`people ${was.value} ${is?.value ?? ''}`, (steps, several) => `${steps} ${several ? 'ask' : 'asks'} for ${is?.value ?? 'no number of'} ${is?.value === 1 ? 'person' : 'people'}; ${several ? 'they' : 'it'} asked for ${was.value}.`, was, is, [`${was.value}`, is && `${is.value}`]);
    }
    for (const name of namesLost(qualified, [...this.is.qualified, ...this.after.procedure.qualified])) {
      this.#lose(`qualified ${name.value}`, (steps, several) => `${steps} no longer ${several ? 'ask' : 'asks'} for the qualification ${spoken(name.value)}.`, name, undefined, [name.value]);
    }
  }

  #cautions(): void {
    const named = (step: Step): ReadonlyMap<string, { readonly span: Span }> => new Map(step.cautions.flatMap((use) => (use.kind === 'named' ? [[use.name.value, use.name] as const] : [])));
    const [was, is] = [named(this.was), named(this.is)];
    const stillGiven = this.is.cautions.flatMap((use): Caution[] => (use.kind === 'written' ? [use.caution] : [...(this.after.scope.cautions.get(use.name.value) ? [this.after.scope.cautions.get(use.name.value)?.item as Caution] : [])]));
    for (const [name, place] of was) {
      if (is.has(name)) continue;
      const caution = this.before.scope.cautions.get(name)?.item;
      // Another that covers the same hazards with a signal word at least as strong stands in its place.
      const covers = (other: Caution, hazard: string): boolean => other.covers.some(({ value }) => value === hazard);
      const covered = caution !== undefined && caution.covers.length > 0
        && caution.covers.every(({ value }) => stillGiven.some((other) => covers(other, value) && !isLowerSignal(caution, other)));
      if (covered) continue;
      const signal = caution?.signal ? ` (${caution.signal.value})` : '';
      this.#lose(`caution ${name}`, (steps, several) => `${steps} no longer ${several ? 'give' : 'gives'} the caution ${spoken(name)}${signal}.`, place, undefined, [name]);
    }
    const ofHere = (step: Step): Caution[] => step.cautions.flatMap((use) => (use.kind === 'written' ? [use.caution] : []));
    const [own, now] = [ofHere(this.was), ofHere(this.is)];
    const taken = new Set<Caution>();
    for (const caution of own) {
      const text = (of: Caution): string => [of.hazard, of.consequence, of.avoid].map((part) => part?.value ?? '').join(' ');
      const best = now.filter((other) => !taken.has(other)).map((other) => ({ other, like: wordsInCommon(text(caution), text(other)) })).sort((a, b) => b.like - a.like)[0];
      if (best === undefined || best.like < ALIKE) {
        this.#lose(`written caution ${text(caution)}`, (steps, several) => `${steps} no longer ${several ? 'give' : 'gives'} a caution that was written there.`, caution, undefined, [text(caution)]);
        continue;
      }
      taken.add(best.other);
      const places = { before: this.before.procedure.file, after: this.after.procedure.file };
      this.#losses.push(...cautionLosses(caution, best.other, `the caution of '${this.#name}'`, places));
    }
    for (const name of namesLost(this.was.hazards, this.is.hazards)) {
      this.#lose(`hazard ${name.value}`, (steps, several) => `${steps} no longer ${several ? 'name' : 'names'} the hazard ${spoken(name.value)}.`, name, undefined, [name.value]);
    }
  }

  #reading(): void {
    if (this.was.kind !== 'measure' || this.is.kind !== 'measure') return;
    const { circuit, instrument, range } = this.was;
    if (circuit && this.is.circuit === undefined) {
      this.#lose(`circuit ${circuit.value}`, (steps, several) => `${steps} no longer ${several ? 'say' : 'says'} that ${spoken(circuit.value)} is read: nothing is checked of it there.`, circuit, undefined, [circuit.value]);
    }
    const judged = this.was.circuit !== undefined || this.was.provesDead !== undefined;
    const [a, b] = [instrument?.value, this.is.instrument?.value];
    if (judged && instrument && a !== b) {
      const [from, to] = [this.before.scope.instruments.get(a ?? '')?.item, this.after.scope.instruments.get(b ?? '')?.item];
      if (b === undefined) this.#lose(`with ${a}`, (steps, several) => `${steps} no longer ${several ? 'say' : 'says'} which instrument is used; it was ${spoken(a ?? '')}.`, instrument, undefined, [a]);
      else if (this.was.provesDead || (from && (to === undefined || instrumentIsWeaker(from, to)))) {
        this.#lose(`with ${a} ${b}`, (steps, several) => `${steps} ${several ? 'are' : 'is'} now read with ${spoken(b)}; it was ${spoken(a ?? '')}.`, instrument, this.is.instrument, [a, b]);
      }
    }
    if (this.was.provesDead && isWeaker(range, this.is.range, 'less')) {
      const now = this.is.range?.value.text;
      this.#lose(`range ${range?.value.text} ${now}`, (steps) => `The range of ${steps} is ${now === undefined ? 'no longer given' : `now ${now}`}; it was ${range?.value.text ?? ''}.`, range, this.is.range, [range?.value.text, now]);
    }
  }

  #proof(circuit: string): void {
    const { was, is } = this;
    const of = spoken(circuit);
    if (is.provesDead?.value !== circuit) {
      const now = is.provesDead?.value;
      this.#lose(`proof ${circuit}`, (steps, several) => `${steps} no longer ${several ? 'prove' : 'proves'} that ${of} is dead.`, was.provesDead, is.provesDead, [circuit, now]);
    }
    if (was.kind !== 'measure' || is.kind !== 'measure') return;
    const [a, b] = [was.quantity?.value, is.quantity?.value];
    if (a !== b) this.#lose(`quantity ${a} ${b}`, (steps) => `The proof at ${steps} now reads ${b === undefined ? 'nothing' : spoken(b)}; it read ${spoken(a ?? '')}.`, was.quantity, is.quantity, [a, b]);
    const points = new Map(is.atEach.map((point) => [point.name.value, point]));
    for (const point of was.atEach) {
      const now = points.get(point.name.value);
      const title = point.title ? ` (${point.title.value})` : '';
      if (now === undefined) this.#lose(`point ${point.name.value}`, (steps, several) => `${steps} no longer ${several ? 'read' : 'reads'} at ${spoken(point.name.value)}${title}: that point is not proved dead.`, point.name, undefined, [point.title?.value ?? point.name.value]);
      else this.#probes(point.at, now.at, ` at ${spoken(point.name.value)}`);
    }
    this.#probes(was.at, is.at, '');
    // The highest of all readings, or each by itself, shows that none is too high; nothing else does.
    const [judged, judges] = [was.judge?.value, is.judge?.value];
    if (judged !== judges && (judged === 'highest' || judged === 'each') && judges !== 'highest' && judges !== 'each') {
      this.#lose(`judge ${judged} ${judges}`, (steps) => `The proof at ${steps} now judges ${judges === undefined ? 'no reading of all' : `the ${judges}`} of its readings; it judged ${judged === 'each' ? 'each' : 'the highest'}. A high reading at one point can go unseen.`, was.judge, is.judge, [judged, judges]);
    }
  }

  #probes(before: Step['at'], after: Step['at'], where: string): void {
    for (const { probe, place } of before) {
      const now = after.find((other) => other.probe.value === probe.value)?.place;
      if (now !== undefined && textChange(place.value, now.value) === 'same') continue;
      this.#lose(`probe ${probe.value} ${where} ${place.value}`, (steps) => `The ${spoken(probe.value)} probe of the proof at ${steps}${where} ${now === undefined ? 'has no place any longer' : `now goes to '${now.value}'`}; it went to '${place.value}'.`, place, now, [place.value, now?.value]);
    }
  }

  #texts(guarding: ReadonlySet<string>, saidElsewhere: ReadonlySet<string>): void {
    const { was, is } = this;
    const guards = was.sets.filter(({ state }) => guarding.has(state.value));
    const purpose = guards.length === 0 ? '' : ` It brings ${joined(guards.map((condition) => `${spoken(condition.state.value)} to ${spoken(valuesOf(condition))}`), 'and')}.`;
    for (const { before, after } of pairedTexts(was.actions, is.actions)) {
      const text = before.value;
      if (after === undefined) {
        if (!saidElsewhere.has(text) && (guards.length > 0 || speaksOfProtection(text))) this.#lose(`action ${text}`, (steps, several) => `${steps} no longer ${several ? 'say' : 'says'}: ${text}${purpose}`, before, undefined, [text]);
        continue;
      }
      const change = textChange(text, after.value);
      const lessSaid = speaksOfProtection(text) && !speaksOfProtection(after.value);
      if (change === 'reversed') this.#lose(`action ${text} ${after.value}`, (steps) => `An action of ${steps} may now say the contrary.${purpose}`, before, after, [text, after.value]);
      else if (change === 'changed' && (guards.length > 0 || lessSaid)) this.#lose(`action ${text} ${after.value}`, (steps) => `An action of ${steps} is written otherwise; whether it protects as it did, a person must read.${purpose}`, before, after, [text, after.value]);
    }
    for (const key of ['question', 'text'] as const) {
      const [before, after] = [was[key], is[key]];
      if (before && after && textChange(before.value, after.value) === 'reversed') {
        this.#lose(`${key} ${before.value}`, (steps) => `\`${key === 'question' ? 'ask' : 'text'}\` of ${steps} may now say the contrary.`, before, after, [before.value, after.value]);
      } else if (before && after === undefined && key === 'text' && speaksOfProtection(before.value)) {
        this.#lose(`${key} ${before.value}`, (steps, several) => `${steps} no longer ${several ? 'say' : 'says'}: ${before.value}`, before, undefined, [before.value]);
      }
    }
  }

  /** Answers that stopped the work and no longer do; of readings the walk over all values tells it (compare-readings). */
  #results(): void {
    if (this.was.kind === 'measure' || this.is.kind !== this.was.kind) return;
    for (const result of this.was.results) {
      if (result.way.kind !== 'refer') continue;
      const when = result.when?.text ?? '';
      const now = this.is.results.find((other) => other.when?.text === when) ?? this.is.results.find((other) => other.when?.kind === 'otherwise');
      if (now !== undefined && stops(now)) continue;
      this.#lose(`stop ${when} ${result.way.text.value}`, (steps) => `The answer '${when}' at ${steps} ${now === undefined ? 'is no longer there; it' : 'no longer stops the work; it'} stopped the work: ${(result.way.kind === 'refer' ? result.way.text.value : '')}`, result, now ?? undefined, [result.way.text.value, now && 'goes on']);
    }
  }
}

function stops({ way }: Result): boolean {
  return way.kind === 'refer' || way.kind === 'finds' || way.kind === 'by_elimination';
}

/** Share of words from which on two texts are one that was changed. */
const ALIKE = 0.3;

interface TimeKey {
  readonly key: 'wait' | 'maxTime' | 'rest';
  readonly weaker: 'less' | 'more';
  readonly gone: (steps: string, several: boolean, before: string) => string;
  readonly changed: (steps: string, several: boolean, before: string, after: string) => string;
}

const TIMES: readonly TimeKey[] = [
  { key: 'wait', weaker: 'less', gone: (steps, several, a) => `${steps} no longer ${several ? 'wait' : 'waits'} ${a}.`, changed: (steps, several, a, b) => `${steps} ${several ? 'wait' : 'waits'} only ${b}; it was ${a}.` },
  { key: 'maxTime', weaker: 'more', gone: (steps, _, a) => `${steps} may now be held for any time; it was at most ${a}.`, changed: (steps, _, a, b) => `${steps} may now be held for ${b}; it was at most ${a}.` },
  { key: 'rest', weaker: 'less', gone: (steps, several, a) => `${steps} no longer ${several ? 'rest' : 'rests'} ${a} before it is done again.`, changed: (steps, several, a, b) => `${steps} ${several ? 'rest' : 'rests'} only ${b} before it is done again; it was ${a}.` },
];

/** A step that is gone and protected people: it proved, waited, warned, stopped the work, or brought about what others rely on. */
function removedStep({ procedure, scope }: Revision, step: Step, guarding: ReadonlySet<string>, saidElsewhere: ReadonlySet<string>): Loss[] {
  const stop = step.results.flatMap(({ when, way }) => (way.kind === 'refer' ? [`'${when?.text ?? ''}' stopped the work: ${way.text.value}`] : []))[0];
  const sets = step.sets.filter(({ state }) => guarding.has(state.value));
  const unsaid = step.actions.filter(({ value }) => !saidElsewhere.has(value) && speaksOfProtection(value));
  const dangers = step.cautions.flatMap((use) => (use.kind === 'named' && ['danger', 'warning'].includes(scope.cautions.get(use.name.value)?.item.signal?.value ?? '') ? [use.name.value] : []));
  const proves = step.section === 'after_repair' && step.results.some(({ way }) => way.kind === 'passes');
  const did = [
    ...(step.provesDead ? [`It proved that ${spoken(step.provesDead.value)} is dead.`] : []),
    ...(step.wait ? [`It waited ${step.wait.value.text}.`] : []),
    ...(sets.length > 0 && step.actions.some(({ value }) => !saidElsewhere.has(value)) ? [`It brought ${joined(sets.map((condition) => `${spoken(condition.state.value)} to ${spoken(valuesOf(condition))}`), 'and')}.`] : []),
    ...(stop !== undefined && (proves || step.kind === 'ask' || dangers.length > 0) ? [`Its answer ${stop}`] : []),
    ...(proves ? ['It proved the repair.'] : []),
    ...(unsaid.length > 0 && step.provesDead === undefined ? [`It said: ${unsaid.map(({ value }) => value).join(' ')}`] : []),
  ];
  if (did.length === 0) return [];
  const name = step.name?.value ?? 'a step';
  const before = written(procedure.file, step.name ?? step, step.question?.value ?? (step.actions.map(({ value }) => value).join(' ') || (step.text?.value ?? step.title?.value)));
  return [{ key: `removed ${name}`, say: () => `The step '${name}' is no longer there. ${did.join(' ')}`, ...(before ? { before } : {}) }];
}

/** Texts of both revisions, the same with the same, then those with the most words in common; what has no partner was removed. */
function pairedTexts(before: Step['actions'], after: Step['actions']): { readonly before: Prose; readonly after?: Prose }[] {
  const left = [...after];
  const take = (index: number): Prose | undefined => left.splice(index, 1)[0];
  const same = new Map<Prose, Prose>();
  for (const text of before) {
    const index = left.findIndex((other) => textChange(text.value, other.value) === 'same');
    if (index >= 0) same.set(text, take(index) as Prose);
  }
  return before.flatMap((text) => {
    if (same.has(text)) return [];
    const likes = left.map((other, index) => ({ index, like: wordsInCommon(text.value, other.value) })).sort((a, b) => b.like - a.like);
    const best = likes[0];
    const partner = best && best.like >= ALIKE ? take(best.index) : undefined;
    return [{ before: text, ...(partner ? { after: partner } : {}) }];
  });
}

function namesLost(before: Step['qualified'], after: Step['qualified']): Step['qualified'] {
  return before.filter(({ value }) => !after.some((other) => other.value === value));
}

function valuesOf({ values }: StateCondition): string {
  return joined(values.map(({ value }) => value), 'or');
}

type Prose = Step['actions'][number];
type Span = Step['span'];
