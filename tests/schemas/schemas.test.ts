/**
 * The schemas say what the builder says, as far as a schema can. Where they are known to be looser:
 *  - what stands inside a band, an expression or a quantity: the schema sees a text (or a number), the builder parses it;
 *  - names: whether a name exists, is reserved (units, functions, words of bands), or is used twice by two steps, two results or two
 *    references;
 *  - a key that stands twice in one map: YAML readers that feed a schema keep the last;
 *  - forms of numbers: `0x1F` is a number to YAML 1.2 and none to us.
 */
import { existsSync, readFileSync, readdirSync } from 'node:fs';
import { Ajv2020 } from 'ajv/dist/2020.js';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { parse, parseDocument, stringify } from 'yaml';
import { buildAssets } from '../../server/src/procedure/build-assets.ts';
import { buildProcedure } from '../../server/src/procedure/build-procedure.ts';
import { buildShop } from '../../server/src/procedure/build-shop.ts';
import type { Problem } from '../../server/src/findings/finding.ts';
import { TRAPS } from '../procedure/traps.ts';
import { renderProblems } from '../procedure/render-problems.ts';
import { schemaOf } from './schema-from-keys.ts';

const FILES = ['procedure', 'shop', 'assets'] as const;
type FileKind = (typeof FILES)[number];

const ajv = new Ajv2020({ allErrors: false, strict: true, allowUnionTypes: true, strictRequired: false, strictTypes: false });
const validators = Object.fromEntries(FILES.map((kind) => [kind, ajv.compile(schemaOf(kind))])) as Record<FileKind, ReturnType<Ajv2020['compile']>>;

function problemsOf(kind: FileKind, text: string): readonly Problem[] {
  if (kind === 'procedure') return buildProcedure('f', text).procedure.problems;
  return kind === 'shop' ? buildShop('f', text).shop.problems : buildAssets('f', text).assets.problems;
}

const STRUCTURE = new Set(['unknown-key', 'missing-key', 'wrong-kind', 'duplicate-name', 'unit-missing']);

/** What a schema cannot see; see above. */
function isBeyondSchema(problem: Problem): boolean {
  return /^It stands in '(?:when|decide|seek)' of/.test(problem.note ?? '') || /is not understood/.test(problem.message) || /^Two (?:steps|results|references) /.test(problem.message)
    || / cannot name .*: in a band it is /.test(problem.message) || /which is no ending|ends with 'found'/.test(problem.message)
    || (problem.check === 'unit-missing' && /'(?:up_to|from|resolution|range)'/.test(problem.message));
}

function disagreement(kind: FileKind, text: string): string | undefined {
  const document = parseDocument(text, { version: '1.2', uniqueKeys: false });
  if (document.errors.length > 0 || document.warnings.length > 0) return undefined;
  const problems = problemsOf(kind, text);
  // YAML read it, and not as its writer meant it: the two then speak of different things.
  if (problems.some((problem) => problem.check === 'yaml-syntax' || problem.check === 'text-cut-off')) return undefined;
  const structural = problems.filter((problem) => STRUCTURE.has(problem.check) && !isBeyondSchema(problem));
  const accepts = validators[kind](document.toJS());
  if (accepts === (structural.length === 0)) return undefined;
  return `${text}\n--- schema ${accepts ? 'accepts' : JSON.stringify(validators[kind].errors?.slice(0, 3))}\n--- builder:\n${renderProblems(text, structural)}`;
}

const fixtures = new URL('../procedure/fixtures/', import.meta.url);
const library = new URL('../../procedures/', import.meta.url);

function kindOf(name: string): FileKind | undefined {
  return name === 'shop.yaml' ? 'shop' : name === 'assets.yaml' ? 'assets' : name.endsWith('.procedure.yaml') ? 'procedure' : undefined;
}

function filesIn(folder: URL): { name: string; kind: FileKind; text: string }[] {
  if (!existsSync(folder)) return [];
  return readdirSync(folder, { recursive: true, encoding: 'utf8' }).flatMap((path) => {
    const name = path.replaceAll('\\', '/');
    const kind = kindOf(name.split('/').at(-1) ?? '');
    return kind === undefined ? [] : [{ name, kind, text: readFileSync(new URL(name, folder), 'utf8') }];
  });
}

const files = [...filesIn(fixtures), ...filesIn(library)];

describe('the files in schemas/ are what the table of keys says', () => {
  test.each(FILES)('%s', async (kind) => {
    await expect(`${JSON.stringify(schemaOf(kind), null, 2)}\n`).toMatchFileSnapshot(`../../schemas/${kind}.schema.json`);
  });
});

describe('schema and builder agree', () => {
  test('there are files to try', () => {
    expect(files.filter((file) => file.kind === 'procedure').length).toBeGreaterThan(0);
    expect(files.some((file) => file.kind === 'shop')).toBe(true);
    expect(files.some((file) => file.kind === 'assets')).toBe(true);
  });

  test.each(files)('on $name', ({ kind, text }) => {
    expect(disagreement(kind, text)).toBeUndefined();
  });

  test('and both accept the built-in catalogue', () => {
    const text = readFileSync(new URL('../../server/src/catalogue/catalogue.yaml', import.meta.url), 'utf8');
    expect(validators.shop(parse(text))).toBe(true);
    expect(problemsOf('shop', text)).toEqual([]);
  });

  test.each(TRAPS.filter((trap) => !/^a key twice/.test(trap.name)))('on a trap: $name', ({ text }) => {
    expect(disagreement('procedure', text)).toBeUndefined();
  });

  // Every kind of damage to every value of the fixtures: a key taken away, renamed, or given a value of another kind.
  const values: readonly unknown[] = [null, true, 7, 0.5, -1, '', 'a text', 'a_name', 'a, b', '12 V', '12', [], ['a_name'], [null], [['x']], {}, { a_name: 'x' }, { a_name: null }, [{ a_name: 'x' }], { 'Not a name': {} }];
  const damage = fc.record({ file: fc.nat(), place: fc.nat(), what: fc.constantFrom('delete', 'rename', 'add', 'replace', 'replace', 'replace', 'replace'), value: fc.constantFrom(...values) });
  test('on files with damage done to them', () => {
    const parsed = filesIn(fixtures).map(({ kind, text }) => ({ kind, data: JSON.stringify(parse(text)) }));
    fc.assert(fc.property(damage, ({ file, place, what, value }) => {
      const chosen = parsed[file % parsed.length];
      if (chosen === undefined) return;
      const data: unknown = JSON.parse(chosen.data);
      damageAt(data, place, what, value);
      expect(disagreement(chosen.kind, stringify(data, { version: '1.2' }))?.split('\n--- ').slice(1).join('\n') ?? '').toBe('');
    }), { numRuns: 1500 });
  }, 180_000);
});

/** Does damage to the `place`-th key or item of some data, counted round and round. */
function damageAt(data: unknown, place: number, what: string, value: unknown): void {
  const places: { holder: Record<string, unknown> | unknown[]; key: string | number }[] = [];
  const walk = (node: unknown): void => {
    if (Array.isArray(node)) node.forEach((item, index) => { places.push({ holder: node, key: index }); walk(item); });
    else if (typeof node === 'object' && node !== null) {
      for (const [key, item] of Object.entries(node)) {
        places.push({ holder: node as Record<string, unknown>, key });
        walk(item);
      }
    }
  };
  walk(data);
  const chosen = places[place % places.length];
  if (chosen === undefined) return;
  const { holder, key } = chosen;
  if (Array.isArray(holder)) {
    if (what === 'delete') holder.splice(Number(key), 1);
    else holder[Number(key)] = value;
    return;
  }
  if (what === 'delete') delete holder[key];
  else if (what === 'rename') {
    holder[`${key}_x`] = holder[key];
    delete holder[key];
  } else if (what === 'add') holder['new_key'] = value;
  else holder[key] = value;
}
