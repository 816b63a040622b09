/** The line that Enter begins: `$0` is the cursor on it, after the blanks that the editor put there. */
import { expect, test } from 'vitest';
import { afterDash, afterEnter } from '../../server/src/features/on-type.ts';

const HEAD = 'procedure: lamp\nfaults:\n  bulb: Burnt out\nsteps:\n';

/** The text with the cursor's line as it becomes. */
function entered(text: string): string {
  const offset = text.indexOf('$0');
  const whole = text.replace('$0', '');
  const edits = afterEnter('procedure', whole, offset);
  return [...edits]
    .reverse()
    .reduce((result, { span, newText }) => result.slice(0, span.start) + newText + result.slice(span.end), whole);
}

function check(before: string, after: string): void {
  expect(entered(HEAD + before)).toBe(HEAD + after);
}

test('an action begins the next', () =>
  check(
    '  - step: a\n    do:\n      - Stop.\n      $0\n    time: 1 min\n',
    '  - step: a\n    do:\n      - Stop.\n      - \n    time: 1 min\n',
  ));
test('so does a caution', () =>
  check('  - step: a\n    cautions:\n    - hot\n    $0', '  - step: a\n    cautions:\n    - hot\n    - '));
test('an empty action ends its list', () =>
  check('  - step: a\n    do:\n      - Stop.\n      -\n      $0', '  - step: a\n    do:\n      - Stop.\n    '));
test('an empty action ends its list where the dashes stand at the key', () =>
  check('- step: a\n  do:\n  - Stop.\n  - \n  $0', '- step: a\n  do:\n  - Stop.\n  '));
test('an empty result ends the results', () =>
  check(
    '  - step: a\n    results:\n      - when: yes\n      - \n      $0',
    '  - step: a\n    results:\n      - when: yes\n    ',
  ));
test('an empty step ends the steps', () => check('  - step: a\n  - \n  $0', '  - step: a\n'));
test('a key of a step goes to its column', () => check('  - step: a\n  $0', '  - step: a\n    '));
test('a key of a result goes to its column', () =>
  check('  - step: a\n    results:\n      - when: yes\n      $0', '  - step: a\n    results:\n      - when: yes\n        '));
test('a list of actions, results or steps begins with a dash', () => {
  check('  - step: a\n    do:\n      $0', '  - step: a\n    do:\n      - ');
  check('  - step: a\n    results:\n    $0', '  - step: a\n    results:\n      - ');
  expect(entered('procedure: lamp\nsteps:\n$0')).toBe('procedure: lamp\nsteps:\n  - ');
});
test('a map goes further in', () => check('  - step: a\n    needs:\n    $0', '  - step: a\n    needs:\n      '));
test('a block of text goes further in, and is then left alone', () => {
  check('  - step: a\n    text: |\n    $0', '  - step: a\n    text: |\n      ');
  check('  - step: a\n    text: |\n      - Stop.\n      $0', '  - step: a\n    text: |\n      - Stop.\n      ');
  check(
    '  - step: a\n    text: |\n      First\n        - in.\n        $0',
    '  - step: a\n    text: |\n      First\n        - in.\n        ',
  );
});
test('nothing is done where the column is right, in a comment, in braces, after a blank line, or in the middle of a line', () => {
  for (const text of [
    '  - step: a\n    time: 1 min\n    $0',
    '  # note\n  $0',
    '  - step: a\n    sets: {isolator: off,\n      $0',
    '  - step: a\n\n  $0',
    '  - step: a\n    do:\n      - Stop.\n      $0Go.\n',
    '  - step: a\n    why: "open\n    $0',
  ])
    expect(afterEnter('procedure', (HEAD + text).replace('$0', ''), (HEAD + text).indexOf('$0')), text).toEqual([]);
});
/** The text once a dash was typed at the cursor. */
function dashed(text: string): string {
  const whole = text.replace('$0', '');
  return afterDash('procedure', whole, text.indexOf('$0')).reduce((result, { span, newText }) => result.slice(0, span.start) + newText + result.slice(span.end), whole);
}

test('a dash typed out of habit where Enter wrote one already is taken out', () => {
  expect(dashed(`${HEAD}  - step: a\n    results:\n      - -$0`)).toBe(`${HEAD}  - step: a\n    results:\n      -`);
  expect(dashed(`${HEAD}  - step: a\n    results:\n      -   -$0\n  - step: b\n`)).toBe(`${HEAD}  - step: a\n    results:\n      -\n  - step: b\n`);
});
test('a dash under the keys of an item begins the next item', () => {
  const item = '  - step: a\n    results:\n      - when: yes\n        finds: bulb\n';
  expect(dashed(`${HEAD}${item}        -$0\n  - step: b\n`)).toBe(`${HEAD}${item}      -\n  - step: b\n`);
  // Seen to at the colon, where the dash went by too fast.
  expect(dashed(`${HEAD}${item}        - when:$0`)).toBe(`${HEAD}${item}      - when:`);
  expect(dashed(`${HEAD}${item}    -$0`)).toBe(`${HEAD}${item}  -`);
  expect(dashed(`${HEAD}  - step: a\n    do:\n      - Stop.\n    time: 1 min\n\n    -$0`)).toBe(`${HEAD}  - step: a\n    do:\n      - Stop.\n    time: 1 min\n\n  -`);
});
test('any other dash stays', () => {
  for (const text of ['  - step: a\n    do:\n      -$0', '  - step: a\n    time: 1 -$0', '  - step: a\n    text: |\n      - -$0', '  - step: a\n    do:\n      - -$0 2 V is too low.',
    '  - step: a\n    do:\n    -$0', '  - step: a\n    text: |\n      one\n      -$0', '  - step: a\n    do:\n      - Stop.\n      -$0', '  -$0',
    '  - step: a\n    results:\n      - when:$0', '  - step: a\n    why:$0', '  - step: a\n    do:\n      - Stop.\n      - Note this:$0'])
    expect(dashed(HEAD + text), text).toBe(HEAD + text.replace('$0', ''));
});
test('a file that is not ours is left alone', () => expect(afterEnter('other', 'do:\n  - a\n  ', 11)).toEqual([]));
test('line ends of another system', () => {
  const text = 'procedure: lamp\r\nsteps:\r\n  - step: a\r\n  ';
  expect(afterEnter('procedure', text, text.length)).toEqual([
    { span: { start: text.length - 2, end: text.length }, newText: '    ' },
  ]);
});
