/**
 * Every use of a name, with the kind of thing that it must name: what unknown names, unused names, definition, references,
 * completion and rename all walk. Whether the name exists is for them to say.
 */
import type { Band, Expression } from '../quantity/expression.ts';
import type { ScalarNode } from '../syntax/tree.ts';
import { spanHolds, type Span } from '../text/span.ts';
import { distanceMoved, originalStep } from './moved-step.ts';
import type { Caution, CautionUse, Circuit, Hazard, Name, Procedure, Prose, Result, Shop, State, StateCondition, Step } from './model.ts';

export type NameUseKind =
  | 'step' | 'fault' | 'state' | 'state_value' | 'fact' | 'choice' | 'circuit' | 'caution' | 'hazard' | 'instrument' | 'qualification'
  | 'value' | 'reading' | 'point' | 'procedure' | 'reference';

export interface NameUse {
  readonly name: string;
  readonly kind: NameUseKind;
  readonly span: Span;
  /**
   * What the name belongs to: the state of a value, the fact of a choice, the step of a point; of a fault or a reading of another
   * procedure, that procedure's step of `run`.
   */
  readonly of?: string;
  /**
   * Set where the name stands in an expression or in braces in a text: it may be a reading, a fact or a value alike. `kind` then says
   * which it is in this procedure, and `value` where it is neither a step nor a fact.
   */
  readonly inExpression?: true;
  /** The step in which it stands. */
  readonly step?: string;
}

/** All uses in a procedure, in no particular order; with `at`, an offset, of the steps only those in the one that holds it. */
export function nameUses(procedure: Procedure, at?: number): NameUse[] {
  const uses: NameUse[] = [];
  for (const { step, uses: inStep, by } of usesInSteps(procedure)) {
    if (at !== undefined && !spanHolds(step.span, at)) continue;
    for (const use of inStep) uses.push(by === 0 ? use : movedUse(use, by));
  }
  uses.push(...usesOutsideSteps(procedure));
  return uses;
}

export interface UsesInStep {
  readonly step: Step;
  /** With the places that they had when the step was first built. */
  readonly uses: readonly NameUse[];
  /** How far their places have moved since. */
  readonly by: number;
}

/** The uses in each step: kept with the step, so that an edit of one step costs the others nothing. */
export function usesInSteps(procedure: Procedure): UsesInStep[] {
  const meaning = meaningOf(procedure);
  return [...procedure.steps, ...procedure.afterRepair].map((step) => {
    const original = originalStep(step);
    let known = usesKnown.get(original);
    if (known?.meaning !== meaning) {
      const walk = new Walk(undefined, meaning);
      walk.step(original);
      usesKnown.set(original, (known = { meaning, uses: walk.uses }));
    }
    return { step, uses: known.uses, by: distanceMoved(step) };
  });
}

const usesKnown = new WeakMap<Step, { readonly meaning: Meaning; readonly uses: readonly NameUse[] }>();

/** A use at the place to which its step has moved. */
export function movedUse(use: NameUse, by: number): NameUse {
  return { ...use, span: { start: use.span.start + by, end: use.span.end + by } };
}

/** The uses in what is declared, accepted and said outside the steps. */
export function usesOutsideSteps(procedure: Procedure): readonly NameUse[] {
  const walk = new Walk(procedure, meaningOf(procedure));
  walk.shared(procedure);
  for (const fault of procedure.faults) {
    walk.one('procedure', fault.procedure);
    walk.one('step', fault.afterRepair);
    walk.prose(fault.title);
    walk.prose(fault.remedy);
    walk.cautions(fault.cautions ?? []);
    walk.many('qualification', fault.qualified ?? []);
  }
  for (const fact of procedure.facts) {
    walk.prose(fact.title);
    walk.prose(fact.from);
  }
  walk.many('qualification', procedure.qualified);
  walk.prose(procedure.complaint);
  for (const accepted of procedure.accept) if (accepted.at !== undefined) walk.one(walk.kindOfPlace(accepted.at.value), accepted.at);
  return walk.uses;
}

/** All uses in a shop file. */
export function shopNameUses(shop: Shop): NameUse[] {
  const walk = new Walk(undefined, NOTHING_DECLARED);
  walk.shared(shop);
  return walk.uses;
}

/** What decides of which kind a name in an expression or a condition is. */
interface Meaning {
  /** Steps by name, and whether they run a procedure. */
  readonly steps: ReadonlyMap<string, boolean>;
  readonly facts: ReadonlySet<string>;
  readonly references: readonly string[];
}

const NOTHING_DECLARED: Meaning = { steps: new Map(), facts: new Set(), references: [] };
const meanings = new Map<string, Meaning>();
const MOST_MEANINGS = 16;

/** The same object as long as steps, facts and references have the same names. */
function meaningOf(procedure: Procedure): Meaning {
  const steps = new Map<string, boolean>();
  let signature = '';
  for (const list of [procedure.steps, procedure.afterRepair]) {
    for (const moved of list) {
      const { name, kind } = originalStep(moved);
      if (name === undefined || steps.has(name.value)) continue;
      steps.set(name.value, kind === 'run');
      signature += kind === 'run' ? `${name.value} runs\n` : `${name.value}\n`;
    }
  }
  const facts = procedure.facts.map((fact) => fact.name.value);
  const references = procedure.references.map((reference) => reference.id.value);
  signature += `\n${facts.join('\n')}\n\n${references.join('\n')}`;
  let known = meanings.get(signature);
  if (known === undefined) {
    if (meanings.size >= MOST_MEANINGS) meanings.clear();
    meanings.set(signature, (known = { steps, facts: new Set(facts), references }));
  }
  return known;
}

class Walk {
  readonly uses: NameUse[] = [];
  #step: string | undefined;

  constructor(
    private readonly procedure: Procedure | undefined,
    private readonly meaning: Meaning,
  ) {}

  #add(kind: NameUseKind, name: string, span: Span, of?: string, inExpression?: true): void {
    const use: { -readonly [key in keyof NameUse]: NameUse[key] } = { name, kind, span };
    if (of !== undefined) use.of = of;
    if (inExpression !== undefined) use.inExpression = inExpression;
    if (this.#step !== undefined) use.step = this.#step;
    this.uses.push(use);
  }

  one(kind: NameUseKind, name: Name | undefined, of?: string): void {
    if (name !== undefined && name.value !== '') this.#add(kind, name.value, name.span, of);
  }

  many(kind: NameUseKind, names: readonly Name[], of?: string): void {
    for (const name of names) this.one(kind, name, of);
  }

  kindOfPlace(name: string): NameUseKind {
    const has = (items: readonly { readonly name: Name }[] | undefined): boolean => items?.some((item) => item.name.value === name) ?? false;
    if (this.meaning.steps.has(name)) return 'step';
    if (has(this.procedure?.faults)) return 'fault';
    if (this.meaning.facts.has(name)) return 'fact';
    if (has(this.procedure?.circuits)) return 'circuit';
    if (has(this.procedure?.cautions)) return 'caution';
    return has(this.procedure?.states) ? 'state' : 'step';
  }

  shared(of: Pick<Procedure, 'states' | 'circuits' | 'hazards' | 'cautions'>): void {
    of.states.forEach((state) => this.#state(state));
    of.circuits.forEach((circuit) => this.#circuit(circuit));
    of.hazards.forEach((hazard) => this.#hazard(hazard));
    of.cautions.forEach((caution) => this.#caution(caution));
  }

  step(step: Step): void {
    this.#step = step.name?.value;
    this.conditions(step.needs);
    this.conditions(step.during);
    this.conditions(step.sets);
    this.conditions(step.onlyIf);
    this.cautions(step.cautions);
    this.many('hazard', step.hazards);
    this.one('instrument', step.instrument);
    this.one('circuit', step.circuit);
    this.one('circuit', step.provesDead);
    this.many('qualification', step.qualified);
    this.one('procedure', step.run);
    this.one('step', step.go);
    if (step.decide?.expression !== undefined) this.expression(step.decide.expression, (at) => step.decide?.node?.offsetAt(at) ?? step.decide?.span.start ?? 0);
    if (step.seek?.band !== undefined) this.#band(step.seek, step);
    this.prose(step.title);
    this.prose(step.question);
    this.prose(step.text);
    this.prose(step.why);
    this.prose(step.note);
    this.prose(step.photo);
    for (const action of step.actions) this.prose(action);
    for (const probe of step.at) this.prose(probe.place);
    for (const point of step.atEach) {
      this.prose(point.title);
      for (const probe of point.at) this.prose(probe.place);
    }
    for (const result of step.results) this.#result(result, step);
    this.#step = undefined;
  }

  conditions(conditions: readonly StateCondition[]): void {
    for (const { state, values } of conditions) {
      const isFact = this.meaning.facts.has(state.value);
      this.one(isFact ? 'fact' : 'state', state);
      this.many(isFact ? 'choice' : 'state_value', values, state.value);
    }
  }

  cautions(uses: readonly CautionUse[]): void {
    for (const use of uses) {
      if (use.kind === 'named') this.one('caution', use.name);
      else this.#caution(use.caution);
    }
  }

  /** `{relief_pressure}` in a text shows a value; the id of a reference stands for it. */
  prose(prose: Prose | undefined): void {
    if (prose === undefined) return;
    const { value } = prose;
    const place = (at: number): number => prose.node?.offsetAt(at) ?? prose.span.start;
    if (value.includes('{')) for (const match of value.matchAll(/\{([a-z][a-z0-9_]*(?:\.[a-z][a-z0-9_]*)?)\}/g)) {
      const from = match.index + 1;
      this.#expressionName(match[1] ?? '', { start: place(from), end: place(from + (match[1] ?? '').length) });
    }
    for (const id of this.meaning.references) {
      for (let at = wordAt(value, id, 0); at >= 0; at = wordAt(value, id, at + id.length)) {
        this.#add('reference', id, { start: place(at), end: place(at + id.length) });
      }
    }
  }

  /** Names in an expression; `place` maps an offset in its text to the file. */
  expression(expression: Expression, place: (at: number) => number): void {
    switch (expression.kind) {
      case 'quantity': return;
      case 'name': return this.#expressionName(expression.name, { start: place(expression.span.start), end: place(expression.span.end) });
      case 'negative': return this.expression(expression.of, place);
      case 'call': return expression.arguments.forEach((argument) => this.expression(argument, place));
      default:
        this.expression(expression.left, place);
        this.expression(expression.right, place);
    }
  }

  #expressionName(name: string, span: Span): void {
    const dot = name.indexOf('.');
    const head = dot < 0 ? name : name.slice(0, dot);
    const { steps, facts } = this.meaning;
    const kind: NameUseKind = steps.has(head) ? 'reading' : facts.has(head) ? 'fact' : dot < 0 ? 'value' : 'reading';
    this.#add(kind, head, { start: span.start, end: span.start + head.length }, undefined, true);
    if (dot < 0) return;
    this.#add(steps.get(head) === true ? 'reading' : 'point', name.slice(dot + 1), { start: span.start + dot + 1, end: span.end }, head, true);
  }

  #band({ band, node, span }: { readonly band: Band | undefined; readonly node?: ScalarNode; readonly span: Span }, step: Step): void {
    if (band?.kind !== 'conditions') return;
    const place = (at: number): number => node?.offsetAt(at) ?? span.start;
    for (const { comparison, point } of band.conditions) {
      if (comparison.kind === 'between') {
        this.expression(comparison.low, place);
        this.expression(comparison.high, place);
      } else if (comparison.kind !== 'shows') this.expression(comparison.bound, place);
      if (point !== undefined) {
        this.#add('point', point.name, { start: place(point.span.start), end: place(point.span.end) }, step.name?.value);
      }
    }
  }

  #result(result: Result, step: Step): void {
    const { when, way } = result;
    if (when?.kind === 'band') this.#band(when, step);
    if (when?.kind === 'choice') this.#add('choice', when.text, when.span, step.decide?.text.trim());
    if (when?.kind === 'ending') this.one('fault', when.fault, step.name?.value);
    this.many('fault', result.rulesOut);
    this.many('fault', result.leaves ?? []);
    this.one('fault', result.raises);
    this.conditions(result.sets);
    this.prose(result.says);
    if (way.kind === 'go') this.one('step', way.step);
    if (way.kind === 'finds' || way.kind === 'by_elimination') this.one('fault', way.fault);
    if (way.kind === 'refer') this.prose(way.text);
  }

  #state(state: State): void {
    const of = state.name.value;
    this.one('state_value', state.atStart, of);
    this.many('state_value', state.atEnd ?? [], of);
    this.many('state_value', state.held, of);
    for (const change of state.changes) {
      this.one('state_value', change.to, of);
      this.cautions(change.cautions);
    }
  }

  #circuit(circuit: Circuit): void {
    for (const conditions of [...(circuit.deadWhen ?? []), ...(circuit.liveWhen ?? [])]) this.conditions(conditions);
    this.prose(circuit.from);
  }

  #hazard(hazard: Hazard): void {
    this.one('qualification', hazard.qualified);
    const { during, states, sets } = hazard.arisesFrom;
    for (const conditions of [...during, ...states, ...sets]) this.conditions(conditions);
  }

  #caution(caution: Caution): void {
    this.many('hazard', caution.covers);
    this.prose(caution.from);
  }
}

/** Where a word stands whole in a text, from `start` on; -1 where it does not. */
function wordAt(text: string, word: string, start: number): number {
  for (let at = text.indexOf(word, start); at >= 0; at = text.indexOf(word, at + 1)) {
    const before = text[at - 1] ?? ' ';
    const after = text[at + word.length] ?? ' ';
    if (!/[\p{L}\p{N}_-]/u.test(before) && !/[\p{L}\p{N}_-]/u.test(after)) return at;
  }
  return -1;
}
