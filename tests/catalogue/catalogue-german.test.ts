/** Every text of the catalogue that a technician is shown has its German one, none is left over, and a text of one's own stays as it is. */
import { describe, expect, test } from 'vitest';
import { CATALOGUE_IN_GERMAN } from '../../server/src/catalogue/catalogue-german.ts';
import { loadCatalogue } from '../../server/src/catalogue/load-catalogue.ts';
import { catalogueIn, cautionInGerman } from '../../server/src/render/catalogue-in-german.ts';
import type { CautionSheet } from '../../server/src/run/checklist-document.ts';
import { plainWords } from '../../server/src/run/texts.ts';

const shop = loadCatalogue();
const cautions = shop.cautions.map((caution) => ({
  name: caution.name.value, signal: caution.signal?.value ?? '',
  sentences: [caution.hazard, caution.consequence, caution.avoid].flatMap((text) => (text === undefined ? [] : [text.value])),
  wear: caution.wear.map((one) => plainWords(one.value)),
}));
const shown = new Set([
  ...cautions.flatMap(({ sentences, wear }) => [...sentences, ...wear]),
  ...shop.states.flatMap((state) => state.changes.flatMap((change) => change.do.map((one) => one.value))),
  ...shop.qualifications.flatMap((one) => (one.title === undefined ? [] : [one.title.value])),
]);

test('each text has its German one, and none is left over', () => {
  expect([...shown].filter((text) => CATALOGUE_IN_GERMAN[text] === undefined)).toEqual([]);
  expect(Object.keys(CATALOGUE_IN_GERMAN).filter((text) => !shown.has(text))).toEqual([]);
});

test('numbers are the same in both languages', () => {
  const numbers = (text: string): string[] => text.replaceAll(',', '.').match(/\d+(\.\d+)?/g) ?? [];
  for (const [english, german] of Object.entries(CATALOGUE_IN_GERMAN)) expect(numbers(german), english).toEqual(numbers(english));
});

// ANSI Z535.6: 'will' for DANGER, 'could' for WARNING and CAUTION.
test('what will happen and what could happen stay apart', () => {
  for (const { signal, sentences, name } of cautions) {
    const german = CATALOGUE_IN_GERMAN[sentences[1] ?? ''] ?? '';
    if (signal === 'danger') expect(german, name).toMatch(/\bwird\b/);
    else expect(german, name).toMatch(/\b(kann|können)\b/);
  }
});

describe('a caution', () => {
  const own: CautionSheet = {
    name: 'battery_acid', signal: 'warning', hazard: 'The cells of this battery are open.', consequence: 'Acid could blind you and could cause serious burns.',
    avoid: 'Stand back.', wear: ['apron', 'oil-proof boots'], acknowledge: 'once',
  };

  test('of the shop under the name of a built-in one keeps its own words, in one language', () => {
    expect(cautionInGerman(own)).toEqual({ ...own, wear: ['Schürze', 'oil-proof boots'] });
  });

  test('of the catalogue is said whole in German', () => {
    const acid = shop.cautions.find((one) => one.name.value === 'battery_acid')!;
    const sheet = { ...own, hazard: acid.hazard!.value, consequence: acid.consequence!.value, avoid: acid.avoid!.value };
    expect(cautionInGerman(sheet)).toMatchObject({ hazard: 'Der Elektrolyt ist Schwefelsäure.', avoid: expect.stringContaining('7,6 m') as string });
  });

  test('a change with an action of its own stays whole', () => {
    const change = { to: 'off', do: ['Turn the isolator off.', 'Tell the driver.'], cautions: [] };
    expect(catalogueIn('de').change(change).do).toEqual(change.do);
    expect(catalogueIn('de').change({ ...change, do: ['Turn the isolator off.'] }).do).toEqual(['Den Trennschalter ausschalten.']);
  });
});
