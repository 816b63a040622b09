/**
 * Which wait stands before the entry of the step at hand. It is counted from an event of the run, so that it goes on while the page
 * is closed, the device is off or another device shows the run; the record shows when it began.
 */
import { useState } from 'preact/hooks';
import type { StepView } from '../../../../server/src/run/engine.ts';
import type { Session } from './session.ts';
import { WaitClock } from './timers.tsx';
import { durationWords, timeOfDay, WORDS } from './words.ts';

export interface WaitsNow {
  /** True while something is to be waited for: the entry stays closed. */
  readonly open: boolean;
  readonly clock?: {
    readonly key: string;
    readonly title: string;
    readonly seconds: number;
    /** When the count began, in ms; undefined: it begins with a press. */
    readonly since: number | undefined;
    readonly onStart: () => void;
    readonly onOver: () => void;
    readonly without: { readonly words: string; readonly help?: string; readonly onPress: () => void };
  };
  /** What has been waited for, in words. */
  readonly kept?: string;
  /** Why the wait could not be begun. */
  readonly told?: string;
}

/** The rest before doing a step again comes first, then the step's own wait. */
export function useWaits(session: Session, ready: boolean): WaitsNow {
  const { step } = session.view;
  const [, redraw] = useState(0);
  const [without, setWithout] = useState<string>();
  const [told, setTold] = useState<string>();
  if (!ready || !step || session.view.stage !== 'step' || session.view.paused) return { open: false };
  const again = () => redraw((count) => count + 1);
  const common = { onOver: again, onStart: again };

  const rest = `${step.name}/${step.doneBefore}`;
  if (step.restSeconds !== undefined && without !== rest) {
    const since = Date.parse(step.restSince ?? '');
    if (isOpen(since, step.restSeconds)) {
      return {
        open: true,
        clock: {
          ...common,
          key: 'rest',
          title: WORDS.restTitle(durationWords(step.restSeconds)),
          seconds: step.restSeconds,
          since,
          without: { words: WORDS.restWithout, help: WORDS.restWithoutHelp, onPress: () => setWithout(rest) },
        },
      };
    }
  }
  if (step.waitSeconds === undefined || step.waitKept) return { open: false };
  const since = step.waitSince === undefined ? undefined : Date.parse(step.waitSince);
  if (since !== undefined && !isOpen(since, step.waitSeconds)) return { open: false, kept: WORDS.waitOver(durationWords(step.waitSeconds)) };
  const begin = (already: boolean) =>
    void session.send({ kind: 'wait_started', step: step.name, ...(already ? { already: true } : {}) }).then(setTold);
  return {
    open: true,
    ...(told === undefined ? {} : { told }),
    clock: {
      ...common,
      key: 'wait',
      title: WORDS.waitTitle(durationWords(step.waitSeconds)),
      seconds: step.waitSeconds,
      since,
      onStart: () => begin(false),
      without: { words: WORDS.waitAlready, help: waitHelp(step), onPress: () => begin(true) },
    },
  };
}

/** Where a clock was set back, the wait is counted anew rather than passed over. */
function isOpen(since: number, seconds: number): boolean {
  return Number.isFinite(since) && Date.now() - since < seconds * 1000;
}

/** After what the wait begins. */
function waitHelp(step: StepView): string | undefined {
  return step.waitSince === undefined && step.actions.length > 0 ? WORDS.waitAfterActions : undefined;
}

export function Waits({ waits }: { readonly waits: WaitsNow }) {
  const { clock } = waits;
  return (
    <>
      {clock && (
        <WaitClock
          key={clock.key}
          title={clock.title}
          seconds={clock.seconds}
          since={clock.since}
          counts={clock.since === undefined ? clock.without.help : WORDS.waitCounts(timeOfDay(clock.since), timeOfDay(clock.since + clock.seconds * 1000))}
          onStart={clock.onStart}
          onOver={clock.onOver}
          without={clock.without.words}
          onWithout={clock.without.onPress}
        />
      )}
      <p role="status" class="told" data-test="wait-told">
        {waits.told}
      </p>
      <p role="status" class="wait-kept">
        {waits.kept}
      </p>
    </>
  );
}
