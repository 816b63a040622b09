/**
 * A run on a terminal: reads lines, shows text, and puts every event on the disk before it counts. What may be entered and what
 * follows from it, the engine says.
 */
import { readFileSync } from 'node:fs';
import picocolors from 'picocolors';
import type { ChecklistDocument } from '../run/checklist-document.ts';
import type { Run, RunView } from '../run/engine.ts';
import { JournalError } from './journal.ts';
import { finishRun, type OpenRun } from './record-files.ts';
import { commandIn } from './run-terminal-commands.ts';
import { eventsFor } from './run-terminal-entries.ts';
import { scriptedLines, terminalLines, type LineSource } from './run-terminal-input.ts';
import { Leave, TerminalSession } from './run-terminal-session.ts';
import { takeCommand } from './run-terminal-side.ts';
import { headText, promptText, shown, viewText, wrapped } from './run-terminal-text.ts';
import { TerminalTimers } from './run-terminal-timers.ts';
import { beginOrResume } from './run-terminal-unfinished.ts';
import { terminalLanguage, type Language } from './run-terminal-words.ts';

export { localTime } from './run-terminal-session.ts';

/** Longer ones are refused before anything is made of them. */
const LONGEST_LINE = 10_000;

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
  /** What the runner itself says; the procedure keeps its own language. English without it. */
  readonly language?: Language;
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
  const { words, sentence } = terminalLanguage(given.language);
  let lines: LineSource;
  if (given.answers !== undefined) {
    const text = answersText(given.answers);
    if (text === undefined) {
      output.write(`${words.answersUnreadable(shown(given.answers))}\n`);
      return 2;
    }
    lines = scriptedLines(text, output);
  } else if (terminal.input.isTTY && output.isTTY) {
    lines = terminalLines(terminal.input, output, process.env['TERM'] === 'dumb');
  } else {
    output.write(`${words.noTerminal}\n`);
    return 2;
  }
  const session = new TerminalSession(given, terminal, lines);
  try {
    return await new TerminalRun(session).run();
  } catch (error) {
    if (error instanceof Leave) return left(session, error);
    if (!(error instanceof JournalError)) throw error;
    output.write(`${shown(sentence(error.message))}\n`);
    return left(session, new Leave(2, ''));
  } finally {
    session.open?.journal.close();
    lines.close();
  }
}

class TerminalRun {
  readonly #session: TerminalSession;
  readonly #timers: TerminalTimers;
  /** The faults and defects last shown: shown again when they change. */
  #faultsShown = '';

  constructor(session: TerminalSession) {
    this.#session = session;
    this.#timers = new TerminalTimers(session);
  }

  async run(): Promise<number> {
    const session = this.#session;
    session.write(headText(session.document, session.style));
    if (session.document.procedure.steps.length === 0) {
      session.say(session.style.words.noSteps);
      return 2;
    }
    await beginOrResume(session);
    try {
      return await this.#loop();
    } finally {
      this.#timers.stop();
    }
  }

  async #loop(): Promise<number> {
    const session = this.#session;
    let show = true;
    for (;;) {
      const view = session.view();
      if (view.stage === 'finished' || view.stage === 'stopped') return finish(session);
      if (show) session.write(viewText(view, session.style, this.#faultsChanged(view)));
      this.#timers.start(view);
      const line = await session.lines.next(promptText(view.field, session.style, this.#timers.waiting(view)));
      this.#timers.stop();
      if (line.kind === 'interrupted') throw new Leave(130, `\n${session.style.words.interrupted}`);
      if (line.kind === 'end') throw new Leave(2, `\n${session.style.words.inputEnded}`);
      const before = session.run;
      const stay = await this.#take(line.text.trim(), view);
      show = !stay && session.run !== before;
      this.#sayWhatFollows(before, view);
    }
  }

  /** A line: an entry that is asked for, or one of the commands. True where what is asked for has not changed. */
  async #take(typed: string, view: RunView): Promise<boolean> {
    const session = this.#session;
    const { words } = session.style;
    if (typed.length > LONGEST_LINE) {
      session.tell(`The text is longer than ${LONGEST_LINE} characters.`);
      return true;
    }
    const command = commandIn(typed, view.field, words);
    if (command !== undefined) {
      const taken = await takeCommand(session, command.word, command.rest, view);
      if (taken === 'pause') throw new Leave(0, words.pausedNow);
      if (taken === 'clock') this.#timers.hold(view);
      return taken !== 'go_on';
    }
    if (typed === '' && this.#timers.waiting(view)) {
      session.apply({ kind: 'wait_started', at: session.now(), ...(view.step === undefined ? {} : { step: view.step.name }) });
      return true;
    }
    if (this.#timers.tooSoon(view)) return true;
    for (const event of await eventsFor(session, view.field, typed)) if (!session.apply(event)) break;
    return false;
  }

  /** What has come since: remarks on entries, a clock set back, and what the last entry came to. */
  #sayWhatFollows(before: Run, view: RunView): void {
    const session = this.#session;
    if (session.run === before) return;
    const { sentence } = session.style;
    const known = new Set(before.walk.lines);
    const remarks = session.run.walk.lines.filter((line) => !known.has(line)).flatMap((line) => line.remarks);
    for (const remark of [...remarks, ...session.run.walk.clockRemarks.slice(before.walk.clockRemarks.length)]) session.say(`! ${sentence(remark)}`);
    // A point of a step that is not complete is no line yet.
    const { walked } = session.view();
    if (session.run.walk.lines.length === before.walk.lines.length && walked.length > view.walked.length) for (const remark of walked.at(-1)?.remarks ?? []) session.say(`! ${remark}`);
    // Taking an entry back brings up what stood before it: nothing new.
    if (session.run.walk.lines.length < before.walk.lines.length) return;
    const { judgement } = session.view();
    if (judgement === undefined || judgement === view.judgement) return;
    session.write(`${wrapped(shown(judgement), session.style.width, '= ').map(session.style.strong).join('\n')}\n`);
  }

  #faultsChanged(view: RunView): boolean {
    const faults = [...view.faultsLeft.map((fault) => fault.name), ...view.defects.map((defect) => `+${defect.fault}`)].join();
    const changed = faults !== this.#faultsShown && this.#faultsShown + faults !== '';
    const first = this.#faultsShown === '' && view.defects.length === 0;
    this.#faultsShown = faults;
    return changed && !first;
  }
}

function finish(session: TerminalSession): number {
  const { path, record } = finishRun(session.open as OpenRun);
  session.open = undefined;
  const { style } = session;
  session.write(`\n${wrapped(shown(style.sentence(record.outcome.words)), style.width, '').map(style.strong).join('\n')}\n`);
  session.tell(record.outcome.disposition);
  if (record.notPutBack.length > 0) session.say(style.words.notPutBack(record.notPutBack.map(style.sentence).join('; ')));
  session.write(`${style.words.record(shown(path))}\n`);
  return 0;
}

function left(session: TerminalSession, leave: Leave): number {
  if (leave.message !== '') session.write(`${leave.message}\n`);
  if (session.open !== undefined) session.say(session.style.words.kept(session.given.resumeCommand));
  return leave.exit;
}

function answersText(name: string): string | undefined {
  try {
    return readFileSync(name === '-' ? 0 : name, 'utf8');
  } catch {
    return undefined;
  }
}
