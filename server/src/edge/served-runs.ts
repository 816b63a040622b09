/**
 * The runs of a page server. Every event is taken by the engine, then written to the journal with fsync, then acknowledged. An event
 * that is sent again because its acknowledgement was lost is acknowledged again and not written twice.
 */
import { readdirSync, readFileSync, statSync } from 'node:fs';
import { join, relative } from 'node:path';
import type { ChecklistDocument } from '../run/checklist-document.ts';
import { canonicalJson } from '../run/digest.ts';
import { applyEvent, replayRun, type Run, type RunEvent } from '../run/engine.ts';
import { durationWords } from '../run/texts.ts';
import { changedProcedure } from '../run/take-event.ts';
import { JournalError } from './journal.ts';
import {
  beginRun, checkRecordFile, discardRun, finishRun, newRunId, resumeRun, safeName, unfinishedRuns, type OpenRun, type UnfinishedRunFile,
} from './record-files.ts';
import type { ServedProcedure } from './served-library.ts';

/** Says in words why something was not done; `conflict`: the run stands elsewhere than the page thinks. */
export class Refused extends Error {
  readonly kind: 'refused' | 'conflict' | 'gone';

  constructor(kind: 'refused' | 'conflict' | 'gone', message: string) {
    super(message);
    this.kind = kind;
  }
}

interface Held {
  readonly open: OpenRun;
  run: Run;
  usedAt: number;
}

/** How long a run counts as being worked on after its last entry, and how long a journal is kept open without one. */
const BUSY_MILLISECONDS = 30 * 60_000;
const IDLE_MILLISECONDS = 10 * 60_000;
/** Runs offered to pages that have sent no first event yet. */
const MOST_OFFERED = 200;

export class ServedRuns {
  readonly #held = new Map<string, Held>();
  readonly #offered = new Map<string, ChecklistDocument>();
  readonly #now: () => Date;

  constructor(now: () => Date) {
    this.#now = now;
  }

  look(procedure: ServedProcedure, asset: string | undefined): { document: ChecklistDocument; assets: readonly string[]; unfinished: readonly unknown[] } {
    const unfinished = unfinishedRuns(procedure.records).runs.filter((run) => run.procedure === procedure.name && run.events > 0);
    return {
      document: procedure.document(asset), assets: procedure.assets,
      unfinished: unfinished.map(({ runId, asset: on, revision, startedAt, events, contentHash }) => ({ runId, asset: on, revision, startedAt, events, contentHash })),
    };
  }

  /** Offers a new run, or goes on with one. A new one has a journal from its first event on. */
  open(procedure: ServedProcedure, runId: string | undefined, asset: string | undefined): { runId: string; document: ChecklistDocument; events: readonly RunEvent[] } {
    if (runId === undefined) {
      this.#refuseWhereBusy(procedure, asset, undefined);
      const fresh = newRunId(this.#now());
      const document = procedure.document(asset);
      if (this.#offered.size >= MOST_OFFERED) this.#offered.delete(this.#offered.keys().next().value ?? '');
      this.#offered.set(fresh, document);
      return { runId: fresh, document, events: [] };
    }
    const held = this.#hold(procedure, runId);
    const { document } = held.open;
    const now = procedure.document(document.asset?.id);
    if (document.contentHash !== now.contentHash) throw new Refused('refused', changedProcedure(now, document.procedure.revision));
    return { runId, document, events: held.run.events };
  }

  /** Returns how many events the journal has; the last of them is on the disk. */
  append(procedure: ServedProcedure, runId: string, index: number, event: RunEvent): number {
    const held = index === 0 && this.#offered.has(runId) ? this.#begin(procedure, runId, event) : this.#hold(procedure, runId);
    const count = held.open.journal.count();
    if (index < count) {
      if (canonicalJson(held.run.events[index]) === canonicalJson(event)) return count;
      throw new Refused('conflict', 'This run was gone on with elsewhere. The entry was not taken. Open the run again to see where it stands.');
    }
    if (index > count) throw new Refused('conflict', `Entries before this one are missing: ${count} of ${index} are written down. Open the run again to see where it stands.`);
    const next = applyEvent(held.run, event);
    if (next.problem !== undefined) throw new Refused('refused', next.problem);
    try {
      const written = held.open.journal.append(event);
      held.run = next;
      held.usedAt = performance.now();
      return written;
    } catch (error) {
      // Opened anew, the journal shows what the disk really has.
      this.#letGo(procedure.records, runId);
      throw error;
    }
  }

  /** Writes the record; done again, after a lost answer, it names the one that is there. */
  finish(procedure: ServedProcedure, runId: string): { where: string; content: string } {
    const there = recordOfRun(procedure.records, runId);
    const path = there ?? finishRun(this.#hold(procedure, runId).open).path;
    this.#letGo(procedure.records, runId);
    return { where: join('records', relative(procedure.records, path)).replaceAll('\\', '/'), content: readFileSync(path, 'utf8') };
  }

  discard(procedure: ServedProcedure, runId: string): void {
    if (this.#offered.delete(runId)) return;
    this.#hold(procedure, runId);
    this.#letGo(procedure.records, runId);
    discardRun(procedure.records, runId);
  }

  /** Closes journals that nobody has written to for a while, so that other programs can open them. */
  rest(): void {
    const now = performance.now();
    for (const [key, held] of this.#held) {
      if (now - held.usedAt < IDLE_MILLISECONDS) continue;
      held.open.journal.close();
      this.#held.delete(key);
    }
  }

  close(): void {
    for (const held of this.#held.values()) held.open.journal.close();
    this.#held.clear();
  }

  #begin(procedure: ServedProcedure, runId: string, event: RunEvent): Held {
    const document = this.#offered.get(runId) as ChecklistDocument;
    if (document.procedure.name !== procedure.name) throw new Refused('gone', 'This run is of another procedure.');
    const first = applyEvent(replayRun(document, []).run, event);
    if (first.problem !== undefined) throw new Refused('refused', first.problem);
    this.#refuseWhereBusy(procedure, event.kind === 'started' ? event.asset : undefined, runId);
    const held = { open: beginRun(procedure.records, document, runId), run: replayRun(document, []).run, usedAt: performance.now() };
    this.#held.set(keyOf(procedure.records, runId), held);
    this.#offered.delete(runId);
    return held;
  }

  #hold(procedure: ServedProcedure, runId: string): Held {
    const key = keyOf(procedure.records, runId);
    const before = this.#held.get(key);
    if (before !== undefined) return before;
    let open: OpenRun;
    try {
      open = resumeRun(procedure.records, runId);
    } catch (error) {
      if (!(error instanceof JournalError) || error.problem !== 'missing') throw error;
      const over = recordOfRun(procedure.records, runId) === undefined ? 'It was finished or given up elsewhere, or it was never begun.' : 'It is over, and its record is written.';
      throw new Refused('gone', `This run is not under way here. ${over} Begin a new one.`);
    }
    if (open.document.procedure.name !== procedure.name) {
      open.journal.close();
      throw new Refused('gone', 'This run is of another procedure.');
    }
    const held = { open, run: replayRun(open.document, open.events).run, usedAt: performance.now() };
    this.#held.set(key, held);
    return held;
  }

  #letGo(records: string, runId: string): void {
    this.#held.get(keyOf(records, runId))?.open.journal.close();
    this.#held.delete(keyOf(records, runId));
  }

  /** Two people working on one asset by two lists endanger each other. */
  #refuseWhereBusy(procedure: ServedProcedure, asset: string | undefined, own: string | undefined): void {
    if (asset === undefined || asset.trim() === '') return;
    const other = unfinishedRuns(procedure.records).runs.find((run) => run.runId !== own && run.asset === asset && !run.paused && this.#isFresh(run));
    if (other === undefined) return;
    const minutes = durationWords((this.#now().getTime() - statSync(other.path).mtimeMs) / 1000);
    const by = other.person === undefined ? '' : ` by ${other.person}`;
    throw new Refused('refused', `${asset} is being worked on: ${other.title}, begun${by} at ${(other.startedAt ?? '').slice(11, 16)}, last entry ${minutes} ago. `
      + 'A second run on it would not know what the first has done to it. Go on with that run from the first sheet of its procedure, or pause or stop it there first.');
  }

  #isFresh(run: UnfinishedRunFile): boolean {
    try {
      return Math.abs(this.#now().getTime() - statSync(run.path).mtimeMs) < BUSY_MILLISECONDS;
    } catch {
      return false;
    }
  }
}

/** The record of a run by its id; undefined where there is none. */
function recordOfRun(records: string, runId: string): string | undefined {
  const ending = `_${safeName(runId.slice(-8))}.json`;
  for (const year of namesIn(records).filter((name) => /^\d{4}$/.test(name))) {
    for (const name of namesIn(join(records, year))) {
      if (!name.endsWith(ending)) continue;
      const path = join(records, year, name);
      if (checkRecordFile(path).record?.run === runId) return path;
    }
  }
  return undefined;
}

function namesIn(folder: string): string[] {
  try {
    return readdirSync(folder);
  } catch {
    return [];
  }
}

function keyOf(records: string, runId: string): string {
  return `${records}\n${runId}`;
}
