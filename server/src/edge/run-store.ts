/**
 * The journals of runs that the server holds open, and the records they become. One run may be looked at from several panels: the
 * journal is written here alone, and an event whose place is taken is refused.
 */
import { pathToFileURL } from 'node:url';
import { findingsIn } from '../features/diagnosis.ts';
import type { RunStore } from '../lsp/host.ts';
import type { RecordSummary } from '../lsp/protocol.ts';
import { JournalError, readJournal } from './journal.ts';
import {
  beginRun,
  carryOverRun,
  discardRun,
  finishRun,
  newRunId,
  readRecords,
  recordsFolder,
  resumeRun,
  unfinishedRuns,
} from './record-files.ts';
import type { OpenRun } from './record-files.ts';

export function runStore(): RunStore {
  const held = new Map<string, OpenRun>();
  const keyOf = (folder: string, runId: string): string => `${folder}\n${runId}`;

  /** The run, opened now where this process does not hold it yet. */
  const hold = (folder: string, runId: string): OpenRun => {
    const key = keyOf(folder, runId);
    let open = held.get(key);
    if (!open) held.set(key, (open = resumeRun(recordsFolder(folder), runId)));
    return open;
  };
  const letGo = (folder: string, runId: string): void => {
    held.get(keyOf(folder, runId))?.journal.close();
    held.delete(keyOf(folder, runId));
  };

  return {
    async begin(folder, document) {
      const open = beginRun(recordsFolder(folder), document, newRunId(new Date()));
      held.set(keyOf(folder, open.runId), open);
      return { runId: open.runId };
    },
    async resume(folder, runId) {
      const { journal, document } = hold(folder, runId);
      journal.putBackWhereGone();
      return { document, events: readJournal(journal.path).events };
    },
    async append(folder, runId, event, index) {
      const { journal } = hold(folder, runId);
      if (index !== undefined && index !== journal.count()) {
        throw new JournalError(
          'other_writer',
          'This run was gone on with elsewhere. The entry was not taken. Open the run again to see where it stands.',
        );
      }
      try {
        return journal.append(event);
      } catch (error) {
        // Opened anew, the journal shows what the disk really has.
        letGo(folder, runId);
        throw error;
      }
    },
    async carryOver(folder, runId, document, stamp) {
      letGo(folder, runId);
      const carried = carryOverRun(recordsFolder(folder), runId, document, stamp);
      if ('problem' in carried) throw new Error(carried.problem);
      held.set(keyOf(folder, runId), carried);
      return { document: carried.document, events: carried.events };
    },
    async finish(folder, runId) {
      const { path } = finishRun(hold(folder, runId));
      held.delete(keyOf(folder, runId));
      return path;
    },
    async unfinished(folder) {
      return unfinishedRuns(recordsFolder(folder)).runs.map(
        ({ runId, procedure, asset, revision, contentHash, person, paused, startedAt, events }) => ({
          runId, procedure, asset, revision, contentHash, person, paused, startedAt, events,
        }),
      );
    },
    async discard(folder, runId) {
      letGo(folder, runId);
      discardRun(recordsFolder(folder), runId);
    },
    async found(folder, procedure) {
      return Object.fromEntries(findingsIn(readRecords(recordsFolder(folder)).records.map(({ record }) => record), procedure));
    },
    async records(folder) {
      return readRecords(recordsFolder(folder)).records.map(({ path, record }): RecordSummary => ({
        path,
        uri: pathToFileURL(path).href,
        procedure: record.procedure.name,
        asset: record.asset,
        finishedAt: record.endedAt,
        verdict: record.outcome.words,
      }));
    },
  };
}
