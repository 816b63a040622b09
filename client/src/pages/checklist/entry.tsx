/**
 * The field of a step: choices as large cards, readings as a wide field with the unit beside it. What is entered is a draft until
 * the large button takes it.
 */
import type { RefObject } from 'preact';
import { useContext, useEffect, useRef, useState } from 'preact/hooks';
import type { FieldView } from '../../../../server/src/run/engine.ts';
import { NumberKeys, touchAlone } from './number-keys.tsx';
import { SettingsContext } from './settings.ts';
import { answerName, sentence, WORDS } from './words.ts';

/** What is in the field now. `sure` is true for a choice, which can be judged at once; typing has to be ended first. */
export interface Draft {
  readonly typed: string;
  readonly sure: boolean;
}

interface FieldProps<F> {
  readonly field: F;
  readonly draft: Draft | undefined;
  readonly onDraft: (draft: Draft | undefined) => void;
  readonly describedBy: string;
  /** A text that the step shows already: a label that says the same is only heard. */
  readonly shownLabel: string | undefined;
  readonly refused: boolean;
}

export type EnteredField = Extract<FieldView, { readonly kind: 'answer' | 'reading' | 'fact' }>;

export function EntryField(props: FieldProps<EnteredField>) {
  const { field } = props;
  if (field.kind === 'answer') {
    return (
      <Choices
        {...props}
        name={`answer-${field.step}-${field.point ?? ''}`}
        label={field.label}
        free={field.free}
        choices={field.choices.map((choice) => ({
          value: choice.value,
          words: choice.says ?? sentence(answerName(choice.value)),
          short: choice.says ? answerName(choice.value) : undefined,
        }))}
      />
    );
  }
  if (field.kind === 'reading' && field.shows.length > 0) {
    return (
      <Choices
        {...props}
        name={`reading-${field.step}-${field.point ?? ''}`}
        label={field.label}
        free={false}
        choices={field.shows.map((word) => ({ value: word, words: sentence(answerName(word)), short: undefined }))}
      />
    );
  }
  if (field.kind === 'fact' && field.choices.length > 0) {
    return (
      <Choices
        {...props}
        name={`fact-${field.fact}`}
        label={field.title}
        free={false}
        from={field.from}
        choices={field.choices.map((choice) => ({ value: choice, words: sentence(answerName(choice)), short: undefined }))}
      />
    );
  }
  if (field.kind === 'fact')
    return <Reading {...props} label={field.title} from={field.from} word={undefined} unit={field.unit} units={[]} />;
  return <Reading {...props} label={field.label} from={undefined} word={field.word} unit={field.unit} units={field.units} />;
}

interface Choice {
  readonly value: string;
  readonly words: string;
  readonly short: string | undefined;
}

function Choices({
  name,
  label,
  choices,
  free,
  from,
  draft,
  onDraft,
  describedBy,
  shownLabel,
  refused,
}: FieldProps<unknown> & {
  readonly name: string;
  readonly label: string;
  readonly choices: readonly Choice[];
  readonly free: boolean;
  readonly from?: string;
}) {
  const [other, setOther] = useState(false);
  const otherField = useRef<HTMLInputElement>(null);
  const chosen = other ? undefined : draft?.typed;
  return (
    <fieldset class="choices" aria-describedby={describedBy} aria-invalid={refused || undefined}>
      <legend class={label === shownLabel ? 'only-heard' : undefined}>
        {label}
        {from && <span class="quiet"> ({from})</span>}
      </legend>
      {choices.map((choice) => (
        <label key={choice.value} class="choice" data-test="answer" data-when={choice.value}>
          <input
            type="radio"
            name={name}
            value={choice.value}
            checked={chosen === choice.value}
            onChange={() => {
              setOther(false);
              onDraft({ typed: choice.value, sure: true });
            }}
          />
          <span class="choice-words">
            <span>{choice.words}</span>
            {choice.short && <span class="quiet">{choice.short}</span>}
          </span>
        </label>
      ))}
      {free && (
        <label class="choice" data-test="answer-other">
          <input
            type="radio"
            name={name}
            value=""
            checked={other}
            onChange={() => {
              setOther(true);
              onDraft(undefined);
              otherField.current?.focus();
            }}
          />
          <span class="choice-words">{WORDS.otherAnswer}</span>
        </label>
      )}
      {free && other && (
        <label class="field-line">
          <span>{WORDS.otherAnswerField}</span>
          <input
            type="text"
            class="wide"
            maxLength={2000}
            ref={otherField}
            autoComplete="off"
            value={draft?.typed ?? ''}
            onInput={(event) => onDraft({ typed: event.currentTarget.value, sure: false })}
          />
        </label>
      )}
    </fieldset>
  );
}

const WITH_OVERLOAD = ['resistance', 'continuity', 'insulation_resistance'];
const WITH_SIGN = ['dc_voltage', 'dc_current', 'temperature', 'temperature_difference', 'angle'];

function Reading({
  label,
  from,
  word,
  unit,
  units,
  draft,
  onDraft,
  describedBy,
  refused,
}: FieldProps<unknown> & {
  readonly label: string;
  readonly from: string | undefined;
  readonly word: string | undefined;
  readonly unit: string;
  readonly units: readonly string[];
}) {
  const [text, setText] = useState(draft?.typed ?? '');
  const [chosenUnit, setUnit] = useState(unit);
  const { settings } = useContext(SettingsContext);
  const onPage = settings.keys === 'page' || (settings.keys === 'auto' && touchAlone());
  const input = useRef<HTMLInputElement>(null);
  const choices = [...new Set([unit, ...units])].filter((symbol) => symbol !== '');

  useEffect(() => {
    if (draft === undefined) setText('');
  }, [draft === undefined]);

  function change(typed: string, withUnit: string): void {
    setText(typed);
    // A unit that was typed says more than the one beside the field.
    const bare = /^[+\-−]?[\d.,\s'\u202f]+$/.test(typed.trim());
    onDraft(
      typed.trim() === ''
        ? undefined
        : { typed: bare && withUnit !== unit ? `${typed.trim()} ${withUnit}` : typed.trim(), sure: false },
    );
  }

  return (
    <div class="reading">
      <label for="reading">
        {label}
        {from && <span class="quiet"> ({from})</span>}
      </label>
      <div class="reading-row">
        <input
          id="reading"
          data-test="reading"
          ref={input as RefObject<HTMLInputElement>}
          class="number"
          type="text"
          inputMode={onPage ? 'none' : 'decimal'}
          enterKeyHint="done"
          autoComplete="off"
          spellcheck={false}
          maxLength={200}
          aria-describedby={describedBy}
          aria-invalid={refused || undefined}
          value={text}
          onInput={(event) => change(event.currentTarget.value, chosenUnit)}
        />
        {choices.length > 1 ? (
          <select
            aria-label={WORDS.unit}
            data-test="unit"
            value={chosenUnit}
            onChange={(event) => {
              setUnit(event.currentTarget.value);
              change(text, event.currentTarget.value);
            }}
          >
            {choices.map((symbol) => (
              <option key={symbol} value={symbol}>
                {symbol}
              </option>
            ))}
          </select>
        ) : (
          unit && <span class="unit">{unit}</span>
        )}
        {word && WITH_SIGN.includes(word) && (
          <button
            type="button"
            class="plain"
            title={WORDS.signHelp}
            aria-label={WORDS.signHelp}
            onClick={() => {
              change(/^[-−]/.test(text) ? text.slice(1) : `-${text}`, chosenUnit);
              if (!onPage) input.current?.focus();
            }}
          >
            {WORDS.sign}
          </button>
        )}
        {word && WITH_OVERLOAD.includes(word) && (
          <button
            type="button"
            class="plain"
            aria-label={WORDS.overloadHelp}
            title={WORDS.overloadHelp}
            onClick={() => change(WORDS.overload, chosenUnit)}
          >
            {WORDS.overload}
          </button>
        )}
      </div>
      {onPage && <NumberKeys typed={text} onTyped={(typed) => change(typed, chosenUnit)} />}
    </div>
  );
}
