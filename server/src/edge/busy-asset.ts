/** Whether an asset is being worked on: two people working on one asset by two lists endanger each other. */
import { statSync } from 'node:fs';
import { unfinishedRuns, type UnfinishedRunFile } from './record-files.ts';

/** How long a run counts as being worked on after its last entry. */
const BUSY_MILLISECONDS = 30 * 60_000;

export interface BusyRun {
  readonly run: UnfinishedRunFile;
  /** Seconds since its last entry. */
  readonly seconds: number;
}

/** A run other than `own` on the asset that is neither paused nor long left alone; undefined where there is none. */
export function busyRun(records: string, asset: string | undefined, own: (run: UnfinishedRunFile) => boolean, now: Date): BusyRun | undefined {
  if (asset === undefined || asset.trim() === '') return undefined;
  for (const run of unfinishedRuns(records).runs) {
    if (own(run) || run.asset !== asset || run.paused) continue;
    const seconds = secondsSince(run.path, now);
    if (seconds !== undefined && seconds * 1000 < BUSY_MILLISECONDS) return { run, seconds };
  }
  return undefined;
}

/** By the file's own time; a clock that was set back counts as much as one that was set forward. */
function secondsSince(path: string, now: Date): number | undefined {
  const found = statSync(path, { throwIfNoEntry: false });
  return found === undefined ? undefined : Math.abs(now.getTime() - found.mtimeMs) / 1000;
}
