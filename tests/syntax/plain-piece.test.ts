/** What the fast reader reads it reads as the `yaml` library does: the same nodes with the same places, the same comments, and nothing that the library finds fault with. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { Anchors, composePiece } from '../../server/src/syntax/compose-piece.ts';
import { readPlainPiece } from '../../server/src/syntax/plain-piece.ts';
import { SourcePiece } from '../../server/src/syntax/source-piece.ts';
import type { TreeNode } from '../../server/src/syntax/tree.ts';

const ROOT = new URL('../..', import.meta.url).pathname;
const BASE = 1000;

/** Keys and steps of every procedure and shop at hand. */
const pieces = ['procedures', 'tests/corpus', 'server/src/catalogue'].flatMap((folder) => readdirSync(join(ROOT, folder), { recursive: true, encoding: 'utf8' })
  .filter((file) => file.endsWith('.yaml')).flatMap((file) => piecesOf(readFileSync(join(ROOT, folder, file), 'utf8'))));

test('every piece of the library and the corpus, most of them without the library', () => {
  let plain = 0;
  for (const piece of pieces) if (agree(piece)) plain++;
  expect(plain / pieces.length).toBeGreaterThan(0.85);
});

const scraps = fc.constantFrom(
  '\n', ' ', '  ', '"', "'", ': ', ':', '- ', '-', '? ', '# ', ' #', '#', '&', '*', '[', ']', '{', '}', '|', '>', ',', ', ', '\n  ', '\n    ', '%', '@', '`', '!', '\\', 'a', '7', '~', '<<: x\n',
  '..', '---\n', 'é', '\u{1f642}', '=', '""', "''", '[]', '{}', '\n\n', '  # c\n', ':\n', '\t', '\u00a0', 'null', '-5 °C', '12:30', 'a:b',
);

test('pieces with scraps put in and letters taken out', { timeout: 120_000 }, () => {
  let plain = 0;
  fc.assert(fc.property(
    fc.constantFrom(...pieces), fc.nat(), fc.integer({ min: 1, max: 14 }), fc.array(fc.tuple(fc.nat(), scraps, fc.integer({ min: 0, max: 4 })), { minLength: 1, maxLength: 3 }),
    (piece, from, count, edits) => {
      const lines = piece.split('\n');
      const start = from % lines.length;
      let text = lines.slice(start, start + count).join('\n');
      for (const [at, scrap, taken] of edits) {
        const place = at % (text.length + 1);
        text = text.slice(0, place) + scrap + text.slice(place + taken);
      }
      if (agree(text)) plain++;
    },
  ), { numRuns: 15_000 });
  expect(plain).toBeGreaterThan(1000);
});

test('pieces with texts and lists broken over lines', { timeout: 120_000 }, () => {
  let folded = 0;
  fc.assert(fc.property(
    fc.constantFrom(...pieces), fc.nat(), fc.integer({ min: 1, max: 14 }), fc.array(fc.tuple(fc.nat(), fc.integer({ min: 0, max: 16 }), fc.constantFrom('', '', '', ' ', '\n', '# c\n', '-', '#')), { minLength: 1, maxLength: 3 }),
    (piece, from, count, breaks) => {
      const lines = piece.split('\n');
      const start = from % lines.length;
      let text = lines.slice(start, start + count).join('\n');
      for (const [at, indent, odd] of breaks) {
        const spaces = [...text.matchAll(/ /g)];
        const place = spaces[at % Math.max(1, spaces.length)]?.index ?? 0;
        text = `${text.slice(0, place)}\n${odd}${' '.repeat(indent)}${text.slice(place + 1)}`;
      }
      if (agree(text) && /[a-z]\n +[a-z]+(?: |\n|$)/.test(text)) folded++;
    },
  ), { numRuns: 20_000 });
  expect(folded).toBeGreaterThan(200);
});

/** True where the fast reader has read it; throws where the two differ. */
function agree(text: string): boolean {
  const piece = SourcePiece.of(text, BASE);
  const fast = readPlainPiece(piece);
  if (fast === undefined) return false;
  const anchors = new Anchors();
  const slow = composePiece(piece, anchors, 'f');
  const known = { errors: slow.errors, problems: slow.problems, anchors: anchors.nodes.size, node: plainly(slow.node), comments: slow.comments };
  expect({ errors: [], problems: [], anchors: 0, node: plainly(fast.node), comments: fast.comments }, text).toEqual(known);
  return true;
}

function plainly(node: TreeNode | undefined): unknown {
  if (node === undefined) return null;
  if (node.kind === 'scalar') return [node.text, node.style, node.span, Array.from({ length: node.text.length + 3 }, (_, index) => node.offsetAt(index - 1))];
  if (node.kind === 'list') return [node.flow, node.span, node.items.map(plainly)];
  return [node.flow, node.span, node.entries.map(({ key, value, span }) => [plainly(key), plainly(value), span])];
}

function piecesOf(text: string): string[] {
  return text.split(/^(?=\S)/m).flatMap((part) => (part.length > 1500 ? part.split(/^(?= *- (?:step|name))/m) : [part]));
}
