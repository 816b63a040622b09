/**
 * Clocks of a step: the wait before it may be judged, the pause before it is done again, the longest time a control may be
 * held.
 */
import { useContext, useEffect, useRef, useState } from 'preact/hooks';
import { SettingsContext } from './settings.ts';
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

interface WaitProps {
  readonly title: string;
  readonly seconds: number;
  /** When the count began, in ms; undefined: it begins with a press. */
  readonly since: number | undefined;
  readonly onStart?: () => void;
  readonly onOver: () => void;
  readonly onAlready: () => void;
}

/** Counts down to zero. What follows stays closed until then, or until the person says that the time was kept before. */
export function WaitClock({ title, seconds, since, onStart, onOver, onAlready }: WaitProps) {
  const now = useNow(250, since !== undefined);
  const left = since === undefined ? seconds : Math.min(seconds, seconds - (now - since) / 1000);
  const over = since !== undefined && left <= 0;
  const told = useRef(false);
  const { settings } = useContext(SettingsContext);
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
      <p role="status" class="only-heard">
        {over ? WORDS.waitOver : ''}
      </p>
      <div class="row">
        {since === undefined && (
          <button
            type="button"
            class="plain"
            data-test="wait-start"
            onClick={() => {
              prepareSignal();
              onStart?.();
            }}
          >
            {WORDS.waitStart}
          </button>
        )}
        <button type="button" class="plain" data-test="wait-already" onClick={onAlready}>
          {WORDS.waitAlready}
        </button>
      </div>
    </section>
  );
}

/** Counts the time a control is held, and says when to let go. An aid: the entry does not depend on it. */
export function HoldClock({ seconds }: { readonly seconds: number }) {
  const [since, setSince] = useState<number>();
  const now = useNow(100, since !== undefined);
  const left = since === undefined ? seconds : seconds - (now - since) / 1000;
  const over = since !== undefined && left <= 0;
  const { settings } = useContext(SettingsContext);
  useEffect(() => {
    if (over && settings.sound) signal();
  }, [over]);
  return (
    <section class="clock" data-test="hold">
      <h3>{WORDS.holdTitle(durationWords(seconds))}</h3>
      <p class="clock-face number" role="timer" aria-live="off">
        {clockWords(left)}
      </p>
      <p role="status" class="clock-over">
        {over ? WORDS.holdOver : ''}
      </p>
      <button
        type="button"
        class="plain"
        onClick={() => {
          prepareSignal();
          setSince(since === undefined ? Date.now() : undefined);
        }}
      >
        {since === undefined ? WORDS.holdStart : WORDS.holdStop}
      </button>
    </section>
  );
}

let sound: AudioContext | undefined;
let listening = false;

/** Prepares the sound at the first press, wherever it is. */
export function soundAtFirstPress(): void {
  if (listening) return;
  listening = true;
  for (const press of ['pointerdown', 'keydown']) addEventListener(press, prepareSignal, { once: true, capture: true });
}

/**
 * Browsers let a page sound only after a press: this is called from one. A wait that goes on after a reload has no press of its own,
 * so the first one anywhere on the page will do.
 */
export function prepareSignal(): void {
  try {
    sound ??= new AudioContext();
    void sound.resume();
  } catch {
    sound = undefined;
  }
}

/** Two short tones, and a buzz where the device has one. */
export function signal(): void {
  try {
    navigator.vibrate?.([200, 100, 200]);
    if (!sound) return;
    for (const start of [0, 0.3]) {
      const tone = sound.createOscillator();
      const volume = sound.createGain();
      tone.frequency.value = 880;
      volume.gain.value = 0.2;
      tone.connect(volume).connect(sound.destination);
      tone.start(sound.currentTime + start);
      tone.stop(sound.currentTime + start + 0.2);
    }
  } catch {
    // Without sound the words on the page stand.
  }
}
