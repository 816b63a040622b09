/** Checks the files of a workspace and gathers the outcome in the form that every output of findings starts from. */
import { kindOf } from '../analysis/file-paths.ts';
import type { Finding } from '../findings/finding.ts';
import type { CheckOutcome } from '../render/check-outcome.ts';
import { LineIndex } from '../text/line-index.ts';
import type { FindingsCache } from './check-cache.ts';
import { checkFile, checkOnThreads, worthThreads, type CheckedFile } from './check-threads.ts';
import { pathShownFrom } from './file-workspace.ts';
import type { FileWorkspace } from './file-workspace.ts';

/** The check name under which a file that could not be read is reported: what was not checked must not pass for clean. */
export const UNREADABLE_FILE = {
  name: 'unreadable-file',
  severity: 'error',
  group: 'structure',
  proves: 'The file could not be read, so nothing in it was checked.',
  why: 'A file that is passed over in silence looks like a clean one.',
} as const;

export interface CheckOptions {
  /** A script that starts a thread of checkOnThread; without it, everything is checked here. */
  readonly threadScript?: string | undefined;
  /** Where findings are kept from one check to the next; without it, they are not. */
  readonly cache?: FindingsCache | undefined;
}

/** Checks every target. `startedAt` and now are in milliseconds of one clock. */
export async function checkFiles(files: FileWorkspace, cwd: string, startedAt: number, options: CheckOptions = {}): Promise<CheckOutcome> {
  const findings: Finding[] = files.unreadable.map(({ path, reason }) => ({
    check: UNREADABLE_FILE.name,
    severity: UNREADABLE_FILE.severity,
    file: path,
    span: { start: 0, end: 0 },
    message: reason,
  }));
  const checked = await checkTargets(files, options);
  for (const { findings: own } of checked) for (const finding of own) findings.push(finding);
  findings.push(...errorsAround(files, checked));
  findings.sort(byFileThenPlace);
  const lines = new Map<string, LineIndex>();
  return {
    findings,
    files: files.targets.length,
    milliseconds: Math.round(performance.now() - startedAt),
    source(file) {
      const text = files.workspace.textOf(file);
      if (text === undefined) return undefined;
      let index = lines.get(file);
      if (index === undefined) lines.set(file, (index = new LineIndex(text)));
      return { text, lines: index };
    },
    shownPath: pathShownFrom(cwd),
  };
}

/** Errors of the shop and assets files that nobody asked for and that the checked ones go by: what is lost there is lost here, in silence. */
function errorsAround({ workspace, targets }: FileWorkspace, checked: readonly CheckedFile[]): Finding[] {
  const asked = new Set(targets);
  const around = new Set(checked.flatMap(({ from }) => from).filter((path) => kindOf(path) !== 'procedure' && !asked.has(path) && workspace.textOf(path) !== undefined));
  return [...around].flatMap((path) => workspace.analyse(path).findings).filter(({ severity, accepted }) => severity === 'error' && accepted === undefined);
}

async function checkTargets({ workspace, targets }: FileWorkspace, { threadScript, cache }: CheckOptions): Promise<CheckedFile[]> {
  const known = cache?.recall(workspace, targets) ?? new Map<string, CheckedFile>();
  // What an assets file is judged by stands in the texts of all procedures, which a thread does not have.
  const assets = targets.filter((target) => kindOf(target) === 'assets');
  for (const target of assets) known.delete(target);
  const open = targets.filter((target) => !known.has(target) && kindOf(target) !== 'assets');
  const made = threadScript !== undefined && worthThreads(open.length) ? await checkOnThreads(workspace, open, threadScript) : open.map((target) => checkFile(workspace, target));
  made.push(...assets.map((target) => checkFile(workspace, target)));
  const checked = [...known.values(), ...made];
  if (made.length > 0) cache?.keep(workspace, checked);
  return checked;
}

function byFileThenPlace(a: Finding, b: Finding): number {
  if (a.file !== b.file) return a.file < b.file ? -1 : 1;
  return a.span.start - b.span.start || a.span.end - b.span.end || (a.check < b.check ? -1 : a.check > b.check ? 1 : 0);
}
