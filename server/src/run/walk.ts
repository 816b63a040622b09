/**
 * Moves a walk on through everything that nobody is asked about: steps passed over, decided or run. What an entry does to it is in
 * walk-steps.ts, by the one meaning of flow/meaning.ts. Both change the walk they are given, which engine.ts has copied; they know
 * neither corrections (engine.ts takes events again in order) nor how anything is shown.
 */
import { guardHolds } from '../flow/meaning.ts';
import type { Guard, ProgramStep } from '../flow/program.ts';
import type { ProcedureSheet, StepSheet } from './checklist-document.ts';
import { factsWanted, judgeDecision } from './judge.ts';
import { orList, plainWords, uncapitalised } from './texts.ts';
import { cautionsToAcknowledge, judgeContext, unmetNeeds } from './walk-questions.ts';
import {
  factVector, frameAtHand, openFrame, programStepAtHand, sheetNamed, stepSheetAtHand, type Frame, type Walk,
} from './walk-state.ts';
import { addLine, completeStep, follow, noWayOn } from './walk-steps.ts';

/** Steps that nobody is asked about, one after another, past which a walk is taken to go round in circles. */
const MOST_AUTOMATIC_STEPS = 5_000;
/** Procedures within procedures past which they are taken to run each other without end. */
const DEEPEST = 24;

/** Goes on through everything that nobody is asked about, up to the step, fact or ending at hand. */
export function advance(walk: Walk): void {
  walk.wantedFact = undefined;
  walk.wantedState = undefined;
  if (walk.outcome !== undefined || walk.frames.length === 0) return;
  for (let count = 0; count < MOST_AUTOMATIC_STEPS; count++) {
    if (walk.outcome !== undefined || walk.stage === 'remedy') return;
    const frame = frameAtHand(walk) as Frame;
    const step = programStepAtHand(frame);
    const sheet = stepSheetAtHand(frame);
    if (step === undefined || sheet === undefined) return noWayOn(walk, `${frame.sheet.title} has no step to go on with.`);
    walk.stage = 'step';
    if (!passAutomatically(walk, frame, step, sheet)) return;
  }
  noWayOn(walk, 'The procedure goes round in circles without asking for anything.');
}

/** Passes over, decides or runs the step at hand where nobody is asked; false where somebody is. */
function passAutomatically(walk: Walk, frame: Frame, step: ProgramStep, sheet: StepSheet): boolean {
  const facts = factVector(frame.sheet.program, walk);
  for (const guard of step.onlyIf) {
    const truth = guardHolds(guard, frame.states, facts);
    if (truth === 'yes') continue;
    if (truth === 'maybe') {
      if (guard.kind === 'fact') wantFact(walk, frame.sheet.program.facts[guard.fact]?.name);
      else walk.wantedState = frame.sheet.program.states[guard.state]?.name;
      return false;
    }
    passOver(walk, frame, step, guardWords(frame.sheet, guard));
    return true;
  }
  if (step.repeatAtMost !== undefined && (frame.counts[step.index] ?? 0) >= step.repeatAtMost) {
    const times = step.repeatAtMost === 1 ? 'once' : `${step.repeatAtMost} times`;
    passOver(walk, frame, step, `it was done ${times}, which is as often as it may be`);
    return true;
  }
  if (step.kind === 'decide') return decide(walk, frame, sheet);
  if (cautionsToAcknowledge(walk).length > 0 || unmetNeeds(walk).length > 0) return false;
  if (step.kind === 'run') return enterCalled(walk, frame, step);
  const wanted = factsWanted(judgeContext(walk, frame), frame.step)[0];
  if (wanted !== undefined) wantFact(walk, wanted);
  return false;
}

function wantFact(walk: Walk, name: string | undefined): void {
  walk.wantedFact = name;
  walk.stage = 'fact';
}

function passOver(walk: Walk, frame: Frame, step: ProgramStep, because: string): void {
  addLine(walk, frame, {
    kind: 'passed_over', entries: [], event: undefined, words: `passed over: ${because}`, limits: [], results: [], judgement: undefined,
    remarks: [], instrument: undefined,
  });
  follow(walk, step.passOver, undefined);
}

/** 'tilt sensor is not fitted', for a guard that fails. */
function guardWords(sheet: ProcedureSheet, guard: Guard): string {
  const name = guard.kind === 'fact' ? sheet.facts[guard.fact]?.title : sheet.states[guard.state]?.title;
  const values = guard.kind === 'fact'
    ? guard.values.map((value) => sheet.program.facts[guard.fact]?.choices[value] ?? '')
    : guard.values.map((value) => sheet.program.states[guard.state]?.values[value] ?? '');
  return `${uncapitalised(name ?? '')} is not ${orList(values.map(plainWords))}`;
}

function decide(walk: Walk, frame: Frame, sheet: StepSheet): boolean {
  const judged = judgeDecision(judgeContext(walk, frame), frame.step);
  if ('wants' in judged) {
    wantFact(walk, judged.wants[0]);
    return false;
  }
  if ('problem' in judged) {
    noWayOn(walk, `Step ${sheet.number}, ${sheet.title}, cannot be decided. ${judged.problem}`);
    return false;
  }
  completeStep(walk, {
    entries: [], results: judged.results, event: undefined, words: `decided: ${judged.words}`, judgement: judged.sentence, value: judged.value,
    kind: 'decided',
  });
  return true;
}

/** Begins the procedure that a `run` step names; false where nobody has it: then its ending is asked for. */
function enterCalled(walk: Walk, frame: Frame, step: ProgramStep): boolean {
  const called = step.run === undefined ? undefined : sheetNamed(walk.document, step.run);
  if (called === undefined || called.steps.length === 0) return false;
  if (walk.frames.length >= DEEPEST || walk.frames.some((open) => open.sheet === called)) {
    noWayOn(walk, `${called.title} runs itself without end.`);
    return false;
  }
  walk.frames = [...walk.frames, openFrame(called, [...frame.path, step.name], frame)];
  walk.stepSince = walk.lastAt;
  walk.stepMilliseconds = 0;
  walk.wait = undefined;
  return true;
}
