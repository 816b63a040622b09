/**
 * Formatting: what is written otherwise says the same. Held against every procedure of the library and the corpus, against texts
 * whose layout was disarranged by machine, and against texts with characters knocked out.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, it, test } from 'vitest';
import { Workspace } from '../../server/src/analysis/workspace.ts';
import { formatFile, formatRange, readForFormatting } from '../../server/src/features/format.ts';
import { SPELLED_OUT } from '../../server/src/features/format-words.ts';
import type { TextEdit } from '../../server/src/findings/finding.ts';
import { lookUpUnit } from '../../server/src/quantity/unit.ts';
import { disarranged } from './disarranged.ts';
import { fixture, withEdits } from './fixture.ts';
import { modelOf } from './model-text.ts';

const ROOT = join(import.meta.dirname, '../..');
const TEXTS = ['procedures', 'tests/corpus/clean', 'tests/corpus/flawed'].flatMap((folder) =>
  readdirSync(join(ROOT, folder), { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && entry.name.endsWith('.yaml'))
    .map((entry) => join(entry.parentPath, entry.name))
    .map((path) => ({ name: path.slice(ROOT.length + 1), text: readFileSync(path, 'utf8') })),
);
const LIBRARY = TEXTS.filter(({ name }) => /^procedures\/[^/]*$/.test(name));

function made(text: string, edits: readonly TextEdit[]): string {
  return [...edits]
    .sort((a, b) => b.span.start - a.span.start)
    .reduce((result, { span, newText }) => result.slice(0, span.start) + newText + result.slice(span.end), text);
}

function formatted(name: string, text: string): string {
  return made(text, formatFile(readForFormatting(basename(name), text)));
}

function findingsOf(name: string, text: string): string[] {
  const workspace = new Workspace();
  workspace.setFile(basename(name), text);
  return workspace
    .analyse(basename(name))
    .findings.map(({ check, step }) => `${check} ${step ?? ''}`)
    .sort();
}

/** A procedure's text, formatted. */
function check(before: string, after: string): void {
  expect(formatted('x.procedure.yaml', before)).toBe(after);
  expect(formatted('x.procedure.yaml', after)).toBe(after);
}

const HEAD = 'procedure: lamp\ntitle: Lamp dark\n';

describe('order of keys', () => {
  test('of a step, its results and the procedure', () =>
    check(
      `title: Lamp dark
procedure: lamp
steps:
  - results:
      - go: two
        says: It glows.
        when: yes
    time: 2 min
    ask: Is it lit?
    step: one
`,
      `procedure: lamp
title: Lamp dark
steps:
  - step: one
    ask: Is it lit?
    time: 2 min
    results:
      - when: yes
        says: It glows.
        go: two
`,
    ));

  test('inside braces', () =>
    check(
      `${HEAD}faults: { bulb: {remedy: 'Replace it.',weight: 3,  title: Bulb burnt out} }\n`,
      `${HEAD}faults: {bulb: {title: Bulb burnt out, weight: 3, remedy: 'Replace it.'}}\n`,
    ));

  test("of faults, states, probes and steps is the writer's", () =>
    check(
      `${HEAD}states: {b: {values: [on, off]}, a: {values: [on, off]}}\nsteps:\n  - step: z\n    measure: dc_voltage\n    at: {black: x, red: y}\n    needs: {b: on, a: off}\n  - step: a\n    do: x\n`,
      `${HEAD}states: {b: {values: [on, off]}, a: {values: [on, off]}}\nsteps:\n  - step: z\n    measure: dc_voltage\n    at: {black: x, red: y}\n    needs: {b: on, a: off}\n  - step: a\n    do: x\n`,
    ));

  test('stays where it decides what counts', () => {
    for (const text of [
      `${HEAD}steps:\n  - step: a\n    time: 1 min\n    measure: dc_voltage\n    ask: What?\n`,
      `${HEAD}steps:\n  - step: a\n    time: 1 min\n    time: 2 min\n    ask: What?\n`,
      `${HEAD}steps:\n  - step: a\n    ask: What?\n    results:\n      - finds: x\n        go: a\n        when: yes\n`,
    ])
      check(text, text);
  });

  test('a key that is not known stays behind its neighbour', () =>
    check(
      `${HEAD}steps:\n  - step: a\n    colour: red\n    time: 1 min\n    ask: What?\n    shade: dark\n`,
      `${HEAD}steps:\n  - step: a\n    colour: red\n    ask: What?\n    shade: dark\n    time: 1 min\n`,
    ));

  test('nothing moves past an alias', () =>
    check(
      `${HEAD}circuits:\n  a: {nominal: &v 24 V}\n  b: {nominal: *v}\nsteps:\n  - step: a\n    time: 1 min\n    ask: What?\n`,
      `${HEAD}circuits:\n  a: {nominal: &v 24 V}\n  b: {nominal: *v}\nsteps:\n  - step: a\n    time: 1 min\n    ask: What?\n`,
    ));
});

describe('comments and blank lines', () => {
  test('go with what they stand by', () =>
    check(
      `# The lamps of the sweeper.

title: Lamp dark   # as the driver says it
# its name
procedure: lamp

# What there is to find.

faults:
  # the usual one
  bulb: Bulb burnt out
  # not often

steps:
# first
- step: one

  # how long
  time: 2 min
  do: Look.
  # later: more

# second
- step: two
  do: Wait.
# the end
`,
      `# The lamps of the sweeper.

# its name
procedure: lamp
title: Lamp dark   # as the driver says it

# What there is to find.

faults:
  # the usual one
  bulb: Bulb burnt out
  # not often

steps:
  # first
  - step: one
    do: Look.

    # how long
    time: 2 min
    # later: more

  # second
  - step: two
    do: Wait.
# the end
`,
    ));

  test('a key that becomes the first takes no blank line with it', () =>
    check(
      'title: Lamp dark\n\n# its name\nprocedure: lamp\n\nfaults: {bulb: Bulb burnt out}\n',
      '# its name\nprocedure: lamp\n\ntitle: Lamp dark\n\nfaults: {bulb: Bulb burnt out}\n',
    ));

  test('comments behind values keep their column where there is room', () =>
    check(
      `${HEAD}steps:\n- step: one        # a\n  do: Look.        # b\n  wait: 1min       # c\n  time:   2 minutes# d\n`,
      `${HEAD}steps:\n  - step: one        # a\n    do: Look.        # b\n    wait: 1 min      # c\n    time: 2 minutes# d\n`,
    ));
});

describe('words for symbols', () => {
  const band = (before: string, after: string): void =>
    check(
      `${HEAD}steps:\n  - step: a\n    measure: dc_voltage\n    results:\n      - when: ${before}\n        go: a\n`,
      `${HEAD}steps:\n  - step: a\n    measure: dc_voltage\n    results:\n      - when: ${after}\n        go: a\n`,
    );
  test.each([
    ["'>= 12.4V'", 'at least 12.4 V'],
    ['"<12,4 volts"', 'below 12.4 V'],
    ['≤ full_rest-0.5V', 'at most full_rest - 0.5 V'],
    ['between 5 and 9V', 'between 5 V and 9 V'],
    ['9.6 V to 14.7 V', 'between 9.6 V and 14.7 V'],
    ['above   supply-( a + b )', 'above supply - (a + b)'],
    ['ABOVE 4 volts at Front', 'above 4 V at Front'],
  ])('%s', (before, after) => band(before, after));

  test.each([
    '35 ± 5 V',
    "'at least 12.4 V'",
    'at least 12.4 Ω',
    'at least 12 ft-lb',
    'more than 12 V',
    'otherwise',
    'lit at in and dark at out',
    '>= 12',
    'under 3',
  ])('%s stays', (same) => band(same, same));

  test('quantities', () =>
    check(
      `${HEAD}circuits: {a: {nominal: 24V DC, discharge_wait: 10minutes}}\nsteps:\n  - step: a\n    do: Wait 10minutes, at >= 5V.\n    wait: "3  mins"\n    time: 1 min 30 s\n    range: 60Volts\n`,
      `${HEAD}circuits: {a: {nominal: 24 V DC, discharge_wait: 10 min}}\nsteps:\n  - step: a\n    do: Wait 10minutes, at >= 5V.\n    range: 60 V\n    wait: 3 min\n    time: 1 min 30 s\n`,
    ));

  test('an expression, and a quantity inside braces with a comma in it', () =>
    check(
      `${HEAD}steps:\n  - {step: a, decide: 'max(a,b)-1V', results: [{when: '>max(a,b)', go: a}]}\n`,
      `${HEAD}steps:\n  - {step: a, decide: 'max(a, b) - 1 V', results: [{when: 'above max(a, b)', go: a}]}\n`,
    ));

  test('each short name is the same unit as the long one', () => {
    for (const [long, short] of Object.entries(SPELLED_OUT)) {
      const [a, b] = [lookUpUnit(long)?.unit, lookUpUnit(short)?.unit];
      expect(a?.symbol, long).toBe(b?.symbol);
      expect(a?.supply, long).toBe(b?.supply);
      expect(a?.factor, long).toEqual(b?.factor);
    }
  });
});

describe('layout', () => {
  test('two spaces a level, dashes further in than their key', () =>
    check(
      `procedure:    lamp
title: "Lamp
         dark"
complaint: It is dark.
    Always.
steps:
-   step: one
    do:
    -   Look at the lamp
      and at its lead.
    -   Wait.
    text: |
          First line.
            Further in.

          Last line.
    why: >-
      folded
      twice
    at:
        red: here
        black: there
-   {step: two,
       do: Look.}
`,
      `procedure: lamp
title: "Lamp
  dark"
complaint: It is dark.
  Always.
steps:
  - step: one
    do:
      - Look at the lamp
        and at its lead.
      - Wait.
    at:
      red: here
      black: there
    text: |
      First line.
        Further in.

      Last line.
    why: >-
      folded
      twice
  - {step: two,
         do: Look.}
`,
    ));

  test('line ends stay as they are, blanks at them go, the last line ends', () => {
    check(
      'title: Lamp dark  \r\nprocedure: lamp\r\nfaults:\r\n    bulb: Bulb',
      'procedure: lamp\r\ntitle: Lamp dark\r\nfaults:\r\n  bulb: Bulb\r\n',
    );
    check('procedure: lamp\ntitle: Lamp dark\n\n\n', 'procedure: lamp\ntitle: Lamp dark\n');
  });

  test('a block text with its own indentation or its blank end keeps them', () =>
    check(
      `${HEAD}steps:\n- step: one\n  text: |2\n      further\n    in\n  note: |+\n    kept\n\n\n  do: Look.\n`,
      `${HEAD}steps:\n  - step: one\n    do: Look.\n    text: |2\n        further\n      in\n    note: |+\n      kept\n\n\n`,
    ));

  test('what does not parse stays untouched', () => {
    const text = 'title: Lamp\nprocedure: [lamp\nsteps:\n- step: a\n';
    check(text, text);
    const tabs = 'title: Lamp\nprocedure: lamp\nsteps:\n\t- step: a\n';
    check(tabs, tabs);
  });

  test('a dash alone on its line is left as it is, and the rest is laid out', () =>
    check(
      'title: Lamp\nprocedure: lamp\nsteps:\n-\n  step: a\n  do: Look.\n',
      'procedure: lamp\ntitle: Lamp\nsteps:\n-\n  step: a\n  do: Look.\n',
    ));

  test('shop and assets files', () => {
    expect(formatted('shop.yaml', 'values:\n    rest: {from: Handbook, is: 25.3volts}\nshop: Depot\n')).toBe(
      'shop: Depot\nvalues:\n  rest: {is: 25.3 V, from: Handbook}\n',
    );
    expect(formatted('assets.yaml', 'assets:\n    TL-07:   { equipment: tail_lift,  voltage: 24 V }\n')).toBe(
      'assets:\n  TL-07: {equipment: tail_lift, voltage: 24 V}\n',
    );
    expect(formatted('other.yaml', 'b:   1\na: 2\n')).toBe('b:   1\na: 2\n');
  });
});

describe('a range', () => {
  const TEXT = `title: Lamp
procedure: lamp
steps:
- step: one
  time: 1minute
  do: Look.
- step: two
  time: 2minutes
  do:   Wait.
`;
  const selecting = (text: string, from: string, to: string): string => {
    const start = text.indexOf(from);
    const workspace = new Workspace();
    workspace.setFile('x.procedure.yaml', text);
    return made(text, formatRange(workspace.analyse('x.procedure.yaml'), { start, end: text.indexOf(to, start) + to.length }));
  };

  test('formats the step it touches, at the column where it stands', () => {
    expect(selecting(TEXT, '- step: two', 'Wait.')).toBe(
      TEXT.replace('  time: 2minutes\n  do:   Wait.', '  do: Wait.\n  time: 2 min'),
    );
  });

  test('formats one key', () => {
    expect(selecting(TEXT, 'time: 1m', 'minute')).toBe(TEXT.replace('1minute', '1 min'));
  });

  test('over several steps', () => {
    expect(selecting(TEXT, 'time: 1m', 'step: two')).toBe(
      TEXT.replace('  time: 1minute\n  do: Look.', '  do: Look.\n  time: 1 min').replace(
        '  time: 2minutes\n  do:   Wait.',
        '  do: Wait.\n  time: 2 min',
      ),
    );
  });

  test('of a whole list goes to its column', () => {
    expect(selecting(TEXT, 'steps:', 'Wait.')).toContain('steps:\n  - step: one\n    do: Look.\n    time: 1 min\n  - step: two');
  });
});

describe('every procedure of the library and the corpus', () => {
  it('is there', () => expect(TEXTS.length).toBeGreaterThan(300));

  it('says the same, has the same findings, and is formatted for good', () => {
    for (const [index, { name, text }] of TEXTS.entries()) {
      const after = formatted(name, text);
      if (after === text) continue;
      expect(modelOf(name, after), name).toBe(modelOf(name, text));
      expect(formatted(name, after), name).toBe(after);
      if (index % 8 === 0) expect(findingsOf(name, after), name).toEqual(findingsOf(name, text));
      expect(comments(after), name).toEqual(comments(text));
      expect(blankLines(after), name).toBe(blankLines(text));
    }
  });

  it('is brought back from any layout', () => {
    const libraryText = fc.constantFrom(...LIBRARY);
    fc.assert(
      fc.property(libraryText, fc.infiniteStream(fc.nat(1000)), ({ name, text }, numbers) => {
        const target = formatted(name, text);
        const next = numbers[Symbol.iterator]();
        const other = disarranged(target, () => Number(next.next().value));
        expect(formatted(name, other)).toBe(target);
      }),
      { numRuns: 30 },
    );
  });

  it('with characters knocked out or put in says the same, or stays as it is', { timeout: 600_000 }, () => {
    const small = TEXTS.filter(({ text }) => text.length < 4000);
    fc.assert(
      fc.property(
        fc.constantFrom(...small),
        fc.array(
          fc.tuple(
            fc.nat(),
            fc.constantFrom(
              '',
              '',
              ' ',
              '\n',
              ':',
              '- ',
              '#',
              '"',
              "'",
              '|',
              '{',
              ']',
              ',',
              '\t',
              '&a ',
              '*a',
              '  ',
              '\r\n',
              'x',
            ),
          ),
          { minLength: 1, maxLength: 4 },
        ),
        ({ name, text }, edits) => {
          let broken = text;
          for (const [at, put] of edits) {
            const place = at % (broken.length + 1);
            broken = broken.slice(0, place) + put + broken.slice(place + (put === '' ? 1 : 0));
          }
          const after = formatted(name, broken);
          expect(modelOf(name, after)).toBe(modelOf(name, broken));
          expect(comments(after)).toEqual(comments(broken));
          expect(formatted(name, after)).toBe(after);
        },
      ),
      { numRuns: Number(process.env['FAULTWRIGHT_FORMATS'] ?? 120) },
    );
  });
});

test('a marked fixture with its shop, formatted where it has to be', () => {
  const depot = fixture('==> shop.yaml\nshop: Depot\n==> main.procedure.yaml\ntitle: T\nprocedure: p$0\n');
  expect(withEdits(depot, formatFile(depot.analysis))).toEqual({ 'main.procedure.yaml': 'procedure: p\ntitle: T\n' });
});

function comments(text: string): string[] {
  return text
    .split(/\r?\n/)
    .filter((line) => /(?:^|\s)#/.test(line))
    .map((line) => line.replace(/^.*?(?:^|\s)#/, '#').trim())
    .sort();
}

/** Those at the end left out. */
function blankLines(text: string): number {
  return text
    .trimEnd()
    .split(/\r?\n/)
    .filter((line) => line.trim() === '').length;
}
