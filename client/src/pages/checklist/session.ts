/**
 * One open run on the page: events go through the engine first, then to the host, and count only once the host has them on disk.
 * Knows no screen.
 */
import type { ChecklistDocument } from '../../../../server/src/run/checklist.ts';
import { applyEvent, currentView, replayRun, startedEvent } from '../../../../server/src/run/engine.ts';
import type { Run, RunEvent, RunView } from '../../../../server/src/run/engine.ts';
import { nowIso } from './clock.ts';
import type { ChecklistHost, Filed, OpenedRun } from './host.ts';
import { WORDS } from './words.ts';

/** An event before the clock has stamped it. */
export type Entry = RunEvent extends infer E ? (E extends RunEvent ? Omit<E, 'at'> : never) : never;

export interface Session {
  readonly runId: string;
  readonly document: ChecklistDocument;
  readonly events: readonly RunEvent[];
  readonly view: RunView;
  /** True while an entry is on its way to the disk. */
  readonly saving: boolean;
  /** Why the last entry is not written down; it can be sent again. */
  readonly trouble: string | undefined;
  /** What the run would look like after this entry, or why it is refused. Nothing is written. */
  preview(entry: Entry): { readonly view: RunView } | { readonly refused: string };
  /** Takes an entry. Resolves with the reason where it is refused or not written down, else with undefined. */
  send(entry: Entry): Promise<string | undefined>;
  /** Sends again what could not be written down. */
  tryAgain(): Promise<void>;
  /** Where the record went, once the run is closed. */
  readonly filed: Filed | undefined;
  /** Writes the first event of a new run. */
  begin(info: { readonly person: string | undefined; readonly asset: string | undefined }): Promise<string | undefined>;
}

/** Opens a run. `onChange` gets the session as it is now, at once and after each change. */
export function openSession(host: ChecklistHost, opened: OpenedRun, onChange: (session: Session) => void): Session {
  const replayed = replayRun(opened.document, opened.events);
  let run: Run = replayed.run;
  // Events that the engine refuses still take their place in the journal.
  let written = opened.events.length;
  let saving = false;
  let trouble =
    replayed.refused.length > 0 ? WORDS.refusedOnReplay(replayed.refused.length, replayed.refused[0]!.problem) : undefined;
  let unsent: RunEvent | 'record' | undefined;
  let filed: Filed | undefined;

  const closed = () => ['finished', 'stopped'].includes(currentView(run).stage);

  async function write(event: RunEvent): Promise<string | undefined> {
    if (saving) return WORDS.saving;
    const next = applyEvent(run, event);
    if (next.problem !== undefined) return next.problem;
    saving = true;
    trouble = undefined;
    unsent = undefined;
    tell();
    try {
      await host.append(opened.runId, written, event);
      run = next;
      written += 1;
    } catch (error) {
      trouble = messageOf(error);
      unsent = event;
    }
    saving = false;
    tell();
    if (trouble === undefined && closed()) await file();
    return trouble;
  }

  async function file(): Promise<void> {
    try {
      filed = await host.finish(opened.runId);
      host.keepRun(undefined);
    } catch (error) {
      trouble = messageOf(error);
      unsent = 'record';
    }
    tell();
  }

  function snapshot(): Session {
    return {
      runId: opened.runId,
      document: opened.document,
      events: run.events,
      view: currentView(run),
      saving,
      trouble,
      filed,
      preview(entry) {
        const next = applyEvent(run, { ...entry, at: nowIso() } as RunEvent);
        return next.problem === undefined ? { view: currentView(next) } : { refused: next.problem };
      },
      send: (entry) => write({ ...entry, at: nowIso() } as RunEvent),
      async tryAgain() {
        const again = unsent;
        trouble = undefined;
        if (again === 'record') await file();
        else if (again) await write(again);
        else tell();
      },
      begin: ({ person, asset }) => {
        const event = startedEvent(opened.document, { at: nowIso(), ...(person === undefined ? {} : { person }) });
        return write(asset === undefined ? event : { ...event, asset });
      },
    };
  }

  const tell = () => onChange(snapshot());
  tell();
  if (opened.events.length > 0 && closed()) void file();
  return snapshot();
}

function messageOf(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}
