/** Which wait stands before the entry of the step at hand, and since when it counts; it survives a reload of the page. */
import { useCallback, useState } from 'preact/hooks';
import type { Session } from './session.ts';
import { WaitClock } from './timers.tsx';
import { durationWords, WORDS } from './words.ts';

export interface WaitsNow {
  /** True while something is to be waited for: the entry stays closed. */
  readonly open: boolean;
  readonly clock?: {
    readonly key: string;
    readonly title: string;
    readonly seconds: number;
    readonly since: number | undefined;
    readonly onStart: () => void;
    readonly onOver: () => void;
    readonly onAlready: () => void;
  };
}

/** The rest before doing a step again comes first, then the step's own wait. */
export function useWaits(session: Session, ready: boolean): WaitsNow {
  const { view, runId } = session;
  const { step } = view;
  // One wait for one doing of the step, however many of its points have been entered.
  const before = view.walked.length - (step?.points.filter((point) => point.typed !== undefined).length ?? 0);
  const key = `faultwright-wait/${runId}/${step?.name ?? ''}/${step?.doneBefore ?? 0}/${before}`;
  const [, redraw] = useState(0);
  const again = () => redraw((count) => count + 1);
  const restKey = `${key}/rest`;
  const waitKey = `${key}/wait`;
  const over = useCallback((which: string) => {
    remember(which, 'over');
    again();
  }, []);

  if (!ready || !step || view.stage !== 'step' || view.paused) return { open: false };
  const already = (which: string, seconds: number) => {
    void session.send({ kind: 'note', text: WORDS.waitAlreadyNote(durationWords(seconds), step.title) }).then((refused) => {
      if (refused === undefined) over(which);
    });
  };
  if (step.restSeconds !== undefined && recall(restKey) !== 'over') {
    const since = Date.parse(step.restSince ?? '');
    if (Date.now() - since < step.restSeconds * 1000) {
      const seconds = step.restSeconds;
      return {
        open: true,
        clock: {
          key: restKey,
          title: WORDS.restTitle(durationWords(seconds)),
          seconds,
          since,
          onStart: again,
          onOver: () => over(restKey),
          onAlready: () => already(restKey, seconds),
        },
      };
    }
  }
  if (step.waitSeconds !== undefined && recall(waitKey) !== 'over') {
    const started = Number(recall(waitKey) ?? Number.NaN);
    const seconds = step.waitSeconds;
    return {
      open: true,
      clock: {
        key: waitKey,
        title: WORDS.waitTitle(durationWords(seconds)),
        seconds,
        since: Number.isNaN(started) ? undefined : started,
        onStart: () => {
          remember(waitKey, String(Date.now()));
          again();
        },
        onOver: () => over(waitKey),
        onAlready: () => already(waitKey, seconds),
      },
    };
  }
  return { open: false };
}

export function Waits({ waits }: { readonly waits: WaitsNow }) {
  if (!waits.clock) return null;
  const { key, ...clock } = waits.clock;
  return <WaitClock key={key} {...clock} />;
}

const inMemory = new Map<string, string>();

function recall(key: string): string | undefined {
  try {
    return localStorage.getItem(key) ?? inMemory.get(key);
  } catch {
    return inMemory.get(key);
  }
}

function remember(key: string, value: string): void {
  inMemory.set(key, value);
  try {
    localStorage.setItem(key, value);
  } catch {
    // In memory it lasts as long as the page.
  }
}
