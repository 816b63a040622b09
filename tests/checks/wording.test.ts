/** The checks on wording: what they find in drafts, and that they leave good texts alone. */
import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { analyseText } from '../../server/scripts/example-workspace.ts';
import { fixed, said } from './said.ts';

const WORDING = ['long-instruction', 'several-actions', 'not-a-command', 'vague-word', 'term-varies', 'abbreviation-unexplained'];

/** A procedure with one step that says `action`, and one that asks. */
function doing(action: string, ask = 'Is the lamp lit?', answers: readonly [string, string] = ['yes', 'no']): string {
  return `procedure: test
title: Lamp dark
steps:
  - step: act
    do:
      - ${action}
  - step: look
    ask: ${ask}
    results:
      - when: ${answers[0]}
        passes: true
      - when: ${answers[1]}
        refer: Replace the lamp.
`;
}

function found(action: string, shop?: string): string[] {
  return said(doing(action), WORDING, shop === undefined ? {} : { shop }).map((line) => line.replace(/^\d+ /u, ''));
}

describe('instructions', () => {
  test('21 words are too many, 20 are not; a number and its unit are one', () => {
    const twenty = 'Turn the left front wheel by hand until the mark on the rim stands beside the arrow of the cover.';
    expect(found(twenty)).toEqual([]);
    expect(found(twenty.replace('cover.', 'cover plate.'))).toEqual(['long-instruction: This instruction has 21 words in one sentence; 20 are the most.']);
    expect(found('Turn the left front wheel by hand until the gauge on the rim shows between 8 bar and 8.5 bar.')).toEqual([]);
  });

  test('two sentences are counted each by itself', () => {
    expect(found('Open the small door on the left side of the body with the square key. The key hangs inside the cab beside the fire extinguisher.')).toEqual([]);
  });

  test('a second action and its fix', () => {
    expect(found('Turn the isolator off and lock it.')).toEqual(["several-actions: A second action begins here, with 'lock'."]);
    expect(fixed(doing('Turn the isolator off and lock it.'), 'several-actions')).toContain('      - Turn the isolator off.\n      - Lock it.\n');
    expect(fixed(doing('Open the door, then remove the cover.'), 'several-actions')).toContain('      - Open the door.\n      - Remove the cover.\n');
    expect(fixed(doing('Open the door. Remove the cover.'), 'several-actions')).toContain('      - Open the door.\n      - Remove the cover.\n');
  });

  test('a statement is no command', () => {
    expect(found('The platform is lowered to the ground.')).toEqual(["not-a-command: 'The platform is lowered to the ground.' is not written as a command."]);
  });
});

describe('vague words', () => {
  test.each([
    ['Tighten the belt as necessary.', "vague-word: 'as necessary' leaves the measure to the reader."],
    ['Make sure that the lamp is properly seated.', "vague-word: 'properly' leaves the measure to the reader."],
    ['Clean the posts, clamps, etc.', "vague-word: 'etc' leaves the measure to the reader."],
    ['Let the engine run for a few minutes.', "vague-word: 'a few minutes' leaves the measure to the reader."],
    ['Use a suitable tool.', "vague-word: 'suitable' leaves the measure to the reader."],
  ])('%s', (action, message) => expect(found(action)).toEqual([message]));

  test('only the longest phrase at a place is reported', () => {
    expect(found('Add oil as appropriate.')).toEqual(["vague-word: 'as appropriate' leaves the measure to the reader."]);
  });

  test('an answer that says nothing', () => {
    expect(said(doing('Open the cover.', 'How is the belt?', ['OK', 'not OK']), WORDING)).toEqual([
      "10 vague-word: The answer 'OK' does not say what was seen.", "12 vague-word: The answer 'not OK' does not say what was seen.",
    ]);
  });

  test('reasons, notes and what the operator says may be vague', () => {
    const text = doing('Open the cover.').replace('title: Lamp dark', 'title: Lamp dark\ncomplaint: The lamp does not light properly.').replace('    ask:', '    why: A lamp that is not properly seated flickers.\n    ask:');
    expect(said(text, WORDING)).toEqual([]);
  });

  test.each(['Remove the property tag.', 'Correct the pressure to 8 bar.', 'Open the fine filter.'])('silent: %s', (action) => expect(found(action)).toEqual([]));
});

describe('terms', () => {
  const shop = 'shop: Workshop\nterms:\n  isolator: [battery switch, isolator switch]\n  tyre: [tire]\n';

  test('a spelling that the shop has replaced, with its fix in capitals and number as written', () => {
    expect(found('Turn the battery switch off.', shop)).toEqual(["term-varies: This shop says 'isolator', not 'battery switch'."]);
    expect(fixed(doing('Tires of the rear axle: chock them.').replace('- Tires', '- "Tires').replace('them.', 'them."'), 'term-varies', { shop })).toContain('Tyres of the rear axle');
  });

  test('two words for one thing, and two spellings of one word', () => {
    expect(said(doing('Chock each tire.', 'Is the tyre whole?'), WORDING)).toEqual(["8 term-varies: 'tyre' and 'tire' name the same thing in one procedure."]);
    expect(said(doing('Open the cut-off valve.', 'Is the cutoff valve open?'), WORDING)).toEqual(["8 term-varies: 'cutoff' is spelt 'cut-off' elsewhere in this procedure."]);
  });

  test.each(['Lower the platform to the ground.', 'Remove the retired tag.', 'Open the isolator.'])('silent: %s', (action) => expect(found(action, shop)).toEqual([]));
});

describe('abbreviations', () => {
  test('one that nobody explains is reported once', () => {
    expect(said(doing('Unplug the BCM.', 'Is the lamp of the BCM lit?'), WORDING)).toEqual(["6 abbreviation-unexplained: 'BCM' is explained nowhere."]);
  });

  test.each([
    'Unplug the body control module (BCM).',
    'Unplug the BCM (body control module).',
    'Turn the switch to OFF.',
    'Measure the DC voltage with diagram WD-7 at L1 and PE2.',
    'Set the meter to 60 V DC and 40 MHz.',
    'Read the label DO NOT OPEN on the case.',
    'Read sheet HV-1.',
  ])('silent: %s', (action) => expect(found(action).filter((line) => line.startsWith('abbreviation'))).toEqual([]));

  test('one that the shop explains', () => {
    expect(found('Unplug the BCM.', 'shop: Workshop\nabbreviations:\n  BCM: body control module\n')).toEqual([]);
  });
});

describe('the library of the depot', () => {
  const folder = new URL('../../procedures/', import.meta.url);
  const shop = readFileSync(new URL('shop.yaml', folder), 'utf8');
  const files = readdirSync(folder).filter((name) => name.endsWith('.procedure.yaml'));

  test.each(files)('%s has no warning on its wording, and hints do not flood', (name) => {
    const { findings, procedure } = analyseText(readFileSync(new URL(name, folder), 'utf8'), { shop });
    const wording = findings.filter((finding) => WORDING.includes(finding.check));
    expect(wording.filter((finding) => finding.severity !== 'hint').map((finding) => finding.message)).toEqual([]);
    expect(wording.length).toBeLessThanOrEqual(Math.max(1, (procedure?.steps.length ?? 0) / 5));
    // Every action of the library is a command: whoever wrote it did not write the list of verbs.
    expect(wording.filter((finding) => finding.check === 'not-a-command').map((finding) => finding.message)).toEqual([]);
  });
});

describe('a semicolon parts two actions', () => {
  test.each([
    ['Remove the padlock; lift the lid.', "several-actions: A second action begins here, with 'lift'."],
  ])('%s', (action, message) => {
    expect(found(action)).toEqual([message]);
    expect(fixed(doing(action), 'several-actions')).toContain('      - Remove the padlock.\n      - Lift the lid.\n');
  });

  test.each(['Close the lid; it latches with a click.', 'Open the lid; do not touch the blades.', 'Turn the key off; keep it with you.'])('leaves alone: %s', (action) => {
    expect(found(action)).toEqual([]);
  });
});

describe('a verdict in a text that reports a result', () => {
  const text = (ask: string, refer: string, says = 'The belt is smooth.'): string => doing('Open the cover.', ask)
    .replace('refer: Replace the lamp.', `says: ${says}\n        refer: ${refer}`);

  test('is nothing vague where what follows is told', () => {
    expect(said(text('Does the motor turn?', 'The supply looks good. Send the motor to the rewinding shop.'), WORDING)).toEqual([]);
  });

  test('stays vague where it is to be judged', () => {
    expect(said(text('Is the belt in good condition?', 'Replace it.'), ['vague-word'])).toHaveLength(1);
    expect(said(text('How is the belt?', 'Replace it.', 'It looks good.'), ['vague-word'])).toHaveLength(1);
    expect(said(text('Does it turn?', 'Tighten the belt as necessary.'), ['vague-word'])).toHaveLength(1);
  });
});
