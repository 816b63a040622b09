/** What the words beside an entry do: notes, photos, instruments, facts, second person, handing over, taking back, correcting, stopping. */
import { basename } from 'node:path';
import type { RunEvent, RunView } from '../run/engine.ts';
import { plainWords } from '../run/texts.ts';
import { JournalError } from './journal-error.ts';
import { keepPictureFile } from './picture-files.ts';
import type { TerminalSession } from './run-terminal-session.ts';
import { entriesText, factsText, shown, viewText } from './run-terminal-text.ts';
import type { CommandWord } from './run-terminal-words.ts';

/** `stay`: what is asked for has not changed, and need not be shown again. `pause`: the run is to be left. `clock`: the longest time begins. */
export async function takeCommand(session: TerminalSession, word: CommandWord, rest: string, view: RunView): Promise<'go_on' | 'stay' | 'pause' | 'clock'> {
  const at = session.now();
  const { words } = session.style;
  switch (word) {
    case 'help':
      session.write(words.help);
      return 'stay';
    case 'show':
      session.write(viewText(view, session.style, true));
      return 'stay';
    case 'note':
      if (session.apply({ kind: 'note', at, text: rest })) session.say(words.noted);
      return 'stay';
    case 'photo':
      photo(session, rest, at);
      return 'stay';
    case 'instrument':
      instrument(session, rest, view, at);
      return 'stay';
    case 'fact':
      return fact(session, rest, at) ? 'go_on' : 'stay';
    case 'helper':
      await helper(session, rest, view, at);
      return 'stay';
    case 'handover': {
      const to = rest !== '' ? rest : await session.ask(words.prompts.toWhom);
      if (to !== undefined && session.apply({ kind: 'handed_over', at, to: to.trim() })) session.say(words.handedOver(shown(to)));
      return 'stay';
    }
    case 'back':
      back(session, view, at);
      return 'go_on';
    case 'correct':
      await correct(session, rest, view);
      return 'go_on';
    case 'clock':
      if (view.step?.maxSeconds !== undefined) return 'clock';
      session.say(words.clockNone);
      return 'stay';
    case 'kept':
      if (session.apply({ kind: 'wait_started', at, already: true })) session.say(words.waitKept);
      return 'stay';
    case 'pause':
      return session.apply({ kind: 'paused', at }) ? 'pause' : 'go_on';
    case 'stop': {
      const reason = rest !== '' ? rest : await session.ask(words.prompts.whyStopped);
      if (reason !== undefined) session.apply({ kind: 'stopped', at, reason });
      return 'go_on';
    }
  }
}

/** A picture that is there is kept and recorded with its digest; one that is not, by its name alone. */
function photo(session: TerminalSession, rest: string, at: string): void {
  const { words } = session.style;
  if (session.open === undefined) return;
  try {
    const kept = rest === '' ? undefined : keepPictureFile(session.open.records, session.open.runId, rest);
    if (!session.apply({ kind: 'photo', at, ...(kept ?? { name: basename(rest) }) })) return;
    session.say(kept === undefined ? words.photoByName(shown(rest)) : words.photoKept);
  } catch (error) {
    if (!(error instanceof JournalError)) throw error;
    session.tell(error.message);
  }
}

async function helper(session: TerminalSession, rest: string, view: RunView, at: string): Promise<void> {
  const { words } = session.style;
  const who = rest !== '' || view.helper !== undefined ? rest : await session.ask(words.prompts.helper);
  if (who === undefined || !session.apply({ kind: 'helper', at, who: who.trim() })) return;
  session.say(who.trim() === '' ? words.alone : words.helperNow(shown(who.trim())));
}

function instrument(session: TerminalSession, rest: string, view: RunView, at: string): void {
  const match = /^(.*?)(?:\s+(?:until|bis)\s+(\d{4}-\d{2}-\d{2}))?$/.exec(rest.trim());
  const { words } = session.style;
  const own = view.step?.instrument;
  if (own === undefined) {
    session.say(words.noInstrument);
    return;
  }
  const event: RunEvent = { kind: 'instrument', instrument: own.name, id: match?.[1] ?? rest, at, ...(match?.[2] ? { calibratedUntil: match[2] } : {}) };
  if (!session.apply(event)) return;
  const now = session.view().step?.instrument;
  const until = now?.calibratedUntil === undefined ? '' : `, ${words.calibratedUntil(now.calibratedUntil, now.calibration === 'overdue')}`;
  session.say(`${shown(own.title)}: ${shown(match?.[1] ?? rest)}${until}.`);
}

/** `fact tilt_sensor fitted`, or the words of its name; without a value, all facts are shown. True where one was given. */
function fact(session: TerminalSession, rest: string, at: string): boolean {
  const facts = session.run.walk.frames.flatMap((frame) => frame.sheet.facts);
  const typed = plainWords(rest).toLowerCase();
  const named = [...facts].sort((a, b) => b.name.length - a.name.length).find((one) => typed === plainWords(one.name) || typed.startsWith(`${plainWords(one.name)} `));
  const value = named === undefined ? '' : rest.trim().slice(named.name.length).trim();
  if (named === undefined || value === '') {
    session.write(factsText(session.run, session.style));
    if (named === undefined && rest !== '') session.say(session.style.words.noFact(shown(facts[0]?.name ?? 'NAME')));
    return false;
  }
  return session.apply({ kind: 'fact', fact: named.name, typed: value, at });
}

function back(session: TerminalSession, view: RunView, at: string): void {
  const last = view.walked.filter((line) => line.entry !== undefined).at(-1);
  if (last?.entry === undefined) {
    session.say(session.style.words.nothingToTakeBack);
    return;
  }
  if (session.apply({ kind: 'correction', of: last.entry, at })) {
    session.say(session.style.words.takenBack(last.number, shown(last.title), shown(last.entered)));
  }
}

async function correct(session: TerminalSession, rest: string, view: RunView): Promise<void> {
  const { words } = session.style;
  const entries = view.walked.filter((line) => line.entry !== undefined);
  const match = /^(\d+)\s*(.*)$/s.exec(rest.trim());
  const line = match === null ? undefined : entries[Number(match[1]) - 1];
  if (line?.entry === undefined) {
    session.write(entriesText(view, session.style));
    if (entries.length > 0) session.say(words.correctHow);
    return;
  }
  if (!line.retype) {
    session.say(words.onlyBack);
    return;
  }
  const typed = match?.[2]?.trim() || await session.ask(words.prompts.corrected(line.number, shown(line.title), shown(line.entered)));
  if (typed === undefined || typed.trim() === '') return;
  if (session.apply({ kind: 'correction', of: line.entry, typed, at: session.now() })) session.say(words.correctedTo(shown(line.entered)));
}
