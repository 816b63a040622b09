import type { Fix } from '../findings/finding.ts';
import type { Instrument, Step } from '../procedure/model.ts';
import { quantityPhrase, quantityWord, type QuantityWord } from '../quantity/quantity-words.ts';
import { sameWord } from '../quantity/band-meaning.ts';
import { allSteps, type Check, type CheckContext } from './check.ts';
import { listed, words } from './edits.ts';
import { bandsOf, functionFor, placeInBand } from './limits-of.ts';
import { nameOf } from './walk-of.ts';

export const instrumentCannotRead: Check = {
  name: 'instrument-cannot-read',
  severity: 'error',
  group: 'quantities',
  proves: 'Every reading is taken with an instrument that reads the quantity, and that shows what the results ask for.',
  why: 'A test lamp has no numbers, and an ohmmeter does not put 500 V on the insulation.',
  source: 'Common practice, no source',
  shop: `shop: Workshop
instruments:
  multimeter: {title: Digital multimeter, measures: {dc_voltage: {up_to: 600 V}, resistance: {up_to: 40 Mohm}}}
  clamp_meter: {title: Clamp meter, measures: {dc_current: {up_to: 600 A}}}
`,
  bad: `procedure: work_lamp
title: Work lamp weak
circuits:
  lamp_feed: {nominal: 24 V}
steps:
  - step: current
    measure: dc_current
    circuit: lamp_feed
    with: multimeter
    results:
      - when: at least 2.5 A
        passes: true
      - when: below 2.5 A
        refer: Replace the lamp.
`,
  good: `procedure: work_lamp
title: Work lamp weak
circuits:
  lamp_feed: {nominal: 24 V}
steps:
  - step: current
    measure: dc_current
    circuit: lamp_feed
    with: clamp_meter
    results:
      - when: at least 2.5 A
        passes: true
      - when: below 2.5 A
        refer: Replace the lamp.
`,
  *run(context) {
    for (const step of allSteps(context.procedure)) {
      const instrument = step.instrument && context.scope.instruments.get(step.instrument.value)?.item;
      const word = quantityWord(step.quantity?.value ?? '');
      // An instrument of which nothing is said may read anything.
      if (step.kind !== 'measure' || !instrument || !step.instrument || word === undefined) continue;
      if (instrument.measures.length === 0 && instrument.shows.length === 0) continue;
      const shown = instrument.shows.find((shows) => shows.quantity.value === word)?.words.map((name) => name.value);
      if (functionFor(instrument, word) === undefined && shown === undefined) {
        yield {
          span: step.instrument.span,
          step: nameOf(step),
          subject: instrument.name.value,
          message: `${titleOf(instrument)} does not read ${quantityPhrase(word)}.`,
          note: `It reads ${listed(readable(instrument))}.`,
          help: helpFor(context, word),
          ...useAnother(context, step, word),
        };
        continue;
      }
      yield* wordsNotShown(context, step, instrument, word, shown);
    }
  },
};

/** A lamp asked for a number, or for a word that it does not show. */
function* wordsNotShown(context: CheckContext, step: Step, instrument: Instrument, word: QuantityWord, shown: readonly string[] | undefined) {
  for (const at of bandsOf(step)) {
    if (at.band.kind !== 'conditions') continue;
    for (const { comparison, span } of at.band.conditions) {
      const base = { span: placeInBand(at, span), step: nameOf(step), subject: instrument.name.value };
      if (comparison.kind !== 'shows' && functionFor(instrument, word) === undefined && shown) {
        yield { ...base, message: `${titleOf(instrument)} shows ${listed(shown, 'or')}, no number.`, help: `Judge it by ${listed(shown, 'or')}, or ${helpFor(context, word).replace(/^./u, (letter) => letter.toLowerCase())}` };
        return;
      }
      if (comparison.kind === 'shows' && !(shown ?? []).some((known) => sameWord(known, comparison.word))) {
        yield {
          ...base,
          message: `${titleOf(instrument)} does not show '${comparison.word}'.`,
          help: shown ? `It shows ${listed(shown, 'or')}.` : 'It shows a number: write a limit with its unit.',
        };
        return;
      }
    }
  }
}

function titleOf(instrument: Instrument): string {
  return instrument.title?.value ?? words(instrument.name.value);
}

function readable(instrument: Instrument): string[] {
  const names = [...instrument.measures.map((measure) => measure.quantity.value), ...instrument.shows.map((shows) => shows.quantity.value)];
  return [...new Set(names)].map((name) => {
    const word = quantityWord(name);
    return word ? quantityPhrase(word) : words(name);
  });
}

function useAnother(context: CheckContext, step: Step, word: QuantityWord): { fixes: Fix[] } | undefined {
  const names = ableTo(context, word);
  const { instrument } = step;
  if (names.length === 0 || instrument === undefined) return undefined;
  return { fixes: names.slice(0, 3).map((name) => ({ title: `Use ${name}`, edits: [{ file: context.file, span: instrument.span, newText: name }], altersMeaning: true })) };
}

/** The instruments of the shop that read the quantity. */
function ableTo({ scope }: CheckContext, word: QuantityWord): string[] {
  return [...scope.instruments].filter(([, { item }]) => functionFor(item, word) !== undefined).map(([name]) => name);
}

function helpFor(context: CheckContext, word: QuantityWord): string {
  const able = ableTo(context, word).map((name) => `'${name}'`);
  return able.length > 0 ? `Use ${listed(able.slice(0, 3), 'or')}.` : `Use an instrument that reads ${quantityPhrase(word)}.`;
}
