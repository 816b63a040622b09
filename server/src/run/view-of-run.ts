/** Everything that a page or a terminal shows of a run at this moment. It decides nothing: the walk has. */
import { beyondRangeRemarks } from './beyond-range.ts';
import { conditionHolds, valuesIn } from '../flow/meaning.ts';
import type { Condition } from '../flow/program.ts';
import type { FactSheet, ProbeSheet, ProcedureSheet, StepSheet, WaySheet } from './checklist-document.ts';
import { carriedOverWords } from './carried-over-words.ts';
import { instrumentView } from './instrument-in-hand.ts';
import { displayName, limitWords } from './judge.ts';
import { proofWarning } from './proof-of-dead.ts';
import { correctable, type Run } from './run-state.ts';
import { capitalised, fillText, orList, plainWords, uncapitalised } from './texts.ts';
import { answerChoices } from './understand.ts';
import { useLines, useOfAsset, verdictOf } from './use-of-asset.ts';
import type {
  ChoiceView, DefectView, EndingView, FieldView, LimitView, NeedView, PointView, RunView, StepView, WalkedView,
} from './view.ts';
import {
  cautionsToAcknowledge, circuitCondition, framesWithStates, judgeContext, notAsAtEnd, openCautions, pointAtHand, proofOf, statesToPutBack, unmetNeeds,
} from './walk-questions.ts';
import { faultNames, frameAtHand, programStepAtHand, sheetNamed, stepSheetAtHand, type Frame, type PointEntry, type Walk, type WalkLine } from './walk-state.ts';

/** What to show now. `now` (ISO 8601) lets the elapsed times run; without it they stand at the last event. */
export function currentView(run: Run, now?: string): RunView {
  const { walk, document } = run;
  const frame = frameAtHand(walk);
  const running = now !== undefined && walk.lastAt !== undefined && !walk.paused && walk.stage !== 'finished' && walk.stage !== 'stopped'
    ? Math.max(0, Date.parse(now) - Date.parse(walk.lastAt)) || 0
    : 0;
  const { procedure } = document;
  const field = fieldNow(walk, frame);
  const step = frame && showsStep(walk, frame) ? stepView(walk, frame) : undefined;
  return {
    stage: walk.stage,
    paused: walk.paused,
    procedure: {
      name: procedure.name, title: procedure.title,
      ...(procedure.revision === undefined ? {} : { revision: procedure.revision }),
      ...(procedure.status === undefined ? {} : { status: procedure.status }),
    },
    ...(walk.asset === undefined ? {} : { asset: walk.asset }),
    ...(walk.person === undefined ? {} : { person: walk.person }),
    ...(walk.helper === undefined ? {} : { helper: walk.helper }),
    remarks: document.standing.remarks,
    inside: walk.frames.map((one) => one.sheet.title),
    ...positionOf(walk),
    ...(step === undefined ? {} : { step }),
    ...(field === undefined ? {} : { field }),
    ...(walk.judgement === undefined ? {} : { judgement: walk.judgement }),
    next: nextWords(walk, frame, field),
    faultsLeft: frame === undefined || frame.sheet.purpose === 'inspection' ? [] : faultsLeft(frame),
    defects: walk.defects.map((defect) => defectView(run, defect)),
    ...(walk.stage === 'remedy' && frame ? { remedy: remedyView(walk, frame) } : {}),
    ...(walk.outcome === undefined ? {} : { ending: endingView(walk, frame) }),
    walked: [...walk.lines.flatMap((line) => walkedViews(run, line)), ...(frame ? partialViews(run, frame) : [])],
    elapsedSeconds: Math.floor((walk.workedMilliseconds + running) / 1000),
    stepSeconds: Math.floor((walk.stepMilliseconds + running) / 1000),
    closing: document.closing,
    carriedOver: walk.carriedOver.map(carriedOverWords),
  };
}

/** A fact may be asked for to know whether a step applies at all: the step is shown once its cautions have been read. */
function showsStep(walk: Walk, frame: Frame): boolean {
  return walk.stage === 'step' || (walk.stage === 'fact' && openCautions(walk, frame).length === 0);
}

/** The conditions in words, with how to bring each about. */
export function needViews(frame: Frame, conditions: readonly Condition[]): NeedView[] {
  return conditions.map((condition) => {
    const state = frame.sheet.states[condition.state];
    const values = condition.values.map((value) => state?.values[value] ?? '');
    const truth = conditionHolds(condition, frame.states);
    return {
      state: state?.name ?? '', values, words: `${capitalised(state?.title ?? '')}: ${orList(values.map(plainWords))}`,
      holds: truth === 'maybe' ? 'unknown' : truth,
      changes: (state?.changes ?? []).filter((change) => values.includes(change.to)),
    };
  });
}

/** States that are not left as the endings of the open procedures should leave them; each once. Empty while there is no ending. */
export function statesNotPutBack(walk: Walk): NeedView[] {
  if (walk.outcome === undefined) return [];
  const found = new Map<string, NeedView>();
  for (const frame of framesWithStates(walk)) for (const need of needViews(frame, notAsAtEnd(frame))) found.set(need.state, found.get(need.state) ?? need);
  return [...found.values()];
}

/** Values of names in braces: readings, facts, shop values. */
function filler(walk: Walk, frame: Frame): (text: string) => string {
  const context = judgeContext(walk, frame);
  return (text) => fillText(text, (name) => displayName(context, name));
}

function stepView(walk: Walk, frame: Frame): StepView | undefined {
  const sheet = stepSheetAtHand(frame);
  const step = programStepAtHand(frame);
  if (sheet === undefined || step === undefined) return undefined;
  const fill = filler(walk, frame);
  const open = new Set(cautionsToAcknowledge(walk));
  const condition = circuitCondition(frame, step);
  const circuit = sheet.circuit ?? sheet.provesDead;
  const before = frame.lastDone[frame.step];
  const current = pointAtHand(frame);
  return {
    name: sheet.name, title: fill(sheet.title), number: sheet.number, kind: sheet.kind ?? 'do',
    cautions: sheet.cautions.map((caution) => ({ ...caution, acknowledged: !open.has(caution.name) })),
    needs: needViews(frame, step.needs),
    during: sheet.during.map((line) => line.words),
    warnings: warningsOf(frame, sheet, condition),
    actions: sheet.actions.map(fill),
    ...optional('question', sheet.question, fill), ...optional('text', sheet.text, fill), ...optional('why', sheet.why, fill),
    ...optional('note', sheet.note, fill),
    ...(sheet.instrument === undefined ? {} : { instrument: instrumentView(walk, sheet.instrument) }),
    ...(sheet.measures === undefined ? {} : { quantity: `${sheet.measures.title}${sheet.range ? `, range ${sheet.range}` : ''}` }),
    ...(circuit === undefined || condition === undefined ? {} : { circuit: { ...circuit, condition } }),
    probes: [...sheet.probes, ...(sheet.points.find((point) => point.name === current)?.probes ?? [])].map((probe) => filledProbe(probe, fill)),
    tools: sheet.tools.map(fill), people: sheet.people, qualified: sheet.qualified,
    ...(sheet.wait === undefined ? {} : { waitSeconds: sheet.wait.seconds }),
    ...(sheet.wait === undefined || walk.wait === undefined ? {} : walk.wait.already ? { waitKept: true } : { waitSince: walk.wait.since }),
    ...(sheet.maxTime === undefined ? {} : { maxSeconds: sheet.maxTime.seconds }),
    ...(sheet.rest === undefined || before === undefined ? {} : { restSeconds: sheet.rest.seconds, restSince: before }),
    ...(sheet.time === undefined ? {} : { expectedSeconds: sheet.time.seconds }),
    ...(sheet.photo === undefined ? {} : { photo: sheet.photo }), ...(sheet.figure === undefined ? {} : { figure: sheet.figure }),
    limits: limitViews(walk, frame, sheet, fill),
    points: sheet.points.map((point): PointView => {
      const entry = frame.partial.find((one) => one.point === point.name);
      return {
        name: point.name, title: fill(point.title), probes: point.probes.map((probe) => filledProbe(probe, fill)),
        ...(entry === undefined ? {} : { typed: entry.typed, understood: entry.words }), current: point.name === current,
      };
    }),
    doneBefore: frame.done[frame.step] ?? 0,
  };
}

function optional<K extends string>(key: K, text: string | undefined, fill: (text: string) => string): Partial<Record<K, string>> {
  return text === undefined ? {} : ({ [key]: fill(text) } as Partial<Record<K, string>>);
}

function filledProbe(probe: ProbeSheet, fill: (text: string) => string): ProbeSheet {
  return { probe: probe.probe, place: fill(probe.place) };
}

const DEAD_QUANTITIES = ['resistance', 'continuity', 'capacitance', 'insulation_resistance'];
const LIVE_QUANTITIES = ['dc_voltage', 'ac_voltage', 'dc_current', 'ac_current'];

function warningsOf(frame: Frame, sheet: StepSheet, condition: 'dead' | 'live' | 'neither' | 'unknown' | undefined): string[] {
  const warnings: string[] = [];
  const circuit = uncapitalised((sheet.circuit ?? sheet.provesDead)?.title ?? '');
  const word = sheet.measures?.word ?? '';
  if (condition !== undefined && DEAD_QUANTITIES.includes(word) && condition !== 'dead') {
    warnings.push(condition === 'live'
      ? `By what was done so far, ${circuit} is live. Do not connect the instrument: isolate it first.`
      : `By what was done so far, it is not certain that ${circuit} is dead. Make sure of it before the instrument is connected.`);
  }
  if (condition === 'dead' && LIVE_QUANTITIES.includes(word) && sheet.provesDead === undefined) {
    warnings.push(`By what was done so far, ${circuit} is dead: a reading there says nothing about it.`);
  }
  const unprovable = proofWarning(sheet);
  if (unprovable !== undefined) warnings.push(unprovable);
  if (frame.sheet.purpose === 'fault_finding' && frame.possible === 0n && frame.sheet.faults.length > 0) {
    warnings.push('What was entered rules out every fault that this procedure knows. Look through the entries; one may be wrong.');
  }
  if (sheet.people > 1) warnings.push(`This step takes ${sheet.people} people.`);
  return warnings;
}

function limitViews(walk: Walk, frame: Frame, sheet: StepSheet, fill: (text: string) => string): LimitView[] {
  const words = limitWords(judgeContext(walk, frame), frame.step);
  return sheet.results.map((result, index) => ({
    words: words[index] ?? result.when, written: result.written,
    ...(result.says === undefined ? {} : { says: fill(result.says) }),
    leadsTo: wayWords(result.way, frame, fill),
  }));
}

/** Where a way leads, in words. */
function wayWords(way: WaySheet, frame: Frame, fill: (text: string) => string): string {
  switch (way.kind) {
    case 'step':
      return way.step === frame.step + 1 ? 'the next step' : `go to step ${way.number}`;
    case 'finds':
      return uncapitalised(way.title);
    case 'refer':
      return fill(way.text);
    case 'passes':
      return 'passes';
    case 'nowhere':
      return 'no way on';
  }
}

function fieldNow(walk: Walk, frame: Frame | undefined): FieldView | undefined {
  if (walk.paused) return { kind: 'resume' };
  if (frame === undefined) return undefined;
  if (walk.stage === 'remedy') return { kind: 'remedy' };
  if (walk.stage === 'ended') {
    const back = walk.outcome?.kind === 'no_way_on' ? [] : statesToPutBack(walk);
    return back.length > 0 ? confirmField(frame, back) : { kind: 'finish' };
  }
  if (walk.stage === 'fact') return factField(frame, walk.wantedFact ?? '');
  if (walk.stage !== 'step') return undefined;
  if (walk.wantedState !== undefined) return wantedStateField(frame, walk.wantedState);
  const cautions = cautionsToAcknowledge(walk);
  if (cautions.length > 0) return { kind: 'acknowledge', cautions };
  const needs = unmetNeeds(walk);
  if (needs.length > 0) return confirmField(frame, needs);
  return entryField(walk, frame);
}

function entryField(walk: Walk, frame: Frame): FieldView | undefined {
  const sheet = stepSheetAtHand(frame);
  if (sheet === undefined) return undefined;
  const fill = filler(walk, frame);
  const at = pointAtHand(frame);
  const point = at === undefined ? {} : { point: at };
  const pointTitle = sheet.points.find((one) => one.name === at)?.title;
  if (sheet.kind === 'ask' || sheet.kind === 'run') {
    const label = sheet.kind === 'run' ? `How did ${sheet.run?.title ?? 'the procedure'} end?` : fill(sheet.question ?? sheet.title);
    const values = answerChoices(sheet);
    const choices: ChoiceView[] = values.map((value) => {
      const says = sheet.results.find((result) => result.written === value)?.says;
      return { value, ...(says === undefined ? {} : { says: fill(says) }) };
    });
    const free = sheet.kind === 'ask' && (values.length === 0 || values.includes('otherwise'));
    return { kind: 'answer', step: sheet.name, ...point, label: pointTitle ? `${label} ${fill(pointTitle)}:` : label, choices, free };
  }
  if (sheet.kind === 'measure') {
    const measures = sheet.measures;
    const label = [measures?.title ?? 'Reading', ...(pointTitle ? [fill(pointTitle)] : [])].join(', ');
    return {
      kind: 'reading', step: sheet.name, ...point, label, word: measures?.word ?? '', unit: measures?.unit ?? '', units: measures?.units ?? [],
      shows: measures?.shows ?? [],
    };
  }
  return { kind: 'done', step: sheet.name, label: 'Done' };
}

function confirmField(frame: Frame, conditions: readonly Condition[]): FieldView {
  return {
    kind: 'confirm_states',
    states: conditions.map((condition) => {
      const state = frame.sheet.states[condition.state];
      return { state: state?.name ?? '', title: state?.title ?? '', values: condition.values.map((value) => state?.values[value] ?? '') };
    }),
  };
}

function wantedStateField(frame: Frame, name: string): FieldView {
  const index = frame.sheet.states.findIndex((state) => state.name === name);
  const state = frame.sheet.states[index];
  const values = valuesIn(frame.states[index] ?? 0).map((value) => state?.values[value] ?? '');
  return { kind: 'confirm_states', states: [{ state: name, title: state?.title ?? name, values }] };
}

function factField(frame: Frame, name: string): FieldView {
  const fact: FactSheet | undefined = frame.sheet.facts.find((one) => one.name === name);
  const only = frame.sheet.program.facts.find((one) => one.name === name)?.only;
  const choices = fact?.choices.filter((_, index) => only === undefined || only.includes(index)) ?? [];
  return {
    kind: 'fact', fact: name, title: fact?.title ?? plainWords(name), ...(fact?.from === undefined ? {} : { from: fact.from }), choices,
    unit: fact?.unit ?? '',
  };
}

/** The words of the one large button. */
function nextWords(walk: Walk, frame: Frame | undefined, field: FieldView | undefined): string {
  switch (field?.kind) {
    case undefined:
      return walk.stage === 'not_started' ? 'Begin' : '';
    case 'resume':
      return 'Resume';
    case 'acknowledge':
      return field.cautions.length === 1 ? 'I have read the caution' : 'I have read the cautions';
    case 'confirm_states':
      return walk.stage === 'ended' ? 'Put back' : 'It is so';
    case 'fact':
      return 'Enter';
    case 'answer':
    case 'reading':
      return field.kind === 'answer' ? 'Answer' : 'Judge the reading';
    case 'remedy':
      return 'Remedy carried out';
    case 'finish':
      return 'Write the record';
    case 'done': {
      const way = frame && stepSheetAtHand(frame)?.way;
      return way?.kind === 'step' ? `Done, on to step ${way.number}: ${way.title}` : 'Done';
    }
  }
}

/** 'step 7 of about 12': numbers are those of the written procedure. */
function positionOf(walk: Walk): { readonly position: string; readonly progress: number } {
  if (walk.stage === 'not_started') return { position: 'not begun', progress: 0 };
  if (walk.outcome !== undefined) return { position: 'at the end', progress: 1 };
  const words = walk.frames.map((frame) => {
    const sheet = stepSheetAtHand(frame);
    return sheet === undefined ? '' : `step ${sheet.number} of about ${lastNumber(frame.sheet, sheet.section)}`;
  });
  const main = walk.frames[0];
  const sheet = main && stepSheetAtHand(main);
  const last = main && sheet ? lastNumber(main.sheet, 'after_repair') : 0;
  return { position: words.join(', in it '), progress: sheet && last > 0 ? Math.min(1, (sheet.number - 1) / last) : 0 };
}

function lastNumber(sheet: ProcedureSheet, section: 'steps' | 'after_repair'): number {
  return sheet.steps.reduce((last, step) => (section === 'after_repair' || step.section === 'steps' ? Math.max(last, step.number) : last), 0);
}

function faultsLeft(frame: Frame): { name: string; title: string }[] {
  return faultNames(frame.sheet, frame.possible).map((name) => ({
    name, title: frame.sheet.faults.find((fault) => fault.name === name)?.title ?? name,
  }));
}

function defectView(run: Run, defect: Walk['defects'][number]): DefectView {
  const sheet = sheetNamed(run.document, defect.procedure);
  return {
    fault: defect.fault, title: defect.title, step: defect.step, procedure: sheet?.title ?? defect.procedure,
    ...(defect.grade === undefined ? {} : { grade: defect.grade }), ...(defect.remedy === undefined ? {} : { remedy: defect.remedy }),
  };
}

function remedyView(walk: Walk, frame: Frame): NonNullable<RunView['remedy']> {
  const fault = frame.sheet.faults[frame.found ?? -1];
  const fill = filler(walk, frame);
  return {
    fault: fault?.name ?? '', title: fault?.title ?? '',
    ...optional('remedy', fault?.remedy, fill),
    ...(fault?.cautions === undefined ? {} : { cautions: fault.cautions }), ...(fault?.qualified === undefined ? {} : { qualified: fault.qualified }),
    ...(fault?.time === undefined ? {} : { expectedSeconds: fault.time.seconds }),
    ...(fault?.procedure === undefined ? {} : { procedure: fault.procedure }),
    proof: proofOf(frame) !== undefined,
  };
}

function endingView(walk: Walk, frame: Frame | undefined): EndingView {
  const outcome = walk.outcome as NonNullable<Walk['outcome']>;
  const fill = frame ? filler(walk, frame) : (text: string) => text;
  const verdict = verdictOf(walk);
  return {
    kind: outcome.kind, words: fill(outcome.words), ...(outcome.fault === undefined ? {} : { fault: outcome.fault }),
    ...(verdict === undefined ? {} : { verdict }), disposition: useOfAsset(walk), use: useLines(walk),
    putBack: statesNotPutBack(walk),
  };
}

function walkedViews(run: Run, line: WalkLine): WalkedView[] {
  const possible = correctable(run);
  const base = { inside: line.inside, step: line.step, title: line.title, number: line.number };
  if (line.entries.length === 0) {
    const entry = line.event !== undefined && possible.has(line.event) ? { entry: line.event } : {};
    return [{
      ...base, ...entry, entered: line.words, ...(line.judgement === undefined ? {} : { judgement: line.judgement }), at: line.endedAt,
      ...(line.person === undefined ? {} : { person: line.person }), remarks: line.remarks, retype: false,
    }];
  }
  return line.entries.map((entry, index) => {
    const last = index === line.entries.length - 1;
    return {
      ...base, ...entryView(run, entry, possible), remarks: last ? line.remarks : [],
      ...(last && line.judgement !== undefined ? { judgement: line.judgement } : {}),
    };
  });
}

/** Entries at points of a step that is not complete. */
function partialViews(run: Run, frame: Frame): WalkedView[] {
  const sheet = stepSheetAtHand(frame);
  if (sheet === undefined || frame.partial.length === 0) return [];
  const possible = correctable(run);
  const base = { inside: run.walk.frames.map((one) => one.sheet.title), step: sheet.name, title: sheet.title, number: sheet.number };
  return frame.partial.map((entry) => ({ ...base, ...entryView(run, entry, possible), remarks: beyondRangeRemarks(sheet, [entry]) }));
}

function entryView(run: Run, entry: PointEntry, possible: ReturnType<typeof correctable>): Pick<
  WalkedView, 'entry' | 'point' | 'entered' | 'original' | 'at' | 'person' | 'retype'
> {
  const event = run.events[entry.event];
  const original = event && 'typed' in event && event.typed !== entry.typed ? event.typed : undefined;
  return {
    ...(possible.has(entry.event) ? { entry: entry.event } : {}), ...(entry.point === undefined ? {} : { point: entry.point }),
    entered: entry.words, ...(original === undefined ? {} : { original }), at: entry.at,
    ...(entry.person === undefined ? {} : { person: entry.person }), retype: possible.get(entry.event)?.retype ?? false,
  };
}
