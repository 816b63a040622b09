/**
 * Takes one event into a walk: checks that it belongs here and now, understands what was typed, and moves the walk on. The walk
 * given is a copy that its caller may throw away.
 */
import { beyondRangeRemarks } from './beyond-range.ts';
import type { Condition } from '../flow/program.ts';
import type { ChecklistDocument, StepSheet } from './checklist-document.ts';
import type { AnswerEvent, PhotoEvent, ReadingEvent, RunEvent, StartedEvent } from './events.ts';
import { judgeEntries, meetsSeek, type Judgement } from './judge.ts';
import { calibrationRemarks, instrumentInHand } from './instrument-in-hand.ts';
import { andList, orList, plainWords } from './texts.ts';
import { answerChoices, understandAnswer, understandFact, understandReading } from './understand.ts';
import { advance } from './walk.ts';
import { acknowledgementKey, cautionsToAcknowledge, judgeContext, pointAtHand, setStates, statesToPutBack, unmetNeeds } from './walk-questions.ts';
import { addLine, completeRemedy, completeStep, takeEnding } from './walk-steps.ts';
import { frameAtHand, openFrame, stepSheetAtHand, type Frame, type PointEntry, type Walk } from './walk-state.ts';

/** Longest text that an entry, note or reason may have. */
const LONGEST_TEXT = 10_000;

/**
 * Takes `event`, the run's event number `index` from 0, into `walk`; `typed` counts in place of what the event says was typed.
 * Returns why it is refused, or undefined. After a refusal the walk given is to be thrown away.
 */
export function takeEvent(walk: Walk, event: RunEvent, index: number, typed: string | undefined): string | undefined {
  const problem = problemOfStage(walk, event) ?? problemOfTime(event) ?? problemOfLength(event);
  if (problem !== undefined) return problem;
  const person = event.person ?? walk.person;
  passTime(walk, event, index);
  return takeKind(walk, event, index, typed, person);
}

function takeKind(walk: Walk, event: RunEvent, index: number, typed: string | undefined, person: string | undefined): string | undefined {
  switch (event.kind) {
    case 'started':
      return start(walk, event);
    case 'acknowledged':
      return acknowledge(walk, event.cautions);
    case 'states_confirmed':
      return confirmStates(walk, event.states, index);
    case 'fact':
      return giveFact(walk, event.fact, typed ?? event.typed, { index, at: event.at, person });
    case 'answer':
    case 'reading':
      return enter(walk, event, typed ?? event.typed, index, person);
    case 'done':
      return done(walk, event.step, index);
    case 'remedy':
      if (walk.stage !== 'remedy') return 'No fault has been found, so there is no remedy to report.';
      completeRemedy(walk, event.carriedOut, event.text, index);
      advance(walk);
      return undefined;
    case 'note':
      if (event.text.trim() === '') return 'The note is empty.';
      walk.notes = [...walk.notes, { text: event.text, step: stepName(walk), at: event.at, person }];
      return undefined;
    case 'photo':
      if (!isFileName(event.name)) return 'A photo is given by its file name alone, without a folder.';
      return takePhoto(walk, event, person);
    case 'instrument':
      if (event.id.trim() === '') return 'The number of the instrument is missing.';
      walk.instruments = [
        ...walk.instruments, { instrument: event.instrument, id: event.id, calibratedUntil: event.calibratedUntil, at: event.at },
      ];
      return undefined;
    case 'wait_started':
      return startWait(walk, event.step, event.already === true, event.at);
    case 'paused':
      walk.paused = true;
      return undefined;
    case 'resumed':
      if (!walk.paused) return 'The run is not paused.';
      walk.paused = false;
      return undefined;
    case 'helper':
      return takeHelper(walk, event.who);
    case 'handed_over':
      if (event.to.trim() === '') return 'Say to whom the run is handed over.';
      walk.person = event.to;
      if (walk.helper === event.to) walk.helper = undefined;
      return undefined;
    case 'stopped':
      if (event.reason.trim() === '') return 'Say why the run is stopped.';
      walk.outcome = { kind: 'stopped', words: `Stopped before an ending: ${event.reason}`, fault: undefined, remedyCarriedOut: undefined };
      walk.stage = 'stopped';
      return undefined;
    case 'finished':
      if (walk.stage !== 'ended') return 'The run has not come to an ending. Stop it, with a reason, to leave it now.';
      walk.stage = 'finished';
      return undefined;
    case 'carried_over':
      if (!walk.former.has(event.was)) return 'A run is carried over to another text of its procedure only when it is opened.';
      walk.carriedOver = [...walk.carriedOver, {
        was: event.was, contentHash: event.contentHash, at: event.at, ...(event.wasRevision === undefined ? {} : { wasRevision: event.wasRevision }),
        ...(event.revision === undefined ? {} : { revision: event.revision }), ...(person === undefined ? {} : { person }),
      }];
      return undefined;
    case 'correction':
      return undefined;
  }
}

function problemOfStage(walk: Walk, event: RunEvent): string | undefined {
  if (event.kind === 'started') return walk.stage === 'not_started' ? undefined : 'The run has begun already.';
  if (walk.stage === 'not_started') return 'The run has not begun.';
  if (walk.stage === 'finished' || walk.stage === 'stopped') return 'The run is over. Begin a new one.';
  if (walk.paused && !['resumed', 'note', 'photo', 'helper', 'handed_over', 'stopped', 'carried_over'].includes(event.kind)) return 'The run is paused. Resume it first.';
  return undefined;
}

function problemOfTime(event: RunEvent): string | undefined {
  const shape = /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}(:\d{2}(\.\d+)?)?(Z|[+-]\d{2}:\d{2})$/;
  if (typeof event.at === 'string' && shape.test(event.at) && !Number.isNaN(Date.parse(event.at))) return undefined;
  return 'The time of the event is not in the form 2026-11-25T09:30:00+01:00.';
}

function problemOfLength(event: RunEvent): string | undefined {
  for (const text of Object.values(event)) {
    if (typeof text === 'string' && text.length > LONGEST_TEXT) return `The text is longer than ${LONGEST_TEXT} characters.`;
  }
  return undefined;
}

function passTime(walk: Walk, event: RunEvent, index: number): void {
  if (walk.lastAt !== undefined) {
    const passed = Date.parse(event.at) - Date.parse(walk.lastAt);
    if (passed < 0) {
      walk.clockRemarks = [...walk.clockRemarks, `Event ${index + 1} is dated ${Math.round(-passed / 1000)} s before the one it follows: a clock was set back.`];
    } else if (!walk.paused) {
      walk.workedMilliseconds += passed;
      walk.stepMilliseconds += passed;
    }
  }
  walk.lastAt = event.at;
}

function start(walk: Walk, event: StartedEvent): string | undefined {
  const { document } = walk;
  if (event.procedure !== document.procedure.name) return `The run is of ${event.procedure}, and this is ${document.procedure.name}.`;
  if (event.contentHash !== document.contentHash && !walk.former.has(event.contentHash)) return changedProcedure(document, event.revision);
  walk.asset = event.asset;
  walk.person = event.person;
  walk.startedAt = event.at;
  walk.calibrations = event.instruments ?? [];
  walk.stepSince = event.at;
  walk.facts = new Map(Object.entries(event.facts).map(([name, text]) => [name, { text, source: 'asset' as const }]));
  walk.frames = [openFrame(document.procedure, [])];
  advance(walk);
  return undefined;
}

/** Counted by the clock, pauses and all: what is waited for goes on meanwhile. */
function startWait(walk: Walk, step: string | undefined, already: boolean, at: string): string | undefined {
  const problem = problemBeforeEntry(walk, step);
  if (problem !== undefined) return problem;
  const sheet = stepSheetAtHand(frameAtHand(walk) as Frame) as StepSheet;
  if (sheet.wait === undefined) return `Step ${sheet.number}, ${sheet.title}, has no wait.`;
  walk.wait = { since: at, already };
  return undefined;
}

/** Why a run cannot go on with this text. */
export function changedProcedure(document: ChecklistDocument, revision: string | undefined): string {
  const was = revision === undefined ? 'an earlier text' : `revision ${revision}`;
  const is = document.procedure.revision === undefined ? '' : ` (now revision ${document.procedure.revision})`;
  return `The run was begun with ${was} of ${document.procedure.title}, which has been changed since${is}. Its readings were judged by the old text: stop the run and begin a new one.`;
}

/** Two people are two: nobody is the second beside himself. */
function takeHelper(walk: Walk, who: string): string | undefined {
  if (who.trim() === '') {
    if (walk.helper === undefined) return 'Nobody is on record as the second person.';
    walk.helper = undefined;
    return undefined;
  }
  if (who === walk.person) return 'The second person is someone else than the one who does the work.';
  walk.helper = who;
  return undefined;
}

/** The name of a picture is its own: one that is taken back may be taken anew. */
function takePhoto(walk: Walk, event: PhotoEvent, person: string | undefined): string | undefined {
  const others = walk.photos.filter((photo) => photo.name !== event.name);
  if (event.removed === true) {
    if (others.length === walk.photos.length) return `There is no photo ${event.name} to take back.`;
    walk.photos = others;
    return undefined;
  }
  if (event.digest !== undefined && !/^[0-9a-f]{64}$/.test(event.digest)) return 'The digest of a photo is a SHA-256 in lower-case hex.';
  const photo = { name: event.name, digest: event.digest, caption: event.caption, step: stepName(walk), at: event.at, person };
  if (event.digest !== undefined && others.length < walk.photos.length) return `There is a photo ${event.name} already.`;
  walk.photos = [...walk.photos, photo];
  return undefined;
}

function acknowledge(walk: Walk, cautions: readonly string[]): string | undefined {
  const frame = frameAtHand(walk);
  const sheet = frame && stepSheetAtHand(frame);
  if (frame === undefined || sheet === undefined || walk.stage !== 'step') return 'There is no step here with cautions.';
  const unknown = cautions.find((name) => !sheet.cautions.some((caution) => caution.name === name));
  if (unknown !== undefined) return `This step has no caution ${unknown}.`;
  if (cautions.length === 0) return 'No caution was named.';
  frame.acknowledgedHere = [...new Set([...frame.acknowledgedHere, ...cautions])];
  walk.acknowledged = new Set([...walk.acknowledged, ...cautions.map((caution) => acknowledgementKey(frame, caution))]);
  advance(walk);
  return undefined;
}

function confirmStates(walk: Walk, states: Readonly<Record<string, string>>, index: number): string | undefined {
  const frame = frameAtHand(walk);
  if (frame === undefined) return 'There is no step here that needs states.';
  const { program } = frame.sheet;
  for (const [name, value] of Object.entries(states)) {
    const state = program.states.find((one) => one.name === name);
    if (state === undefined) return `There is no state ${name} here.`;
    if (!state.values.includes(value)) return `${plainWords(name)} is ${orList(state.values)}, never ${value}.`;
  }
  let wanted: readonly Condition[] = walk.stage === 'ended' ? statesToPutBack(walk) : unmetNeeds(walk);
  if (walk.wantedState !== undefined) {
    const state = program.states.findIndex((one) => one.name === walk.wantedState);
    wanted = [{ state, values: (program.states[state]?.values ?? []).map((_, value) => value) }];
  } else if (walk.stage === 'step' && cautionsToAcknowledge(walk).length > 0) {
    return 'Read and acknowledge the cautions of this step first.';
  }
  if (wanted.length === 0) return 'Nothing needs to be brought about here.';
  for (const condition of wanted) {
    const state = program.states[condition.state];
    if (state === undefined) continue;
    const value = Object.hasOwn(states, state.name) ? state.values.indexOf(states[state.name] ?? '') : -1;
    const words = orList(condition.values.map((one) => plainWords(state.values[one] ?? '')));
    if (!condition.values.includes(value)) return `Say that ${plainWords(state.name)} is ${words}.`;
  }
  const named = wanted.map((condition) => program.states[condition.state]?.name ?? '');
  setStates(frame, Object.fromEntries(named.map((name) => [name, states[name] ?? ''])));
  addLine(walk, frame, {
    kind: 'states', entries: [], event: index, limits: [], results: [], judgement: undefined, remarks: [], instrument: undefined,
    words: `seen to: ${andList(named.map((name) => `${plainWords(name)} ${plainWords(states[name] ?? '')}`))}`,
  });
  advance(walk);
  return undefined;
}

function giveFact(walk: Walk, name: string, typed: string, given: { index: number; at: string; person: string | undefined }): string | undefined {
  const frame = frameAtHand(walk);
  const sheets = [...walk.frames].reverse().map((one) => one.sheet);
  const fact = sheets.flatMap((sheet) => sheet.facts).find((one) => one.name === name);
  if (frame === undefined || fact === undefined) return `There is no fact ${name} here.`;
  const known = walk.facts.get(name);
  if (known !== undefined && walk.wantedFact !== name) return `${fact.title} is known already: ${known.text}. Correct the entry that gave it.`;
  const only = sheets.flatMap((sheet) => sheet.program.facts).find((one) => one.name === name)?.only;
  const understood = understandFact(fact, typed, only?.map((index) => fact.choices[index] ?? ''));
  if ('problem' in understood) return understood.problem;
  walk.facts = new Map(walk.facts).set(name, { text: understood.text, source: 'given' });
  addLine(walk, frame, {
    kind: 'fact', event: given.index, limits: [], results: [], judgement: undefined, remarks: [], instrument: undefined,
    words: `${fact.title}: ${understood.text}`,
    entries: [{
      event: given.index, point: undefined, typed, understood: { kind: 'word', word: understood.text }, words: understood.text, at: given.at,
      person: given.person,
    }],
  });
  advance(walk);
  return undefined;
}

function done(walk: Walk, step: string | undefined, index: number): string | undefined {
  const problem = problemBeforeEntry(walk, step);
  if (problem !== undefined) return problem;
  const sheet = stepSheetAtHand(frameAtHand(walk) as Frame) as StepSheet;
  if (sheet.kind !== undefined && sheet.kind !== 'do') return `Step ${sheet.number}, ${sheet.title}, wants an entry.`;
  completeStep(walk, { entries: [], results: [], event: index, words: 'done', judgement: undefined, value: undefined, kind: 'step' });
  walk.judgement = undefined;
  advance(walk);
  return undefined;
}

/** An answer or a reading at the step at hand, or at one of its points. */
function enter(walk: Walk, event: AnswerEvent | ReadingEvent, typed: string, index: number, person: string | undefined): string | undefined {
  const problem = problemBeforeEntry(walk, event.step);
  if (problem !== undefined) return problem;
  const frame = frameAtHand(walk) as Frame;
  const sheet = stepSheetAtHand(frame) as StepSheet;
  if (sheet.kind === 'run') return reportEnding(walk, sheet, typed, index);
  if (event.kind === 'answer' && sheet.kind !== 'ask') return `Step ${sheet.number}, ${sheet.title}, wants ${sheet.kind === 'measure' ? 'a reading' : 'no answer'}.`;
  if (event.kind === 'reading' && sheet.kind !== 'measure') return `Step ${sheet.number}, ${sheet.title}, wants ${sheet.kind === 'ask' ? 'an answer' : 'no reading'}.`;
  const point = pointOf(frame, sheet, event.point);
  if (typeof point === 'object') return point.problem;
  if (typed.trim() === '') return 'Nothing was entered.';
  const understood = sheet.kind === 'measure' ? understandReading(sheet, typed) : understandAnswer(sheet, typed);
  if ('problem' in understood) return understood.problem;
  const entry: PointEntry = {
    event: index, point, typed, understood: understood.understood, words: understood.words, at: event.at, person,
  };
  const entries = [...frame.partial, entry];
  const context = judgeContext(walk, frame);
  const seeking = sheet.seek !== undefined && point !== undefined;
  const met = seeking ? meetsSeek(context, frame.step, entry) : false;
  if (typeof met === 'object') return met.problem;
  const complete = point === undefined || met || entries.length === sheet.points.length;
  if (!complete) {
    frame.partial = entries;
    walk.judgement = undefined;
    return undefined;
  }
  const judged = judgeEntries(context, frame.step, entries, met);
  const refused = problemOfJudgement(walk, judged);
  if (refused !== undefined) return refused;
  if (!('results' in judged)) return undefined;
  const inHand = sheet.instrument && instrumentInHand(walk, sheet.instrument.name);
  walk.judgement = undefined;
  completeStep(walk, {
    entries, results: judged.results, event: index, words: judged.words, judgement: judged.sentence, value: judged.value, kind: 'step',
    remarks: [...(judged.remarks ?? []), ...beyondRangeRemarks(sheet, entries), ...calibrationRemarks(inHand, event.at)],
    instrument: inHand?.id ?? sheet.instrument?.title, ...(inHand?.calibratedUntil === undefined ? {} : { calibratedUntil: inHand.calibratedUntil }),
    ...(met && point !== undefined ? { foundAt: sheet.points.find((one) => one.name === point)?.title ?? point } : {}),
  });
  advance(walk);
  return undefined;
}

function problemOfJudgement(walk: Walk, judged: Judgement): string | undefined {
  if ('problem' in judged) return judged.problem;
  if (!('wants' in judged)) return undefined;
  const frame = frameAtHand(walk) as Frame;
  const facts = judged.wants.map((name) => {
    const fact = frame.sheet.facts.find((one) => one.name === name);
    return `${fact?.title ?? plainWords(name)}${fact?.from ? ` (${fact.from})` : ''}`;
  });
  return `The limit needs ${andList(facts)}, which is not known. Give it first.`;
}

/** The point that an entry is for; a problem in words where there is none such. */
function pointOf(frame: Frame, sheet: StepSheet, named: string | undefined): string | undefined | { readonly problem: string } {
  if (sheet.points.length === 0) return named === undefined ? undefined : { problem: `This step has no point ${named}.` };
  const next = pointAtHand(frame);
  if (named === undefined) return next;
  const point = sheet.points.find((one) => one.name === named);
  if (point === undefined) return { problem: `This step has no point ${named}.` };
  if (frame.partial.some((entry) => entry.point === named)) return { problem: `${point.title} has been entered. Correct that entry.` };
  const title = sheet.points.find((one) => one.name === next)?.title;
  if (sheet.seek !== undefined && named !== next) return { problem: `The points are taken in turn: ${title} comes next.` };
  return named;
}

/** The ending of a procedure that nobody has here, reported by a person. */
function reportEnding(walk: Walk, sheet: StepSheet, typed: string, index: number): string | undefined {
  const match = /^\s*(?:(passed|referred)|(finds|raised)\s+([a-z][a-z0-9_]*))\s*$/i.exec(typed);
  if (match === null) {
    const choices = answerChoices(sheet).filter((choice) => choice !== 'otherwise');
    return `Say how ${sheet.run?.title ?? 'it'} ended: ${orList(choices.length > 0 ? choices : ['passed', 'referred'])}.`;
  }
  const ending = (match[1] ?? match[2] ?? '').toLowerCase() as 'passed' | 'referred' | 'finds' | 'raised';
  takeEnding(walk, ending, match[3], '', index);
  advance(walk);
  return undefined;
}

function problemBeforeEntry(walk: Walk, step: string | undefined): string | undefined {
  const frame = frameAtHand(walk);
  const sheet = frame && stepSheetAtHand(frame);
  if (walk.stage === 'ended') return 'The run has come to its ending. Nothing more can be entered.';
  if (walk.stage === 'remedy') return 'A fault is found: report its remedy first.';
  if (frame === undefined || sheet === undefined) return 'There is no step here.';
  if (step !== undefined && step !== sheet.name) return `The entry is for step ${step}, and the step at hand is ${sheet.name}.`;
  if (walk.wantedFact !== undefined) {
    const fact = frame.sheet.facts.find((one) => one.name === walk.wantedFact);
    return `${fact?.title ?? plainWords(walk.wantedFact)} must be known first${fact?.from ? `: see ${fact.from}` : ''}.`;
  }
  if (walk.wantedState !== undefined) return `Say first how ${plainWords(walk.wantedState)} is.`;
  if (cautionsToAcknowledge(walk).length > 0) return 'Read and acknowledge the cautions of this step first.';
  if (unmetNeeds(walk).length > 0) return 'Bring about the states that this step needs, and confirm them, first.';
  return undefined;
}

function stepName(walk: Walk): string {
  const frame = frameAtHand(walk);
  return (frame && stepSheetAtHand(frame)?.name) ?? '';
}

function isFileName(name: string): boolean {
  // eslint-disable-next-line no-control-regex
  return name.trim() !== '' && name.length <= 255 && !/[/\\:\u0000-\u001f\u007f]/.test(name) && name !== '.' && name !== '..';
}
