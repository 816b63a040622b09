/** `faultwright draft`: makes a draft of a procedure from a document's numbered list. */
import { readFile, writeFile } from 'node:fs/promises';
import { basename, dirname, resolve } from 'node:path';
import { draftFromProse } from '../features/prose-steps.ts';
import { harmlessLine } from '../render/harmless-text.ts';
import { CannotRun, type CommandEnvironment } from './command-environment.ts';
import { forwardSlashes } from './find-files.ts';
import { placeIn } from '../features/new-procedure.ts';
import { libraryAround } from './new-command.ts';
import { readTextFile, reasonOf } from './read-text-file.ts';

export interface DraftOptions {
  readonly output?: string;
}

/** 0 done; throws CannotRun where it could not be. */
export async function draftCommand(file: string, { output }: DraftOptions, environment: CommandEnvironment): Promise<number> {
  if (output !== undefined && !/\.procedure\.ya?ml$/.test(output))
    throw new CannotRun(`The output file must end in .procedure.yaml; found ${harmlessLine(output)}.`);
  const prose = await proseOf(file, environment.cwd);
  if (prose.trim() === '') throw new CannotRun(`${harmlessLine(file)} is empty. A text with a list of steps is expected.`);
  const target = forwardSlashes(resolve(environment.cwd, output ?? 'draft.procedure.yaml'));
  const workspace = await libraryAround(dirname(target));
  const { scope } = placeIn(workspace, dirname(target));
  const instruments = [...(scope?.instruments.values() ?? [])].map(({ item }) => ({
    name: item.name.value,
    title: item.title?.value ?? item.name.value,
  }));
  const taken = new Set(
    workspace
      .procedures()
      .filter((one) => one.file !== target)
      .map(({ name }) => name),
  );
  const title = file === '-' ? undefined : titleOf(file);
  const { text, steps } = draftFromProse(prose, { instruments, taken, ...(title === undefined ? {} : { title }) });
  workspace.setFile(target, text);
  const open = workspace.analyse(target).findings.filter(({ severity }) => severity !== 'hint').length;
  if (output === undefined) environment.out(text);
  else {
    try {
      await writeFile(target, text, { flag: 'wx' });
    } catch (error) {
      throw new CannotRun(
        (error as { code?: string }).code === 'EEXIST'
          ? `${harmlessLine(output)} is there already, and is left as it is. Name another file.`
          : `${harmlessLine(output)} could not be written. ${reasonOf(error)}`,
      );
    }
    environment.error(`Written: ${harmlessLine(output)}\n`);
  }
  environment.error(
    `${steps} ${steps === 1 ? 'step' : 'steps'}, ${open} ${open === 1 ? 'finding' : 'findings'} to resolve. Compare the draft with the document before anyone works by it.\n`,
  );
  return 0;
}

async function proseOf(file: string, cwd: string): Promise<string> {
  if (file === '-') {
    const chunks: Buffer[] = [];
    for await (const chunk of process.stdin) chunks.push(Buffer.from(chunk as Uint8Array));
    return Buffer.concat(chunks).toString('utf8');
  }
  const path = resolve(cwd, file);
  const read = await readTextFile(path);
  if ('text' in read) return read.text;
  // Old documents are often in the encoding of an old system.
  if (read.unreadable.startsWith('The file is not UTF-8')) return new TextDecoder('windows-1252').decode(await readFile(path));
  throw new CannotRun(`${harmlessLine(file)} could not be read. ${read.unreadable}`);
}

/** 'lamp_dark.txt' as 'Lamp dark'. */
function titleOf(file: string): string | undefined {
  const words = basename(file)
    .replace(/\.[^.]*$/, '')
    .replace(/[_-]+/g, ' ')
    .trim();
  return words === '' ? undefined : words.charAt(0).toUpperCase() + words.slice(1);
}
