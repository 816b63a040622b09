/**
 * Reads files into a workspace, as the command line needs them: those asked for, and those that bear on them (shop and assets files
 * upward, procedures of the same shop that may be run from them).
 */
import { stat } from 'node:fs/promises';
import { dirname, relative, resolve } from 'node:path';
import { kindOf } from '../analysis/file-paths.ts';
import { Workspace } from '../analysis/workspace.ts';
import { fileExists } from './check-threads.ts';
import { filesAbove, findFiles, findFilesAround, forwardSlashes, shopFolder } from './find-files.ts';
import { readTextFileAtOnce, reasonOf } from './read-text-file.ts';

const OUR_NAMES = 'NAME.procedure.yaml, shop.yaml or assets.yaml';

export interface FileWorkspace {
  readonly workspace: Workspace;
  /** The files asked for that could be read: keys of the workspace, sorted, each once. */
  readonly targets: readonly string[];
  /** What was asked for and could not be read. */
  readonly unreadable: readonly Unreadable[];
}

export interface Unreadable {
  /** Absolute, with forward slashes. */
  readonly path: string;
  /** A sentence for a person. */
  readonly reason: string;
}

/**
 * Reads the procedures, shop and assets files that the paths name, or that lie under the folders they name. Never throws for what
 * it meets on the disk. `released` gives the last released text of a procedure, where something keeps it.
 */
export async function readWorkspace(
  paths: readonly string[], cwd: string, released?: (path: string) => Promise<string | undefined>,
): Promise<FileWorkspace> {
  const wanted = new Set<string>();
  const unreadable: Unreadable[] = [];
  for (const path of paths) {
    const absolute = resolve(cwd, path);
    const key = forwardSlashes(absolute);
    try {
      if ((await stat(absolute)).isDirectory()) {
        const found = await findFiles(absolute);
        for (const file of found.files) wanted.add(file);
        for (const { folder, error } of found.unreadable) unreadable.push({ path: forwardSlashes(resolve(folder)), reason: reasonOf(error) });
        if (found.files.length === 0) {
          unreadable.push({ path: key, reason: `There are no procedures in it. Expected are files named ${OUR_NAMES}.` });
        }
      } else if (kindOf(key) === 'other') {
        unreadable.push({ path: key, reason: `It is no file of ours by its name. Expected is ${OUR_NAMES}.` });
      } else {
        wanted.add(key);
      }
    } catch (error) {
      unreadable.push({ path: key, reason: reasonOf(error) });
    }
  }

  const releasedTexts = new Map<string, string>();
  const workspace = new Workspace({ fileExists, releasedText: (path) => releasedTexts.get(path) });
  const targets: string[] = [];
  const read = new Set<string>();
  await inParallel([...wanted].sort(), async (path) => {
    read.add(path);
    const file = readTextFileAtOnce(path);
    if ('unreadable' in file) unreadable.push({ path, reason: file.unreadable });
    else {
      workspace.setFile(path, file.text);
      targets.push(path);
      const before = kindOf(path) === 'procedure' ? await released?.(path) : undefined;
      if (before !== undefined) releasedTexts.set(path, before);
    }
  });
  const around = await filesAround(targets);
  for (const path of around) {
    if (read.has(path)) continue;
    const file = readTextFileAtOnce(path);
    if ('text' in file) workspace.setFile(path, file.text);
    // A shop file that cannot be read changes what every procedure means: that is said even though nobody named it.
    else if (kindOf(path) !== 'procedure') unreadable.push({ path, reason: file.unreadable });
  }
  return { workspace, targets: targets.sort(), unreadable };
}

/** A path as people are shown it: relative to the working directory where it lies under it, else absolute. */
export function pathShownFrom(cwd: string): (path: string) => string {
  return (path) => {
    const shown = forwardSlashes(relative(cwd, path));
    return shown === '' || shown.startsWith('../') || shown === '..' ? path : shown;
  };
}

/** For each folder of a target the files above it, and for each shop its procedures, once. */
async function filesAround(targets: readonly string[]): Promise<Set<string>> {
  const found = new Set<string>();
  const shops = new Set<string>();
  for (const folder of new Set(targets.map((path) => dirname(path)))) {
    const inFolder = `${folder}/x`;
    for (const file of filesAbove(inFolder)) found.add(file);
    const shop = shopFolder(inFolder);
    if (shop !== undefined && shops.has(shop)) continue;
    if (shop !== undefined) shops.add(shop);
    for (const file of await findFilesAround(inFolder)) found.add(file);
  }
  return found;
}

/** A few files at a time: enough to keep the disk busy, few enough for any limit on open files. */
async function inParallel<T>(items: readonly T[], work: (item: T) => Promise<void>): Promise<void> {
  const queue = items.values();
  await Promise.all(Array.from({ length: 16 }, async () => {
    for (const item of queue) await work(item);
  }));
}
