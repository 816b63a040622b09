/** The search against dynamic programming without bounds, over every feature of a problem; and what it does with large ones. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { bestOrder, greedyOrder, lowerBound, minutesOf, SearchCancelled, type OrderTree } from '../../server/src/diagnosis/best-order.ts';
import { MINUTES_OUT_OF_PLACE, type DiagnosisProblem, type DiagnosisTest } from '../../server/src/diagnosis/problem.ts';

type States = Readonly<Record<string, string>>;

/** A state put to a value; a proof is gone where what it fades by was changed. */
function put(problem: DiagnosisProblem, states: States, change: States): States {
  const faded = Object.entries(problem.fades ?? {}).flatMap(([proof, by]) => (change[proof] === undefined && by.some((state) => change[state] !== undefined && change[state] !== states[state]) ? [proof] : []));
  return Object.fromEntries(Object.entries({ ...states, ...change }).filter(([state]) => !faded.includes(state)));
}

/** The first state that is not as wanted is brought about, then the next, until all are. In the problems below there is one way to each. */
function bring(problem: DiagnosisProblem, from: States, wanted: States): { states: States; cost: number } {
  let at = { states: from, cost: 0 };
  for (;;) {
    const next = Object.entries(wanted).find(([state, value]) => at.states[state] !== value);
    if (!next) return at;
    const move = problem.moves?.find(({ state, to }) => state === next[0] && to === next[1]);
    const before = bring(problem, at.states, move?.needs ?? {});
    at = { states: put(problem, before.states, { ...move?.also, [next[0]]: next[1] }), cost: at.cost + before.cost + (move?.minutes ?? 1) };
  }
}

/** Every strategy, remembered by place; written apart from the search. A place is (weights, tests done, states, whether a result found the fault). */
function byDynamicProgramming(problem: DiagnosisProblem): number {
  const known = new Map<string, number>();
  const visit = (weights: readonly number[], done: ReadonlySet<number>, states: States): number => {
    const total = weights.reduce((sum, weight) => sum + weight, 0);
    const key = JSON.stringify([weights.map((weight) => (weight / total).toFixed(11)), [...done].sort(), states]);
    const before = known.get(key);
    if (before !== undefined) return before;
    const left = weights.flatMap((weight, fault) => (weight > 0 ? [fault] : []));
    const alone = left.length === 1 ? (left[0] as number) : undefined;
    const wanted = problem.tests.map((_, index) => index).filter((index) => {
      const { outcomes } = problem.tests[index] as DiagnosisTest;
      if (done.has(index)) return false;
      if (alone !== undefined) return problem.faults[alone]?.confirm === true && outcomes.some(({ finds, confirms, given }) => (finds === alone || confirms === alone) && (given[alone] ?? 0) > 0);
      return outcomes.some(({ given }) => new Set(left.map((fault) => given[fault])).size > 1);
    });
    const speaking = wanted.filter((index) => left.every((fault) => problem.tests[index]?.speaksOf?.[fault] !== false));
    const candidates = speaking.length > 0 ? speaking : wanted;
    const first = candidates.filter((index) => problem.tests[index]?.first);
    let best = Infinity;
    for (const index of first.length > 0 ? first : candidates) {
      const { minutes, outcomes, states: needed = {}, sets = {} } = problem.tests[index] as DiagnosisTest;
      let cost = minutes + (speaking.length > 0 ? 0 : MINUTES_OUT_OF_PLACE);
      const reached = bring(problem, states, needed);
      cost += reached.cost;
      const left = put(problem, reached.states, sets);
      for (const outcome of outcomes) {
        const next = weights.map((weight, fault) => weight * (outcome.given[fault] ?? 0));
        const share = next.reduce((sum, weight) => sum + weight, 0) / total;
        if (share <= 0) continue;
        const confirmed = outcome.confirms !== undefined && next.every((weight, fault) => (weight > 0) === (fault === outcome.confirms));
        cost += share * ((outcome.minutes ?? 0) + (outcome.finds === undefined && !confirmed ? visit(next, new Set([...done, index]), left) : 0));
      }
      best = Math.min(best, cost);
    }
    const result = best === Infinity ? 0 : best;
    known.set(key, result);
    return result;
  };
  return visit(problem.faults.map(({ weight }) => weight), new Set(), problem.start ?? {});
}

const instances: fc.Arbitrary<DiagnosisProblem> = fc.integer({ min: 2, max: 5 }).chain((faults) => fc.record({
  weights: fc.array(fc.record({ weight: fc.integer({ min: 1, max: 20 }), confirm: fc.boolean() }), { minLength: faults, maxLength: faults }),
  tests: fc.array(fc.record({
    minutes: fc.integer({ min: 0, max: 9 }),
    outcomes: fc.integer({ min: 2, max: 3 }),
    met: fc.array(fc.option(fc.nat(2), { freq: 5 }), { minLength: faults, maxLength: faults }),
    shows: fc.option(fc.nat(faults - 1), { freq: 2 }),
    cover: fc.constantFrom('open', 'closed', undefined),
    first: fc.integer({ min: 0, max: 9 }).map((n) => n === 0),
    silent: fc.option(fc.nat(faults - 1), { freq: 1 }),
    more: fc.integer({ min: 0, max: 12 }).map((n) => Math.max(0, n - 9)),
    lamp: fc.constantFrom('on', undefined, undefined),
    proof: fc.integer({ min: 0, max: 4 }).map((n) => n === 0),
    confirms: fc.option(fc.nat(faults - 1), { freq: 1 }),
    leaves: fc.constantFrom('closed', 'open', undefined, undefined),
  }), { minLength: 1, maxLength: 5 }),
})).map(({ weights, tests }): DiagnosisProblem => ({
  faults: weights.map(({ weight, confirm }, index) => ({ name: `f${index}`, weight, ...(confirm ? { confirm } : {}) })),
  tests: tests.map(({ minutes, outcomes, met, shows, cover, first, silent, more, lamp, leaves, confirms, proof }, index): DiagnosisTest => ({
    name: `t${index}`, minutes, ...(first ? { first } : {}),
    ...(cover || lamp || proof ? { states: { ...(proof ? { proof: 'done' } : {}), ...(lamp && !proof ? { lamp } : {}), ...(cover ? { cover } : {}) } } : {}), ...(leaves ? { sets: { cover: leaves } } : {}),
    ...(silent === null ? {} : { speaksOf: weights.map((_, fault) => fault !== silent) }),
    outcomes: shows === null
      ? Array.from({ length: outcomes }, (_, outcome) => ({ label: String(outcome), ...(more > 0 && outcome === 0 ? { minutes: more } : {}), ...(outcome === 0 && confirms !== null ? { confirms } : {}), given: met.map((one) => (one === null ? 1 / outcomes : one % outcomes === outcome ? 1 : 0)) }))
      : [{ label: 'shows', finds: shows, given: weights.map((_, fault) => (fault === shows ? 1 : 0)) }, { label: 'else', given: weights.map((_, fault) => (fault === shows ? 0 : 1)) }],
  })),
  start: { cover: 'closed' },
  // The lamp needs the cover off and is out again once it is on; a proof is none any more once the cover was touched.
  moves: [
    { state: 'cover', to: 'open', minutes: 6 }, { state: 'cover', to: 'closed', minutes: 2 }, { state: 'lamp', to: 'on', minutes: 3, needs: { cover: 'open' } },
    { state: 'proof', to: 'done', minutes: 4, also: { lamp: 'off' } },
  ],
  fades: { proof: ['cover'] },
}));

describe('the exact search', () => {
  test('equals dynamic programming: states, uncertain results, faults that must be seen, pins, tests out of place, minutes of one result', () => {
    fc.assert(fc.property(instances, (problem) => {
      const least = byDynamicProgramming(problem);
      const best = bestOrder(problem);
      expect(best.exact).toBe(true);
      expect(best.minutes).toBeCloseTo(least, 6);
      expect(minutesOf(best.tree)).toBeCloseTo(least, 6);
      expect(lowerBound(problem)).toBeLessThanOrEqual(least + 1e-9);
    }), { numRuns: 1000 });
  });

  test('the lookahead is never better, and its bound never above', () => {
    fc.assert(fc.property(instances, (problem) => {
      const least = byDynamicProgramming(problem);
      const settled = bestOrder(problem, { places: 0 });
      expect(settled.minutes).toBeGreaterThanOrEqual(least - 1e-6);
      expect(settled.lowerBound).toBeLessThanOrEqual(least + 1e-6);
      expect(minutesOf(settled.tree)).toBeCloseTo(settled.minutes, 6);
    }), { numRuns: 500 });
  });

  test('a priority that is pinned is kept, whatever it costs', () => {
    const problem: DiagnosisProblem = {
      faults: [{ name: 'a', weight: 90 }, { name: 'b', weight: 9 }, { name: 'c', weight: 1 }],
      tests: [single('cheap', 0, 1), { ...single('dear', 2, 50), first: true }],
    };
    const best = bestOrder(problem);
    expect(best.tree.kind === 'test' && problem.tests[best.tree.test]?.name).toBe('dear');
    expect(best.minutes).toBeGreaterThan(bestOrder({ ...problem, tests: problem.tests.map(({ first: _, ...other }) => other) }).minutes);
  });

  test('a repair is tried first where it is quick and likely', () => {
    const swap: DiagnosisTest = { name: 'swap', minutes: 0, outcomes: [{ label: 'gone', given: [1, 0, 0], finds: 0 }, { label: 'no change', given: [0, 1, 1], minutes: 4 }] };
    const problem: DiagnosisProblem = {
      faults: [{ name: 'relay', weight: 8 }, { name: 'wire', weight: 1 }, { name: 'coil', weight: 1 }],
      tests: [single('look', 0, 10), single('trace', 1, 10), swap],
    };
    const { tree, minutes } = bestOrder(problem);
    expect(tree.kind === 'test' && problem.tests[tree.test]?.name).toBe('swap');
    expect(minutes).toBeCloseTo(0.2 * (4 + 10), 10);
  });
});

describe('large problems', () => {
  const large = randomProblem(120, 120);

  test('give an order whose minutes are those of its tree, between the bound and the greedy order', () => {
    const best = bestOrder(large);
    expect(best.exact).toBe(false);
    expect(minutesOf(best.tree)).toBeCloseTo(best.minutes, 8);
    expect(best.minutes).toBeLessThanOrEqual(greedyOrder(large).minutes + 1e-9);
    expect(best.lowerBound).toBeGreaterThan(0.5 * best.minutes);
    expect(best.lowerBound).toBeLessThanOrEqual(best.minutes);
    expect(leaves(best.tree).sort((a, b) => a - b)).toEqual(large.faults.map((_, fault) => fault));
  });

  test('end at once when they are no longer wanted', () => {
    let asked = 0;
    expect(() => bestOrder(large, { cancelled: () => ++asked > 1 })).toThrow(SearchCancelled);
    expect(() => bestOrder(randomProblem(20, 30), { places: 1e6, cancelled: () => true })).toThrow(SearchCancelled);
  });

  test('stay exact for 12 faults and 20 tests within the budget of places', () => {
    for (let round = 0; round < 5; round++) expect(bestOrder(randomProblem(12, 20, round), { places: 5_000 }).exact).toBe(true);
  });
});

function single(name: string, fault: number, minutes: number): DiagnosisTest {
  return { name, minutes, outcomes: [{ label: 'yes', given: [0, 1, 2].map((one) => (one === fault ? 1 : 0)) }, { label: 'no', given: [0, 1, 2].map((one) => (one === fault ? 0 : 1)) }] };
}

function randomProblem(faults: number, tests: number, seed = 1): DiagnosisProblem {
  let state = seed * 7919 + 17;
  const next = (): number => (state = (state * 48271) % 2147483647) / 2147483647;
  return {
    faults: Array.from({ length: faults }, (_, index) => ({ name: `f${index}`, weight: 1 + Math.floor(next() * 30) })),
    tests: Array.from({ length: tests }, (_, index) => {
      const column = Array.from({ length: faults }, () => (next() < 0.5 ? 1 : 0));
      return { name: `t${index}`, minutes: 1 + Math.floor(next() * 9), outcomes: [{ label: 'fail', given: column }, { label: 'pass', given: column.map((value) => 1 - value) }] };
    }),
  };
}

function leaves(tree: OrderTree): number[] {
  return tree.kind === 'leaf' ? [...tree.possible] : tree.branches.flatMap((branch) => leaves(branch.tree));
}
