/** Checks of structure, flow and safety, on drafts as workshops write them: what each finds, and what it leaves alone. */
import { describe, expect, test } from 'vitest';
import { Workspace } from '../../server/src/analysis/workspace.ts';
import { said } from './said.ts';

function draft(steps: string, before = ''): string {
  return `procedure: test\ntitle: Test\n${before}steps:\n${steps}`;
}

const END = `  - step: end
    ask: Is the lamp lit?
    results:
      - when: yes
        passes: true
      - when: no
        refer: Replace the lamp.
`;

describe('a reading that is only stored', () => {
  const STORED = `  - step: room
    measure: temperature
`;

  test('is for nothing where nothing uses it', () => {
    expect(said(draft(STORED + END), ['unused-name'])).toEqual(["4 unused-name: The reading 'room' is taken, and nothing uses it."]);
  });

  test.each([
    ['a limit', END.replace('ask: Is the lamp lit?', 'measure: temperature').replace('when: yes', 'when: above room').replace('when: no', 'when: at most room')],
    ['a text', END.replace('Replace the lamp.', 'The room has {room}.')],
  ])('is used by %s', (_, end) => {
    expect(said(draft(STORED + end), ['unused-name'])).toEqual([]);
  });

  test('may be for the record of an inspection, and for a procedure that runs this one', () => {
    expect(said(draft(STORED + END, 'purpose: inspection\n'), ['unused-name'])).toEqual([]);
    const workspace = new Workspace();
    workspace.setFile('a/test.procedure.yaml', draft(STORED + END));
    workspace.setFile('a/caller.procedure.yaml', `procedure: caller
title: Caller
steps:
  - step: inner
    run: test
    results:
      - when: passed
      - when: otherwise
        refer: See the sheet.
  - step: wall
    measure: temperature
    results:
      - when: above inner.room
        passes: true
      - when: at most inner.room
        refer: Heat the room.
`);
    expect(workspace.analyse('a/test.procedure.yaml').findings.filter((finding) => finding.check === 'unused-name')).toEqual([]);
  });
});

describe('names that a band could not tell from a word', () => {
  const step = (kind: string): string => `  - step: open\n    ${kind}\n${END}`;

  test('are open to steps that store nothing', () => {
    expect(said(draft(step('do: [Open the cover.]')), ['wrong-kind'])).toEqual([]);
    expect(said(draft(step('measure: pressure')), ['wrong-kind'])).toEqual(["4 wrong-kind: 'open' cannot name a step that stores a reading: in a band it is a word of bands."]);
  });
});

describe('otherwise, behind the choices of a fact', () => {
  const decide = (choices: string, results: string): string => `procedure: test
title: Test
facts: {kind: {choices: [${choices}], from: Register}}
steps:
  - step: which
    decide: kind
    results:
${results}`;
  const result = (when: string): string => `      - when: ${when}\n        refer: See the sheet.\n`;

  test('is never met where each has a result', () => {
    expect(said(decide('wide, narrow', result('wide') + result('narrow') + result('otherwise')), ['result-never-met'])).toHaveLength(1);
    expect(said(decide('wide, narrow, other', result('wide') + result('narrow') + result('otherwise')), ['result-never-met', 'reading-gap'])).toEqual([]);
  });
});

describe('procedures that run each other', () => {
  test('have that one finding each, whatever follows', () => {
    const one = (name: string, other: string): string => `procedure: ${name}
title: Test
faults:
  worn: {title: Worn, remedy: Replace it.}
steps:
  - step: first
    run: ${other}
    results:
      - when: passed
      - when: otherwise
        refer: Repair that first.
  - step: look
    ask: Is it worn?
    results:
      - when: yes
        finds: worn
      - when: no
        refer: See the sheet.
`;
    const workspace = new Workspace();
    workspace.setFile('a/left.procedure.yaml', one('left', 'right'));
    workspace.setFile('a/right.procedure.yaml', one('right', 'left'));
    workspace.setFile('a/outside.procedure.yaml', one('outside', 'left'));
    const errors = (path: string): string[] => workspace.analyse(path).findings.filter((finding) => finding.severity === 'error').map((finding) => finding.check);
    for (let round = 0; round < 2; round++) {
      expect(errors('a/left.procedure.yaml')).toEqual(['run-circle']);
      expect(errors('a/right.procedure.yaml')).toEqual(['run-circle']);
      expect(workspace.analyse('a/outside.procedure.yaml').exploration?.approximate).toBe(false);
    }
  });
});

describe('a caution', () => {
  const caution = (signal: string, consequence: string, avoid: string): string => draft(`  - step: look
    ask: Is the lid shut?
    cautions: [lid]
    results:
      - when: yes
        passes: true
      - when: no
        refer: Shut it.
`, `cautions:
  lid:
    signal: ${signal}
    hazard: The lid can fall.
    consequence: ${consequence}
    avoid: ${avoid}
`);
  const form = (signal: string, consequence: string, avoid: string): string[] => said(caution(signal, consequence, avoid), ['caution-form']);

  test.each([
    'It could bruise a foot.', 'It could pinch your fingers.', 'It could cause a minor injury.', 'Hot water could scald you.', 'It could burn the skin.', 'The spring could hit a person.',
  ])('that says notice and hurts: %s', (consequence) => {
    expect(form('notice', consequence, 'Keep clear of the lid.')).toEqual([`5 caution-form: The caution 'lid' says 'notice', and its consequence hurts a person: '${consequence}'`]);
    expect(form('caution', consequence, 'Keep clear of the lid.')).toEqual([]);
  });

  test.each([
    'The coil could burn out.', 'It could cut the cable of the hand brake.', 'The paint could be scratched.', 'The next reading will be wrong.', 'Water could get into the plug.',
  ])('that says notice and means property: %s', (consequence) => {
    expect(form('notice', consequence, 'Keep the lid shut.')).toEqual([]);
  });

  test.each([
    'Remove the four bolts and lift the lid.', 'Disconnect the plug of the lamp.', 'Keep clear. Open the drain of the tank.', 'Unscrew the cap until it turns freely.',
  ])('with a step hidden in it: %s', (avoid) => {
    expect(form('warning', 'It could crush a hand.', avoid)).toHaveLength(1);
    expect(form('warning', 'It could crush a hand.', avoid)[0]).toMatch(/^8 caution-form: A step hides in the caution 'lid'/u);
  });

  test.each([
    'Keep clear of the lid.', 'Stay beside it.', 'Do not open the lid.', 'Wear gloves.', 'Use a hoist.', 'Remove rings and watches.', 'Open the valve slowly.', 'Lift it only with a second person.',
    'Lift with your legs.', 'Take the negative lead off first and put it on last.', 'Stop when anyone comes near.', 'Open doors and windows.',
  ])('that says how to avoid it: %s', (avoid) => {
    expect(form('warning', 'It could crush a hand.', avoid)).toEqual([]);
  });
});

describe('an instrument without a category', () => {
  const live = (quantity: string, circuit: string): string[] => said(draft(`  - step: mains
    measure: ${quantity}
    circuit: line
    with: market_meter
    cautions: [mains_voltage]
    results:
      - when: otherwise
        refer: See the sheet.
`, `qualified: electrical\ncircuits:\n  line: ${circuit}\ninstruments:\n  market_meter: {title: Market meter, measures: {${quantity}: {}}}\n`), ['instrument-category']);

  test('is not for a circuit that asks for one', () => {
    expect(live('ac_voltage', '{nominal: 230 V AC, category: CAT II}')).toEqual(['12 instrument-category: Market meter has no measurement category, and line (230 V AC) asks for CAT II.']);
  });

  test('may read a dead circuit, a low voltage, or one that asks for nothing', () => {
    expect(live('resistance', '{nominal: 230 V AC, category: CAT II}')).toEqual([]);
    expect(live('ac_voltage', '{nominal: 24 V AC, category: CAT II}')).toEqual([]);
    expect(live('ac_voltage', '{nominal: 230 V AC}')).toEqual([]);
  });
});

describe('controls that are held in a loop', () => {
  const loop = (restAtSecond: string, second = 'go: first'): string => draft(`  - step: first
    ask: Does it move?
    during: {button: pressed}
    max_time: 5 s
    results:
      - when: yes
        passes: true
      - when: no
  - step: second
    ask: Does the pump run?
    during: {button: pressed}
    max_time: 5 s
${restAtSecond}    results:
      - when: yes
        ${second}
      - when: no
        refer: See the sheet.
`, 'states:\n  button: {values: [free, pressed], at_start: free, held: [pressed]}\n');

  test('need one rest, anywhere in the loop', () => {
    expect(said(loop(''), ['held-too-long'])).toHaveLength(2);
    expect(said(loop('    rest: 1 min\n'), ['held-too-long'])).toEqual([]);
  });

  test('and the way around the rest is a loop without it', () => {
    const around = loop('    rest: 1 min\n').replace('        passes: true\n', '        go: first\n');
    expect(said(around, ['held-too-long'])).toHaveLength(1);
  });
});

describe('a state that was only taken to be so', () => {
  const COVER = 'states:\n  cover: {values: [closed, open], at_start: closed, at_end: closed}\n';

  test('is not blamed on the ending', () => {
    const text = draft(END.replace('    results:', '    needs: {cover: open}\n    results:'), COVER);
    expect(said(text, ['state-not-met', 'left-unsafe']).map((line) => line.split(':')[0])).toEqual(['8 state-not-met']);
  });

  test('is, once a step has set it', () => {
    const opened = END.replace('    results:', '    needs: {cover: open}\n    sets: {cover: open}\n    results:');
    expect(said(draft(opened, COVER), ['left-unsafe'])).toHaveLength(1);
  });
});
