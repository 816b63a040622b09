/**
 * The runs of a page server. Every event is taken by the engine, then written to the journal with fsync, then acknowledged. An event
 * that is sent again because its acknowledgement was lost is acknowledged again and not written twice.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import type { ChecklistDocument } from '../run/checklist-document.ts';
import { canonicalJson } from '../run/digest.ts';
import { applyEvent, replayRun, type Run, type RunEvent } from '../run/engine.ts';
import { durationWords } from '../run/texts.ts';
import { changedProcedure } from '../run/take-event.ts';
import { busyRun } from './busy-asset.ts';
import { JournalError } from './journal.ts';
import {
  beginRun, carryOverRun, checkRecordFile, discardRun, finishRun, newRunId, resumeRun, safeName, unfinishedRuns, type OpenRun,
} from './record-files.ts';
import type { ServedProcedure } from './served-library.ts';
import { digestOfPhoto, keepPhoto, keptPhoto } from './served-photos.ts';

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

/** How long a journal is kept open without an entry. */
const IDLE_MILLISECONDS = 10 * 60_000;
/** Runs offered to pages that have sent no first event yet. */
const MOST_OFFERED = 200;

export class ServedRuns {
  readonly #held = new Map<string, Held>();
  readonly #offered = new Map<string, ChecklistDocument>();
  readonly #now: () => Date;
  readonly #report: (message: string) => void;

  /** `report` is told what whoever runs the server should know. */
  constructor(now: () => Date, report: (message: string) => void = () => undefined) {
    this.#now = now;
    this.#report = report;
  }

  look(procedure: ServedProcedure, asset: string | undefined): { document: ChecklistDocument; assets: readonly string[]; unfinished: readonly unknown[] } {
    const unfinished = unfinishedRuns(procedure.records).runs.filter((run) => run.procedure === procedure.name && run.events > 0);
    return {
      document: procedure.document(asset), assets: procedure.assets,
      unfinished: unfinished.map(({ runId, asset: on, revision, person, paused, startedAt, events, contentHash }) => ({ runId, asset: on, revision, person, paused, startedAt, events, contentHash })),
    };
  }

  /**
   * Offers a new run, or goes on with one. A new one has a journal from its first event on. One that was begun with another text is
   * handed out only to be stopped.
   */
  open(procedure: ServedProcedure, runId: string | undefined, asset: string | undefined, toStop = false): { runId: string; document: ChecklistDocument; events: readonly RunEvent[] } {
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
    if (!toStop && document.contentHash !== now.contentHash) throw new Refused('refused', changedProcedure(now, document.procedure.revision));
    return { runId, document, events: held.run.events };
  }

  /** Goes on with a run by the procedure's present text, where the rule allows it (run/carry-over.ts). */
  carryOver(procedure: ServedProcedure, runId: string, stamp: { readonly at: string; readonly person?: string }): { runId: string; document: ChecklistDocument; events: readonly RunEvent[] } {
    const { document } = this.#hold(procedure, runId).open;
    this.#letGo(procedure.records, runId);
    const carried = carryOverRun(procedure.records, runId, procedure.document(document.asset?.id), stamp);
    if ('problem' in carried) throw new Refused('refused', carried.problem);
    this.#held.set(keyOf(procedure.records, runId), { open: carried, run: replayRun(carried.document, carried.events).run, usedAt: performance.now() });
    return { runId, document: carried.document, events: carried.events };
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
    // No entry is left without its picture.
    if (event.kind === 'photo' && event.removed !== true && event.digest !== undefined && digestOfPhoto(procedure.records, runId, event.name) !== event.digest) {
      throw new Refused('refused', `The picture ${event.name} is not kept here as it was taken. Add it again.`);
    }
    try {
      const written = held.open.journal.append(event);
      for (const remark of held.open.journal.takeRemarks()) this.#report(remark);
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

  /** Keeps a picture of a run that is under way; one that an entry names already is never changed. */
  keepPhoto(procedure: ServedProcedure, runId: string, name: string, base64: string): void {
    const { run } = this.#hold(procedure, runId);
    if (run.events.some((event) => event.kind === 'photo' && event.name === name)) throw new Refused('conflict', `There is a picture ${name} of this run already. Load the page again.`);
    const problem = keepPhoto(procedure.records, runId, name, base64);
    if (problem !== undefined) throw new Refused('refused', problem);
  }

  /** A picture of a run that is under way, in base64; undefined where it is not there. */
  photo(procedure: ServedProcedure, runId: string, name: string): string | undefined {
    this.#hold(procedure, runId);
    return keptPhoto(procedure.records, runId, name);
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
    const busy = busyRun(procedure.records, asset, (run) => run.runId === own, this.#now());
    if (busy === undefined) return;
    const { run: other, seconds } = busy;
    const minutes = durationWords(seconds);
    const by = other.person === undefined ? '' : ` by ${other.person}`;
    throw new Refused('refused', `${asset} is being worked on: ${other.title}, begun${by} at ${(other.startedAt ?? '').slice(11, 16)}, last entry ${minutes} ago. `
      + 'A second run on it would not know what the first has done to it. Go on with that run from the first sheet of its procedure, or pause or stop it there first.');
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
