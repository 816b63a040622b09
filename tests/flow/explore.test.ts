import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { explore, walkTo, type Exploration } from '../../server/src/flow/explore.ts';
import { valuesIn } from '../../server/src/flow/meaning.ts';
import type { Program } from '../../server/src/flow/program.ts';
import { enumerateWalks, randomProgram, type NaiveResult } from './random-program.ts';

describe('exploration against a naive enumeration of walks', () => {
  test('begins the same steps in the same states, ends alike, and fails the same needs', () => {
    fc.assert(fc.property(randomProgram(), (program) => {
      const explored = concrete(explore(program));
      const naive = enumerateWalks(program);
      expect([...explored.begun].sort()).toEqual([...naive.begun].sort());
      expect([...explored.ended].sort()).toEqual([...naive.ended].sort());
      expect([...explored.unmet].sort()).toEqual([...naive.unmet].sort());
    }), { numRuns: 1500 });
  });

  test('past the bound on nodes every real walk is still covered', () => {
    fc.assert(fc.property(randomProgram(), (program) => {
      const exploration = explore(program, { maxNodes: 2 });
      const approximate = concrete(exploration);
      const naive = enumerateWalks(program);
      for (const place of naive.begun) expect(approximate.begun).toContain(place);
      for (const place of naive.ended) expect(approximate.ended).toContain(place);
      for (const need of naive.unmet) expect(approximate.unmet).toContain(need);
    }), { numRuns: 800 });
  });

  test('the walk to every node leads there, edge by edge, from the first step', () => {
    fc.assert(fc.property(randomProgram(), (program) => {
      const exploration = explore(program);
      for (const node of exploration.nodes) {
        let at = 0;
        for (const edge of walkTo(exploration, node.id)) {
          expect(edge.from).toBe(at);
          at = edge.to;
        }
        expect(at).toBe(node.id);
      }
    }), { numRuns: 300 });
  });

  test('breadth first: no shorter walk arrives at any node', () => {
    fc.assert(fc.property(randomProgram(), (program) => {
      const exploration = explore(program);
      const depth = new Map<number, number>([[0, 0]]);
      for (const [id, far] of depth) for (const edge of exploration.out[id] ?? []) {
        const to = exploration.edges[edge]?.to ?? 0;
        if (!depth.has(to)) depth.set(to, far + 1);
      }
      for (const node of exploration.nodes) expect(walkTo(exploration, node.id)).toHaveLength(depth.get(node.id) ?? -1);
    }), { numRuns: 300 });
  });
});

describe('the bound on nodes', () => {
  test('a built worst case falls back, stays small and says so', () => {
    const exploration = explore(worstCase(18), { maxNodes: 20_000 });
    expect(exploration.approximate).toBe(true);
    expect(exploration.nodes.length).toBeLessThan(100);
  });

  test('the same below the bound is exact', () => {
    const exploration = explore(worstCase(8), { maxNodes: 20_000 });
    expect(exploration.approximate).toBe(false);
    expect(exploration.nodes.length).toBeGreaterThan(2 ** 8);
  });
});

/** Each step sets a state of its own or leaves it: two to the power of the steps. */
function worstCase(steps: number): Program {
  return {
    name: 'worst', purpose: 'fault_finding', facts: [], faults: [], afterRepair: [], circuits: [],
    states: Array.from({ length: steps }, (_, index) => ({ name: `s${index}`, values: ['a', 'b'], atStart: 0, atEnd: undefined, held: [] })),
    steps: Array.from({ length: steps }, (_, index) => {
      const next = index === steps - 1 ? { kind: 'passes' as const } : { kind: 'step' as const, step: index + 1 };
      const result = { when: { kind: 'answer' as const, text: 'x' }, rulesOut: [], leaves: undefined, raises: undefined, way: next };
      return {
        index, name: `step${index}`, section: 'steps' as const, kind: 'ask' as const, needs: [], during: [], sets: [], onlyIf: [],
        circuit: undefined, provesDead: undefined, decidesFact: undefined, run: undefined, repeatAtMost: undefined,
        results: [{ ...result, sets: [] }, { ...result, sets: [{ state: index, value: 1 }] }], way: next, passOver: next,
      };
    }),
  };
}

/** The single values that the sets of an exploration stand for. */
function concrete(exploration: Exploration): NaiveResult {
  const result: NaiveResult = { begun: new Set(), ended: new Set(), unmet: new Set() };
  for (const node of exploration.nodes) {
    const vectors = (sets: readonly number[]): number[][] =>
      sets.reduce<number[][]>((so, set) => so.flatMap((vector) => valuesIn(set).map((value) => [...vector, value])), [[]]);
    if (node.ending) {
      const { kind, fault } = node.ending;
      for (const vector of vectors(node.states)) result.ended.add(`${kind}${fault ?? ''} ${node.afterRepair} ${vector}`);
    } else if (!node.passedOver) {
      for (const vector of vectors(node.begun)) result.begun.add(`${node.step} ${node.afterRepair} ${vector}`);
      for (const need of node.unmet) result.unmet.add(`${node.step} ${need.state}`);
    }
  }
  return result;
}
