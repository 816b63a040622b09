import { expect, test } from 'vitest';
import { spansAround } from '../../server/src/features/selection.ts';
import { fixture } from './fixture.ts';

/** What is selected one after the other, the narrowest first, each by its first and last line; the whole file comes last. */
function check(text: string, expected: readonly string[]): void {
  const { analysis, offset } = fixture(text);
  const spans = spansAround(analysis, offset);
  for (const [index, span] of spans.entries()) {
    const outer = spans[index + 1];
    if (outer) expect(outer.start <= span.start && outer.end >= span.end && outer.end - outer.start > span.end - span.start).toBe(true);
  }
  const shown = spans.map(({ start, end }) => {
    const lines = analysis.text.slice(start, end).split('\n').map((line) => line.trim());
    return lines.length === 1 ? (lines[0] ?? '') : `${lines[0] ?? ''} … ${lines.at(-1) ?? ''}`;
  });
  expect(shown.slice(0, -1)).toEqual(expected);
}

const LIFT = `procedure: lift
steps:
  - step: one
    measure: dc_voltage
    results:
      - when: at least 12.4 V
        finds: lamp
      - when: otherwise
        refer: Ask. Then look again.
  - step: two
    do: x
`;

test('word, quantity, value, key with value, result, results, step, steps', () =>
  check(LIFT.replace('12.4 V', '12.4 $0V'), [
    'V', '12.4 V', 'at least 12.4 V', 'when: at least 12.4 V', 'when: at least 12.4 V … finds: lamp', '- when: at least 12.4 V … finds: lamp',
    '- when: at least 12.4 V … refer: Ask. Then look again.', 'results: … refer: Ask. Then look again.', 'step: one … refer: Ask. Then look again.',
    '- step: one … refer: Ask. Then look again.', '- step: one … do: x', 'steps: … do: x',
  ]));

test('a sentence of a text', () =>
  check('title: One thing. An$0other thing.\nrevision: 1\n', ['Another', 'Another thing.', 'One thing. Another thing.', 'title: One thing. Another thing.']));

test('a key', () => check('procedure: li$0ft\ntitle: x\n', ['lift', 'procedure: lift']));

test('braces and quotes', () =>
  check("steps:\n  - step: one\n    needs: {isolator: 'o$0n'}\n", [
    'on', "'on'", "isolator: 'on'", "{isolator: 'on'}", "needs: {isolator: 'on'}", "step: one … needs: {isolator: 'on'}", "- step: one … needs: {isolator: 'on'}",
  ]));

test('half-typed and empty places never fail', () => {
  check('procedure: lift\nsteps:\n  - st$0', ['st', '- st', 'steps: … - st']);
  check('$0', []);
  check('procedure: lift\n\n$0\n', []);
});
