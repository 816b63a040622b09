/**
 * The run: (run, event) → run. Pure and deterministic: time and identity come with the events. An event that cannot be taken is
 * refused with a problem in words and leaves everything as it was. Earlier events are never changed: a correction makes the walk
 * be computed again from them.
 */
import type { ChecklistDocument } from './checklist-document.ts';
import type { CorrectionEvent, RunEvent, StartedEvent } from './events.ts';
import { problemOfShape } from './event-shape.ts';
import { takeEvent } from './take-event.ts';
import { blurStates } from './walk-questions.ts';
import { correctable, type CountedEvent, type Run } from './run-state.ts';
import { copyWalk, emptyWalk, frameAtHand, programStepAtHand, stateWords, type Walk } from './walk-state.ts';

export type * from './events.ts';
export type * from './run-state.ts';
export type * from './view.ts';
export { correctable } from './run-state.ts';
export { currentView } from './view-of-run.ts';

export interface StartInfo {
  /** ISO 8601 with offset. */
  readonly at: string;
  readonly person?: string;
  /** Facts, as written, beyond those of the document's asset; they win over it. */
  readonly facts?: Readonly<Record<string, string>>;
  /** At least 128 random bits as text: names of people are sealed with it, so that they can be taken out later. */
  readonly salt?: string;
}

/** A run that has not begun: for replaying events. `former`: content hashes of texts that it was carried over from. */
export function emptyRun(document: ChecklistDocument, former: ReadonlySet<string> = new Set()): Run {
  return { document, events: [], counted: [], walk: emptyWalk(document, former), problem: undefined };
}

/** A run begun now on the document's asset. */
export function startRun(document: ChecklistDocument, info: StartInfo): Run {
  return applyEvent(emptyRun(document), startedEvent(document, info));
}

/** The first event of a run of this document. */
export function startedEvent(document: ChecklistDocument, info: StartInfo): StartedEvent {
  const facts = Object.fromEntries((document.asset?.facts ?? []).map((fact) => [fact.name, fact.value]));
  return {
    kind: 'started', at: info.at, ...(info.person === undefined ? {} : { person: info.person }), procedure: document.procedure.name,
    ...(document.procedure.revision === undefined ? {} : { revision: document.procedure.revision }),
    contentHash: document.contentHash, ...(document.asset === undefined ? {} : { asset: document.asset.id }),
    facts: { ...facts, ...info.facts },
    ...(document.calibrations === undefined ? {} : { instruments: document.calibrations }),
    ...(info.salt === undefined ? {} : { salt: info.salt }),
  };
}

export interface Replay {
  readonly run: Run;
  readonly refused: readonly { readonly index: number; readonly problem: string }[];
}

/** A run from its events, as a journal or a page's store holds them. An event that is refused is left out; `refused` says so. */
export function replayRun(document: ChecklistDocument, events: readonly RunEvent[]): Replay {
  let run = emptyRun(document, formerTexts(document, events));
  const refused: { index: number; problem: string }[] = [];
  events.forEach((event, index) => {
    const next = applyEvent(run, event);
    if (next.problem === undefined) run = next;
    else refused.push({ index, problem: next.problem });
  });
  return { run: { ...run, problem: undefined }, refused };
}

/** Content hashes that the events say the run was carried over from, up to the text of this document. */
function formerTexts(document: ChecklistDocument, events: readonly RunEvent[]): ReadonlySet<string> {
  const former = new Set<string>();
  let text = document.contentHash;
  for (const event of [...events].reverse()) {
    if (event.kind !== 'carried_over' || event.contentHash !== text) continue;
    former.add(event.was);
    text = event.was;
  }
  return former;
}

/** Takes an event. Where it is refused, `problem` says why and everything else is as before. */
export function applyEvent(run: Run, event: RunEvent): Run {
  const shape = problemOfShape(event);
  if (shape !== undefined) return { ...run, problem: shape };
  if (event.kind === 'correction') return correct(run, event);
  const walk = copyWalk(run.walk);
  const index = run.events.length;
  const place = placeOf(run.walk, event);
  const problem = takeEvent(walk, event, index, undefined);
  if (problem !== undefined) return { ...run, problem };
  return {
    document: run.document, events: [...run.events, event], counted: [...run.counted, { kind: 'event', index, typed: undefined, place }], walk,
    problem: undefined,
  };
}

function correct(run: Run, event: CorrectionEvent): Run {
  const problem = correctionProblem(run, event);
  if (problem !== undefined) return { ...run, problem };
  const at = run.counted.findIndex((counted) => counted.kind === 'event' && counted.index === event.of);
  const events = [...run.events, event];
  const index = run.events.length;
  const before = run.counted.slice(0, at);
  const corrected = run.counted[at] as CountedEvent & { kind: 'event' };
  const rest = run.counted.slice(at + 1);
  const wanted = event.typed === undefined
    ? [...before, ...rest.filter((counted) => !movesTheWalk(events, counted))]
    : [...before, { ...corrected, typed: event.typed }, ...rest];
  const again = countAgain(run, events, wanted);
  if (event.typed !== undefined && !again.counted.some((counted) => counted.kind === 'event' && counted.index === event.of)) {
    return { ...run, problem: again.problem ?? 'This entry cannot be put right so.' };
  }
  const walk = again.walk;
  // The correction itself takes time, and whoever makes it is on record.
  const problemOfTime = takeEvent(walk, event, index, undefined);
  if (problemOfTime !== undefined) return { ...run, problem: problemOfTime };
  const states = changedStates(run.walk, walk);
  const counted: CountedEvent[] = [...again.counted, { kind: 'event', index, typed: undefined, place: '' }];
  if (states.size > 0) {
    blurStates(walk, states);
    counted.push({ kind: 'uncertain', index, states });
  }
  return { document: run.document, events, counted, walk, problem: undefined };
}

function correctionProblem(run: Run, event: CorrectionEvent): string | undefined {
  const { stage, paused } = run.walk;
  if (stage === 'not_started') return 'The run has not begun.';
  if (stage === 'finished' || stage === 'stopped') return 'The run is over. Nothing in it can be corrected.';
  if (paused) return 'The run is paused. Resume it first.';
  const possible = correctable(run).get(event.of);
  if (possible === undefined) return 'There is no entry there that still counts, so there is nothing to correct.';
  if (event.typed !== undefined && !possible.retype) return 'This can be taken back, but not entered anew in its place.';
  return undefined;
}

/** Computes the walk again from counted events. From the first that no longer belongs to it, only those that do not move it count. */
function countAgain(
  run: Run, events: readonly RunEvent[], wanted: readonly CountedEvent[],
): { walk: Walk; counted: CountedEvent[]; problem: string | undefined } {
  let walk = emptyWalk(run.document, run.walk.former);
  const counted: CountedEvent[] = [];
  let problem: string | undefined;
  for (const one of wanted) {
    if (one.kind === 'uncertain') {
      const next = copyWalk(walk);
      blurStates(next, one.states);
      walk = next;
      counted.push(one);
      continue;
    }
    const event = events[one.index] as RunEvent;
    const moves = movesTheWalk(events, one);
    if (moves && (problem !== undefined || placeOf(walk, event) !== one.place)) {
      problem ??= 'The walk no longer comes to the entry.';
      continue;
    }
    const next = copyWalk(walk);
    const refused = takeEvent(next, event, one.index, one.typed);
    if (refused !== undefined) {
      if (moves) problem ??= refused;
      continue;
    }
    walk = next;
    counted.push(one);
  }
  return { walk, counted, problem };
}

function movesTheWalk(events: readonly RunEvent[], counted: CountedEvent): boolean {
  if (counted.kind === 'uncertain') return false;
  switch (events[counted.index]?.kind) {
    case 'acknowledged':
    case 'states_confirmed':
    case 'fact':
    case 'answer':
    case 'reading':
    case 'done':
    case 'remedy':
      return true;
    default:
      return false;
  }
}

/** Where the walk is, for an event that may count only there. */
function placeOf(walk: Walk, event: RunEvent): string {
  if (event.kind === 'fact') return 'fact';
  const steps = walk.frames.map((frame) => {
    const step = programStepAtHand(frame);
    return `${frame.sheet.name}:${step?.name ?? ''}:${frame.done[frame.step] ?? 0}`;
  });
  const point = event.kind === 'answer' || event.kind === 'reading' ? (event.point ?? '') : '';
  return `${walk.stage}/${steps.join('/')}/${event.kind}/${point}`;
}

/** State → values it had, where the walk computed again comes to others. */
function changedStates(before: Walk, after: Walk): Map<string, readonly string[]> {
  const changed = new Map<string, readonly string[]>();
  const now = new Map<string, readonly string[]>();
  for (const frame of after.frames) for (const [name, values] of Object.entries(stateWords(frame))) now.set(name, values);
  const had = frameAtHand(before);
  const known = new Map<string, readonly string[]>();
  for (const frame of before.frames) for (const [name, values] of Object.entries(stateWords(frame))) known.set(name, values);
  if (had) for (const [name, values] of Object.entries(stateWords(had))) known.set(name, values);
  for (const [name, values] of known) {
    const present = now.get(name);
    if (present === undefined || present.join('|') !== values.join('|')) changed.set(name, values);
  }
  return changed;
}
