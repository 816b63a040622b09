/** `faultwright review`: what changed in procedures since a revision of git, or against an earlier file, and what that does to safety. */
import { existsSync } from 'node:fs';
import { extname, resolve } from 'node:path';
import { Workspace } from '../analysis/workspace.ts';
import { buildProcedure } from '../procedure/build-procedure.ts';
import { compareRevisions, saysNothing, type Sources } from '../review/compare.ts';
import type { Comparison, Written } from '../review/change.ts';
import { pairFiles } from '../review/pair-files.ts';
import { harmlessLine } from '../render/harmless-text.ts';
import { fileExists } from './check-threads.ts';
import { CannotRun, type CommandEnvironment, type ReviewFormat } from './command-environment.ts';
import { pathShownFrom, readWorkspace, type FileWorkspace } from './file-workspace.ts';
import { forwardSlashes, shopFolder } from './find-files.ts';
import { gitTexts } from './git-texts.ts';

export interface ReviewOptions {
  /** A revision of git; without it and without `before`, HEAD. */
  readonly since?: string;
  /** An earlier file of the one procedure named. */
  readonly before?: string;
  readonly format?: ReviewFormat;
  readonly output?: string;
}

export interface ReviewOutcome {
  readonly content: string;
  readonly comparisons: readonly Comparison[];
  /** Less safe, or an error that was not there. */
  readonly worse: boolean;
}

/** The review as text of the wanted format. Throws CannotRun. */
export async function reviewProcedures(paths: readonly string[], options: ReviewOptions, environment: CommandEnvironment): Promise<ReviewOutcome> {
  if (options.before !== undefined && options.since !== undefined) throw new CannotRun('Name either --before or --since.');
  const files = await readWorkspace(paths, environment.cwd);
  const since = options.before === undefined ? `revision ${options.since ?? 'HEAD'}` : options.before;
  const found = options.before === undefined ? await sinceRevision(paths, files, options.since ?? 'HEAD', environment.cwd) : await sinceFile(paths, files, options.before, environment.cwd);
  const shown = pathShownFrom(environment.cwd);
  const comparisons = found.filter((comparison) => comparison.renamed || !saysNothing(comparison)).map((comparison) => withPaths(comparison, shown));
  const worse = comparisons.some(({ effects, appeared }) => effects.some(({ kind }) => kind === 'risk') || appeared.some(({ severity, accepted }) => severity === 'error' && !accepted));
  return { content: await rendered(comparisons, since, options, environment), comparisons, worse };
}

async function sinceRevision(paths: readonly string[], files: FileWorkspace, revision: string, cwd: string): Promise<Comparison[]> {
  const roots = paths.map((path) => forwardSlashes(resolve(cwd, path)));
  const earlier = await gitTexts(cwd, revision);
  if ('reason' in earlier) throw new CannotRun(`${earlier.reason} Name an earlier file with --before.`);
  const before = new Workspace({ fileExists });
  for (const [path, text] of earlier.files) before.setFile(path, text);
  const asked = [...earlier.files.keys()].filter((path) => roots.some((root) => path === root || path.startsWith(`${root}/`)));
  const all = [...new Set([...files.targets, ...asked])].sort();
  if (all.length === 0) throw new CannotRun('There are no procedures there, neither now nor at that revision.');
  const added = files.targets.filter((path) => !earlier.files.has(path));
  // A file may have come from a folder that nobody asked for.
  const gone = added.length === 0 ? [] : [...earlier.files.keys()].filter((path) => !existsSync(path));
  const renamed = pairFiles(gone.map((path) => before.analyse(path)), added.map((path) => files.workspace.analyse(path)));
  const taken = new Set(renamed.values());
  const now = copyOf(files.workspace, new Map([...earlier.files, ...[...renamed].map(([path, was]) => [path, earlier.files.get(was) ?? ''] as const)]));
  const sources: Sources = { before: (path) => before.textOf(path), after: (path) => now.textOf(path) };
  return all.filter((path) => files.targets.includes(path) || !taken.has(path)).map((path): Comparison => {
    const was = earlier.files.has(path) ? path : renamed.get(path);
    const comparison = compareRevisions(was === undefined ? undefined : before.analyse(was), files.targets.includes(path) ? now.analyse(path) : undefined, sources);
    return renamed.has(path) ? { ...comparison, renamed: true } : comparison;
  });
}

/** The earlier file has its own surroundings where it belongs to another shop; else those of the file it is compared with. */
async function sinceFile(paths: readonly string[], files: FileWorkspace, before: string, cwd: string): Promise<Comparison[]> {
  const [target] = files.targets;
  if (paths.length !== 1 || target === undefined || files.targets.length !== 1) throw new CannotRun('With --before, name one procedure: the later file.');
  const earlierPath = forwardSlashes(resolve(cwd, before));
  const earlier = await readWorkspace([before], cwd);
  if (!earlier.targets.includes(earlierPath)) throw new CannotRun(`${harmlessLine(before)} could not be read. ${earlier.unreadable[0]?.reason ?? ''}`.trimEnd());
  const text = earlier.workspace.textOf(earlierPath) ?? '';
  const ownShop = shopFolder(earlierPath);
  if (ownShop !== undefined && ownShop !== shopFolder(target)) {
    const sources: Sources = { before: (path) => earlier.workspace.textOf(path), after: (path) => files.workspace.textOf(path) };
    return [compareRevisions(earlier.workspace.analyse(earlierPath), files.workspace.analyse(target), sources)];
  }
  const was = copyOf(files.workspace, new Map(), earlierPath);
  was.setFile(target, text);
  const around = (path: string): string | undefined => files.workspace.textOf(path);
  return [compareRevisions(was.analyse(target), copyOf(files.workspace, new Map([[target, text]]), earlierPath).analyse(target), { before: around, after: around })];
}

/** The files as they are now, measured against what was released before: content under an old revision number is then found. */
function copyOf(workspace: Workspace, earlier: ReadonlyMap<string, string>, without?: string): Workspace {
  const copy = new Workspace({
    fileExists, releasedText: (path) => {
      const text = earlier.get(path);
      return text !== undefined && buildProcedure(path, text).procedure.status?.value === 'released' ? text : undefined;
    },
  });
  for (const path of workspace.files()) if (path !== without) copy.setFile(path, workspace.textOf(path) ?? '');
  return copy;
}

function withPaths(comparison: Comparison, shown: (path: string) => string): Comparison {
  const { before, after, effects } = comparison;
  const place = (written: Written): Written => (written.file.startsWith('/') || /^[A-Za-z]:/u.test(written.file) ? { ...written, file: shown(written.file) } : written);
  return {
    ...comparison, ...(before ? { before: { ...before, file: shown(before.file) } } : {}), ...(after ? { after: { ...after, file: shown(after.file) } } : {}),
    effects: effects.map((effect) => ({ ...effect, ...(effect.before ? { before: place(effect.before) } : {}), ...(effect.after ? { after: place(effect.after) } : {}) })),
  };
}

async function rendered(comparisons: readonly Comparison[], since: string, options: ReviewOptions, environment: CommandEnvironment): Promise<string> {
  switch (formatOf(options)) {
    case 'json':
      return (await import('../render/review-json.ts')).renderReviewJson(comparisons, since);
    case 'html':
      return (await import('../render/review-html.ts')).renderReviewHtml(comparisons, since);
    case 'text': {
      const { NO_PAINT, terminalPaint } = await import('../render/paint.ts');
      const { renderReviewText } = await import('../render/review-text.ts');
      return renderReviewText(comparisons, { paint: environment.colours ? terminalPaint() : NO_PAINT, ...(environment.columns === undefined ? {} : { width: environment.columns }) });
    }
  }
}

function formatOf({ format, output }: ReviewOptions): ReviewFormat {
  if (format !== undefined) return format;
  const ending = output === undefined ? '' : extname(output).toLowerCase();
  return ending === '.html' || ending === '.htm' ? 'html' : ending === '.json' ? 'json' : 'text';
}
