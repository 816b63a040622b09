/**
 * Every use of a name, with the kind of thing that it must name: what unknown names, unused names, definition, references,
 * completion and rename all walk. Whether the name exists is for them to say.
 */
import type { Band, Expression } from '../quantity/expression.ts';
import type { ScalarNode } from '../syntax/tree.ts';
import { spanHolds, type Span } from '../text/span.ts';
import { originalStep } from './moved-step.ts';
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
  const walk = new Walk(procedure);
  for (const step of [...procedure.steps, ...procedure.afterRepair]) if (at === undefined || spanHolds(step.span, at)) walk.step(step);
  walk.shared(procedure);
  for (const fault of procedure.faults) {
    walk.one('procedure', fault.procedure);
    walk.one('step', fault.afterRepair);
    walk.proses(fault.title, fault.remedy);
  }
  for (const fact of procedure.facts) walk.proses(fact.title, fact.from);
  walk.many('qualification', procedure.qualified);
  walk.proses(procedure.complaint);
  for (const accepted of procedure.accept) if (accepted.at !== undefined) walk.one(walk.kindOfPlace(accepted.at.value), accepted.at);
  return walk.uses;
}

/** All uses in a shop file. */
export function shopNameUses(shop: Shop): NameUse[] {
  const walk = new Walk(undefined);
  walk.shared(shop);
  return walk.uses;
}

class Walk {
  readonly uses: NameUse[] = [];
  /** For their names and kinds; their places may be out of date. */
  readonly #steps = new Map<string, Step>();
  readonly #facts: ReadonlySet<string>;
  readonly #references: readonly string[];
  #step: string | undefined;

  constructor(private readonly procedure: Procedure | undefined) {
    for (const moved of [...(procedure?.steps ?? []), ...(procedure?.afterRepair ?? [])]) {
      const step = originalStep(moved);
      if (step.name !== undefined && !this.#steps.has(step.name.value)) this.#steps.set(step.name.value, step);
    }
    this.#facts = new Set(procedure?.facts.map((fact) => fact.name.value));
    this.#references = procedure?.references.map((reference) => reference.id.value) ?? [];
  }

  add(use: NameUse): void {
    this.uses.push(this.#step === undefined ? use : { ...use, step: this.#step });
  }

  one(kind: NameUseKind, name: Name | undefined, of?: string): void {
    if (name !== undefined && name.value !== '') this.add({ name: name.value, kind, span: name.span, ...(of === undefined ? {} : { of }) });
  }

  many(kind: NameUseKind, names: readonly Name[], of?: string): void {
    for (const name of names) this.one(kind, name, of);
  }

  kindOfPlace(name: string): NameUseKind {
    const has = (items: readonly { readonly name: Name }[] | undefined): boolean => items?.some((item) => item.name.value === name) ?? false;
    if (this.#steps.has(name)) return 'step';
    if (has(this.procedure?.faults)) return 'fault';
    if (this.#facts.has(name)) return 'fact';
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
    for (const conditions of [step.needs, step.during, step.sets, step.onlyIf]) this.conditions(conditions);
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
    this.proses(step.title, step.question, step.text, step.why, step.note, step.photo, ...step.actions, ...step.at.map((probe) => probe.place));
    for (const point of step.atEach) this.proses(point.title, ...point.at.map((probe) => probe.place));
    for (const result of step.results) this.#result(result, step);
    this.#step = undefined;
  }

  conditions(conditions: readonly StateCondition[]): void {
    for (const { state, values } of conditions) {
      const isFact = this.#facts.has(state.value);
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
  proses(...texts: readonly (Prose | undefined)[]): void {
    for (const prose of texts) {
      if (prose === undefined) continue;
      const place = (at: number): number => prose.node?.offsetAt(at) ?? prose.span.start;
      if (prose.value.includes('{')) for (const match of prose.value.matchAll(/\{([a-z][a-z0-9_]*(?:\.[a-z][a-z0-9_]*)?)\}/g)) {
        const from = match.index + 1;
        this.#expressionName(match[1] ?? '', { start: place(from), end: place(from + (match[1] ?? '').length) });
      }
      for (const id of this.#references) {
        for (let at = wordAt(prose.value, id, 0); at >= 0; at = wordAt(prose.value, id, at + id.length)) {
          this.add({ name: id, kind: 'reference', span: { start: place(at), end: place(at + id.length) } });
        }
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
    const kind: NameUseKind = this.#steps.has(head) ? 'reading' : this.#facts.has(head) ? 'fact' : dot < 0 ? 'value' : 'reading';
    this.add({ name: head, kind, span: { start: span.start, end: span.start + head.length }, inExpression: true });
    if (dot < 0) return;
    const step = this.#steps.get(head);
    const rest = { name: name.slice(dot + 1), span: { start: span.start + dot + 1, end: span.end }, of: head, inExpression: true as const };
    this.add({ ...rest, kind: step?.kind === 'run' ? 'reading' : 'point' });
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
        this.add({ name: point.name, kind: 'point', span: { start: place(point.span.start), end: place(point.span.end) }, of: step.name?.value });
      }
    }
  }

  #result(result: Result, step: Step): void {
    const { when, way } = result;
    if (when?.kind === 'band') this.#band(when, step);
    if (when?.kind === 'choice') this.add({ name: when.text, kind: 'choice', span: when.span, of: step.decide?.text.trim() });
    if (when?.kind === 'ending') this.one('fault', when.fault, step.name?.value);
    this.many('fault', result.rulesOut);
    this.many('fault', result.leaves ?? []);
    this.one('fault', result.raises);
    this.conditions(result.sets);
    this.proses(result.says);
    if (way.kind === 'go') this.one('step', way.step);
    if (way.kind === 'finds' || way.kind === 'by_elimination') this.one('fault', way.fault);
    if (way.kind === 'refer') this.proses(way.text);
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
    this.proses(circuit.from);
  }

  #hazard(hazard: Hazard): void {
    this.one('qualification', hazard.qualified);
    const { during, states, sets } = hazard.arisesFrom;
    for (const conditions of [...during, ...states, ...sets]) this.conditions(conditions);
  }

  #caution(caution: Caution): void {
    this.many('hazard', caution.covers);
    this.proses(caution.from);
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
