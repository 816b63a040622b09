/** The runner walks what the checker explored: every walk by chance is a walk of the exploration, with states among its states. */
import { readdirSync, readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Analysis } from '../../server/src/analysis/analysis.ts';
import { Workspace } from '../../server/src/analysis/workspace.ts';
import type { Exploration } from '../../server/src/flow/explore.ts';
import { buildChecklist } from '../../server/src/run/checklist.ts';
import type { Run } from '../../server/src/run/engine.ts';
import { Choices, walkByChance } from './chance.ts';
import { fixture } from './fixtures.ts';

const RUNS = Number(process.env['FAULTWRIGHT_WALKS'] ?? 15);

function follows(run: Run, exploration: Exploration): void {
  const main = run.document.procedure;
  let nodes = new Set([0]);
  let repairs = 0;
  for (const line of run.walk.lines) {
    if (line.path.length > 0) continue;
    if (line.kind === 'remedy') repairs++;
    if (line.kind === 'fact' || line.kind === 'states' || line.kind === 'remedy') continue;
    const index = main.steps.findIndex((step) => step.name === line.step);
    const sheet = main.steps[index];
    // Each point may take a result of its own; the exploration knows one a step.
    const results = line.results.map((written) => sheet?.results.findIndex((result) => result.written === written) ?? -1);
    const next = new Set<number>();
    for (const node of nodes) {
      for (const id of exploration.out[node] ?? []) {
        const edge = exploration.edges[id];
        if (edge?.step !== index) continue;
        const fits = line.kind === 'passed_over' ? edge.passedOver : !edge.passedOver && (edge.result === undefined ? results.length === 0 : results.includes(edge.result));
        if (fits) next.add(edge.to);
      }
    }
    expect([...next], `${line.step}: ${line.words} ${line.results.join()} after ${run.walk.lines.map((one) => one.step).join()}`).not.toEqual([]);
    nodes = next;
  }
  const { outcome } = run.walk;
  const kinds = [...nodes].map((node) => exploration.nodes[node]?.ending?.kind);
  if (outcome?.kind === 'passed' || outcome?.kind === 'repaired') expect(kinds).toContain('passes');
  if (outcome?.kind === 'referred') expect(kinds).toContain('refer');
  if (outcome?.kind === 'no_way_on') expect(kinds.some((kind) => kind === 'nowhere') || outcome.words.includes('cannot be decided') || run.walk.frames.length > 1 || outcome.words.includes('does not say')).toBe(true);
  // Where the walk goes on, the states of the run are among those explored.
  const [frame] = run.walk.frames;
  if (frame === undefined || run.walk.frames.length > 1 || repairs !== run.walk.remedies.length) return;
  if (run.walk.stage === 'remedy' || run.walk.remedies.some((remedy) => !remedy.carriedOut)) return;
  const saw = run.walk.lines.filter((line) => line.kind === 'states').map((line) => `${line.step} ${line.words}`);
  // Where the checker finds every need met on every walk, nobody is asked to bring a state about.
  const met = exploration.nodes.every((node) => node.unmet.length === 0) && exploration.edges.every((edge) => edge.calleeUnmet.length === 0);
  if (met && outcome?.kind !== 'no_way_on') expect(saw).toEqual([]);
  if (saw.length > 0) return;
  if (run.walk.lines.some((line) => line.results.length > 1)) return;
  const among = [...nodes].some((node) => exploration.nodes[node]?.states.every((set, state) => ((frame.states[state] ?? 0) & ~set) === 0));
  expect(among, `states ${frame.states.join()} at ${frame.step}`).toBe(true);
}

function check(analysis: Analysis, workspace: Workspace, runs = RUNS): void {
  const { exploration } = analysis;
  if (exploration === undefined) throw new Error('Nothing was explored.');
  const plain = buildChecklist(analysis, undefined, workspace);
  const documents = [plain, ...plain.assets.slice(0, 2).map((asset) => buildChecklist(analysis, asset, workspace))];
  fc.assert(fc.property(fc.array(fc.nat({ max: 10_000 }), { minLength: 5, maxLength: 60 }), fc.nat({ max: 2 }), (numbers, which) => {
    follows(walkByChance(documents[which % documents.length] ?? plain, new Choices(numbers), { most: 80, corrections: false }), exploration);
  }), { numRuns: runs });
}

describe('a run is a walk of the exploration', () => {
  it('for the example of the format', () => {
    const workspace = new Workspace();
    for (const name of ['shop.yaml', 'assets.yaml', 'tail_lift_no_raise.procedure.yaml', 'battery_condition.procedure.yaml']) workspace.setFile(`/d/${name}`, fixture(name));
    check(workspace.analyse('/d/tail_lift_no_raise.procedure.yaml'), workspace);
  });

  const folder = new URL('../../procedures/', import.meta.url);
  const names = readdirSync(folder).filter((name) => name.endsWith('.yaml'));
  const workspace = new Workspace();
  for (const name of names) workspace.setFile(`/library/${name}`, readFileSync(new URL(name, folder), 'utf8'));
  it.each(names.filter((name) => name.endsWith('.procedure.yaml')))('for %s', (name) => check(workspace.analyse(`/library/${name}`), workspace));
});

describe('a run of the clean corpus is a walk of its exploration', () => {
  const folder = new URL('../corpus/clean/', import.meta.url);
  for (const shop of readdirSync(folder)) {
    const names = readdirSync(new URL(`${shop}/`, folder)).filter((name) => name.endsWith('.yaml'));
    const workspace = new Workspace();
    for (const name of names) workspace.setFile(`/corpus/${shop}/${name}`, readFileSync(new URL(`${shop}/${name}`, folder), 'utf8'));
    it.each(names.filter((name) => name.endsWith('.procedure.yaml')))(`${shop}/%s`, (name) => check(workspace.analyse(`/corpus/${shop}/${name}`), workspace, Math.ceil(RUNS / 5)));
  }
});
