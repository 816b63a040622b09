/** The checklist page: the first sheet, then the walk. Opens the run that was open when the page was last here. */
import { useCallback, useEffect, useState } from 'preact/hooks';
import { nowIso } from './clock.ts';
import type { ChecklistHost, Offered } from './host.ts';
import { openSession, saidOf } from './session.ts';
import type { Session } from './session.ts';
import { Start } from './start.tsx';
import { Walk } from './walk.tsx';
import { applySettings, rememberedSettings, rememberSettings, SettingsContext } from './settings.ts';
import type { Settings } from './settings.ts';
import { WORDS } from './words.ts';
import type { Language } from './words.ts';

/** A reason goes into the record, which speaks English wherever it was made. */
const CHANGED = 'The procedure was changed while the run was unfinished.';

interface AppProps {
  readonly host: ChecklistHost;
  /** The language that the page was made for. */
  readonly language?: Language;
}

export function ChecklistApp({ host, language }: AppProps) {
  const [settings, setSettings] = useState(() => {
    const remembered = rememberedSettings();
    applySettings(remembered, language);
    return remembered;
  });
  const [offer, setOffer] = useState<Offered>();
  const [asset, setAsset] = useState<string>();
  const [session, setSession] = useState<Session>();
  const [trouble, setTrouble] = useState<string>();
  /** Run → why it cannot be carried over. */
  const [refused, setRefused] = useState<Readonly<Record<string, string>>>({});

  const look = useCallback(
    async (wanted: string | undefined): Promise<Offered | undefined> => {
      try {
        const found = await host.look(wanted);
        setOffer(found);
        setAsset(found.document.asset?.id);
        return found;
      } catch (error) {
        setTrouble(saidOf(error));
        return undefined;
      }
    },
    [host],
  );

  const resume = useCallback(
    async (runId: string, person?: string) => {
      setTrouble(undefined);
      const now = await look(undefined);
      if (!now) return;
      const known = now.unfinished.find((run) => run.runId === runId);
      // What was read was judged by the text of then: nobody goes on by another one unawares. The first sheet says what can be done.
      if (known?.contentHash !== undefined && known.contentHash !== now.document.contentHash) return host.keepRun(undefined);
      try {
        const opened = await host.open(runId, undefined);
        const { contentHash } = opened.document;
        const closed = opened.events.some((event) => event.kind === 'finished' || event.kind === 'stopped');
        if (!closed && contentHash !== now.document.contentHash) {
          host.keepRun(undefined);
          setOffer({ ...now, unfinished: now.unfinished.map((run) => (run.runId === runId ? { ...run, contentHash } : run)) });
          return;
        }
        const resumed = openSession(host, opened, setSession);
        host.keepRun(runId);
        await resumed.handOver(person);
      } catch (error) {
        host.keepRun(undefined);
        setTrouble(saidOf(error));
      }
    },
    [host, look],
  );

  useEffect(() => {
    const kept = host.keptRun();
    void (kept === undefined ? look(undefined) : resume(kept));
  }, [host, look, resume]);

  useEffect(() => {
    const title = session?.document.procedure.title ?? offer?.document.procedure.title;
    if (title) document.title = title;
  }, [session, offer]);

  async function begin(person: string, wanted: string | undefined): Promise<void> {
    setTrouble(undefined);
    try {
      const opened = await host.open(undefined, wanted);
      const begun = openSession(host, opened, setSession);
      const problem = await begun.begin({ person: person || undefined, asset: wanted });
      if (problem !== undefined) {
        setSession(undefined);
        setTrouble(problem);
      } else host.keepRun(opened.runId);
    } catch (error) {
      setTrouble(saidOf(error));
    }
  }

  /** A run of a text that was changed since goes on by the text of now, in the open: what it was begun with stays on record. */
  async function carryOver(runId: string, person: string): Promise<void> {
    setTrouble(undefined);
    try {
      const opened = await host.carryOver(runId, { at: nowIso(), ...(person ? { person } : {}) });
      const carried = openSession(host, opened, setSession);
      host.keepRun(runId);
      await carried.handOver(person);
    } catch (error) {
      setRefused((before) => ({ ...before, [runId]: saidOf(error) }));
    }
  }

  /** Or it ends, and its record is written by the text it was begun with. */
  async function stopChanged(runId: string): Promise<void> {
    setTrouble(undefined);
    try {
      const opened = await host.open(runId, undefined, true);
      const problem = await openSession(host, opened, setSession).send({ kind: 'stopped', reason: CHANGED });
      if (problem !== undefined) setTrouble(problem);
    } catch (error) {
      setTrouble(saidOf(error));
    }
  }

  async function discard(runId: string): Promise<void> {
    try {
      await host.discard(runId);
    } catch (error) {
      setTrouble(saidOf(error));
    }
    await look(asset);
  }

  function change(part: Partial<Settings>): void {
    const next = { ...settings, ...part };
    applySettings(next, language);
    rememberSettings(next);
    setSettings(next);
    session?.redraw();
  }

  function page() {
    if (session && session.events.length > 0) {
      return (
        <Walk
          host={host}
          session={session}
          onLeave={() => {
            host.keepRun(undefined);
            setSession(undefined);
            void look(asset);
          }}
        />
      );
    }
    if (offer) {
      return (
        <Start
          host={host}
          offer={offer}
          asset={asset}
          trouble={trouble}
          refused={refused}
          onAsset={(wanted) => void look(wanted)}
          onBegin={begin}
          onResume={resume}
          onCarryOver={carryOver}
          onStopChanged={stopChanged}
          onDiscard={discard}
        />
      );
    }
    return (
      <main class="sheet">
        {trouble !== undefined && (
          <div role="alert" class="trouble">
            <p>
              <strong>{WORDS.cannotOpen}</strong> {trouble}
            </p>
          </div>
        )}
      </main>
    );
  }

  return <SettingsContext.Provider value={{ settings, change }}>{page()}</SettingsContext.Provider>;
}
