/** How a run on a terminal begins: anew, or with one that is unfinished. */
import { randomBytes } from 'node:crypto';
import { carriedOverWords } from '../run/carried-over-words.ts';
import { replayRun, startedEvent } from '../run/engine.ts';
import { changedProcedure } from '../run/take-event.ts';
import { beginRun, carryOverRun, discardRun, finishRun, newRunId, resumeRun, unfinishedRuns, type OpenRun, type UnfinishedRunFile } from './record-files.ts';
import { Leave, type TerminalSession } from './run-terminal-session.ts';

/** Begins a run, or goes on with an unfinished one of the same procedure and asset. Throws Leave and JournalError. */
export async function beginOrResume(session: TerminalSession): Promise<void> {
  const { records } = session.given;
  const { runs, problems } = unfinishedRuns(records);
  for (const problem of problems) session.say(problem);
  const asset = session.document.asset?.id;
  const own = runs.filter((run) => run.procedure === session.document.procedure.name && run.asset === asset);
  const others = asset === undefined ? [] : runs.filter((run) => run.asset === asset && !own.includes(run));
  for (const other of others) session.say(`Another run is under way on ${asset}: ${other.title}, begun ${when(other.startedAt)}${other.person ? ` by ${other.person}` : ''}.`);
  const [latest] = own;
  const unfinished = latest === undefined ? 'new' : await offerUnfinished(session, latest);
  if (unfinished !== 'new') return goOn(session, unfinished);
  const person = session.given.person ?? await session.ask('Your name or number: ');
  if (person === undefined) throw new Leave(2, '');
  session.open = beginRun(records, session.document, newRunId(session.terminal.now()));
  const named = person.trim() === '' ? {} : { person: person.trim() };
  if (!session.apply(startedEvent(session.document, { at: session.now(), salt: newSalt(), ...named }))) throw new Leave(2, '');
  session.say('Type \'help\' at any time to see what else you can type.');
}

/** Names of people are sealed with it, so that they can be taken out of the record later. */
function newSalt(): string {
  return randomBytes(16).toString('hex');
}

function goOn(session: TerminalSession, open: OpenRun): void {
  session.open = open;
  for (const remark of open.remarks) session.say(remark);
  // A run keeps the asset's data it was begun with, and the text that it goes by.
  session.document = open.document;
  session.run = replayRun(open.document, open.events).run;
  const { person } = session.given;
  if (open.events.length === 0 && !session.apply(startedEvent(open.document, { at: session.now(), salt: newSalt(), ...(person ? { person } : {}) }))) throw new Leave(2, '');
  if (session.run.walk.paused) session.apply({ kind: 'resumed', at: session.now() });
  if (person !== undefined && person !== session.run.walk.person) session.apply({ kind: 'handed_over', at: session.now(), to: person });
}

/**
 * Asks whether to go on with the unfinished run. Against a text that has changed since it began it is refused, unless it is to be
 * carried over and can be; it can be stopped, and its record written by the text it was begun with.
 */
async function offerUnfinished(session: TerminalSession, latest: UnfinishedRunFile): Promise<OpenRun | 'new'> {
  const { records, carryOver } = session.given;
  const changed = latest.contentHash !== session.document.contentHash;
  const by = latest.person ? ` by ${latest.person}` : '';
  session.say(`A run of this procedure${latest.asset ? ` on ${latest.asset}` : ''} is unfinished: begun ${when(latest.startedAt)}${by}, ${latest.events} events.`);
  if (changed && carryOver === true) {
    const carried = carriedOver(session, latest);
    if (carried !== undefined) return carried;
  } else if (changed) {
    session.say(changedProcedure(session.document, latest.revision));
    session.say('Where the steps walked so far are the same in both texts, it can be carried over: --carry-over');
  }
  const prompt = changed
    ? 'Type \'stop\' to stop it and write its record, \'new\' to begin a new run beside it, or \'discard\': '
    : 'Type \'resume\', \'new\' to begin a new run beside it, or \'discard\': ';
  for (;;) {
    const answer = (await session.ask(prompt))?.trim().toLowerCase();
    if (answer === undefined) throw new Leave(2, '');
    if (answer === 'new') return 'new';
    if (answer === 'resume' && !changed) return resumeRun(records, latest.runId);
    if (answer === 'stop' && changed) {
      const open = resumeRun(records, latest.runId);
      open.journal.append({ kind: 'stopped', at: session.now(), reason: 'The procedure was changed while the run was unfinished.' });
      session.say(`Its record: ${finishRun(open).path}`);
      return 'new';
    }
    if (answer === 'discard') {
      session.say(`Its journal is kept in ${discardRun(records, latest.runId)}.`);
      return 'new';
    }
  }
}

function carriedOver(session: TerminalSession, latest: UnfinishedRunFile): OpenRun | undefined {
  const { records, person } = session.given;
  const carried = carryOverRun(records, latest.runId, session.document, { at: session.now(), ...(person === undefined ? {} : { person }) });
  if ('problem' in carried) {
    session.say(`It cannot be carried over. ${carried.problem}`);
    return undefined;
  }
  const last = carried.events[carried.events.length - 1];
  if (last?.kind === 'carried_over') session.say(`${carriedOverWords(last)} The record says so.`);
  return carried;
}

/** A time of an event as people read it. */
function when(at: string | undefined): string {
  return at === undefined ? 'at an unknown time' : at.slice(0, 16).replace('T', ' ');
}
