/** How a run on a terminal begins: anew, or with one that is unfinished. */
import { randomBytes } from 'node:crypto';
import { carriedOverWords } from '../run/carried-over-words.ts';
import { replayRun, startedEvent } from '../run/engine.ts';
import { changedProcedure } from '../run/take-event.ts';
import { durationWords } from '../run/texts.ts';
import { beginRun, carryOverRun, discardRun, finishRun, giveUpEmpty, newRunId, resumeRun, unfinishedRuns, type OpenRun, type UnfinishedRunFile } from './record-files.ts';
import { busyRun } from './busy-asset.ts';
import { Leave, type TerminalSession } from './run-terminal-session.ts';
import type { TerminalWords } from './run-terminal-words.ts';

/** Begins a run, or goes on with an unfinished one of the same procedure and asset. Throws Leave and JournalError. */
export async function beginOrResume(session: TerminalSession): Promise<void> {
  const { records } = session.given;
  const { runs, problems } = unfinishedRuns(records);
  const { words } = session.style;
  for (const problem of problems) session.tell(problem);
  const asset = session.document.asset?.id;
  const own = runs.filter((run) => run.procedure === session.document.procedure.name && run.asset === asset);
  const others = asset === undefined ? [] : runs.filter((run) => run.asset === asset && !own.includes(run));
  for (const other of others) session.say(words.otherRun(asset ?? '', other.title, when(other.startedAt, words), other.person));
  const [latest] = own;
  const unfinished = latest === undefined ? 'new' : await offerUnfinished(session, latest);
  if (unfinished !== 'new') return goOn(session, unfinished);
  await askWhereBusy(session, own);
  const person = session.given.person ?? await session.ask(words.prompts.name);
  if (person === undefined) throw new Leave(2, '');
  session.open = beginRun(records, session.document, newRunId(session.terminal.now()));
  const named = person.trim() === '' ? {} : { person: person.trim() };
  if (!session.apply(startedEvent(session.document, { at: session.now(), salt: newSalt(), ...named }))) {
    giveUpEmpty(session.open);
    session.open = undefined;
    throw new Leave(2, '');
  }
  session.say(words.helpHint);
}

/** A run on an asset that another procedure is working on is begun only where that is meant. */
async function askWhereBusy(session: TerminalSession, own: readonly UnfinishedRunFile[]): Promise<void> {
  const { words } = session.style;
  const asset = session.document.asset?.id;
  const busy = busyRun(session.given.records, asset, (run) => own.some((one) => one.runId === run.runId), session.terminal.now());
  if (busy === undefined || asset === undefined) return;
  session.say(words.busy(asset, durationWords(busy.seconds)));
  const answer = await session.ask(words.prompts.busy);
  if (answer?.trim().toLowerCase() !== words.begin && answer?.trim().toLowerCase() !== 'begin') throw new Leave(2, '');
}

/** Names of people are sealed with it, so that they can be taken out of the record later. */
function newSalt(): string {
  return randomBytes(16).toString('hex');
}

function goOn(session: TerminalSession, open: OpenRun): void {
  session.open = open;
  for (const remark of open.remarks) session.tell(remark);
  // A run keeps the asset's data it was begun with, and the text that it goes by.
  session.document = open.document;
  session.run = replayRun(open.document, open.events).run;
  const { person } = session.given;
  if (open.events.length === 0 && !session.apply(startedEvent(open.document, { at: session.now(), salt: newSalt(), ...(person ? { person } : {}) }))) throw new Leave(2, '');
  if (session.run.walk.paused) session.apply({ kind: 'resumed', at: session.now() });
  if (person !== undefined && person !== session.run.walk.person) session.apply({ kind: 'handed_over', at: session.now(), to: person });
  // Whoever takes over a run must not work on under another's name unawares.
  else if (open.events.length > 0 && session.run.walk.person !== undefined) session.say(session.style.words.goesOnAs(session.run.walk.person));
}

/**
 * Asks whether to go on with the unfinished run. Against a text that has changed since it began it is refused, unless it is to be
 * carried over and can be; it can be stopped, and its record written by the text it was begun with.
 */
async function offerUnfinished(session: TerminalSession, latest: UnfinishedRunFile): Promise<OpenRun | 'new'> {
  const { records, carryOver } = session.given;
  const { words } = session.style;
  const changed = latest.contentHash !== session.document.contentHash;
  session.say(words.unfinished(latest.asset, when(latest.startedAt, words), latest.person, latest.events));
  if (changed && carryOver === true) {
    const carried = carriedOver(session, latest);
    if (carried !== undefined) return carried;
  } else if (changed) {
    session.tell(changedProcedure(session.document, latest.revision));
    session.say(words.carryOverHint);
  }
  for (;;) {
    const answer = (await session.ask(changed ? words.prompts.changed : words.prompts.unfinished))?.trim().toLowerCase();
    if (answer === undefined) throw new Leave(2, '');
    const means = (own: string, english: string): boolean => answer === own || answer === english;
    if (means(words.fresh, 'new')) return 'new';
    if (means(words.resume, 'resume') && !changed) return resumeRun(records, latest.runId);
    if (means(words.stop, 'stop') && changed) {
      session.say(words.itsRecord(stopped(session, latest.runId)));
      return 'new';
    }
    if (means(words.discard, 'discard')) {
      session.say(words.journalKept(discardRun(records, latest.runId)));
      return 'new';
    }
  }
}

/** Stops an unfinished run and writes its record; returns where. What stands in its journal already is not written again. */
function stopped(session: TerminalSession, runId: string): string {
  const open = resumeRun(session.given.records, runId);
  try {
    const { stage } = replayRun(open.document, open.events).run.walk;
    if (stage !== 'finished' && stage !== 'stopped') {
      open.journal.append({ kind: 'stopped', at: session.now(), reason: session.style.words.changedReason });
    }
    return finishRun(open).path;
  } finally {
    open.journal.close();
  }
}

function carriedOver(session: TerminalSession, latest: UnfinishedRunFile): OpenRun | undefined {
  const { records, person } = session.given;
  const carried = carryOverRun(records, latest.runId, session.document, { at: session.now(), ...(person === undefined ? {} : { person }) });
  if ('problem' in carried) {
    session.say(session.style.words.notCarriedOver(session.style.sentence(carried.problem)));
    return undefined;
  }
  const last = carried.events[carried.events.length - 1];
  if (last?.kind === 'carried_over') session.say(session.style.words.carriedOver(session.style.sentence(carriedOverWords(last))));
  return carried;
}

/** A time of an event as people read it. */
function when(at: string | undefined, words: TerminalWords): string {
  return at === undefined ? words.unknownTime : at.slice(0, 16).replace('T', ' ');
}
