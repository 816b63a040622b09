/**
 * Whatever a writer types, deletes, moves, breaks, mends and takes back: what is known of a file after a row of edits is what a fresh
 * analysis of its text knows, to the last place. Every shortcut of the incremental analysis answers to this.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { Workspace } from '../../server/src/analysis/workspace.ts';
import { BENCH_SHOP, generateProcedure } from '../bench/generate.ts';

const LIBRARY = new URL('../../procedures', import.meta.url).pathname;
const FLAWED = new URL('../corpus/flawed', import.meta.url).pathname;

interface Draft {
  readonly name: string;
  readonly text: string;
  /** Its shop, its assets and the procedures it may run. */
  readonly around: ReadonlyMap<string, string>;
}

/** One edit: what kind, where (as a share of the text, or of its lines) and with what. */
type Edit =
  | { readonly kind: 'type'; readonly at: number; readonly text: string; readonly inText: boolean }
  | { readonly kind: 'delete'; readonly at: number; readonly length: number }
  | { readonly kind: 'delete line' | 'double line' | 'indent' | 'outdent' | 'comment'; readonly at: number }
  | { readonly kind: 'move step' | 'delete step'; readonly at: number; readonly to: number }
  | { readonly kind: 'break'; readonly at: number; readonly text: string }
  | { readonly kind: 'undo'; readonly steps: number };

const share = fc.double({ min: 0, max: 0.9999, noNaN: true });
const edits: fc.Arbitrary<Edit> = fc.oneof(
  { weight: 8, arbitrary: fc.record({
    kind: fc.constant('type' as const), at: share, inText: fc.boolean(),
    text: fc.oneof(fc.constantFrom(
      'a', 'e', ' ', 's', '.', '-', ',', '7', ' 12 V', ' the isolator', ' WD-9', ' GPCU', ' cut-off', ' cutoff', ' tyre', ' tire', '{supply}', ' as necessary', ' Remove the radiator cap.',
      ' must be at least 9 V', ' (26 lb·ft)', '\n', 'é', '\u00a0', '&', '*', '# ', '"', ' supply',
    ), fc.string({ minLength: 1, maxLength: 3 })),
  }) },
  { weight: 4, arbitrary: fc.record({ kind: fc.constant('delete' as const), at: share, length: fc.integer({ min: 1, max: 25 }) }) },
  { weight: 3, arbitrary: fc.record({ kind: fc.constantFrom('delete line' as const, 'double line' as const, 'indent' as const, 'outdent' as const, 'comment' as const), at: share }) },
  { weight: 1, arbitrary: fc.record({ kind: fc.constantFrom('move step' as const, 'delete step' as const), at: share, to: share }) },
  { weight: 1, arbitrary: fc.record({ kind: fc.constant('break' as const), at: share, text: fc.constantFrom(': [', ' {', '\t', '\n  x', '- ', '\n---\n', '\r', '? ', ': : ', '|\n', '\u0001') }) },
  { weight: 5, arbitrary: fc.record({ kind: fc.constant('undo' as const), steps: fc.integer({ min: 1, max: 4 }) }) },
);

const drafts: readonly Draft[] = [
  { name: 'x.procedure.yaml', text: generateProcedure(26), around: new Map([['shop.yaml', BENCH_SHOP]]) },
  ...['tail_lift_no_raise', 'battery_condition', 'no_crank', 'daily_walk_round', 'isolate_high_voltage'].map((name) => fromFolder(LIBRARY, `${name}.procedure.yaml`)),
  ...readdirSync(FLAWED, { withFileTypes: true }).filter((entry) => entry.isDirectory()).map((entry) => entry.name).flatMap((group) => readdirSync(join(FLAWED, group)).filter((file) => file.endsWith('.procedure.yaml')).slice(0, 4).map((file): Draft => ({
    name: file, text: readFileSync(join(FLAWED, group, file), 'utf8'), around: new Map([['shop.yaml', readFileSync(join(FLAWED, 'shop.yaml'), 'utf8')]]),
  }))),
];

test('after every edit of a row, findings, model and tree are those of a fresh analysis', { timeout: 600_000 }, () => {
  fc.assert(fc.property(fc.constantFrom(...drafts), fc.array(edits, { minLength: 10, maxLength: 24 }), (draft, row) => {
    const workspace = workspaceOf(draft, draft.text);
    workspace.analyse(draft.name);
    const versions = [draft.text];
    for (const edit of row) {
      const text = edited(versions, edit);
      versions.push(text);
      workspace.setFile(draft.name, text);
      // Now and then an edit follows another before anyone looks.
      if (edit.kind === 'undo' && edit.steps === 4) continue;
      compare(workspace, draft, text);
    }
  }), { numRuns: Number(process.env['FAULTWRIGHT_EDIT_ROWS'] ?? 16), seed: Number(process.env['FAULTWRIGHT_EDIT_SEED'] ?? 20261125) });
});

test('letter by letter in every text of a step, and back again', { timeout: 300_000 }, () => {
  const draft = fromFolder(LIBRARY, 'tail_lift_no_raise.procedure.yaml');
  const workspace = workspaceOf(draft, draft.text);
  workspace.analyse(draft.name);
  let count = 0;
  for (const match of draft.text.matchAll(/^ +(?:- )?(?:title|ask|text|why|note|says|refer): .*$|^ +- [A-Z].*\.$/gm)) {
    if (match.index < draft.text.indexOf('\nsteps:') || count++ % 5 !== 0) continue;
    const line = match[0];
    for (const at of [line.length, Math.ceil(line.length * 0.7)]) {
      for (const typed of [' x', ' x 7', '']) {
        const text = `${draft.text.slice(0, match.index + at)}${typed}${draft.text.slice(match.index + at)}`;
        workspace.setFile(draft.name, text);
        compare(workspace, draft, text);
      }
    }
  }
  expect(count).toBeGreaterThan(20);
});

test('what an edit of a text in one step does not touch is kept, not made again', () => {
  const text = generateProcedure(200);
  const workspace = new Workspace();
  workspace.setFile('shop.yaml', BENCH_SHOP);
  workspace.setFile('x.procedure.yaml', text);
  const before = workspace.analyse('x.procedure.yaml');
  workspace.setFile('x.procedure.yaml', text.replace('Push the red probe', 'Push the long red probe'));
  const after = workspace.analyse('x.procedure.yaml');
  expect(after.exploration).toBe(before.exploration);
  expect(after.scope).toBe(before.scope);
  expect(after.procedure?.faults).toBe(before.procedure?.faults);
  expect(after.procedure?.steps.filter((step, index) => step === before.procedure?.steps[index]).length).toBeGreaterThan(1);
  expect(after.findings).toEqual([]);
});

function compare(workspace: Workspace, draft: Draft, text: string): void {
  const now = workspace.analyse(draft.name);
  const fresh = workspaceOf(draft, text).analyse(draft.name);
  expect(now.findings).toEqual(fresh.findings);
  expect(plain(now.procedure)).toEqual(plain(fresh.procedure));
  expect(plain(now.tree)).toEqual(plain(fresh.tree));
  expect(now.program).toEqual(fresh.program);
}

function workspaceOf(draft: Draft, text: string): Workspace {
  const workspace = new Workspace();
  for (const [path, content] of draft.around) workspace.setFile(path, content);
  workspace.setFile(draft.name, text);
  return workspace;
}

/** Data alone, whatever objects it lies in; of a scalar also the places of its first, middle and last character. */
function plain(value: unknown): unknown {
  if (value === null || typeof value !== 'object') return typeof value === 'function' ? undefined : value;
  if (Array.isArray(value)) return value.map(plain);
  const copy: Record<string, unknown> = {};
  const names = new Set<string>();
  for (const name in value) names.add(name);
  for (let at: object | null = Object.getPrototypeOf(value) as object; at !== null && at !== Object.prototype; at = Object.getPrototypeOf(at) as object) {
    for (const [name, property] of Object.entries(Object.getOwnPropertyDescriptors(at))) if (property.get) names.add(name);
  }
  for (const name of names) {
    const inside = (value as Record<string, unknown>)[name];
    if (name !== 'original' && name !== 'by' && inside !== undefined && typeof inside !== 'function') copy[name] = plain(inside);
  }
  if ('by' in value && !('original' in value)) copy['by'] = plain(value.by);
  if ('offsetAt' in value) {
    const { text, offsetAt } = value as { text: string; offsetAt: (index: number) => number };
    copy['places'] = [0, text.length >> 1, text.length].map((index) => offsetAt.call(value, index));
  }
  return copy;
}

function fromFolder(folder: string, name: string): Draft {
  const around = new Map(readdirSync(folder).filter((file) => file.endsWith('.yaml') && file !== name).map((file) => [file, readFileSync(join(folder, file), 'utf8')]));
  return { name, text: readFileSync(join(folder, name), 'utf8'), around };
}

function edited(versions: readonly string[], edit: Edit): string {
  const text = versions.at(-1) ?? '';
  const offset = (at: number): number => Math.floor(at * text.length);
  switch (edit.kind) {
    case 'undo':
      return versions.at(-1 - edit.steps) ?? text;
    case 'delete':
      return text.slice(0, offset(edit.at)) + text.slice(offset(edit.at) + edit.length);
    case 'break':
      return text.slice(0, offset(edit.at)) + edit.text + text.slice(offset(edit.at));
    case 'type': {
      const texts = edit.inText ? [...text.matchAll(/(?:title|ask|text|why|note|says|refer): [^\n]*|- [A-Z][^\n]*/g)] : [];
      const chosen = texts[Math.floor(edit.at * texts.length)];
      const place = chosen ? chosen.index + chosen[0].length - Math.floor((edit.at * 997) % 9) : offset(edit.at);
      return text.slice(0, place) + edit.text + text.slice(place);
    }
    case 'move step':
    case 'delete step': {
      const parts = text.split(/^(?= *- step:)/m);
      if (parts.length < 4) return text;
      const [taken] = parts.splice(1 + Math.floor(edit.at * (parts.length - 2)), 1);
      if (edit.kind === 'move step') parts.splice(1 + Math.floor(edit.to * (parts.length - 1)), 0, taken ?? '');
      return parts.join('');
    }
    default: {
      const lines = text.split('\n');
      const at = Math.floor(edit.at * lines.length);
      const line = lines[at] ?? '';
      const news = { 'delete line': [], 'double line': [line, line], indent: [`  ${line}`], outdent: [line.replace(/^ {1,2}/, '')], comment: [line.replace(/^( *)/, '$1# ')] }[edit.kind];
      lines.splice(at, 1, ...news);
      return lines.join('\n');
    }
  }
}
