import { expect, test } from 'vitest';
import { foldsOf } from '../../server/src/features/folding.ts';
import { linksIn } from '../../server/src/features/links.ts';
import { outlineOf } from '../../server/src/features/outline.ts';
import type { OutlineItem } from '../../server/src/features/outline.ts';
import { tokensOf } from '../../server/src/features/semantic-tokens.ts';
import { namesMatching } from '../../server/src/features/workspace-names.ts';
import { asMarked, DEPOT, fixture, marksIn } from './fixture.ts';

const LIFT = `procedure: lift
title: Lift stays down
references: [{id: WD-7, title: Wiring diagram}]
facts:
  coil_low: {quantity: resistance}
  sensor: {choices: [fitted, not_fitted]}
faults:
  lamp: {title: Lamp failed}
steps:
  - step: prepare
    do: Park.
  - step: volts
    measure: dc_voltage
    results:
      - when: at least 22 V
        finds: lamp
      - when: below 22 V
        says: Dim.
        go: prepare
      - when: otherwise
        refer: Ask.
after_repair:
  - step: prove
    ask: Well?
    results: [{when: yes, passes: true}]
`;

/** The outline of the file with the cursor, as an editor shows it: each child indented, its details behind a bar. */
function outline(text: string): string[] {
  const { analysis } = fixture(text);
  const rows = (items: readonly OutlineItem[], depth: number, within: { start: number; end: number }): string[] =>
    items.flatMap((item) => {
      // The protocol refuses what does not hold its own name, and breadcrumbs need a child within its parent.
      expect(item.span.start <= item.nameSpan.start && item.nameSpan.end <= item.span.end).toBe(true);
      expect(within.start <= item.span.start && item.span.end <= within.end).toBe(true);
      return [`${'  '.repeat(depth)}${item.name}${item.detail ? ` | ${item.detail}` : ''}`, ...rows(item.children, depth + 1, item.span)];
    });
  return rows(outlineOf(analysis), 0, { start: 0, end: analysis.text.length });
}

test('a procedure: sections, names with what they are, results with what follows', () =>
  expect(outline(LIFT)).toEqual([
    'references', '  WD-7 | Wiring diagram',
    'facts', '  coil_low | resistance', '  sensor | fitted, not_fitted',
    'faults', '  lamp | Lamp failed',
    'steps', '  prepare | Park.', '  volts | dc voltage',
    '    at least 22 V | finds lamp', '    below 22 V | Dim.', '    otherwise | Ask.',
    'after_repair', '  prove | Well?', '    yes | passes',
  ]));

test('shop.yaml and assets.yaml', () => {
  expect(outline(`${LIFT}${DEPOT.replace('shop: ', '$0shop: ')}`)).toEqual([
    'states', '  isolator | Battery isolator', '  control',
    'instruments', '  multimeter | Digital multimeter', '  test_lamp | Test lamp',
    'hazards', '  crush | Crushing',
    'cautions', '  platform | DANGER: The platform moves while the control is held.',
    'values', '  full_rest | 25.3 V',
  ]);
  expect(outline(`${LIFT}${DEPOT.replace('assets:', '$0assets:')}`)).toEqual(['assets', '  TL-07 | tail lift']);
});

test('half-typed text', () =>
  expect(outline('procedure: x\nsteps:\n  - step: one\n    ask: What\n    results:\n      - when: \n  - do: Park')).toEqual([
    'steps', '  one | What', '    (result without when)', '  (step without a name) | Park',
  ]));

/** Colours are exactly the marked ones, each told as its type, with `!` where a name is declared. */
function checkTokens(text: string): void {
  const given = fixture(text + DEPOT);
  expect(tokensOf(given.workspace, given.analysis).map(({ span, type, declares }) => asMarked(given, span, `${type}${declares ? '!' : ''}`))).toEqual(marksIn(given));
}

test('colours of names, quantities and bands', () =>
  checkTokens(`procedure: lift
#          ^^^^ function!
steps:
  - step: volts
    #     ^^^^^ function!
    measure: dc_voltage
    with: multimeter
    #     ^^^^^^^^^^ class
    needs: {isolator: on}
    #       ^^^^^^^^ variable
    #                 ^^ enumMember
    time: 2 min
    #     ^^^^^ number
    results:
      - when: at least full_rest - 1 V
        #              ^^^^^^^^^ variable
        #                          ^^^ number
        go: volts
        #   ^^^^^ function
`));

test('what can be folded: sections, steps, lists, comments', () => {
  const { analysis } = fixture(`# one
# two
procedure: lift # not this
steps:
  - step: one
    do:
      - Park.
      - Lock.

  # alone
  - step: two
    do: x
`);
  expect(foldsOf(analysis).map(({ from, to, comment }) => `${from + 1}-${to + 1}${comment ? ' comment' : ''}`)).toEqual([
    '1-2 comment', '4-12', '5-8', '6-8', '11-12',
  ]);
});

test('links lead to procedures that are run and to figures', () => {
  const given = fixture(`procedure: lift
faults:
  chain: {title: Chain open, procedure: other}
  #                                     ^^^^^ /depot/other.procedure.yaml
steps:
  - step: see
    run: other
    #    ^^^^^ /depot/other.procedure.yaml
    figure: pictures/lamp.png
    #       ^^^^^^^^^^^^^^^^^ /depot/pictures/lamp.png
    results: [{when: otherwise, refer: x}]
  - step: off
    do: x
    figure: https://elsewhere.example/lamp.png
==> other.procedure.yaml
procedure: other
`);
  const links = linksIn(given.workspace, given.analysis).map(({ span, file }) => asMarked(given, span, file));
  expect(links.sort((a, b) => parseInt(a.place) - parseInt(b.place))).toEqual(marksIn(given));
});

test('names of a library by a few letters, the nearest first, without checking a file', () => {
  const { workspace } = fixture(LIFT + DEPOT);
  const found = (query: string): string[] => {
    const work = namesMatching(workspace, query);
    for (let step = work.next(); ; step = work.next()) if (step.done) return step.value.map(({ symbol, container }) => `${symbol.name} in ${container}`);
  };
  expect(found('vol')).toEqual(['volts in Lift stays down']);
  expect(found('LAMP')).toEqual(['lamp in Lift stays down', 'test_lamp in shop.yaml']);
  expect(found('tl0')).toEqual(['TL-07 in assets.yaml']);
  workspace.setFile('/depot/main.procedure.yaml', LIFT.replace('step: volts', 'step: feed_volts'));
  expect(found('vol')).toEqual(['feed_volts in Lift stays down']);
});
