/**
 * A run on a terminal: reads lines, shows text, and puts every event on the disk before it counts. What may be entered and what
 * follows from it, the engine says.
 */
import { readFileSync } from 'node:fs';
import picocolors from 'picocolors';
import type { ChecklistDocument } from '../run/checklist-document.ts';
import type { Run, RunView } from '../run/engine.ts';
import { durationWords } from '../run/texts.ts';
import { JournalError } from './journal.ts';
import { finishRun, type OpenRun } from './record-files.ts';
import { commandIn } from './run-terminal-commands.ts';
import { eventsFor } from './run-terminal-entries.ts';
import { scriptedLines, terminalLines, type LineSource } from './run-terminal-input.ts';
import { Leave, TerminalSession } from './run-terminal-session.ts';
import { takeCommand } from './run-terminal-side.ts';
import { countdownText, headText, promptText, shown, viewText, wrapped } from './run-terminal-text.ts';
import { beginOrResume } from './run-terminal-unfinished.ts';

export { localTime } from './run-terminal-session.ts';

export interface RunArguments {
  /** The checklist, for the asset where one was named. */
  readonly document: ChecklistDocument;
  /** The records folder. */
  readonly records: string;
  readonly person?: string;
  /** A file of answers, one a line; `-` for standard input. Without it, a terminal is needed. */
  readonly answers?: string;
  /** Carry an unfinished run over to the text as it is now, where the rule allows it (run/carry-over.ts). */
  readonly carryOver?: boolean;
  /** The command that resumes this run, as a person would type it. */
  readonly resumeCommand?: string;
}

export interface RunTerminal {
  readonly input: NodeJS.ReadableStream & { readonly isTTY?: boolean };
  readonly output: NodeJS.WritableStream & { readonly isTTY?: boolean; readonly columns?: number };
  readonly now: () => Date;
  readonly colours: boolean;
}

/** The terminal of this process. */
export function processTerminal(): RunTerminal {
  const { input, output } = { input: process.stdin, output: process.stdout };
  return { input, output, now: () => new Date(), colours: Boolean(output.isTTY) && picocolors.isColorSupported && process.env['TERM'] !== 'dumb' };
}

/**
 * Runs a checklist. Returns the exit code: 0 finished, stopped or paused; 2 it could not be run, or the input ended; 130 after
 * Ctrl-C. Whatever happens, what was acknowledged is in the journal.
 */
export async function runCommand(given: RunArguments, terminal: RunTerminal): Promise<number> {
  const { output } = terminal;
  let lines: LineSource;
  if (given.answers !== undefined) {
    const text = answersText(given.answers);
    if (text === undefined) {
      output.write(`The answers in ${shown(given.answers)} could not be read. Name a text file with one answer a line.\n`);
      return 2;
    }
    lines = scriptedLines(text, output);
  } else if (terminal.input.isTTY && output.isTTY) {
    lines = terminalLines(terminal.input, output, process.env['TERM'] === 'dumb');
  } else {
    output.write('A run needs a terminal to ask at, and there is none here. Start it in a terminal, or give a file of answers: --answers FILE.\n');
    return 2;
  }
  const session = new TerminalSession(given, terminal, lines);
  try {
    return await new TerminalRun(session).run();
  } catch (error) {
    if (error instanceof Leave) return left(session, error);
    if (!(error instanceof JournalError)) throw error;
    output.write(`${shown(error.message)}\n`);
    return 2;
  } finally {
    session.open?.journal.close();
    lines.close();
  }
}

class TerminalRun {
  readonly #session: TerminalSession;
  #timer: NodeJS.Timeout | undefined;
  /** The faults last shown as possible: shown again when they change. */
  #faultsShown = '';
  /** Where it was last said that a wait is not over. */
  #warnedAt: string | undefined;

  constructor(session: TerminalSession) {
    this.#session = session;
  }

  async run(): Promise<number> {
    const session = this.#session;
    session.write(headText(session.document, session.style));
    if (session.document.procedure.steps.length === 0) {
      session.say('This procedure has no steps. There is nothing to run.');
      return 2;
    }
    await beginOrResume(session);
    try {
      return await this.#loop();
    } finally {
      clearInterval(this.#timer);
    }
  }

  async #loop(): Promise<number> {
    const session = this.#session;
    let show = true;
    for (;;) {
      const view = session.view();
      if (view.stage === 'finished' || view.stage === 'stopped') return finish(session);
      if (show) session.write(viewText(view, session.style, this.#faultsChanged(view)));
      this.#countDown(view);
      const line = await session.lines.next(promptText(view.field));
      clearInterval(this.#timer);
      if (line.kind === 'interrupted') throw new Leave(130, '\nInterrupted.');
      if (line.kind === 'end') throw new Leave(2, '\nThe input has ended before the run did.');
      const before = session.run;
      if (this.#entersTooSoon(line.text.trim(), view)) {
        show = false;
        continue;
      }
      const stay = await this.#take(line.text.trim(), view);
      show = !stay && session.run !== before;
      if (show) this.#sayWhatFollows(before, view);
    }
  }

  /** A line: an entry that is asked for, or one of the commands. True where what is asked for has not changed. */
  async #take(typed: string, view: RunView): Promise<boolean> {
    const session = this.#session;
    const command = commandIn(typed, view.field);
    if (command !== undefined) {
      const taken = await takeCommand(session, command.word, command.rest, view);
      if (taken === 'pause') throw new Leave(0, 'Paused.');
      return taken === 'stay';
    }
    for (const event of await eventsFor(session, view.field, typed)) if (!session.apply(event)) break;
    return false;
  }

  /** Before a wait is over, an entry is taken only when it is given twice. */
  #entersTooSoon(typed: string, view: RunView): boolean {
    const session = this.#session;
    const wait = view.step?.waitSeconds ?? 0;
    const passed = session.view().stepSeconds;
    if (session.given.answers !== undefined || !asksForEntry(view) || passed >= wait || commandIn(typed, view.field) !== undefined) return false;
    const place = `${session.run.events.length}`;
    if (this.#warnedAt === place) return false;
    this.#warnedAt = place;
    session.say(`The wait is ${durationWords(wait)}, and ${durationWords(passed)} have passed. Wait, or enter it again to have it recorded so.`);
    return true;
  }

  /** Remarks on entries that have come since, and what the last one came to. */
  #sayWhatFollows(before: Run, view: RunView): void {
    const session = this.#session;
    const known = new Set(before.walk.lines);
    for (const line of session.run.walk.lines) if (!known.has(line)) for (const remark of line.remarks) session.say(`! ${remark}`);
    const { judgement } = session.view();
    if (judgement === undefined || judgement === view.judgement) return;
    session.write(`${wrapped(shown(judgement), session.style.width, '= ').map(session.style.strong).join('\n')}\n`);
  }

  #faultsChanged(view: RunView): boolean {
    const faults = view.faultsLeft.map((fault) => fault.name).join();
    const changed = faults !== this.#faultsShown && this.#faultsShown !== '';
    this.#faultsShown = faults;
    return changed;
  }

  /** Shows what is left of a wait before the cursor, each second, and rings when it is over. */
  #countDown(view: RunView): void {
    const session = this.#session;
    const wait = view.step?.waitSeconds ?? 0;
    if (wait - view.stepSeconds <= 0 || !asksForEntry(view) || session.given.answers !== undefined) return;
    const prompt = promptText(view.field);
    const tick = (): void => {
      const left = wait - session.view().stepSeconds;
      if (left > 0) return session.lines.refresh(`${countdownText(left)} ${prompt}`);
      clearInterval(this.#timer);
      session.lines.refresh(prompt);
      session.lines.interject('\u0007\nThe wait is over.\n');
    };
    this.#timer = setInterval(tick, 1_000);
  }
}

function asksForEntry(view: RunView): boolean {
  return view.field?.kind === 'done' || view.field?.kind === 'reading' || view.field?.kind === 'answer';
}

function finish(session: TerminalSession): number {
  const { path, record } = finishRun(session.open as OpenRun);
  session.open = undefined;
  session.write(`\n${wrapped(shown(record.outcome.words), session.style.width, '').map(session.style.strong).join('\n')}\n`);
  session.say(record.outcome.disposition);
  if (record.notPutBack.length > 0) session.say(`Not put back: ${record.notPutBack.join('; ')}.`);
  session.write(`Record: ${shown(path)}\n`);
  return 0;
}

function left(session: TerminalSession, leave: Leave): number {
  if (leave.message !== '') session.write(`${leave.message}\n`);
  if (session.open !== undefined) {
    const how = session.given.resumeCommand === undefined ? 'run the same procedure on the same asset again.' : session.given.resumeCommand;
    session.say(`Everything entered is kept. To resume: ${how}`);
  }
  return leave.exit;
}

function answersText(name: string): string | undefined {
  try {
    return readFileSync(name === '-' ? 0 : name, 'utf8');
  } catch {
    return undefined;
  }
}
