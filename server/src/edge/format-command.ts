/** `faultwright format`: writes procedures, shop and assets files in the usual layout, or says which are not in it. */
import { formatFile, readForFormatting, whyNotFormatted } from '../features/format.ts';
import { harmlessLine } from '../render/harmless-text.ts';
import { CannotRun, type CommandEnvironment } from './command-environment.ts';
import { pathShownFrom, readWorkspace } from './file-workspace.ts';
import { overwriteFile } from './overwrite-file.ts';
import { reasonOf } from './read-text-file.ts';

export interface FormatOptions {
  /** Writes nothing: names the files that are not formatted. */
  readonly check?: boolean;
}

/** 0 done, or all formatted; 1 `--check` found files that are not; 2 a file could not be read as YAML, or not written. */
export async function formatCommand(
  paths: readonly string[],
  { check }: FormatOptions,
  environment: CommandEnvironment,
): Promise<number> {
  const files = await readWorkspace(paths, environment.cwd);
  const shown = pathShownFrom(environment.cwd);
  const say = (path: string, reason: string): void => environment.error(`${harmlessLine(shown(path))}: ${reason}\n`);
  for (const { path, reason } of files.unreadable) say(path, reason);
  if (files.targets.length === 0) throw new CannotRun('Nothing could be formatted.');
  let failed = files.unreadable.length > 0;
  const changed: string[] = [];
  for (const path of files.targets) {
    const read = readForFormatting(path, files.workspace.textOf(path) ?? '');
    const reason = whyNotFormatted(read);
    const edits = formatFile(read);
    if (reason !== undefined) {
      say(path, `Left as it is. ${reason}`);
      failed = true;
    }
    if (edits.length === 0) continue;
    changed.push(path);
    const text = [...edits]
      .reverse()
      .reduce((whole, { span, newText }) => whole.slice(0, span.start) + newText + whole.slice(span.end), read.text);
    try {
      if (!check) await overwriteFile(path, text);
    } catch (error) {
      say(path, reasonOf(error));
      failed = true;
      changed.pop();
    }
  }
  for (const path of changed) environment.out(`${check ? 'Not formatted' : 'Formatted'}: ${harmlessLine(shown(path))}\n`);
  environment.error(summary(files.targets.length, changed.length, check === true));
  return failed ? 2 : check && changed.length > 0 ? 1 : 0;
}

function summary(files: number, changed: number, check: boolean): string {
  const all = `${files} ${files === 1 ? 'file' : 'files'}`;
  if (changed === 0) return `${all}, nothing to change.\n`;
  return check ? `${all}, ${changed} not formatted. Run: faultwright format\n` : `${all}, ${changed} formatted.\n`;
}
