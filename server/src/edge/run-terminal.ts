/**
 * A run on a terminal: reads lines, shows text, and puts every event on the disk before it counts. What may be entered and what
 * follows from it, the engine says.
 */
import { readFileSync } from 'node:fs';
import picocolors from 'picocolors';
import type { ChecklistDocument } from '../run/checklist-document.ts';
import { applyEvent, currentView, emptyRun, replayRun, startedEvent, type FieldView, type Run, type RunEvent, type RunView } from '../run/engine.ts';
import { durationWords, plainWords } from '../run/texts.ts';
import { JournalError } from './journal.ts';
import { beginRun, finishRun, newRunId, resumeRun, unfinishedRuns, type OpenRun, type UnfinishedRunFile } from './record-files.ts';
import { commandIn, numbered } from './run-terminal-commands.ts';
import { scriptedLines, terminalLines, type LineSource } from './run-terminal-input.ts';
import { offerUnfinished, when } from './run-terminal-unfinished.ts';
import { entriesText, headText, HELP_TEXT, promptText, shown, terminalStyle, viewText, wrapped, type TerminalStyle } from './run-terminal-text.ts';

export interface RunArguments {
  /** The checklist, for the asset where one was named. */
  readonly document: ChecklistDocument;
  /** The records folder. */
  readonly records: string;
  readonly person?: string;
  /** A file of answers, one a line; `-` for standard input. Without it, a terminal is needed. */
  readonly answers?: string;
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
  try {
    return await new TerminalRun(given, terminal, lines).run();
  } catch (error) {
    if (!(error instanceof JournalError)) throw error;
    output.write(`${shown(error.message)}\n`);
    return 2;
  } finally {
    lines.close();
  }
}

/** `stay`: what is asked for has not changed, and need not be shown again. */
type Step = 'go_on' | 'stay' | { readonly exit: number };

class TerminalRun {
  readonly #given: RunArguments;
  readonly #terminal: RunTerminal;
  readonly #lines: LineSource;
  readonly #style: TerminalStyle;
  #document: ChecklistDocument;
  #open: OpenRun | undefined;
  #run: Run;
  #timer: NodeJS.Timeout | undefined;
  /** The faults last shown as possible: shown again when they change. */
  #faultsShown = '';
  /** Where it was last said that a wait is not over. */
  #warnedAt: string | undefined;

  constructor(given: RunArguments, terminal: RunTerminal, lines: LineSource) {
    this.#given = given;
    this.#terminal = terminal;
    this.#lines = lines;
    this.#document = given.document;
    this.#run = emptyRun(given.document);
    this.#style = terminalStyle(terminal.output.columns, terminal.colours);
  }

  async run(): Promise<number> {
    this.#write(headText(this.#document, this.#style));
    if (this.#document.procedure.steps.length === 0) {
      this.#say('This procedure has no steps. There is nothing to run.');
      return 2;
    }
    const begun = await this.#begin();
    if (typeof begun === 'object') return begun.exit;
    try {
      return await this.#loop();
    } finally {
      clearTimeout(this.#timer);
      this.#open?.journal.close();
    }
  }

  async #loop(): Promise<number> {
    let show = true;
    for (;;) {
      const view = this.#view();
      if (view.stage === 'finished' || view.stage === 'stopped') return this.#finish();
      if (show) {
        this.#write(viewText(view, this.#style, this.#faultsChanged(view)));
        this.#countDown(view);
      }
      const line = await this.#lines.next(promptText(view.field));
      clearTimeout(this.#timer);
      if (line.kind === 'interrupted') return this.#leave('\nInterrupted.', 130);
      if (line.kind === 'end') return this.#leave('\nThe input has ended before the run did.', 2);
      const before = this.#run;
      if (this.#entersTooSoon(line.text.trim(), view)) {
        show = false;
        continue;
      }
      const step = await this.#take(line.text, view);
      if (typeof step === 'object') return step.exit;
      show = step !== 'stay' && this.#run !== before;
      if (show) this.#sayRemarks(before);
      if (show && this.#view().judgement !== undefined && this.#view().judgement !== view.judgement) {
        this.#write(`${wrapped(shown(this.#view().judgement ?? ''), this.#style.width, '= ').map(this.#style.strong).join('\n')}\n`);
      }
    }
  }

  /** Before a wait is over, an entry is taken only when it is given twice. */
  #entersTooSoon(typed: string, view: RunView): boolean {
    const wait = view.step?.waitSeconds ?? 0;
    const asked = view.field?.kind === 'done' || view.field?.kind === 'reading' || view.field?.kind === 'answer';
    const passed = this.#view().stepSeconds;
    if (this.#given.answers !== undefined || !asked || passed >= wait || commandIn(typed, view.field) !== undefined) return false;
    const place = `${this.#run.events.length}`;
    if (this.#warnedAt === place) return false;
    this.#warnedAt = place;
    this.#say(`The wait is ${durationWords(wait)}, and ${durationWords(passed)} have passed. Wait, or enter it again to have it recorded so.`);
    return true;
  }

  /** Remarks on entries that have come since. */
  #sayRemarks(before: Run): void {
    const known = new Set(before.walk.lines);
    for (const line of this.#run.walk.lines) if (!known.has(line)) for (const remark of line.remarks) this.#say(`! ${remark}`);
  }

  /** A line: an entry that is asked for, or one of the commands. */
  async #take(text: string, view: RunView): Promise<Step> {
    const typed = text.trim();
    const command = commandIn(typed, view.field);
    if (command !== undefined) return this.#command(command.word, command.rest, view);
    const events = await this.#eventsFor(view.field, typed);
    for (const event of events) if (!this.#apply(event)) break;
    return 'go_on';
  }

  async #command(word: string, rest: string, view: RunView): Promise<Step> {
    const at = this.#now();
    switch (word) {
      case 'help':
        this.#write(HELP_TEXT);
        return 'stay';
      case 'show':
        this.#write(viewText(view, this.#style, true));
        return 'stay';
      case 'note':
        if (this.#apply({ kind: 'note', at, text: rest })) this.#say('Noted.');
        return 'stay';
      case 'photo':
        if (this.#apply({ kind: 'photo', at, name: rest })) this.#say('Noted.');
        return 'stay';
      case 'instrument':
        this.#instrument(rest, view, at);
        return 'stay';
      case 'hand over':
        if (this.#apply({ kind: 'handed_over', at, to: rest })) this.#say(`From here on: ${shown(rest)}.`);
        return 'stay';
      case 'back':
        this.#back(view, at);
        return 'go_on';
      case 'correct':
        await this.#correct(rest, view);
        return 'go_on';
      case 'pause':
        if (!this.#apply({ kind: 'paused', at })) return 'go_on';
        return { exit: this.#leave('Paused.', 0) };
      default: {
        const reason = rest !== '' ? rest : await this.#ask('Why is it stopped? ');
        if (reason !== undefined && this.#apply({ kind: 'stopped', at, reason })) return 'go_on';
        return 'go_on';
      }
    }
  }

  async #eventsFor(field: FieldView | undefined, typed: string): Promise<RunEvent[]> {
    const at = this.#now();
    switch (field?.kind) {
      case 'acknowledge':
        if (/^(read|yes|y)$/i.test(typed)) return [{ kind: 'acknowledged', cautions: field.cautions, at }];
        this.#say('Read the cautions, then type \'read\'.');
        return [];
      case 'confirm_states':
        return this.#confirmation(field, typed, at);
      case 'done':
        if (typed === '' || /^(done|yes|y|ok)$/i.test(typed)) return [{ kind: 'done', step: field.step, at }];
        this.#say('Press Enter when the step is done, or type \'help\'.');
        return [];
      case 'answer':
        return [{ kind: 'answer', step: field.step, ...point(field), typed: numbered(typed, field.choices.map((choice) => choice.value)), at }];
      case 'reading':
        return [{ kind: 'reading', step: field.step, ...point(field), typed, at }];
      case 'fact':
        return [{ kind: 'fact', fact: field.fact, typed: numbered(typed, field.choices), at }];
      case 'remedy': {
        const match = /^(done|yes|later|no)\b[\s:,]*(.*)$/is.exec(typed);
        if (match === null) {
          this.#say('Type \'done\' when the remedy is carried out, or \'later\' and why it is not.');
          return [];
        }
        const carriedOut = /^(done|yes)$/i.test(match[1] ?? '');
        return [{ kind: 'remedy', carriedOut, at, ...(match[2] ? { text: match[2] } : {}) }];
      }
      case 'finish':
        return [{ kind: 'finished', at }];
      case 'resume':
        return [{ kind: 'resumed', at }];
      case undefined:
        return [];
    }
  }

  async #confirmation(field: FieldView & { kind: 'confirm_states' }, typed: string, at: string): Promise<RunEvent[]> {
    const states: Record<string, string> = {};
    const several = field.states.filter((state) => state.values.length > 1);
    if (several.length === 0 && !/^(yes|y|done|ok)$/i.test(typed)) {
      this.#say('Type \'yes\' when it is so.');
      return [];
    }
    for (const state of field.states) {
      if (state.values.length === 1) states[state.state] = state.values[0] ?? '';
    }
    for (const [index, state] of several.entries()) {
      const words = `${shown(state.title)} (${state.values.map((value, at) => `${at + 1} ${plainWords(value)}`).join(', ')}): `;
      const answer = index === 0 && typed !== '' ? typed : await this.#ask(words);
      if (answer === undefined) return [];
      const value = numbered(answer, state.values);
      states[state.state] = state.values.find((one) => plainWords(one).toLowerCase() === plainWords(value).toLowerCase()) ?? value;
    }
    return [{ kind: 'states_confirmed', states, at }];
  }

  #instrument(rest: string, view: RunView, at: string): void {
    const match = /^(.*?)(?:\s+until\s+(\d{4}-\d{2}-\d{2}))?$/.exec(rest.trim());
    const instrument = view.step?.instrument;
    if (instrument === undefined) {
      this.#say('This step uses no instrument.');
      return;
    }
    const event: RunEvent = { kind: 'instrument', instrument: instrument.name, id: match?.[1] ?? rest, at, ...(match?.[2] ? { calibratedUntil: match[2] } : {}) };
    if (this.#apply(event)) this.#say(`${shown(instrument.title)}: ${shown(match?.[1] ?? rest)}.`);
  }

  #back(view: RunView, at: string): void {
    const last = view.walked.filter((line) => line.entry !== undefined).at(-1);
    if (last?.entry === undefined) {
      this.#say('There is no entry to take back.');
      return;
    }
    if (this.#apply({ kind: 'correction', of: last.entry, at })) this.#say(`Taken back: step ${last.number}, ${shown(last.title)}, ${shown(last.entered)}. It stays in the record.`);
  }

  async #correct(rest: string, view: RunView): Promise<void> {
    const entries = view.walked.filter((line) => line.entry !== undefined);
    const match = /^(\d+)\s*(.*)$/s.exec(rest.trim());
    const line = match === null ? undefined : entries[Number(match[1]) - 1];
    if (line?.entry === undefined) {
      this.#write(entriesText(view));
      if (entries.length > 0) this.#say('Type \'correct\', the number of the entry and what it should be: correct 1 12.4 V');
      return;
    }
    if (!line.retype) {
      this.#say('That was done, not typed. It can be taken back with all that came after it: type \'back\' until it is open again.');
      return;
    }
    const typed = match?.[2]?.trim() || await this.#ask(`Step ${line.number}, ${shown(line.title)}, was ${shown(line.entered)}. It should be: `);
    if (typed === undefined || typed.trim() === '') return;
    if (this.#apply({ kind: 'correction', of: line.entry, typed, at: this.#now() })) this.#say(`Corrected. The first entry, ${shown(line.entered)}, stays in the record.`);
  }

  /** Takes an event, once it is on the disk; false where it was refused or could not be written. */
  #apply(event: RunEvent): boolean {
    const next = applyEvent(this.#run, event);
    if (next.problem !== undefined) {
      this.#say(next.problem);
      return false;
    }
    try {
      this.#open?.journal.append(event);
    } catch (error) {
      if (!(error instanceof JournalError) || error.problem === 'other_writer') throw error;
      this.#say(error.message);
      return false;
    }
    this.#run = next;
    return true;
  }

  /** Begins a run, or goes on with one that is unfinished. */
  async #begin(): Promise<Step> {
    const { records } = this.#given;
    const { runs, problems } = unfinishedRuns(records);
    for (const problem of problems) this.#say(problem);
    const asset = this.#document.asset?.id;
    const own = runs.filter((run) => run.procedure === this.#document.procedure.name && run.asset === asset);
    const others = asset === undefined ? [] : runs.filter((run) => run.asset === asset && !own.includes(run));
    for (const other of others) this.#say(`Another run is under way on ${asset}: ${other.title}, begun ${when(other.startedAt)}${other.person ? ` by ${other.person}` : ''}.`);
    const [latest] = own;
    if (latest !== undefined) {
      const talk = { ask: (prompt: string) => this.#ask(prompt), say: (text: string) => this.#say(text), now: () => this.#now() };
      const offered = await offerUnfinished(latest, this.#document, records, talk);
      if (offered === 'leave') return { exit: 2 };
      if (offered === 'resume') return this.#resume(latest);
    }
    const person = this.#given.person ?? await this.#ask('Your name or number: ');
    if (person === undefined) return { exit: this.#leave('', 2) };
    const open = beginRun(records, this.#document, newRunId(this.#terminal.now()));
    this.#open = open;
    const named = person.trim() === '' ? {} : { person: person.trim() };
    if (!this.#apply(startedEvent(this.#document, { at: this.#now(), ...named }))) return { exit: 2 };
    this.#say('Type \'help\' at any time to see what else you can type.');
    return 'go_on';
  }

  #resume(latest: UnfinishedRunFile): Step {
    const open = resumeRun(this.#given.records, latest.runId);
    this.#open = open;
    for (const remark of open.remarks) this.#say(remark);
    // A run keeps the text and the asset's data it was begun with.
    this.#document = open.document;
    this.#run = replayRun(open.document, open.events).run;
    if (open.events.length === 0 && !this.#apply(startedEvent(open.document, { at: this.#now(), ...(this.#given.person ? { person: this.#given.person } : {}) }))) return { exit: 2 };
    if (this.#run.walk.paused) this.#apply({ kind: 'resumed', at: this.#now() });
    const { person } = this.#given;
    if (person !== undefined && person !== this.#run.walk.person) this.#apply({ kind: 'handed_over', at: this.#now(), to: person });
    return 'go_on';
  }

  #finish(): number {
    const open = this.#open as OpenRun;
    const { path, record } = finishRun(open);
    this.#open = undefined;
    this.#write(`\n${wrapped(shown(record.outcome.words), this.#style.width, '').map(this.#style.strong).join('\n')}\n`);
    this.#say(record.outcome.disposition);
    if (record.notPutBack.length > 0) this.#say(`Not put back: ${record.notPutBack.join('; ')}.`);
    this.#write(`Record: ${shown(path)}\n`);
    return 0;
  }

  #leave(words: string, exit: number): number {
    if (words !== '') this.#write(`${words}\n`);
    if (this.#open !== undefined) {
      const how = this.#given.resumeCommand === undefined ? 'run the same procedure on the same asset again.' : this.#given.resumeCommand;
      this.#say(`Everything entered is kept. To resume: ${how}`);
    }
    return exit;
  }

  /** A line beside the entries; undefined where none comes. */
  async #ask(prompt: string): Promise<string | undefined> {
    const line = await this.#lines.next(prompt);
    return line.kind === 'text' ? line.text : undefined;
  }

  #faultsChanged(view: RunView): boolean {
    const faults = view.faultsLeft.map((fault) => fault.name).join();
    const changed = faults !== this.#faultsShown && this.#faultsShown !== '';
    this.#faultsShown = faults;
    return changed;
  }

  #countDown(view: RunView): void {
    const seconds = (view.step?.waitSeconds ?? 0) - view.stepSeconds;
    const asked = view.field?.kind === 'done' || view.field?.kind === 'reading' || view.field?.kind === 'answer';
    if (seconds <= 0 || !asked || this.#given.answers !== undefined) return;
    this.#timer = setTimeout(() => this.#lines.interject('\u0007\nThe wait is over.\n'), seconds * 1000);
  }

  #view(): RunView {
    return currentView(this.#run, this.#now());
  }

  #now(): string {
    return localTime(this.#terminal.now());
  }

  #say(text: string): void {
    this.#write(`${wrapped(shown(text), this.#style.width, '').join('\n')}\n`);
  }

  #write(text: string): void {
    // Every terminal has the ordinary space; the others have done their work.
    this.#terminal.output.write(text.replace(/\u00a0/g, ' '));
  }
}

/** ISO 8601 with the offset of this place: what an event carries. */
export function localTime(date: Date): string {
  const offset = -date.getTimezoneOffset();
  const two = (number: number): string => String(Math.floor(Math.abs(number))).padStart(2, '0');
  const local = new Date(date.getTime() + offset * 60_000).toISOString().slice(0, 19);
  return `${local}${offset < 0 ? '-' : '+'}${two(offset / 60)}:${two(offset % 60)}`;
}

function point(field: { readonly point?: string }): { readonly point?: string } {
  return field.point === undefined ? {} : { point: field.point };
}

function answersText(name: string): string | undefined {
  try {
    return readFileSync(name === '-' ? 0 : name, 'utf8');
  } catch {
    return undefined;
  }
}

