/** Whatever the text: no exception, no endless reading, and every place lies inside the file. */
import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { buildAssets } from '../../server/src/procedure/build-assets.ts';
import { buildProcedure } from '../../server/src/procedure/build-procedure.ts';
import { buildShop } from '../../server/src/procedure/build-shop.ts';
import { nameUses, shopNameUses } from '../../server/src/procedure/names.ts';
import type { Problem } from '../../server/src/findings/finding.ts';
import { parseTree } from '../../server/src/syntax/parse-tree.ts';
import type { TreeNode } from '../../server/src/syntax/tree.ts';
import type { Span } from '../../server/src/text/span.ts';

const fixtures = new URL('../procedure/fixtures/', import.meta.url);
const procedureText = readFileSync(new URL('tail-lift-no-raise.procedure.yaml', fixtures), 'utf8');
const shopText = readFileSync(new URL('shop.yaml', fixtures), 'utf8');

function expectInside(span: Span, length: number): void {
  if (span.start < 0 || span.end > length || span.start > span.end) throw new Error(`span ${span.start}–${span.end} lies outside 0–${length}`);
}

function expectProblemsInside(problems: readonly Problem[], length: number): void {
  for (const problem of problems) {
    expectInside(problem.span, length);
    for (const related of problem.related ?? []) expectInside(related.span, length);
    for (const fix of problem.fixes ?? []) for (const edit of fix.edits) expectInside(edit.span, length);
    if (problem.message.trim() === '' || /undefined|\[object|NaN/.test(problem.message + (problem.help ?? '') + (problem.note ?? ''))) {
      throw new Error(`a bad message: ${problem.message} / ${problem.help}`);
    }
  }
}

function walk(node: TreeNode | undefined, length: number, budget = { left: 50_000 }): void {
  if (node === undefined || budget.left-- < 0) return;
  expectInside(node.span, length);
  if (node.kind === 'scalar') {
    for (const index of [0, node.text.length >> 1, node.text.length]) {
      const at = node.offsetAt(index);
      if (at < 0 || at > length) throw new Error(`offset ${at} outside`);
    }
  } else if (node.kind === 'list') {
    for (const item of node.items) walk(item, length, budget);
  } else {
    for (const entry of node.entries) {
      expectInside(entry.span, length);
      walk(entry.key, length, budget);
      walk(entry.value, length, budget);
    }
  }
}

function readEverything(text: string): void {
  const tree = parseTree(text);
  expectProblemsInside(tree.problems, text.length);
  walk(tree.root, text.length);
  for (const comment of tree.comments) expectInside(comment, text.length);
  const { procedure } = buildProcedure('p', text);
  expectProblemsInside(procedure.problems, text.length);
  for (const use of nameUses(procedure)) expectInside(use.span, text.length);
  const { shop } = buildShop('s', text);
  expectProblemsInside(shop.problems, text.length);
  for (const use of shopNameUses(shop)) expectInside(use.span, text.length);
  expectProblemsInside(buildAssets('a', text).assets.problems, text.length);
}

describe('reading never fails', () => {
  test('on a procedure cut off at any place', () => {
    // Every place of a shorter text, every thirteenth of the long one.
    for (let end = 0; end <= shopText.length; end++) {
      const text = shopText.slice(0, end);
      expectProblemsInside(buildShop('s', text).shop.problems, text.length);
    }
    for (let end = 0; end <= procedureText.length; end += 13) {
      const text = procedureText.slice(0, end);
      expectProblemsInside(buildProcedure('p', text).procedure.problems, text.length);
    }
  }, 120_000);

  test('on a procedure with characters put in, taken out or replaced', () => {
    const snippet = fc.oneof(
      fc.constantFrom(': ', '- ', '\t', '\n', '\r', '\r\n', '"', "'", '{', '}', '[', ']', ',', '#', ' #', '&a ', '*a', '!t ', '|', '>', '%', '@', '`', '?', '? ', '---\n', '...\n', '\u0000', '\ufeff', '\u00a0', '<<: ', '~', '\n\n  ', ':'),
      fc.string({ maxLength: 4 }),
    );
    const change = fc.record({ at: fc.nat(procedureText.length), length: fc.nat(12), put: snippet });
    fc.assert(fc.property(fc.array(change, { minLength: 1, maxLength: 5 }), (changes) => {
      let text = procedureText.slice(0, 3500);
      for (const { at, length, put } of changes) {
        const from = at % text.length;
        text = text.slice(0, from) + put + text.slice(from + length);
      }
      readEverything(text);
    }), { numRuns: 300 });
  }, 120_000);

  test('on any string', () => {
    fc.assert(fc.property(fc.string({ unit: 'binary', maxLength: 200 }), readEverything), { numRuns: 500 });
  }, 60_000);

  test('on any pile of YAML signs', () => {
    const sign = fc.constantFrom('a', 'step', 'steps:', 'when', ': ', ':', '- ', '-', '\n', '\n  ', '\n    ', ' ', '"', "'", '{', '}', '[', ']', ', ', '#', '&x ', '*x', '!y ', '|', '>', '|2', '? ', '---', '...', '%', '@', '<<', '\t', '\r\n', '\\', '~', '1.10');
    fc.assert(fc.property(fc.array(sign, { maxLength: 40 }).map((parts) => parts.join('')), readEverything), { numRuns: 1500 });
  }, 120_000);
});

describe('hostile texts', () => {
  const laughs = ['a: &a [x, x, x, x, x, x, x, x, x]'];
  for (let i = 1; i < 12; i++) laughs.push(`${String.fromCharCode(97 + i)}: &${String.fromCharCode(97 + i)} [${`*${String.fromCharCode(96 + i)}, `.repeat(9)}]`);
  const texts: Record<string, string> = {
    'a tagged value whose repair is longer than its place': 'a>\n- : !y :',
    'aliases that multiply': laughs.join('\n'),
    'an alias inside its own anchor': 'a: &a {b: *a}\nsteps: *a',
    'brackets without end': '['.repeat(50_000),
    'braces without end': '{a: '.repeat(20_000),
    'dashes without end': '- '.repeat(20_000),
    'ever deeper maps': Array.from({ length: 1500 }, (_, level) => `${' '.repeat(level)}a:`).join('\n'),
    'question marks without end': '? '.repeat(20_000),
    'a very long line': `title: ${'x'.repeat(2_000_000)}`,
    'many quotation marks': 'title: "'.repeat(5_000),
    'a key a line': Array.from({ length: 20_000 }, (_, line) => `k${line}: 1`).join('\n'),
    'the same key a line': 'title: x\n'.repeat(20_000),
    'every line broken': 'title: Note: x\n'.repeat(2_000),
    'NUL bytes': '\u0000'.repeat(1000),
    'nothing but tabs': '\t'.repeat(1000),
    'half a surrogate pair': 'title: \ud83d\nsteps: []',
    'many documents': '---\na: 1\n'.repeat(2_000),
    'many anchors': Array.from({ length: 5_000 }, (_, index) => `a${index}: &b${index} {c: *b${Math.max(0, index - 1)}}`).join('\n'),
  };
  test.each(Object.keys(texts))('%s', (name) => {
    const text = texts[name] ?? '';
    const { procedure } = buildProcedure('p', text);
    expectProblemsInside(procedure.problems, text.length);
    walk(parseTree(text).root, text.length);
    expect(procedure.problems.length).toBeGreaterThan(0);
  }, 60_000);

  test('a longer file than is read is read up to the limit, and says so', () => {
    const text = `title: Long\n${'# comment\n'.repeat(900_000)}procedure: after_the_end\n`;
    const { root, problems } = parseTree(text);
    expect(problems[0]?.message).toContain('longer than 8000000 characters');
    expect(root?.kind === 'map' ? root.entries.map((entry) => entry.key.text) : []).toEqual(['title']);
  });
});
