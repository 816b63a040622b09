/** How the exploration of all walks grows with a procedure, and that it does not blow up where everything depends on everything. */
import { MAX_NODES, explore } from '../../server/src/flow/explore.ts';
import type { Condition, Program, ProgramStep, Way } from '../../server/src/flow/program.ts';
import { Workspace } from '../../server/src/analysis/workspace.ts';
import { BENCH_SHOP, generateProcedure } from './generate.ts';
import { figure, median, printTable, timed } from './tools.ts';

const STATES = 8;
const FACTS = 6;

export async function benchExploration(): Promise<void> {
  const rows: string[][] = [];
  const unit = await milliseconds(realistic(200));
  for (const [name, program] of [
    ['realistic, 200 steps', realistic(200)],
    ['realistic, 1,000 steps', realistic(1000)],
    ['realistic, 2,000 steps', realistic(2000)],
    ['every fact asked about everywhere, 2,000 steps', entangled(2000, { states: false, facts: true })],
    ['every state set and needed everywhere, 2,000 steps', entangled(2000, { states: true, facts: false })],
    ['both, and loops', entangled(2000, { states: true, facts: true })],
  ] as const) {
    const { nodes, edges, approximate } = explore(program);
    const ms = await milliseconds(program);
    rows.push([name, figure(ms), figure(ms / unit), nodes.length.toLocaleString('en'), edges.length.toLocaleString('en'), approximate ? 'yes' : 'no']);
  }
  printTable(
    `Exploration; eight states, six facts; past ${MAX_NODES.toLocaleString('en')} nodes sets of states are joined`,
    ['', 'ms', 'x 200 steps', 'nodes', 'edges', 'joined'], rows,
  );
}

async function milliseconds(program: Program): Promise<number> {
  const times: number[] = [];
  for (let i = 0; i < 3; i++) times.push(await timed(() => explore(program)));
  return median(times);
}

function realistic(steps: number): Program {
  const workspace = new Workspace();
  workspace.setFile('shop.yaml', BENCH_SHOP);
  workspace.setFile('long.procedure.yaml', generateProcedure(steps));
  const { program } = workspace.analyse('long.procedure.yaml');
  if (program === undefined) throw new Error('a generated procedure has no program');
  return program;
}

/** The worst that could be written: each step sets or asks about another state or fact and may jump back and forth, so that all of them multiply. */
function entangled(count: number, { states, facts }: { states: boolean; facts: boolean }): Program {
  const way = (step: number): Way => (step < count ? { kind: 'step', step } : { kind: 'passes' });
  const steps = Array.from({ length: count }, (_, index): ProgramStep => {
    const state = index % STATES;
    const needs: Condition[] = states && index % 3 === 0 ? [{ state: (index * 5) % STATES, values: [0, 1, 2] }] : [];
    return {
      index, name: `s${index}`, section: 'steps', kind: 'ask', needs, during: [], sets: [], circuit: undefined, provesDead: undefined, decidesFact: undefined,
      onlyIf: facts && index % 2 === 0 ? [{ kind: 'fact', fact: (index / 2) % FACTS, values: [0] }] : [], run: undefined, repeatAtMost: undefined,
      way: way(index + 1), passOver: way(index + 1),
      results: [0, 1, 2].map((value) => ({
        when: { kind: 'answer', text: `a${value}` }, rulesOut: [], leaves: undefined, raises: undefined, sets: states ? [{ state, value }] : [],
        way: value === 2 && index % 7 === 0 ? way(Math.max(0, index - 40)) : way(index + 1 + value),
      })),
    };
  });
  return {
    name: 'entangled', purpose: 'fault_finding', faults: [], afterRepair: [], circuits: [], steps,
    states: Array.from({ length: STATES }, (_, index) => ({ name: `state${index}`, values: ['a', 'b', 'c'], atStart: 0, atEnd: undefined, held: [] })),
    facts: Array.from({ length: FACTS }, (_, index) => ({ name: `fact${index}`, choices: ['yes', 'no'], only: undefined })),
  };
}
