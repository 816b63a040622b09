/**
 * The numbers of the written order worked out by other means: for each fault the run engine walks the checklist as a technician would, with entries
 * that give the results which that fault can give, and the times of the steps it came by are added up. Nothing of the planner is used here; the rule
 * by which a fault gives a result is written anew from the format.
 */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Workspace } from '../../server/src/analysis/workspace.ts';
import { diagnosisOf } from '../../server/src/features/diagnosis.ts';
import { namesUsed } from '../../server/src/flow/readings.ts';
import { buildChecklist, type ChecklistDocument, type StepSheet } from '../../server/src/run/checklist.ts';
import { applyEvent, currentView, startRun, type Run, type RunEvent, type RunView } from '../../server/src/run/engine.ts';
import { alone, analysed, depot, fileOf, PROCEDURES } from './depot.ts';
import { madeUp, textOf } from './workshop.ts';

const AT = '2026-11-25T09:30:00+01:00';
const MOST_EVENTS = 60_000;
const NUMBERS = ['0', '0.05', '0.3', '0.45', '1', '1.2', '2', '5', '9', '10', '12', '12.5', '12.7', '15', '20', '22', '23', '24', '24.6', '25.3', '26', '27', '27.9', '28.5', '30', '35', '55', '60', '70', '85', '95', '100', '120', '150', '200', '400', '1000', '5000'];

/** Inside a procedure that is run. */
const FEW_NUMBERS = ['0', '10', '12.7', '25.3', '100', '5000'];

interface Walked { readonly minutes: number; readonly steps: number; readonly found: string | undefined }
interface Expected { readonly minutes: number; readonly steps: number; readonly found: number }

/** The results that a fault can give, each with its probability: those that lead on or find, and leave it possible; else those that end. */
function resultsOf(step: StepSheet, fault: string): { readonly written: string; readonly probability: number }[] {
  const leaves = step.results.filter(({ way, rulesOut, leaves: only }) => (way.kind === 'finds' && !way.byElimination ? way.fault === fault : !rulesOut.includes(fault) && (only?.includes(fault) ?? true)));
  const leading = leaves.filter(({ way }) => way.kind === 'step' || way.kind === 'finds');
  const chosen = leading.length > 0 ? leading : leaves.length > 0 ? leaves : step.results;
  return chosen.map(({ written }) => ({ written, probability: 1 / chosen.length }));
}

class Technician {
  readonly #document: ChecklistDocument;
  readonly #uses: ReadonlyMap<string, ReadonlySet<string>>;
  #events = 0;
  /** What was typed there when it last led on: tried first. */
  readonly #liked = new Map<string, string>();

  constructor(document: ChecklistDocument, uses: ReadonlyMap<string, ReadonlySet<string>>) {
    this.#document = document;
    this.#uses = uses;
  }

  /** Over all results that the fault can give on the way. */
  expected(fault: string, wanted: ReadonlyMap<string, string> = new Map()): Expected {
    this.#events = 0;
    const end = this.#walk(startRun(this.#document, { at: AT, person: 'Technician 4' }), 0, wanted);
    if ('walked' in end) return { minutes: end.walked.minutes, steps: end.walked.steps, found: end.walked.found === fault ? 1 : 0 };
    if (!('open' in end)) throw new Error(`No entries lead to ${JSON.stringify([...wanted])}; they hang on ${[...end.conflict].join()}.`);
    const { key, step } = end.open;
    let sum = { minutes: 0, steps: 0, found: 0 };
    for (const { written, probability } of resultsOf(step, fault)) {
      const part = this.expected(fault, new Map(wanted).set(key, written));
      sum = { minutes: sum.minutes + probability * part.minutes, steps: sum.steps + probability * part.steps, found: sum.found + probability * part.found };
    }
    return sum;
  }

  /** Depth first over entries; where a result is another than wanted, back to an entry on which it hangs. */
  #walk(run: Run, seen: number, wanted: ReadonlyMap<string, string>): { walked: Walked } | { open: { key: string; step: StepSheet } } | { conflict: ReadonlySet<string> } {
    if (++this.#events > MOST_EVENTS) throw new Error(`Too many entries were tried for ${JSON.stringify([...wanted])}.`);
    const own = run.walk.lines.filter((line) => line.path.length === 0);
    for (const [index, line] of own.entries()) {
      const step = this.#document.procedure.steps.find(({ name }) => name === line.step);
      if (index < seen || step === undefined || line.kind === 'passed_over' || line.results.length === 0) continue;
      const key = `${line.step}#${own.slice(0, index).filter((other) => other.step === line.step && other.results.length > 0).length}`;
      const result = wanted.get(key);
      if (result === undefined) return { open: { key, step } };
      if (result !== line.results[0]) return { conflict: new Set([line.step, ...(this.#uses.get(line.step) ?? [])]) };
    }
    const view = currentView(run);
    if (view.stage === 'remedy' || view.stage === 'ended') return { walked: { ...this.#cost(run), found: view.stage === 'remedy' ? view.remedy?.fault : undefined } };
    const inside = view.inside.length > 1;
    const about = inside ? run.walk.frames[0]?.step : view.field && 'step' in view.field ? view.field.step : view.step?.name;
    const name = view.field?.kind === 'fact' ? view.field.fact : typeof about === 'number' ? (this.#document.procedure.steps[about]?.name ?? '') : (about ?? '');
    let conflict: ReadonlySet<string> = new Set();
    const place = `${view.inside.length} ${name} ${view.field && 'point' in view.field ? view.field.point ?? '' : ''}`;
    const all = entries(run, view);
    const liked = all.filter((event) => 'typed' in event && event.typed === this.#liked.get(place));
    for (const event of [...liked, ...all]) {
      const next = applyEvent(run, event);
      if (next.problem !== undefined) continue;
      const end = this.#walk(next, own.length, wanted);
      if (!('conflict' in end)) {
        if ('typed' in event) this.#liked.set(place, event.typed ?? '');
        return end;
      }
      conflict = new Set([...conflict, ...end.conflict]);
      if (!end.conflict.has(name)) return end;
    }
    return { conflict };
  }

  #cost(run: Run): { minutes: number; steps: number } {
    let seconds = 0;
    let steps = 0;
    for (const line of run.walk.lines) {
      const step = this.#document.procedure.steps.find(({ name }) => name === line.step);
      if (line.path.length > 0 || step === undefined || line.kind === 'passed_over' || !['step', 'decided', 'ran'].includes(line.kind)) continue;
      seconds += (step.time?.seconds ?? (step.kind === 'decide' ? 0 : 60)) + (step.wait?.seconds ?? 0);
      steps++;
    }
    return { minutes: seconds / 60, steps };
  }
}

function entries(run: Run, { field, step, inside }: RunView): RunEvent[] {
  switch (field?.kind) {
    case 'acknowledge':
      return [{ kind: 'acknowledged', cautions: field.cautions, at: AT }];
    case 'confirm_states':
      return [{ kind: 'states_confirmed', states: Object.fromEntries(field.states.map(({ state, values }) => [state, values[0] ?? ''])), at: AT }];
    case 'fact':
      return (field.choices.length > 0 ? field.choices : NUMBERS.slice(4)).map((typed): RunEvent => ({ kind: 'fact', fact: field.fact, typed, at: AT }));
    case 'answer':
      return [...field.choices.map(({ value }) => value), 'something else'].map((typed): RunEvent => ({ kind: 'answer', typed, at: AT }));
    case 'reading': {
      const before = run.events.filter((event) => event.kind === 'reading').at(-1);
      const later = field.point !== undefined && field.point !== step?.points[0]?.name;
      // The same at every point will do, but for a lamp.
      const words = field.shows.length > 0 ? field.shows : later && before ? [before.typed] : inside.length > 1 ? FEW_NUMBERS : [...NUMBERS, 'OL'];
      return words.map((typed): RunEvent => ({ kind: 'reading', typed, at: AT }));
    }
    case 'done':
      return [{ kind: 'done', at: AT }];
    default:
      return [];
  }
}

/** For each fault what it costs and finds, walked by the run engine. */
function walked(workspace: Workspace, path: string): Map<string, Expected> {
  const analysis = workspace.analyse(path);
  const { procedure } = analysed(analysis);
  // What the result of a step hangs on: readings, facts.
  const uses = new Map([...procedure.steps, ...procedure.afterRepair].map((step) =>
    [step.name?.value ?? '', new Set([...namesUsed(step).map((use) => use.name.split('.')[0] ?? ''), ...(step.decide ? [step.decide.text] : [])])] as const));
  const technician = new Technician(buildChecklist(analysis, undefined, workspace), uses);
  return new Map(procedure.faults.map(({ name }) => [name.value, technician.expected(name.value)]));
}

describe('walked by the run engine, every fault of the library costs and finds what the diagnosis says', () => {
  const workspace = depot();
  const searches = PROCEDURES.filter((name) => {
    const { program } = workspace.analyse(fileOf(name));
    return program?.purpose === 'fault_finding' && program.faults.length > 0;
  });
  test('there are searches', () => expect(searches.length).toBeGreaterThanOrEqual(9));

  test.each(searches)('%s', { timeout: 120_000 }, (name) => {
    const path = fileOf(name);
    const outcome = diagnosisOf(workspace, path, { propose: true });
    const { numbers: { written }, faults } = outcome!.report;
    const said = new Map(written.faults.map(({ fault, minutes, steps, found }) => [fault, rounded({ minutes, steps, found })]));
    const engine = walked(workspace, path);
    expect(said).toEqual(new Map([...engine].map(([fault, expected]) => [fault, rounded(expected)])));
    const average = (of: ReadonlyMap<string, Expected>): number => faults.reduce((sum, { name: fault, share }) => sum + share * (of.get(fault)?.minutes ?? 0), 0);
    expect(written.minutes).toBeCloseTo(average(engine), 6);
    // And the proposal, where there is one: walked like any other text.
    if (!outcome?.proposal) return;
    const other = depot();
    other.setFile(path, outcome.proposal.text);
    expect(average(walked(other, path))).toBeCloseTo(outcome.proposal.minutes, 6);
  });
});

describe('walked by the run engine, procedures made up by chance', () => {
  test('cost and find what the diagnosis says', { timeout: 120_000 }, () => {
    fc.assert(fc.property(madeUp, (one) => {
      if (one.steps.every(({ kind }) => kind === 'note')) return;
      const { workspace, path } = alone(textOf(one));
      const { written } = diagnosisOf(workspace, path, { budget: { places: 0 } })!.report.numbers;
      const said = new Map(written.faults.map(({ fault, minutes, steps, found }) => [fault, rounded({ minutes, steps, found })]));
      expect(said).toEqual(new Map([...walked(workspace, path)].map(([fault, expected]) => [fault, rounded(expected)])));
    }), { numRuns: 12, seed: 20261125 });
  });
});

function rounded({ minutes, steps, found }: Expected): Record<string, string> {
  return { minutes: minutes.toFixed(6), steps: steps.toFixed(6), found: found.toFixed(6) };
}
