/** What all parts of a run on a terminal share: the run, its journal, and how to ask and to say something. It knows no commands. */
import type { ChecklistDocument } from '../run/checklist-document.ts';
import { applyEvent, currentView, emptyRun, type Run, type RunEvent, type RunView } from '../run/engine.ts';
import { JournalError } from './journal.ts';
import type { OpenRun } from './record-files.ts';
import type { RunArguments, RunTerminal } from './run-terminal.ts';
import type { LineSource } from './run-terminal-input.ts';
import { shown, terminalStyle, wrapped, type TerminalStyle } from './run-terminal-text.ts';

/** Ends the run's program from wherever it is thrown. What was acknowledged is in the journal. */
export class Leave extends Error {
  readonly exit: number;

  constructor(exit: number, words: string) {
    super(words);
    this.exit = exit;
  }
}

export class TerminalSession {
  readonly given: RunArguments;
  readonly terminal: RunTerminal;
  readonly lines: LineSource;
  readonly style: TerminalStyle;
  document: ChecklistDocument;
  open: OpenRun | undefined;
  run: Run;

  constructor(given: RunArguments, terminal: RunTerminal, lines: LineSource) {
    this.given = given;
    this.terminal = terminal;
    this.lines = lines;
    this.document = given.document;
    this.run = emptyRun(given.document);
    this.style = terminalStyle(terminal.output.columns, terminal.colours, given.language, given.document);
  }

  view(): RunView {
    return this.style.view(currentView(this.run, this.now()));
  }

  /** ISO 8601 with the offset of this place. */
  now(): string {
    return localTime(this.terminal.now());
  }

  /** Takes an event, once it is on the disk; false where it was refused or could not be written. */
  apply(event: RunEvent): boolean {
    const next = applyEvent(this.run, event);
    if (next.problem !== undefined) {
      this.tell(next.problem);
      return false;
    }
    try {
      this.open?.journal.append(event);
    } catch (error) {
      if (!(error instanceof JournalError) || error.problem === 'other_writer' || error.problem === 'closed') throw error;
      this.tell(error.message);
      return false;
    }
    for (const remark of this.open?.journal.takeRemarks() ?? []) this.tell(remark);
    this.run = next;
    return true;
  }

  /** A line beside the entries; undefined where the input has ended. Throws Leave after Ctrl-C. */
  async ask(prompt: string): Promise<string | undefined> {
    const line = await this.lines.next(prompt);
    if (line.kind === 'interrupted') throw new Leave(130, `\n${this.style.words.interrupted}`);
    return line.kind === 'text' ? line.text : undefined;
  }

  /** A sentence of the run or of its files, in the language of the terminal. */
  tell(text: string): void {
    this.say(this.style.sentence(text));
  }

  say(text: string): void {
    this.write(`${wrapped(shown(text), this.style.width, '').join('\n')}\n`);
  }

  write(text: string): void {
    // Every terminal has the ordinary space; the others have done their work.
    this.terminal.output.write(text.replace(/\u00a0/g, ' '));
  }
}

/** ISO 8601 with the offset of this place: what an event carries. */
export function localTime(date: Date): string {
  const offset = -date.getTimezoneOffset();
  const two = (number: number): string => String(Math.floor(Math.abs(number))).padStart(2, '0');
  const local = new Date(date.getTime() + offset * 60_000).toISOString().slice(0, 19);
  return `${local}${offset < 0 ? '-' : '+'}${two(offset / 60)}:${two(offset % 60)}`;
}
