/** Slips of layout as writers make them: the line goes where it belongs, one finding says so, and its fix gives what was meant. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { parseTree } from '../../server/src/syntax/parse-tree.ts';
import { TreeMemory } from '../../server/src/syntax/tree-memory.ts';
import type { TreeNode } from '../../server/src/syntax/tree.ts';

const MEANT = `procedure: spinner
title: Spinner of the gritter stands still
faults:
  fuse: {title: Fuse open, remedy: Fit a fuse., time: 10 min}
  motor: {title: Motor open, remedy: Replace it.}
steps:
  - step: off
    do:
      - Turn it off.
      - Lock it.
    text: |
      As it is.
       – not an item
  - step: supply
    measure: dc_voltage
    circuit: feed
    at: {red: pin 1, black: pin 2}
    results:
      - when: at least 22 V
        rules_out: [fuse]
        by_elimination: motor
      - when: below 22 V
        finds: fuse
after_repair:
  - step: prove
    ask: Does it turn?
    results:
      - when: yes
        passes: true
      - when: no
        go: supply
`;

function plain(node: TreeNode | undefined): unknown {
  if (node === undefined) return null;
  if (node.kind === 'scalar') return node.text.trim();
  if (node.kind === 'list') return node.items.map(plain);
  return Object.fromEntries(node.entries.map(({ key, value }) => [key.text, plain(value)]));
}

function fixed(text: string): string {
  const edits = parseTree(text, 'f').problems.flatMap(({ fixes }) => fixes?.[0]?.edits ?? []);
  return [...edits].sort((a, b) => b.span.start - a.span.start).reduce((whole, { span, newText }) => whole.slice(0, span.start) + newText + whole.slice(span.end), text);
}

const edited = (from: string, to: string): string => {
  const text = MEANT.replace(from, to);
  if (text === MEANT) throw new Error(`nothing to change: ${from}`);
  return text;
};

/** What is written, and what is said of it. */
const SLIPS: readonly (readonly [name: string, text: string, says: readonly string[]])[] = [
  ['a key one space short', edited('    circuit: feed', '   circuit: feed'), ["'circuit:' begins at column 4; its neighbours begin at column 5."]],
  ['a key two spaces short', edited('    circuit: feed', '  circuit: feed'), ["'circuit:' begins at column 3; its neighbours begin at column 5."]],
  ['a key one space too far in', edited('    circuit: feed', '     circuit: feed'), ["'circuit:' begins at column 6; its neighbours begin at column 5."]],
  ['a key with a block below it', edited('    results:\n      - when: at', '   results:\n      - when: at'), ["'results:' begins at column 4; its neighbours begin at column 5."]],
  ['a result whose dash stands under the keys of the step', edited('      - when: below 22 V\n        finds: fuse', '    - when: below 22 V\n      finds: fuse'), ['This dash begins at column 5; its neighbours begin at column 7.']],
  ['a result whose dash alone has slipped', edited('      - when: below 22 V', '     - when: below 22 V'), ['This dash begins at column 6; its neighbours begin at column 7.']],
  ['a step one space too far in', edited('  - step: supply', '   - step: supply'), ['This dash begins at column 4; its neighbours begin at column 3.']],
  ['the first key of a block, by which all others are off', edited('  - step: prove\n    ask: Does it turn?', '  - step: prove\n     ask: Does it turn?'), ["'ask:' begins at column 6; its neighbours begin at column 5."]],
  ['an en dash before a step', edited('  - step: supply', '  – step: supply'), ["'–' is not a dash: write `-`."]],
  ['an em dash and a bullet before results', edited('      - when: at', '      — when: at').replace('      - when: below', '      • when: below'), ["'—' is not a dash: write `-`. One more line begins with such a mark."]],
  ['bullets before what is done, which YAML would take for one text', edited('      - Turn it off.\n      - Lock it.', '      • Turn it off.\n      • Lock it.'), ["'•' is not a dash: write `-`. One more line begins with such a mark."]],
  ['a bullet with a no-break space', edited('      - Lock it.', '      •\u00a0Lock it.'), ["'•' is not a dash: write `-`."]],
  ['an asterisk', edited('  - step: supply', '  * step: supply'), ["'*' is not a dash: write `-`."]],
  ['an apostrophe inside single quotes', edited('title: Spinner of the gritter stands still', "title: 'The gritter's spinner'"), ["The apostrophe in 'The gritter's spinner' ends the text too early."]],
  ['a mark inside double quotes', edited('title: Spinner of the gritter stands still', 'title: "The "old" spinner"'), ["The quotation mark in 'The \"old\" spinner' ends the text too early."]],
];

describe('a slip', () => {
  test.each(SLIPS)('%s', (name, text, says) => {
    const { problems, root } = parseTree(text, 'f');
    expect(problems.map(({ message }) => message)).toEqual(says);
    const mended = fixed(text);
    expect(parseTree(mended, 'f').problems).toEqual([]);
    // Without the fix it is read as it was meant already.
    expect(plain(root)).toEqual(plain(parseTree(mended, 'f').root));
    if (name.includes('inside')) return;
    expect(plain(root)).toEqual(plain(parseTree(MEANT, 'f').root));
  });

  test('the words inside quotes are what the writer meant', () => {
    const title = (text: string): unknown => (plain(parseTree(text, 'f').root) as { title: unknown }).title;
    expect(title(edited('title: Spinner of the gritter stands still', "title: 'The gritter's spinner'"))).toBe("The gritter's spinner");
    expect(title(edited('title: Spinner of the gritter stands still', 'title: "The "old" spinner"'))).toBe('The "old" spinner');
  });

  test('what is no slip is left alone: marks in a text, a list at the column of its key, comments, texts over lines', () => {
    for (const text of [
      MEANT, 'a:\n- b\n- c\n', 'a: >-\n  – one\n  – two\n', 'a: some text\n  – and more of it\n', '# – a comment\na: 1\n', "a: 'it\n  – goes on'\n", 'a: {b: 1,\n  c: 2}\n', '- a\n- b:\n    c\n- - d\n',
    ]) {
      expect(parseTree(text, 'f').problems, text).toEqual([]);
    }
  });

  test('with a memory of what was read before, a slip that comes and goes is read as without', () => {
    const memory = new TreeMemory();
    const long = MEANT.replace('after_repair:', `${Array.from({ length: 30 }, (_, index) => `  - step: more_${index}\n    do:\n      - Look at place ${index} of the machine.\n`).join('')}after_repair:`);
    for (const text of [long, long.replace('    circuit: feed', '   circuit: feed'), long, long.replace('  - step: more_7', '  – step: more_7'), long.replace('place 9', 'place 10'), long.replace('      - Look at place 9', '      • Look at place 9'), long]) {
      const [kept, fresh] = [parseTree(text, 'f', memory), parseTree(text, 'f')];
      expect(kept.problems).toEqual(fresh.problems);
      expect(plain(kept.root)).toEqual(plain(fresh.root));
    }
  });

  test('one line moved by a column or two in any procedure of the library: few findings', () => {
    const folder = new URL('../../procedures', import.meta.url).pathname;
    const texts = readdirSync(folder).filter((file) => file.endsWith('.procedure.yaml')).map((file) => readFileSync(join(folder, file), 'utf8'));
    let most = 0;
    let all = 0;
    fc.assert(fc.property(fc.constantFrom(...texts), fc.nat(), fc.constantFrom(-1, 1), (text, at, by) => {
      const lines = text.split('\n');
      const places = lines.flatMap((line, index) => (/^ {4,}(?:- )?[a-z_]+:/.test(line) ? [index] : []));
      const place = places[at % places.length] ?? 0;
      lines[place] = by > 0 ? ` ${lines[place] ?? ''}` : (lines[place] ?? '').slice(1);
      const { problems } = parseTree(lines.join('\n'), 'f');
      all += problems.length;
      most = Math.max(most, problems.length);
    }), { numRuns: 150, seed: 20261125 });
    expect(all / 150).toBeLessThan(1.1);
    expect(most).toBeLessThanOrEqual(4);
  });
});
