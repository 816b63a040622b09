/**
 * Whether a run that was begun with one text of a procedure may go on by another. The rule: every step walked so far is the same in
 * all that is judged or was answered (what is asked, measured and done, where, with what, under which states and cautions, the
 * results and what they mean), and the same events lead over the same steps to the same results. Titles, reasons, notes, times
 * and figures may differ, and so may every step that has not been walked. Schemas/format.md, 'Records', has it in words.
 */
import type { ChecklistDocument, ProcedureSheet, StepSheet, WaySheet } from './checklist-document.ts';
import { canonicalJson } from './digest.ts';
import { replayRun } from './engine.ts';
import type { CarriedOverEvent, RunEvent } from './events.ts';
import type { Run } from './run-state.ts';
import { faultNames, frameAtHand, sheetNamed, stateWords, stepSheetAtHand, type Walk, type WalkLine } from './walk-state.ts';

export type CarryOver =
  | { readonly event: CarriedOverEvent; readonly run: Run }
  /** Why not, in a sentence that names the step. */
  | { readonly problem: string };

/** Carries the run of `events`, by `from` so far, over to `to`; the event belongs behind them. */
export function carryOver(from: ChecklistDocument, to: ChecklistDocument, events: readonly RunEvent[], stamp: { readonly at: string; readonly person?: string }): CarryOver {
  if (from.procedure.name !== to.procedure.name) return { problem: `The run is of ${from.procedure.name}, and this is ${to.procedure.name}.` };
  if (from.contentHash === to.contentHash) return { problem: 'The procedure has not changed: the run goes on as it is.' };
  const before = replayRun(from, events).run;
  if (before.walk.stage === 'finished' || before.walk.stage === 'stopped') return { problem: 'The run is over.' };
  const event: CarriedOverEvent = {
    kind: 'carried_over', at: stamp.at, was: from.contentHash, contentHash: to.contentHash,
    ...(stamp.person === undefined ? {} : { person: stamp.person }),
    ...(from.procedure.revision === undefined ? {} : { wasRevision: from.procedure.revision }),
    ...(to.procedure.revision === undefined ? {} : { revision: to.procedure.revision }),
  };
  const after = replayRun(to, [...events, event]);
  const changed = changedStep(before.walk, from, to) ?? changedWalk(before.walk, after.run.walk);
  if (changed !== undefined) return { problem: changed };
  const refused = after.refused[0];
  if (refused !== undefined) return { problem: `Entry ${refused.index + 1} does not fit the new text: ${refused.problem}` };
  return { event, run: after.run };
}

function changedStep(walk: Walk, from: ChecklistDocument, to: ChecklistDocument): string | undefined {
  const frame = frameAtHand(walk);
  const atHand = frame && stepSheetAtHand(frame);
  // Points that were entered at the step at hand count as walked.
  const begun = frame !== undefined && atHand !== undefined && frame.partial.length > 0 ? [{ procedure: frame.sheet.name, step: atHand.name }] : [];
  for (const { procedure, step } of [...walk.lines, ...begun]) {
    const old = stepNamed(sheetNamed(from, procedure), step);
    const now = stepNamed(sheetNamed(to, procedure), step);
    if (old === undefined) continue;
    if (now === undefined) return `Step ${old.number}, ${old.title}, was done and is no longer there.`;
    const parts = [...new Set([...Object.keys(judged(old)), ...Object.keys(judged(now))])];
    const part = parts.find((key) => canonicalJson(judged(old)[key]) !== canonicalJson(judged(now)[key]));
    if (part !== undefined) return `Step ${old.number}, ${old.title}, was done and has been changed since: its ${PART_WORDS[part] ?? part}.`;
  }
  return undefined;
}

/** What the same events come to by both texts. */
function changedWalk(before: Walk, after: Walk): string | undefined {
  const count = Math.max(before.lines.length, after.lines.length);
  for (let index = 0; index < count; index++) {
    const [old, now] = [before.lines[index], after.lines[index]];
    if (canonicalJson(old && lineParts(old)) === canonicalJson(now && lineParts(now))) continue;
    const at = old ?? now;
    return `By the new text, what was entered leads elsewhere at step ${at?.number ?? ''}, ${at?.title ?? ''}.`;
  }
  const [old, now] = [frameAtHand(before), frameAtHand(after)];
  if (old === undefined || now === undefined || old.path.join() !== now.path.join()) return 'By the new text, the run stands in another procedure.';
  const states = stateWords(now);
  const other = Object.entries(stateWords(old)).find(([name, values]) => states[name] !== undefined && canonicalJson(states[name]) !== canonicalJson(values));
  if (other !== undefined) return `By the new text, the state ${other[0]} is not what it was.`;
  const possible = new Set(faultNames(now.sheet, now.possible));
  const lost = faultNames(old.sheet, old.possible).find((name) => !possible.has(name));
  if (lost !== undefined) return `The fault ${lost} was still possible, and is not by the new text.`;
  const known = new Set(old.sheet.faults.map((fault) => fault.name));
  const still = new Set(faultNames(old.sheet, old.possible));
  const again = [...possible].find((name) => known.has(name) && !still.has(name));
  return again === undefined ? undefined : `The fault ${again} was ruled out, and is not by the new text.`;
}

function lineParts(line: WalkLine): unknown {
  return { kind: line.kind, path: line.path, procedure: line.procedure, step: line.step, section: line.section, words: line.kind === 'ran' ? '' : line.entries.map((one) => one.words), results: line.results, limits: line.limits };
}

function stepNamed(sheet: ProcedureSheet | undefined, name: string): StepSheet | undefined {
  return sheet?.steps.find((step) => step.name === name);
}

/** What of a step is judged or was answered. Where it leads on to another step shows in the walk itself. */
function judged(step: StepSheet): Readonly<Record<string, unknown>> {
  const way = (one: WaySheet): unknown => {
    switch (one.kind) {
      case 'finds':
        return { finds: one.fault, byElimination: one.byElimination };
      case 'refer':
        return { refer: one.text };
      default:
        return one.kind;
    }
  };
  const { index: _i, number: _n, title: _t, titled: _d, why: _w, note: _o, time: _m, figure: _f, photo: _p, ...rest } = step;
  const plain = (lines: StepSheet['needs']): unknown => lines.map(({ state, values }) => ({ state, values }));
  return {
    ...rest,
    run: step.run?.name, instrument: step.instrument && { ...step.instrument, title: undefined },
    needs: plain(step.needs), during: plain(step.during), sets: plain(step.sets), circuit: step.circuit && { ...step.circuit, title: undefined },
    provesDead: step.provesDead && { ...step.provesDead, title: undefined },
    points: step.points.map((point) => ({ name: point.name, probes: point.probes })), qualified: step.qualified.map((one) => one.name),
    results: step.results.map((result) => ({ ...result, sets: plain(result.sets), way: way(result.way) })), way: way(step.way),
  };
}

const PART_WORDS: Readonly<Record<string, string>> = {
  actions: 'instructions', question: 'question', measures: 'quantity', decide: 'decision', text: 'text', onlyIf: 'condition (only_if)',
  needs: 'needed states', during: 'held states', sets: 'states afterwards', cautions: 'cautions', instrument: 'instrument', probes: 'probes',
  points: 'points', judge: 'way of judging', seek: 'search', provesDead: 'proof of absence of voltage', results: 'results', way: 'way on',
  maxTime: 'longest time', repeatAtMost: 'number of repeats', qualified: 'qualification',
};
