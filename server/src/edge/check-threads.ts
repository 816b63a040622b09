/**
 * Checks many files on all processors: this thread and some beside it take one handful after another until none is left. A thread has the
 * shops, the assets and the procedures that run one another; others are handed to it for as long as it checks them.
 */
import { existsSync } from 'node:fs';
import { cpus } from 'node:os';
import { parentPort, Worker, workerData } from 'node:worker_threads';
import { kindOf } from '../analysis/file-paths.ts';
import { Workspace } from '../analysis/workspace.ts';
import type { Finding } from '../findings/finding.ts';
import { filesAlone } from './alone-files.ts';
import { compileLatest } from './engine-flags.ts';

/** What was found in a file, and all that was looked at for it. */
export interface CheckedFile {
  readonly file: string;
  readonly findings: readonly Finding[];
  /** Files whose texts went into it, and those whose absence did. */
  readonly from: readonly string[];
  /** Whether it matters which procedures there are. */
  readonly procedures: boolean;
  /** Whether it matters which of them run this one, and what those say. */
  readonly callers: boolean;
  /** The names of which it matters who has them. */
  readonly names: readonly string[];
  /** Files of which it was asked whether they are there. */
  readonly asked: readonly (readonly [path: string, there: boolean])[];
}

/** Starting a thread costs as much as checking this many small files. */
const LEAST_FILES = 60;
const MOST_THREADS = 8;
const HANDFUL = 12;

export function worthThreads(files: number): boolean {
  return files >= LEAST_FILES && cpus().length > 1;
}

/** Checks one file, and lets go of what was worked out for it. */
export function checkFile(workspace: Workspace, file: string): CheckedFile {
  answers = [];
  const { findings } = workspace.analyse(file);
  const { files, procedures, callers, names } = workspace.dependenciesOf(file);
  workspace.release(file);
  return { file, findings, from: files, procedures, callers, names, asked: answers };
}

let answers: [string, boolean][] = [];

/** Answers for the figures beside a procedure, and remembers what was asked for the file being checked. */
export function fileExists(path: string): boolean {
  const there = existsSync(path);
  answers.push([path, there]);
  return there;
}

type FileText = readonly [path: string, text: string];

/** What a thread is given to start with. */
interface Start {
  readonly check: readonly FileText[];
}

/** Files to be checked; with those that the thread does not have, their texts. */
interface Handful {
  readonly files: readonly string[];
  readonly texts: readonly FileText[];
}

/** Checks files here and on threads; `script` is one that calls checkOnThread when it is started as a thread. */
export async function checkOnThreads(workspace: Workspace, files: readonly string[], script: string): Promise<CheckedFile[]> {
  compileLatest();
  const alone = filesAlone(workspace);
  const textOf = (path: string): FileText => [path, workspace.textOf(path) ?? ''];
  const allAlone = files.every((path) => kindOf(path) !== 'procedure' || alone.has(path));
  const start: Start = { check: workspace.files().filter((path) => (kindOf(path) === 'procedure' ? !allAlone && !alone.has(path) : true)).map(textOf) };
  const checked: CheckedFile[] = [];
  let next = 0;
  const handful = (): readonly string[] => files.slice(next, (next += HANDFUL));
  const threads = Math.min(cpus().length, MOST_THREADS, Math.ceil(files.length / LEAST_FILES) + 1) - 1;
  const beside = Array.from({ length: threads }, () => new Promise<void>((resolve) => {
    const worker = new Worker(script, { workerData: start });
    let given: (readonly string[])[] = [];
    const give = (): void => {
      const more = handful();
      if (more.length > 0) {
        given.push(more);
        worker.postMessage({ files: more, texts: more.filter((path) => alone.has(path)).map(textOf) } satisfies Handful);
      } else if (given.length === 0) void worker.terminate();
    };
    worker.on('message', (done: readonly CheckedFile[]) => {
      checked.push(...done);
      given.shift();
      give();
    });
    // What a thread that fails had in hand is checked here: nothing goes unchecked.
    worker.on('error', (error) => console.error(`A thread of the check failed, and its files are checked again: ${String(error)}`));
    worker.on('exit', () => {
      for (const lost of given) for (const file of lost) checked.push(checkFile(workspace, file));
      given = [];
      resolve();
    });
    // One handful in work and one in hand, so that no thread waits for this one.
    give();
    give();
  }));
  for (let mine = handful(); mine.length > 0; mine = handful()) {
    for (const file of mine) checked.push(checkFile(workspace, file));
    await new Promise((resolve) => setImmediate(resolve));
  }
  await Promise.all(beside);
  return checked;
}

/** The other side: to be called in a thread. True where this is a thread of the check. */
export function checkOnThread(): boolean {
  const start = workerData as Start | null;
  if (parentPort === null || start?.check === undefined) return false;
  const port = parentPort;
  const workspace = new Workspace({ fileExists });
  for (const [path, text] of start.check) workspace.setFile(path, text);
  port.on('message', ({ files, texts }: Handful) => {
    for (const [path, text] of texts) workspace.setFile(path, text);
    const done = files.map((file) => checkFile(workspace, file));
    for (const [path] of texts) workspace.removeFile(path);
    port.postMessage(done);
  });
  return true;
}
