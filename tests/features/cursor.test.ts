import { expect, test } from 'vitest';
import { cursorAt } from '../../server/src/features/cursor.ts';
import { fixture } from './fixture.ts';

/** `path kind "typed"`. */
function check(text: string, expected: string | undefined): void {
  const { analysis, offset } = fixture(text);
  const cursor = cursorAt(analysis.text, offset);
  expect(cursor && `${cursor.path.join('/')} ${cursor.kind} "${cursor.typed}"`).toBe(expected);
}

test('keys and values of blocks', () => {
  check('steps:\n  - step: a\n    me$0\n    ask: b\n', 'steps/- key "me"');
  check('steps:\n- step: a\n  results:\n  - when: at$0 least\n', 'steps/-/results/-/when value "at"');
  check('faults:\n  a: {title: x}\n  b:\n    $0\n', 'faults/b key ""');
  check('$0\nsteps: []\n', ' key ""');
});

test('braces and brackets, closed or not, on one line or more', () => {
  check('steps:\n  - step: a\n    needs: {isolator: o$0, b: c}\n', 'steps/-/needs/isolator value "o"');
  check('steps:\n  - step: a\n    needs: {a: b, $0\n', 'steps/-/needs key ""');
  check('steps:\n  - step: a\n    needs: {a: b,\n      c: $0', 'steps/-/needs/c value ""');
  check('circuits:\n  c: {nominal: 24 V, dead_when: [{isolator: off}, {$0}]}', 'circuits/c/dead_when/- key ""');
});

test('carriage returns, quotes, comments', () => {
  check('steps:\r\n  - step: a\r\n    go: $0\r\n', 'steps/-/go value ""');
  check('steps:\n  - step: a\n    why: "not # a comment $0"\n', 'steps/-/why value ""not # a comment "');
  check('steps:\n  - step: a # a comment $0\n', undefined);
});
