/** The sound at the end of a wait, and a buzz where the device has one. Knows no clocks. */

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
    // Two pitches with many overtones: heard in a workshop where one low tone is not.
    for (const [start, pitch] of [[0, 880], [0.3, 1175]] as const) {
      const tone = sound.createOscillator();
      const volume = sound.createGain();
      tone.type = 'square';
      tone.frequency.value = pitch;
      volume.gain.value = 0.4;
      tone.connect(volume).connect(sound.destination);
      tone.start(sound.currentTime + start);
      tone.stop(sound.currentTime + start + 0.2);
    }
  } catch {
    // Without sound the words on the page stand.
  }
}
