/**
 * Clocks of a step: the wait before it may be judged, the pause before it is done again, the longest time a control may be
 * held.
 */
import { useContext, useEffect, useRef, useState } from 'preact/hooks';
import { SettingsContext } from './settings.ts';
import { prepareSignal, signal, soundAtFirstPress } from './sound.ts';
import { clockWords, durationWords, WORDS } from './words.ts';

/** The time now in ms, anew every `every` ms while `running`. */
export function useNow(every: number, running = true): number {
  const [now, setNow] = useState(Date.now());
  useEffect(() => {
    if (!running) return undefined;
    setNow(Date.now());
    const timer = setInterval(() => setNow(Date.now()), every);
    return () => clearInterval(timer);
  }, [every, running]);
  return now;
}

/** Keeps the display on while `running`, where the browser lets it: a page in the dark of a pocket may not sound. */
function useDisplayOn(running: boolean): void {
  useEffect(() => {
    if (!running) return undefined;
    const asked = navigator.wakeLock?.request('screen').catch(() => undefined);
    return () => void asked?.then((lock) => lock?.release());
  }, [running]);
}

interface WaitProps {
  readonly title: string;
  readonly seconds: number;
  /** When the count began, in ms; undefined: it begins with a press. */
  readonly since: number | undefined;
  /** How it is counted, or what is to be done before it. */
  readonly counts: string | undefined;
  readonly onStart: () => void;
  readonly onOver: () => void;
  /** The way on without the count. */
  readonly without: string;
  readonly onWithout: () => void;
}

/** Counts down to zero. What follows stays closed until then, or until the person goes on without the count. */
export function WaitClock({ title, seconds, since, counts, onStart, onOver, without, onWithout }: WaitProps) {
  const now = useNow(250, since !== undefined);
  const left = since === undefined ? seconds : Math.min(seconds, seconds - (now - since) / 1000);
  const over = since !== undefined && left <= 0;
  const told = useRef(false);
  const { settings } = useContext(SettingsContext);
  useDisplayOn(since !== undefined);
  useEffect(soundAtFirstPress, []);
  useEffect(() => {
    if (!over || told.current) return;
    told.current = true;
    if (settings.sound) signal();
    onOver();
  }, [over, onOver]);
  return (
    <section class="clock" data-test="wait">
      <h3>{title}</h3>
      <p class="clock-face number" role="timer" aria-live="off">
        {clockWords(left)}
      </p>
      {counts && (
        <p class="clock-counts" data-test="wait-counts">
          {counts}
        </p>
      )}
      <div class="row">
        {since === undefined && (
          <button
            type="button"
            class="next"
            data-test="wait-start"
            onClick={() => {
              prepareSignal();
              onStart();
            }}
          >
            {WORDS.waitStart}
          </button>
        )}
        <button type="button" class="plain" data-test="wait-already" onClick={onWithout}>
          {without}
        </button>
      </div>
    </section>
  );
}

/** How often it sounds once the longest time is over, and how far apart, in ms. */
const ALARMS = 10;
const ALARM_EVERY = 2_000;

/** Counts the time a control is held, and says when to let go. An aid: the entry does not depend on it. */
export function HoldClock({ seconds, held }: { readonly seconds: number; readonly held: boolean }) {
  const [since, setSince] = useState<number>();
  const now = useNow(100, since !== undefined);
  const left = since === undefined ? seconds : seconds - (now - since) / 1000;
  const over = since !== undefined && left <= 0;
  const alarm = over ? Math.min(ALARMS, Math.floor((-left * 1000) / ALARM_EVERY) + 1) : 0;
  const { settings } = useContext(SettingsContext);
  useDisplayOn(since !== undefined);
  useEffect(() => {
    if (alarm > 0 && settings.sound) signal();
  }, [alarm]);
  return (
    <section class={over ? 'clock clock-now' : 'clock'} data-test="hold">
      <h3>{(held ? WORDS.holdTitle : WORDS.atMostTitle)(durationWords(seconds))}</h3>
      <p class="clock-face number" role="timer" aria-live="off">
        {clockWords(left)}
      </p>
      <p role="alert" class="clock-over">
        {over ? (held ? WORDS.holdOver : WORDS.clockOver) : ''}
      </p>
      <button
        type="button"
        class="plain strong"
        data-test={since === undefined ? 'hold-start' : 'hold-stop'}
        onClick={() => {
          prepareSignal();
          setSince(since === undefined ? Date.now() : undefined);
        }}
      >
        {since === undefined ? (held ? WORDS.holdStart : WORDS.clockStart) : held ? WORDS.holdStop : WORDS.clockStop}
      </button>
    </section>
  );
}
