/** The checklist page: the first sheet, then the walk. Opens the run that was open when the page was last here. */
import { useCallback, useEffect, useState } from 'preact/hooks';
import type { ChecklistHost, Offered } from './host.ts';
import { openSession } from './session.ts';
import type { Session } from './session.ts';
import { Start } from './start.tsx';
import { Walk } from './walk.tsx';
import { applySettings, rememberedSettings, rememberSettings, SettingsContext } from './settings.ts';
import type { Settings } from './settings.ts';
import { WORDS } from './words.ts';
import type { Language } from './words.ts';

interface AppProps {
  readonly host: ChecklistHost;
  /** The language that the file was made for. */
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

  const look = useCallback(
    async (wanted: string | undefined) => {
      try {
        const found = await host.look(wanted);
        setOffer(found);
        setAsset(found.document.asset?.id);
      } catch (error) {
        setTrouble(messageOf(error));
      }
    },
    [host],
  );

  const [changed, setChanged] = useState<readonly string[]>([]);
  const resume = useCallback(
    async (runId: string) => {
      setTrouble(undefined);
      try {
        const now = await host.look(undefined);
        const opened = await host.open(runId, undefined);
        const closed = opened.events.some((event) => event.kind === 'finished' || event.kind === 'stopped');
        // What was read was judged by the text of then: nobody goes on by another one unawares.
        if (!closed && opened.document.contentHash !== now.document.contentHash) {
          host.keepRun(undefined);
          setChanged((before) => [...before, runId]);
          setOffer(now);
          setAsset(now.document.asset?.id);
          return;
        }
        openSession(host, opened, setSession);
        host.keepRun(runId);
      } catch (error) {
        host.keepRun(undefined);
        setTrouble(messageOf(error));
        await look(undefined);
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
      const refused = await begun.begin({ person: person || undefined, asset: wanted });
      if (refused !== undefined) {
        setSession(undefined);
        setTrouble(refused);
      } else host.keepRun(opened.runId);
    } catch (error) {
      setTrouble(messageOf(error));
    }
  }

  /** A run of a text that was changed since: it ends, and its record is written by the text it was begun with. */
  async function stopChanged(runId: string): Promise<void> {
    setTrouble(undefined);
    try {
      const opened = await host.open(runId, undefined);
      const refused = await openSession(host, opened, setSession).send({ kind: 'stopped', reason: WORDS.changedReason });
      if (refused !== undefined) setTrouble(refused);
    } catch (error) {
      setTrouble(messageOf(error));
    }
  }

  function change(part: Partial<Settings>): void {
    const next = { ...settings, ...part };
    applySettings(next, language);
    rememberSettings(next);
    setSettings(next);
    session?.redraw();
  }

  return <SettingsContext.Provider value={{ settings, change }}>{page()}</SettingsContext.Provider>;

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
  if (!offer) {
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
  return (
    <Start
      host={host}
      offer={offer}
      asset={asset}
      trouble={trouble}
      onAsset={(wanted) => void look(wanted)}
      onBegin={begin}
      onResume={resume}
      changed={changed}
      onStopChanged={stopChanged}
      onDiscard={async (runId) => {
        try {
          await host.discard(runId);
        } catch (error) {
          setTrouble(messageOf(error));
        }
        await look(asset);
      }}
    />
  );
  }
}

function messageOf(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}
