/** The head of every sheet: where one is, for which asset, and how long it took. */
import type { Session } from './session.ts';
import { useNow } from './timers.tsx';
import { durationWords, sentence, statusName, WORDS } from './words.ts';

export function Where({ session }: { readonly session: Session }) {
  const { view, events } = session;
  const running = !view.paused && view.stage !== 'finished' && view.stage !== 'stopped';
  const now = useNow(1000, running);
  const lastAt = Date.parse(events[events.length - 1]?.at ?? '');
  const since = running && Number.isFinite(lastAt) ? Math.max(0, (now - lastAt) / 1000) : 0;
  const { procedure } = view;
  return (
    <header class="where" data-test="where">
      <h1>
        {procedure.title}
        <span class="quiet">
          {' '}
          {[procedure.revision && `${WORDS.revision} ${procedure.revision}`, procedure.status && statusName(procedure.status)]
            .filter(Boolean)
            .join(', ')}
        </span>
      </h1>
      {view.inside.length > 1 && <p class="inside">{view.inside.slice(1).join(' › ')}</p>}
      <p class="where-line">
        <span data-test="position">{sentence(view.position)}</span>
        {view.asset && <span>{WORDS.assetFixed(view.asset)}</span>}
        <span class="number" data-test="elapsed">
          {durationWords(view.elapsedSeconds + since)} {WORDS.elapsed}
        </span>
      </p>
      <progress value={view.progress} max={1} aria-label={view.position} />
    </header>
  );
}
