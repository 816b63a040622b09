/** Where each character of a scalar stands in its source, for every way to write a text. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { parse, stringify } from 'yaml';
import { mapBlock, mapDoubleQuoted, mapPlain, mapSingleQuoted } from '../../server/src/syntax/scalar-offsets.ts';
import { parseTree } from '../../server/src/syntax/parse-tree.ts';
import type { ScalarNode, TreeNode } from '../../server/src/syntax/tree.ts';

function scalars(node: TreeNode | undefined): ScalarNode[] {
  if (node === undefined) return [];
  if (node.kind === 'scalar') return [node];
  if (node.kind === 'list') return node.items.flatMap(scalars);
  return node.entries.flatMap((entry) => [entry.key, ...scalars(entry.value)]);
}

/** The source at each character's place: itself, or what stands for it. */
function mark(source: string): string {
  const [, value] = scalars(parseTree(source).root);
  if (value === undefined) throw new Error('no value');
  return [...Array(value.text.length + 1).keys()].map((index) => source.charAt(value.offsetAt(index)).replace('\n', '⏎') || '∎').join('');
}

describe('a character of a text stands', () => {
  test('in a plain text, where it is', () => {
    expect(mark('a: at least 12 V')).toBe('at least 12 V∎');
  });
  test('in a folded plain text, at the break for the space that joins it', () => {
    expect(mark('a: one two\n   three\nb: x')).toBe('one two⏎three⏎');
  });
  test('in single quotes, at the first of a doubled quotation mark', () => {
    const source = "a: 'don''t stop'";
    expect(mark(source)).toBe("don't stop'");
    expect(scalars(parseTree(source).root)[1]?.offsetAt(4)).toBe(source.indexOf('t stop'));
  });
  test('in double quotes, at the backslash of an escape', () => {
    const source = 'a: "12 \\u03a9\\t\\x41 end"';
    const value = scalars(parseTree(source).root)[1];
    expect(value?.text).toBe('12 Ω\tA end');
    expect([3, 4, 5, 6].map((index) => value?.offsetAt(index))).toEqual([7, 13, 15, 19]);
  });
  test('in a literal block, after its indentation', () => {
    const source = 'a: |\n    one\n      two\n\n    three\nb: x';
    const value = scalars(parseTree(source).root)[1];
    expect(value?.text).toBe('one\n  two\n\nthree\n');
    expect(value?.offsetAt(0)).toBe(source.indexOf('one'));
    expect(value?.offsetAt(6)).toBe(source.indexOf('two'));
    expect(value?.offsetAt(11)).toBe(source.indexOf('three'));
  });
  test('in a folded block, after its indentation', () => {
    const source = 'a: >-\n  one\n  two\n\n  three\n';
    const value = scalars(parseTree(source).root)[1];
    expect(value?.text).toBe('one two\nthree');
    expect(value?.offsetAt(4)).toBe(source.indexOf('two'));
    expect(value?.offsetAt(8)).toBe(source.indexOf('three'));
    expect(value?.offsetAt(13)).toBe(source.indexOf('three') + 5);
  });
  test('with CRLF line breaks as well', () => {
    const source = 'a: |\r\n  one\r\n  two\r\nb: x\r\n';
    const value = scalars(parseTree(source).root)[1];
    expect(value?.text).toBe('one\ntwo\n');
    expect(value?.offsetAt(4)).toBe(source.indexOf('two'));
  });
  test('after a byte order mark and inside a repaired line', () => {
    const source = '\ufeffa: >= 12 V\n';
    const value = scalars(parseTree(source).root)[1];
    expect(value?.text).toBe('>= 12 V');
    expect(value?.offsetAt(3)).toBe(source.indexOf('12'));
  });
});

const words = fc.array(fc.constantFrom('a', 'Ω', 'two', "it's", '"q"', '#7', ': x', '- y', '\\', '\n', '\n\n', ' ', '  ', '\t', '{z}', '|', '&', '😀'), { maxLength: 14 })
  .map((parts) => parts.join(''));

describe('for any text in any style', () => {
  test('the map comes to the text that the library reads', () => {
    fc.assert(fc.property(
      words, fc.constantFrom('PLAIN', 'QUOTE_SINGLE', 'QUOTE_DOUBLE', 'BLOCK_LITERAL', 'BLOCK_FOLDED'), fc.boolean(), fc.integer({ min: 10, max: 40 }),
      (text, style, crlf, width) => {
        if (text.trim() === '') return true;
        let source = stringify({ key: { a: text, b: 'end' } }, { defaultStringType: style as 'PLAIN', lineWidth: width, blockQuote: style === 'BLOCK_LITERAL' ? 'literal' : 'folded' });
        if (crlf) source = source.replaceAll('\n', '\r\n');
        const value = scalars(parseTree(source).root)[2];
        if (value === undefined) return false;
        expect(value.text).toBe((parse(source) as { key: { a: string } }).key.a);
        let previous = value.span.start - 1;
        for (let index = 0; index <= value.text.length; index++) {
          const at = value.offsetAt(index);
          expect(at).toBeGreaterThanOrEqual(previous);
          expect(at).toBeLessThanOrEqual(value.span.end);
          previous = at;
          const character = value.text.charAt(index);
          // Letters and digits stand for themselves, in every style.
          if (/[a-zΩ7]/.test(character)) expect(source.charAt(at)).toBe(character);
        }
        return true;
      },
    ), { numRuns: 3000 });
  });

  test('hand-made sources agree with the library, however odd', () => {
    const piece = fc.constantFrom('a', 'b c', ' ', '\n', '\r\n', '\t', '  ', "''", '\\n', '\\"', '\\\n', '\\x41', '\\q', '#', ':');
    fc.assert(fc.property(fc.array(piece, { maxLength: 12 }), fc.constantFrom("'", '"', '|', '|-', '|+', '>', '>-', '>+', '>2'), (pieces, style) => {
      const inner = pieces.join('');
      const source = /^['"]/.test(style) ? `a: ${style}${inner.replaceAll('\n', '\n ')}${style}\nb: x\n` : `a: ${style}\n  ${inner.replaceAll('\n', '\n  ')}\nb: x\n`;
      const { root, problems } = parseTree(source);
      for (const node of problems.length > 0 ? [] : scalars(root)) {
        if (node.text === '') continue;
        // A map that disagrees with the library falls back to guessing, which this unmasks.
        const from = node.span.start;
        const raw = source.slice(from, node.span.end);
        if (node.style === 'single' && raw.startsWith("'") && raw.endsWith("'")) expect(mapSingleQuoted(raw).text).toBe(node.text);
        if (node.style === 'double' && raw.startsWith('"') && raw.endsWith('"')) expect(mapDoubleQuoted(raw).text).toBe(node.text);
        if (node.style === 'plain' && !raw.includes('#')) expect(mapPlain(raw).text).toBe(node.text);
        if (node.style === 'block') {
          const header = /^[^\n]*\n/.exec(raw)?.[0] ?? '';
          expect(mapBlock(header, raw.slice(header.length), header.length, 0).text).toBe(node.text);
        }
      }
    }), { numRuns: 4000 });
  });
});
