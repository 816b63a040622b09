/** What the words beside an entry do: notes, photos, instruments, facts, handing over, taking back, correcting, stopping. */
import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { basename } from 'node:path';
import type { RunEvent, RunView } from '../run/engine.ts';
import { plainWords } from '../run/texts.ts';
import type { TerminalSession } from './run-terminal-session.ts';
import { entriesText, factsText, HELP_TEXT, shown, viewText } from './run-terminal-text.ts';

/** `stay`: what is asked for has not changed, and need not be shown again. `pause`: the run is to be left. */
export async function takeCommand(session: TerminalSession, word: string, rest: string, view: RunView): Promise<'go_on' | 'stay' | 'pause'> {
  const at = session.now();
  switch (word) {
    case 'help':
      session.write(HELP_TEXT);
      return 'stay';
    case 'show':
      session.write(viewText(view, session.style, true));
      return 'stay';
    case 'note':
      if (session.apply({ kind: 'note', at, text: rest })) session.say('Noted.');
      return 'stay';
    case 'photo':
      photo(session, rest, at);
      return 'stay';
    case 'instrument':
      instrument(session, rest, view, at);
      return 'stay';
    case 'fact':
      return fact(session, rest, at) ? 'go_on' : 'stay';
    case 'hand over': {
      const to = rest !== '' ? rest : await session.ask('To whom? ');
      if (to !== undefined && session.apply({ kind: 'handed_over', at, to })) session.say(`From here on: ${shown(to)}.`);
      return 'stay';
    }
    case 'back':
      back(session, view, at);
      return 'go_on';
    case 'correct':
      await correct(session, rest, view);
      return 'go_on';
    case 'pause':
      return session.apply({ kind: 'paused', at }) ? 'pause' : 'go_on';
    default: {
      const reason = rest !== '' ? rest : await session.ask('Why is it stopped? ');
      if (reason !== undefined) session.apply({ kind: 'stopped', at, reason });
      return 'go_on';
    }
  }
}

/** A picture that is there is recorded with its digest; one that is not, by its name alone. */
function photo(session: TerminalSession, rest: string, at: string): void {
  const event = { kind: 'photo' as const, at, name: basename(rest) };
  const digest = digestOf(rest);
  if (session.apply({ ...event, ...(digest === undefined ? {} : { digest }) })) {
    session.say(digest === undefined ? `Noted by its name. There is no file ${shown(rest)} here; keep it with the record.` : 'Noted, with the digest of the file.');
  }
}

function digestOf(path: string): string | undefined {
  try {
    return createHash('sha256').update(readFileSync(path)).digest('hex');
  } catch {
    return undefined;
  }
}

function instrument(session: TerminalSession, rest: string, view: RunView, at: string): void {
  const match = /^(.*?)(?:\s+until\s+(\d{4}-\d{2}-\d{2}))?$/.exec(rest.trim());
  const own = view.step?.instrument;
  if (own === undefined) {
    session.say('This step uses no instrument.');
    return;
  }
  const event: RunEvent = { kind: 'instrument', instrument: own.name, id: match?.[1] ?? rest, at, ...(match?.[2] ? { calibratedUntil: match[2] } : {}) };
  if (!session.apply(event)) return;
  const now = session.view().step?.instrument;
  const until = now?.calibratedUntil === undefined ? '' : `, calibrated until ${now.calibratedUntil}${now.calibration === 'overdue' ? ', which is over' : ''}`;
  session.say(`${shown(own.title)}: ${shown(match?.[1] ?? rest)}${until}.`);
}

/** `fact tilt_sensor fitted`, or the words of its name; without a value, all facts are shown. True where one was given. */
function fact(session: TerminalSession, rest: string, at: string): boolean {
  const facts = session.run.walk.frames.flatMap((frame) => frame.sheet.facts);
  const words = plainWords(rest).toLowerCase();
  const named = [...facts].sort((a, b) => b.name.length - a.name.length).find((one) => words === plainWords(one.name) || words.startsWith(`${plainWords(one.name)} `));
  const value = named === undefined ? '' : rest.trim().slice(named.name.length).trim();
  if (named === undefined || value === '') {
    session.write(factsText(session.run));
    if (named === undefined && rest !== '') session.say(`There is no fact of that name. Type 'fact', its name and its value: fact ${facts[0]?.name ?? 'NAME'} VALUE`);
    return false;
  }
  return session.apply({ kind: 'fact', fact: named.name, typed: value, at });
}

function back(session: TerminalSession, view: RunView, at: string): void {
  const last = view.walked.filter((line) => line.entry !== undefined).at(-1);
  if (last?.entry === undefined) {
    session.say('There is no entry to take back.');
    return;
  }
  if (session.apply({ kind: 'correction', of: last.entry, at })) session.say(`Taken back: step ${last.number}, ${shown(last.title)}, ${shown(last.entered)}. It stays in the record.`);
}

async function correct(session: TerminalSession, rest: string, view: RunView): Promise<void> {
  const entries = view.walked.filter((line) => line.entry !== undefined);
  const match = /^(\d+)\s*(.*)$/s.exec(rest.trim());
  const line = match === null ? undefined : entries[Number(match[1]) - 1];
  if (line?.entry === undefined) {
    session.write(entriesText(view));
    if (entries.length > 0) session.say('Type \'correct\', the number of the entry and what it should be: correct 1 12.4 V');
    return;
  }
  if (!line.retype) {
    session.say('That was done, not typed. It can be taken back with all that came after it: type \'back\' until it is open again.');
    return;
  }
  const typed = match?.[2]?.trim() || await session.ask(`Step ${line.number}, ${shown(line.title)}, was ${shown(line.entered)}. It should be: `);
  if (typed === undefined || typed.trim() === '') return;
  if (session.apply({ kind: 'correction', of: line.entry, typed, at: session.now() })) session.say(`Corrected. The first entry, ${shown(line.entered)}, stays in the record.`);
}
