/**
 * How the planner's work grows, as ratios within one run: `node server/scripts/run-typescript.mjs tests/bench/diagnosis.ts`. A greedy pass over
 * the same problem is the unit, so that the machine and its load cancel out. Then the same for whole procedures, where the unit is one analysis with all
 * checks: what the panel and `faultwright diagnose` do on top of it.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { Workspace } from '../../server/src/analysis/workspace.ts';
import { bestOrder, greedyOrder } from '../../server/src/diagnosis/best-order.ts';
import type { DiagnosisProblem, DiagnosisTest } from '../../server/src/diagnosis/problem.ts';
import { diagnosisOf } from '../../server/src/features/diagnosis.ts';
import { BENCH_SHOP, generateProcedure } from './generate.ts';

interface Case {
  readonly name: string;
  readonly problems: readonly DiagnosisProblem[];
}

const chance = randomFrom(20260);
const CASES: readonly Case[] = [
  { name: '12 faults x 20 tests', problems: many(8, () => randomProblem(12, 20, {})) },
  { name: '12 x 20, states to get into', problems: many(8, () => randomProblem(12, 20, { states: true })) },
  { name: '12 x 20, a quarter of the tests uncertain', problems: many(8, () => randomProblem(12, 20, { uncertain: 0.25 })) },
  { name: '12 x 20, three outcomes', problems: many(8, () => randomProblem(12, 20, { outcomes: 3 })) },
  { name: '12 x 12, each test shows one fault', problems: many(8, () => singleChecks(12)) },
  { name: '30 x 40', problems: many(4, () => randomProblem(30, 40, {})) },
  { name: '200 x 200', problems: many(3, () => randomProblem(200, 200, {})) },
  { name: '200 x 200, sparse', problems: many(3, () => randomProblem(200, 200, { density: 0.05 })) },
];

console.log('problem                                        exact   median ms   x greedy pass   minutes   bound    gap   greedy costs');
for (const { name, problems } of CASES) {
  const rows = problems.map((problem) => {
    const greedy = timed(() => greedyOrder(problem), 5);
    const best = timed(() => bestOrder(problem), 1);
    return { ms: best.ms, ratio: best.ms / greedy.ms, best: best.value, greedy: greedy.value };
  });
  const mean = (of: (row: (typeof rows)[number]) => number): number => rows.reduce((sum, row) => sum + of(row), 0) / rows.length;
  const exact = rows.filter((row) => row.best.exact).length;
  console.log([
    name.padEnd(46), `${exact}/${rows.length}`.padStart(5), median(rows.map((row) => row.ms)).toFixed(1).padStart(11), median(rows.map((row) => row.ratio)).toFixed(1).padStart(15),
    mean((row) => row.best.minutes).toFixed(2).padStart(9), mean((row) => row.best.lowerBound).toFixed(2).padStart(7),
    `${(100 * mean((row) => row.best.minutes / row.best.lowerBound - 1)).toFixed(1)} %`.padStart(7), `+${(100 * mean((row) => row.greedy.minutes / row.best.minutes - 1)).toFixed(1)} %`.padStart(13),
  ].join(' '));
}

console.log('\nprocedure                 steps   tests   faults   as written     best   proposed    gap   diagnosis x analysis   with proposal x analysis');
for (const { name, files, path } of procedures()) {
  const analysed = timed(() => workspaceOf(files).analyse(path), 3);
  const { procedure } = analysed.value;
  if (!procedure || procedure.faults.length === 0 || procedure.purpose === 'inspection') continue;
  const diagnosed = timed(() => {
    const workspace = workspaceOf(files);
    workspace.analyse(path);
    return diagnosisOf(workspace, path, { budget: { places: 5_000 } });
  }, 3);
  const proposed = timed(() => {
    const workspace = workspaceOf(files);
    workspace.analyse(path);
    return diagnosisOf(workspace, path, { budget: { places: 5_000 }, propose: true });
  }, 1);
  if (!diagnosed.value || !proposed.value) continue;
  const { written, best } = diagnosed.value.report.numbers;
  console.log([
    name.padEnd(22), String(procedure.steps.length).padStart(8), String(diagnosed.value.report.tests.length).padStart(7), String(procedure.faults.length).padStart(8),
    written.minutes.toFixed(2).padStart(12), (best.sound ? best.minutes.toFixed(2) : '-').padStart(8), (proposed.value.proposal?.minutes.toFixed(2) ?? '-').padStart(10),
    (best.sound ? `${(100 * (best.minutes / best.lowerBound - 1)).toFixed(1)} %` : '-').padStart(8), (diagnosed.ms / analysed.ms).toFixed(1).padStart(20), (proposed.ms / analysed.ms).toFixed(1).padStart(26),
  ].join(' '));
}

function procedures(): { readonly name: string; readonly files: readonly (readonly [string, string])[]; readonly path: string }[] {
  const library = join(process.cwd(), 'procedures');
  const names = readdirSync(library).filter((name) => name.endsWith('.yaml'));
  const files = names.map((name) => [`/depot/${name}`, readFileSync(join(library, name), 'utf8')] as const);
  const generated = [60, 120, 200].map((steps) => ({
    name: `generated, ${steps} steps`, path: '/made/long.procedure.yaml', files: [['/made/shop.yaml', BENCH_SHOP], ['/made/long.procedure.yaml', generateProcedure(steps)]] as const,
  }));
  return [...names.filter((name) => name.endsWith('.procedure.yaml')).map((name) => ({ name: name.replace('.procedure.yaml', ''), files, path: `/depot/${name}` })), ...generated];
}

function workspaceOf(files: readonly (readonly [string, string])[]): Workspace {
  const workspace = new Workspace();
  for (const [path, text] of files) workspace.setFile(path, text);
  return workspace;
}

function timed<T>(work: () => T, rounds: number): { readonly value: T; readonly ms: number } {
  const times: number[] = [];
  let value = work();
  for (let round = 0; round < rounds; round++) {
    const start = performance.now();
    value = work();
    times.push(performance.now() - start);
  }
  return { value, ms: median(times) };
}

function median(numbers: readonly number[]): number {
  return [...numbers].sort((a, b) => a - b)[Math.floor(numbers.length / 2)] ?? 0;
}

function many<T>(count: number, make: () => T): T[] {
  return Array.from({ length: count }, make);
}

function randomProblem(faults: number, tests: number, options: { states?: boolean; uncertain?: number; outcomes?: number; density?: number }): DiagnosisProblem {
  const outcomes = options.outcomes ?? 2;
  return {
    faults: Array.from({ length: faults }, (_, fault) => ({ name: `f${fault}`, weight: 1 + Math.floor(chance() * 30) })),
    tests: Array.from({ length: tests }, (_, index): DiagnosisTest => {
      const uncertain = chance() < (options.uncertain ?? 0);
      const column = Array.from({ length: faults }, () => {
        const met = options.density === undefined ? Math.floor(chance() * outcomes) : chance() < options.density ? 1 : 0;
        return uncertain && chance() < 0.5 ? undefined : met;
      });
      return {
        name: `t${index}`, minutes: 1 + Math.floor(chance() * 12),
        outcomes: Array.from({ length: outcomes }, (_, outcome) => ({
          label: String(outcome), given: column.map((met) => (met === undefined ? 1 / outcomes : met === outcome ? 1 : 0)),
        })),
        ...(options.states ? { states: { [`s${index % 4}`]: chance() < 0.5 ? 'a' : 'b' } } : {}),
      };
    }),
    ...(options.states ? {
      start: { s0: 'a', s1: 'a', s2: 'a', s3: 'a' },
      moves: [0, 1, 2, 3].flatMap((state) => ['a', 'b'].map((to) => ({ state: `s${state}`, to, minutes: 1 + 5 * state }))),
    } : {}),
  };
}

/** What most written procedures look like: a chain of checks, each of which finds one fault or rules it out. */
function singleChecks(count: number): DiagnosisProblem {
  return {
    faults: Array.from({ length: count }, (_, fault) => ({ name: `f${fault}`, weight: 1 + Math.floor(chance() * 30) })),
    tests: Array.from({ length: count }, (_, index) => ({
      name: `t${index}`, minutes: 1 + Math.floor(chance() * 12),
      outcomes: [{ label: 'fail', given: range(count).map((fault) => (fault === index ? 1 : 0)) }, { label: 'pass', given: range(count).map((fault) => (fault === index ? 0 : 1)) }],
    })),
  };
}

function range(count: number): number[] {
  return Array.from({ length: count }, (_, index) => index);
}

/** A small generator with a seed (mulberry32), so that every run sees the same problems. */
function randomFrom(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
}
