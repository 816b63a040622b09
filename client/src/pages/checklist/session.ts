/**
 * One open run on the page: events go through the engine first, then to the host, and count only once the host has them on disk.
 * Knows no screen.
 */
import type { ChecklistDocument } from '../../../../server/src/run/checklist.ts';
import { applyEvent, currentView, replayRun, startedEvent } from '../../../../server/src/run/engine.ts';
import type { Run, RunEvent, RunView } from '../../../../server/src/run/engine.ts';
import { nowIso } from './clock.ts';
import { inGerman, ownWords, viewInGerman } from '../../../../server/src/render/run-in-german.ts';
import type { OwnWords } from '../../../../server/src/render/run-in-german.ts';
import type { ChecklistHost, Filed, OpenedRun } from './host.ts';
import { languageInUse, WORDS } from './words.ts';

/** An event before the clock has stamped it. */
export type Entry = RunEvent extends infer E ? (E extends RunEvent ? Omit<E, 'at'> : never) : never;

export interface Session {
  readonly runId: string;
  readonly document: ChecklistDocument;
  /** Procedure and figure, as figureKey joins them → data URI. */
  readonly figures: Readonly<Record<string, string>>;
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
  /** Tells `onChange` again, as when the language was changed. */
  redraw(): void;
  /** Where another person than before goes on, that is put on record. */
  handOver(person: string | undefined): Promise<void>;
  /** Writes the first event of a new run. */
  begin(info: { readonly person: string | undefined; readonly asset: string | undefined }): Promise<string | undefined>;
}

/** Opens a run. `onChange` gets the session as it is now, at once and after each change. */
export function openSession(host: ChecklistHost, opened: OpenedRun, onChange: (session: Session) => void): Session {
  const own = ownWords(opened.document);
  const told = (problem: string): string => toldWith(problem, own);
  const shown = (run: Run): RunView => (languageInUse() === 'de' ? viewInGerman(currentView(run), own) : currentView(run));
  const replayed = replayRun(opened.document, opened.events);
  let run: Run = replayed.run;
  // Events that the engine refuses still take their place in the journal.
  let written = opened.events.length;
  let saving = false;
  let trouble =
    replayed.refused.length > 0 ? WORDS.refusedOnReplay(replayed.refused.length, told(replayed.refused[0]!.problem)) : undefined;
  let unsent: RunEvent | 'record' | undefined;
  let filed: Filed | undefined;

  const closed = () => ['finished', 'stopped'].includes(currentView(run).stage);

  async function write(event: RunEvent): Promise<string | undefined> {
    if (saving) return WORDS.saving;
    const next = applyEvent(run, event);
    if (next.problem !== undefined) return told(next.problem);
    saving = true;
    trouble = undefined;
    unsent = undefined;
    tell();
    try {
      await host.append(opened.runId, written, event);
      run = next;
      written += 1;
    } catch (error) {
      trouble = saidOf(error);
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
      trouble = saidOf(error);
      unsent = 'record';
    }
    tell();
  }

  function snapshot(): Session {
    return {
      runId: opened.runId,
      document: opened.document,
      figures: opened.figures ?? {},
      events: run.events,
      view: shown(run),
      saving,
      trouble,
      filed,
      preview(entry) {
        const next = applyEvent(run, { ...entry, at: nowIso() } as RunEvent);
        return next.problem === undefined ? { view: shown(next) } : { refused: told(next.problem) };
      },
      send: (entry) => write({ ...entry, at: nowIso() } as RunEvent),
      async tryAgain() {
        const again = unsent;
        trouble = undefined;
        if (again === 'record') await file();
        else if (again) await write(again);
        else tell();
      },
      redraw: () => tell(),
      async handOver(person) {
        if (person && !closed() && person !== run.walk.person) await write({ kind: 'handed_over', at: nowIso(), to: person });
      },
      begin: ({ person, asset }) => {
        const event = startedEvent(opened.document, { at: nowIso(), salt: newSalt(), ...(person === undefined ? {} : { person }) });
        return write(asset === undefined ? event : { ...event, asset });
      },
    };
  }

  const tell = () => onChange(snapshot());
  tell();
  if (opened.events.length > 0 && closed()) void file();
  return snapshot();
}

/** Names of people are sealed with it, so that they can be taken out of the record later. */
function newSalt(): string {
  return Array.from(crypto.getRandomValues(new Uint8Array(16)), (byte) => byte.toString(16).padStart(2, '0')).join('');
}

/** What an error says, in the language of the page. */
export function saidOf(error: unknown): string {
  return toldWith(error instanceof Error ? error.message : String(error));
}

/** Why an entry is refused, in the language of the page. Records keep the run's own words. */
function toldWith(problem: string, own: OwnWords = []): string {
  return languageInUse() === 'de' ? inGerman(problem, own) : problem;
}
