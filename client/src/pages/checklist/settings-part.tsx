/** The settings, folded at the foot of every sheet. */
import { useContext } from 'preact/hooks';
import { SettingsContext } from './settings.ts';
import type { Settings } from './settings.ts';
import { prepareSignal, signal } from './sound.ts';
import { WORDS } from './words.ts';

export function SettingsPart() {
  const { settings, change } = useContext(SettingsContext);
  return (
    <details class="settings" data-test="settings">
      <summary>{WORDS.settingsTitle}</summary>
      <OneOf
        name="language"
        title={WORDS.language}
        value={settings.language}
        choices={[
          ['auto', WORDS.languageAuto],
          // Each in its own words: whoever needs it reads it.
          ['en', 'English'],
          ['de', 'Deutsch'],
        ]}
        onChoose={(language) => change({ language })}
      />
      <OneOf
        name="hand"
        title={WORDS.handSetting}
        help={WORDS.handHelp}
        value={settings.hand}
        choices={[
          ['left', WORDS.handLeft],
          ['right', WORDS.handRight],
        ]}
        onChoose={(hand) => change({ hand })}
      />
      <OneOf
        name="light"
        title={WORDS.light}
        value={settings.light}
        choices={[
          ['device', WORDS.lightDevice],
          ['sun', WORDS.lightSun],
        ]}
        onChoose={(light) => change({ light })}
      />
      <OneOf
        name="keys"
        title={WORDS.keysTitle}
        help={WORDS.keysHelp}
        value={settings.keys}
        choices={[
          ['auto', WORDS.keysAuto],
          ['page', WORDS.keysPage],
          ['device', WORDS.keysDevice],
        ]}
        onChoose={(keys) => change({ keys })}
      />
      <OneOf
        name="sound"
        title={WORDS.sound}
        value={settings.sound ? 'on' : 'off'}
        choices={[
          ['on', WORDS.soundOn],
          ['off', WORDS.soundOff],
        ]}
        onChoose={(sound) => change({ sound: sound === 'on' })}
      />
      {settings.sound && (
        <button
          type="button"
          class="plain"
          data-test="sound-try"
          onClick={() => {
            prepareSignal();
            signal();
          }}
        >
          {WORDS.soundTry}
        </button>
      )}
    </details>
  );
}

function OneOf<T extends string>({
  name,
  title,
  help,
  value,
  choices,
  onChoose,
}: {
  readonly name: keyof Settings;
  readonly title: string;
  readonly help?: string;
  readonly value: T;
  readonly choices: readonly (readonly [value: T, words: string])[];
  readonly onChoose: (value: T) => void;
}) {
  return (
    <fieldset class="choices side-by-side" aria-describedby={help ? `setting-${name}-help` : undefined}>
      <legend>{title}</legend>
      {help && (
        <p class="quiet" id={`setting-${name}-help`}>
          {help}
        </p>
      )}
      {choices.map(([choice, words]) => (
        <label key={choice} class="choice" data-test={`setting-${name}`} data-when={choice}>
          <input
            type="radio"
            name={`setting-${name}`}
            value={choice}
            checked={choice === value}
            onChange={() => onChoose(choice)}
          />
          <span class="choice-words">{words}</span>
        </label>
      ))}
    </fieldset>
  );
}
