/** What follows when a step, a remedy or a procedure run from here is complete: its line, states, faults, and the way on. */
import { allFaults, faultBits, faultsAfter, statesAfter } from '../flow/meaning.ts';
import { resultMatchesEnding, statesByName, withStatesByName } from '../flow/explore.ts';
import type { ProgramResult, ProgramStep, Way } from '../flow/program.ts';
import type { StepSheet, WaySheet } from './checklist-document.ts';
import { limitWords } from './judge.ts';
import { andList, durationWords, uncapitalised, withoutStop } from './texts.ts';
import { judgeContext, proofOf } from './walk-questions.ts';
import {
  faultNames, frameAtHand, programStepAtHand, stepSheetAtHand, type Frame, type Outcome, type PointEntry, type Understood, type Walk, type WalkLine,
} from './walk-state.ts';

/** Completes the step at hand with the results it gave (none, one, or one a point) and follows the way on. */
export function completeStep(walk: Walk, given: {
  readonly entries: readonly PointEntry[];
  readonly results: readonly number[];
  readonly event: number | undefined;
  readonly words: string;
  readonly judgement: string | undefined;
  readonly value: Understood | undefined;
  readonly foundAt?: string;
  readonly remarks?: readonly string[];
  readonly kind: WalkLine['kind'];
  readonly instrument?: string;
  readonly calibratedUntil?: string;
}): void {
  const frame = frameAtHand(walk) as Frame;
  const step = programStepAtHand(frame) as ProgramStep;
  const sheet = stepSheetAtHand(frame) as StepSheet;
  const results = given.results.map((index) => step.results[index]).filter((result) => result !== undefined);
  const context = judgeContext(walk, frame);
  const limits = limitWords(context, frame.step);
  addLine(walk, frame, {
    kind: given.kind, entries: given.entries, event: given.event, words: given.words, limits, judgement: given.judgement,
    results: given.results.map((index) => sheet.results[index]?.written ?? ''), instrument: given.instrument,
    ...(given.calibratedUntil === undefined ? {} : { calibratedUntil: given.calibratedUntil }),
    remarks: [...(given.remarks ?? []), ...timeRemarks(walk, frame, sheet, given.entries[0]?.at ?? walk.lastAt)],
  });
  if (given.judgement !== undefined) walk.judgement = [given.judgement, ...(given.remarks ?? [])].join(' ');
  storeReadings(frame, step.name, given);
  frame.states = statesAfter(step, results[0], frame.states);
  for (const result of results.slice(1)) frame.states = statesAfter({ ...step, sets: [] }, result, frame.states);
  for (const result of results) {
    frame.possible = faultsAfter(frame.possible, result);
    if (result.raises !== undefined) raiseDefect(walk, frame, result.raises, step.name);
  }
  countStep(walk, frame);
  const taken = resultThatLeads(step, results);
  const waySheet = taken === undefined ? sheet.way : sheet.results[step.results.indexOf(taken)]?.way;
  follow(walk, taken?.way ?? step.way, waySheet);
}

/** The remedy is done, or left: on to its proof, or to the end. */
export function completeRemedy(walk: Walk, carriedOut: boolean, text: string | undefined, event: number): void {
  const frame = frameAtHand(walk) as Frame;
  const fault = frame.sheet.faults[frame.found ?? -1];
  const title = fault?.title ?? '';
  walk.remedies = [...walk.remedies, { fault: fault?.name ?? '', carriedOut, text, at: walk.lastAt ?? '', person: walk.person }];
  addLine(walk, frame, {
    kind: 'remedy', entries: [], event, results: [], limits: [], judgement: undefined, remarks: [], instrument: undefined,
    words: `${carriedOut ? 'remedy carried out' : 'remedy left for later'}${text ? `: ${text}` : ''}`,
  });
  walk.judgement = undefined;
  const proof = proofOf(frame);
  if (!carriedOut) {
    return end(walk, { kind: 'found', words: `Found: ${uncapitalised(title)}. The remedy has not been carried out.`, fault: fault?.name, remedyCarriedOut: false });
  }
  if (proof === undefined) {
    return end(walk, { kind: 'found', words: `Found: ${uncapitalised(title)}. The remedy was carried out; the procedure gives no proof of it.`, fault: fault?.name, remedyCarriedOut: true });
  }
  frame.repaired = true;
  frame.counts = frame.counts.map(() => 0);
  walk.stage = 'step';
  comeTo(walk, frame, proof);
}

export function end(walk: Walk, outcome: Outcome): void {
  walk.outcome = outcome;
  walk.stage = 'ended';
}

export function noWayOn(walk: Walk, words: string): void {
  end(walk, { kind: 'no_way_on', words, fault: undefined, remedyCarriedOut: undefined });
}

/** Adds a line that no step gives: a fact, states put back. */
export function addLine(walk: Walk, frame: Frame, given: Pick<
  WalkLine, 'kind' | 'entries' | 'event' | 'words' | 'limits' | 'results' | 'judgement' | 'remarks' | 'instrument' | 'calibratedUntil'
>): void {
  const sheet = stepSheetAtHand(frame);
  walk.lines = [...walk.lines, {
    ...given,
    path: frame.path,
    inside: walk.frames.map((one) => one.sheet.title),
    procedure: frame.sheet.name,
    section: sheet?.section,
    step: sheet?.name ?? '',
    title: sheet?.title ?? '',
    number: sheet?.number ?? 0,
    startedAt: walk.stepSince ?? walk.lastAt ?? '',
    endedAt: walk.lastAt ?? '',
    person: walk.person,
    ...(walk.helper !== undefined && sheet !== undefined && sheet.people > 1 ? { helper: walk.helper } : {}),
  }];
}

/** Goes the way on from the step at hand. */
export function follow(walk: Walk, way: Way, sheet: WaySheet | undefined): void {
  const frame = frameAtHand(walk) as Frame;
  const step = stepSheetAtHand(frame);
  const nested = walk.frames.length > 1;
  switch (way.kind) {
    case 'step':
      return comeTo(walk, frame, way.step);
    case 'finds': {
      const fault = frame.sheet.faults[way.fault];
      if (way.byElimination) remarkOthersLeft(walk, frame, way.fault);
      frame.possible = faultBits([way.fault]);
      if (nested) return returnFromCalled(walk, 'finds', fault?.name, fault?.title ?? '');
      frame.found = way.fault;
      frame.repaired = false;
      walk.stage = 'remedy';
      return;
    }
    case 'refer': {
      const text = sheet?.kind === 'refer' ? sheet.text : '';
      if (nested) return returnFromCalled(walk, 'referred', undefined, text);
      return end(walk, { kind: 'referred', words: text || 'Refer to someone who can go on.', fault: undefined, remedyCarriedOut: undefined });
    }
    case 'passes': {
      if (nested) return returnPassed(walk, frame);
      const fault = step?.section === 'after_repair' ? frame.sheet.faults[frame.found ?? -1] : undefined;
      if (fault !== undefined) {
        const words = `Found and repaired: ${uncapitalised(fault.title)}. The repair is proved.`;
        return end(walk, { kind: 'repaired', words, fault: fault.name, remedyCarriedOut: true });
      }
      return end(walk, { kind: 'passed', words: passedWords(walk, frame), fault: undefined, remedyCarriedOut: undefined });
    }
    case 'nowhere':
      return noWayOn(walk, `${step ? `Step ${step.number}, ${step.title},` : 'The procedure'} does not say how to go on.`);
  }
}

function passedWords(walk: Walk, frame: Frame): string {
  if (frame.sheet.purpose !== 'inspection') return 'No fault found.';
  const count = walk.defects.length;
  return count === 0 ? 'Inspection complete. No defect found.' : `Inspection complete. ${count === 1 ? '1 defect' : `${count} defects`} found.`;
}

/** The step becomes the one at hand. A way from the proof of a repair back into the steps begins a new search. */
function comeTo(walk: Walk, frame: Frame, index: number): void {
  const from = programStepAtHand(frame);
  const to = frame.sheet.program.steps[index];
  if (from?.section === 'after_repair' && to?.section === 'steps') {
    frame.possible = allFaults(frame.sheet.program);
    frame.found = undefined;
  }
  frame.step = index;
  frame.partial = [];
  frame.acknowledgedHere = [];
  walk.stepSince = walk.lastAt;
  walk.stepMilliseconds = 0;
  walk.wait = undefined;
}

function countStep(walk: Walk, frame: Frame): void {
  const at = frame.step;
  frame.counts = frame.counts.map((count, index) => (index === at ? count + 1 : count));
  frame.done = frame.done.map((count, index) => (index === at ? count + 1 : count));
  frame.lastDone = frame.lastDone.map((time, index) => (index === at ? walk.lastAt : time));
}

function storeReadings(frame: Frame, step: string, given: {
  readonly entries: readonly PointEntry[]; readonly value: Understood | undefined; readonly foundAt?: string;
}): void {
  const readings = new Map(frame.readings);
  for (const entry of given.entries) if (entry.point !== undefined) readings.set(`${step}.${entry.point}`, entry.understood);
  if (given.value !== undefined) readings.set(step, given.value);
  if (given.foundAt !== undefined) readings.set(`${step}.point`, { kind: 'word', word: given.foundAt });
  frame.readings = readings;
}

function raiseDefect(walk: Walk, frame: Frame, fault: number, step: string): void {
  frame.raised = frame.raised.includes(fault) ? frame.raised : [...frame.raised, fault];
  const sheet = frame.sheet.faults[fault];
  if (sheet === undefined || walk.defects.some((d) => d.fault === sheet.name && d.procedure === frame.sheet.name && d.step === step)) return;
  walk.defects = [...walk.defects, {
    procedure: frame.sheet.name, fault: sheet.name, title: sheet.title, grade: sheet.grade, remedy: sheet.remedy, step,
  }];
}

/** Where each point took its own result: the first that leads elsewhere than the step itself. */
function resultThatLeads(step: ProgramStep, results: readonly ProgramResult[]): ProgramResult | undefined {
  const own = JSON.stringify(step.way);
  return results.find((result) => JSON.stringify(result.way) !== own) ?? results[0];
}

function remarkOthersLeft(walk: Walk, frame: Frame, fault: number): void {
  const others = faultNames(frame.sheet, frame.possible & ~faultBits([fault]));
  const last = walk.lines[walk.lines.length - 1];
  if (others.length === 0 || last === undefined) return;
  const titles = others.map((name) => uncapitalised(frame.sheet.faults.find((one) => one.name === name)?.title ?? name));
  walk.lines = [...walk.lines.slice(0, -1), {
    ...last, remarks: [...last.remarks, `Found by elimination, though not ruled out: ${andList(titles)}.`],
  }];
}

/** An inspection that raised defects ends as `raised` with one of them: that which the caller has a result for, the worst first. */
function returnPassed(walk: Walk, frame: Frame): void {
  const caller = walk.frames[walk.frames.length - 2] as Frame;
  const step = programStepAtHand(caller);
  if (frame.raised.length === 0 || step === undefined) return returnFromCalled(walk, 'passed', undefined, '');
  const grades = ['dangerous', 'major', 'minor'];
  const rank = (fault: number): number => (grades.indexOf(frame.sheet.faults[fault]?.grade ?? '') + grades.length) % grades.length;
  const ordered = [...frame.raised].sort((a, b) => rank(a) - rank(b));
  const handled = ordered.find((fault) =>
    step.results.some((result) => result.when.kind === 'ending' && result.when.ending === 'raised' && result.when.fault === frame.sheet.program.faults[fault]),
  );
  const fault = frame.sheet.faults[handled ?? ordered[0] ?? -1];
  return returnFromCalled(walk, 'raised', fault?.name, fault?.title ?? '');
}

/** Back to the `run` step of the caller, with the states and readings that the called procedure leaves. */
function returnFromCalled(walk: Walk, ending: 'passed' | 'referred' | 'finds' | 'raised', fault: string | undefined, detail: string): void {
  const called = frameAtHand(walk) as Frame;
  walk.frames = walk.frames.slice(0, -1);
  const caller = frameAtHand(walk) as Frame;
  const step = programStepAtHand(caller) as ProgramStep;
  caller.states = withStatesByName(caller.sheet.program, caller.states, statesByName(called.sheet.program, called.states));
  const readings = new Map(caller.readings);
  for (const [name, value] of called.readings) if (!name.includes('.')) readings.set(`${step.name}.${name}`, value);
  caller.readings = readings;
  takeEnding(walk, ending, fault, detail, undefined);
}

/** What the ending of a procedure run from the step at hand leads to. `event` where a person reported it. */
export function takeEnding(
  walk: Walk, ending: 'passed' | 'referred' | 'finds' | 'raised', fault: string | undefined, detail: string, event: number | undefined,
): void {
  const frame = frameAtHand(walk) as Frame;
  const step = programStepAtHand(frame) as ProgramStep;
  const sheet = stepSheetAtHand(frame) as StepSheet;
  const title = sheet.run?.title ?? sheet.title;
  const ended = ending === 'finds' ? 'found' : ending;
  const judgement = `${title} ${ended === 'passed' ? 'passed' : `${ended}: ${uncapitalised(withoutStop(detail || (fault ?? 'elsewhere')))}`}.`;
  const index = step.results.findIndex((result) => resultMatchesEnding(result, { ending, fault }));
  if (index < 0 && step.results.length > 0) {
    return noWayOn(walk, `${judgement} Step ${sheet.number}, ${sheet.title}, does not say how to go on from that.`);
  }
  completeStep(walk, {
    entries: [], results: index < 0 ? [] : [index], event, words: judgement, judgement, value: undefined, kind: 'ran',
  });
}

function waitRemarks(walk: Walk, sheet: StepSheet): string[] {
  if (sheet.wait === undefined) return [];
  const wait = durationWords(sheet.wait.seconds);
  if (walk.wait?.already) return [`The wait of ${wait} was said to have been kept before; it was not counted here.`];
  const began = walk.wait?.since;
  const passed = began === undefined ? walk.stepMilliseconds / 1000 : Math.max(0, (Date.parse(walk.lastAt ?? began) - Date.parse(began)) / 1000);
  if (passed >= sheet.wait.seconds) return [];
  return [`Entered ${durationWords(passed)} after the ${began === undefined ? 'step came up' : 'wait began'}; the wait is ${wait}.`];
}

function timeRemarks(walk: Walk, frame: Frame, sheet: StepSheet, enteredAt: string | undefined): string[] {
  const remarks = waitRemarks(walk, sheet);
  const before = frame.lastDone[frame.step];
  if (sheet.rest !== undefined && before !== undefined && enteredAt !== undefined) {
    const rested = (Date.parse(enteredAt) - Date.parse(before)) / 1000;
    if (rested < sheet.rest.seconds) {
      remarks.push(`Done again after ${durationWords(rested)}; the rest is ${durationWords(sheet.rest.seconds)}.`);
    }
  }
  return remarks;
}
