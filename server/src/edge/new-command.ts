/**
 * `faultwright new`: asks the questions of a new procedure on a terminal, or takes their answers from a file, and writes the
 * procedure.
 */
import { existsSync, readFileSync, statSync } from 'node:fs';
import { writeFile } from 'node:fs/promises';
import { resolve } from 'node:path';
import { Workspace } from '../analysis/workspace.ts';
import {
  countQuestions,
  filledIn,
  newProcedure,
  nextQuestion,
  placeIn,
  problemWith,
  type NewPlace,
  type Question,
} from '../features/new-procedure.ts';
import { harmlessLine } from '../render/harmless-text.ts';
import { CannotRun, type CommandEnvironment } from './command-environment.ts';
import { pathShownFrom } from './file-workspace.ts';
import { findFilesAround, forwardSlashes } from './find-files.ts';
import { readTextFile, reasonOf } from './read-text-file.ts';
import { scriptedLines, terminalLines, type LineSource } from './run-terminal-input.ts';

export interface NewOptions {
  /** A file of answers, one a line; `-` for standard input. */
  readonly answers?: string;
  /** Prints the procedure and writes no file. */
  readonly print?: boolean;
}

/** 0 written; 2 it could not be done, or the input ended; 130 after Ctrl-C. */
export async function newCommand(
  folder: string,
  { answers, print }: NewOptions,
  environment: CommandEnvironment,
): Promise<number> {
  const root = forwardSlashes(resolve(environment.cwd, folder));
  if (!existsSync(root) || !statSync(root).isDirectory()) throw new CannotRun(`There is no folder ${harmlessLine(folder)}.`);
  const place = placeIn(await libraryAround(root), root);
  const lines = linesFrom(answers, environment);
  try {
    const given = await ask(place, lines, environment);
    if (typeof given === 'number') return given;
    const { file, text, findings } = newProcedure(place, given);
    const shown = harmlessLine(pathShownFrom(environment.cwd)(file));
    if (print) environment.out(text);
    else {
      try {
        await writeFile(file, text, { flag: 'wx' });
      } catch (error) {
        throw new CannotRun(
          (error as { code?: string }).code === 'EEXIST'
            ? `${shown} is there already, and is left as it is. Give the procedure another name.`
            : `${shown} could not be written. ${reasonOf(error)}`,
        );
      }
      environment.error(`Written: ${shown}\n`);
    }
    for (const { message } of findings) environment.error(`To resolve: ${harmlessLine(message)}\n`);
    return 0;
  } finally {
    lines.close();
  }
}

/** The files that bear on a new file in a folder. */
export async function libraryAround(folder: string): Promise<Workspace> {
  const workspace = new Workspace();
  for (const path of await findFilesAround(`${folder}/x`)) {
    const file = await readTextFile(path);
    if ('text' in file) workspace.setFile(path, file.text);
  }
  return workspace;
}

function linesFrom(answers: string | undefined, environment: CommandEnvironment): LineSource {
  if (answers !== undefined) {
    try {
      return scriptedLines(readFileSync(answers === '-' ? 0 : resolve(environment.cwd, answers), 'utf8'), {
        write: (text: string) => (environment.error(text), true),
      } as unknown as NodeJS.WritableStream);
    } catch (error) {
      throw new CannotRun(`${harmlessLine(answers)} could not be read. ${reasonOf(error)}`);
    }
  }
  if (!process.stdin.isTTY || !process.stdout.isTTY)
    throw new CannotRun(
      'Questions need a terminal. Without one, give a file of answers, one a line: --answers FILE, or - for standard input.',
    );
  return terminalLines(process.stdin, process.stdout, process.env['TERM'] === 'dumb');
}

/** All answers; or the exit code where there were none. */
async function ask(
  place: NewPlace,
  lines: LineSource,
  { error: say }: CommandEnvironment,
): Promise<Record<string, string> | number> {
  const given: (readonly [id: string, answer: string])[] = [];
  say('Enter takes what stands in brackets. Type < to go back to the question before.\n');
  for (;;) {
    const answers = Object.fromEntries(given);
    const question = nextQuestion(place, answers);
    if (question === undefined) return answers;
    const { id, choices, suggestion } = question;
    const number = `${given.length + 1} of ${countQuestions(place, answers)}`;
    say(`\n${questionText(question, number)}`);
    const line = await lines.next(suggestion === undefined ? '> ' : `[${suggestion}] > `);
    if (line.kind === 'interrupted') return 130;
    if (line.kind === 'end') {
      say('\nThe answers have ended before the questions. Nothing was written.\n');
      return 2;
    }
    const typed = line.text.trim();
    if (typed === '<') {
      given.pop();
      continue;
    }
    const answer =
      choices === undefined
        ? typed
        : (choices[Number(typed) - 1]?.value ??
          choices.find(({ label, values }) => filledIn(label, values).toLowerCase() === typed.toLowerCase())?.value ??
          typed);
    const problem = answer === '' && suggestion !== undefined ? undefined : problemWith(place, answers, id, answer);
    if (problem !== undefined) {
      say(`${problem}\n`);
      continue;
    }
    given.push([id, answer]);
  }
}

function questionText({ text, values, help, choices = [] }: Question, number: string): string {
  const lines = [`${number}: ${filledIn(text, values)}`, ...(help === undefined ? [] : [help])];
  const labels = choices.map((choice) => filledIn(choice.label, choice.values));
  const width = Math.max(...labels.map((label) => label.length));
  choices.forEach(({ detail }, index) =>
    lines.push(`  ${String(index + 1).padStart(2)}  ${(labels[index] ?? '').padEnd(width)}  ${detail ?? ''}`.trimEnd()),
  );
  return `${lines.join('\n')}\n`;
}
