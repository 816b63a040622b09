/** The planner against worked examples that others published, and against brute force. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { bestOrder, greedyOrder, lowerBound, minutesOf } from '../../server/src/diagnosis/best-order.ts';
import { entropy, huffmanLength, type DiagnosisProblem, type DiagnosisTest } from '../../server/src/diagnosis/problem.ts';

/** A test that fails (1) or passes (0) with certainty. */
function certain(name: string, column: readonly number[], minutes = 1): DiagnosisTest {
  return { name, minutes, outcomes: [{ label: 'fail', given: column }, { label: 'pass', given: column.map((value) => 1 - value) }] };
}

/** Pattipati and Alexandridis, IEEE Transactions on Systems, Man and Cybernetics 20(4), 1990: matrix and priors from memory. */
const SIX_STATES: DiagnosisProblem = {
  faults: [['s0', 0.7], ['s1', 0.01], ['s2', 0.02], ['s3', 0.1], ['s4', 0.05], ['s5', 0.12]].map(([name, weight]) => ({ name: String(name), weight: Number(weight) })),
  tests: [
    certain('t1', [0, 0, 0, 1, 1, 1]),
    certain('t2', [0, 1, 0, 0, 1, 1]),
    certain('t3', [0, 0, 1, 0, 0, 1]),
    certain('t4', [0, 0, 1, 1, 0, 1]),
    certain('t5', [0, 1, 0, 1, 0, 0]),
  ],
};

describe('Pattipati and Alexandridis 1990, worked example', () => {
  test('the optimum is 2.18 tests, by t2 or t4 first', () => {
    const best = bestOrder(SIX_STATES);
    expect(best.exact).toBe(true);
    expect(best.minutes).toBeCloseTo(2.18, 10);
    expect(['t2', 't4']).toContain(SIX_STATES.tests[best.tree.kind === 'test' ? best.tree.test : -1]?.name);
  });

  test('the best order after each first test', () => {
    const after = SIX_STATES.tests.map((first) => {
      const others = SIX_STATES.tests.filter((other) => other !== first);
      const pinned = { ...SIX_STATES, tests: [{ ...first, first: true }, ...others] };
      return Number(bestOrder(pinned).minutes.toFixed(6));
    });
    expect(after).toEqual([2.86, 2.18, 2.82, 2.18, 2.89]);
  });

  test('greedy information gain takes t1 first and needs 2.86', () => {
    const greedy = greedyOrder(SIX_STATES);
    expect(greedy.tree.kind === 'test' && SIX_STATES.tests[greedy.tree.test]?.name).toBe('t1');
    expect(greedy.minutes).toBeCloseTo(2.86, 10);
  });

  test('Huffman bound 1.59, entropy 1.4549 bit', () => {
    const weights = SIX_STATES.faults.map((fault) => fault.weight);
    expect(huffmanLength(weights)).toBeCloseTo(1.59, 10);
    expect(entropy(weights)).toBeCloseTo(1.4549, 4);
    expect(lowerBound(SIX_STATES)).toBeCloseTo(1.59, 10);
  });
});

describe('single checks in order of cost to probability (Johnson 1956, Gluss 1959, Mitten 1960; from memory)', () => {
  /** (probability, cost): A (.5, 10), B (.3, 2), C (.2, 1). Each check shows its own fault and no other. */
  const checks: readonly (readonly [string, number, number])[] = [['A', 0.5, 10], ['B', 0.3, 2], ['C', 0.2, 1]];

  test('expected cost of every order, where each check is paid until the fault is found', () => {
    const cost = (order: string): number => {
      let paid = 0;
      let expected = 0;
      for (const name of order) {
        const [, probability = 0, minutes = 0] = checks.find((check) => check[0] === name) ?? [];
        paid += minutes;
        expected += probability * paid;
      }
      return expected;
    };
    expect(['CBA', 'BCA', 'BAC', 'CAB', 'ACB', 'ABC'].map((order) => Number(cost(order).toFixed(6)))).toEqual([7.6, 7.7, 9.2, 9.6, 11.1, 11.2]);
  });

  test('the search follows the rule on random instances: the last fault needs no check', () => {
    fc.assert(fc.property(fc.array(fc.tuple(fc.integer({ min: 1, max: 50 }), fc.integer({ min: 1, max: 50 })), { minLength: 2, maxLength: 6 }), (pairs) => {
      const problem: DiagnosisProblem = {
        faults: pairs.map(([weight], index) => ({ name: `f${index}`, weight })),
        tests: pairs.map(([, minutes], index) => certain(`t${index}`, pairs.map((_, fault) => (fault === index ? 1 : 0)), minutes)),
      };
      const total = pairs.reduce((sum, [weight]) => sum + weight, 0);
      // Independent of the search: for each fault left unchecked, the others in the order of cost to probability.
      const best = Math.min(...pairs.map((_, last) => {
        const order = pairs.map((pair, index) => ({ pair, index })).filter(({ index }) => index !== last).sort((a, b) => a.pair[1] / a.pair[0] - b.pair[1] / b.pair[0]);
        let paid = 0;
        let expected = 0;
        for (const { pair: [weight, minutes] } of order) {
          paid += minutes;
          expected += (weight / total) * paid;
        }
        return expected + ((pairs[last]?.[0] ?? 0) / total) * paid;
      }));
      expect(bestOrder(problem).minutes).toBeCloseTo(best, 6);
    }), { numRuns: 200 });
  });
});

describe('repair and see: Heckerman, Breese and Rommelse, CACM 38(3), 1995 (from memory)', () => {
  /** Repairing one fault after the other until the complaint is gone. What the right repair takes is paid in any order and is left out here. */
  const repairs = (faults: readonly (readonly [weight: number, minutes: number])[]): DiagnosisProblem => ({
    faults: faults.map(([weight], index) => ({ name: `f${index}`, weight })),
    tests: faults.map(([, minutes], index) => ({
      name: `repair f${index}`, minutes: 0,
      outcomes: [
        { label: 'gone', finds: index, given: faults.map((_, fault) => (fault === index ? 1 : 0)) },
        { label: 'no change', minutes, given: faults.map((_, fault) => (fault === index ? 0 : 1)) },
      ],
    })),
  });
  /** Expected cost of repair: the sum over the order of each one's cost times the chance that none before it helped. */
  const expectedCost = (faults: readonly (readonly [number, number])[]): number => {
    const total = faults.reduce((sum, [weight]) => sum + weight, 0);
    let left = 1;
    return faults.reduce((sum, [weight, minutes]) => {
      const cost = sum + minutes * left;
      left -= weight / total;
      return cost;
    }, 0);
  };

  test('the example of the single checks as repairs: 7.6, of which 5.8 for the right one', () => {
    const faults = [[5, 10], [3, 2], [2, 1]] as const;
    expect(expectedCost([faults[2], faults[1], faults[0]])).toBeCloseTo(7.6, 10);
    expect(bestOrder(repairs(faults)).minutes).toBeCloseTo(7.6 - (0.5 * 10 + 0.3 * 2 + 0.2 * 1), 10);
  });

  test('the search finds the order of probability to cost, on random instances', () => {
    fc.assert(fc.property(fc.array(fc.tuple(fc.integer({ min: 1, max: 50 }), fc.integer({ min: 1, max: 50 })), { minLength: 2, maxLength: 7 }), (faults) => {
      const total = faults.reduce((sum, [weight]) => sum + weight, 0);
      const byRatio = [...faults].sort((a, b) => b[0] / b[1] - a[0] / a[1]);
      const right = faults.reduce((sum, [weight, minutes]) => sum + (weight / total) * minutes, 0);
      expect(bestOrder(repairs(faults)).minutes).toBeCloseTo(expectedCost(byRatio) - right, 6);
    }), { numRuns: 200 });
  });

  test('a cover that must be opened first breaks the plain order (arXiv 1203.3502), and the search follows: against all orders', () => {
    const check = fc.record({ weight: fc.integer({ min: 1, max: 30 }), minutes: fc.integer({ min: 1, max: 15 }), inside: fc.boolean() });
    let broken = 0;
    fc.assert(fc.property(fc.array(check, { minLength: 3, maxLength: 5 }), fc.integer({ min: 1, max: 30 }), (checks, opening) => {
      const total = checks.reduce((sum, { weight }) => sum + weight, 0);
      const cost = (order: readonly (typeof checks)[number][]): number => {
        let paid = 0;
        let open = false;
        return order.reduce((sum, { weight, minutes, inside }, index) => {
          // The last one left needs no check.
          if (index < order.length - 1) {
            paid += minutes + (inside && !open ? opening : 0);
            open ||= inside;
          }
          return sum + (weight / total) * paid;
        }, 0);
      };
      const least = Math.min(...ordersOf(checks).map(cost));
      const plain = [...checks].sort((a, b) => a.minutes / a.weight - b.minutes / b.weight);
      if (cost(plain) > least + 1e-9) broken++;
      const problem: DiagnosisProblem = {
        faults: checks.map(({ weight }, index) => ({ name: `f${index}`, weight })),
        tests: checks.map(({ minutes, inside }, index) => ({ ...certain(`t${index}`, checks.map((_, fault) => (fault === index ? 1 : 0)), minutes), ...(inside ? { states: { cover: 'open' } } : {}) })),
        start: { cover: 'closed' }, moves: [{ state: 'cover', to: 'open', minutes: opening }],
      };
      expect(bestOrder(problem).minutes).toBeCloseTo(least, 6);
    }), { numRuns: 150 });
    expect(broken).toBeGreaterThan(20);
  });

  function ordersOf<T>(items: readonly T[]): T[][] {
    return items.length <= 1 ? [[...items]] : items.flatMap((item, at) => ordersOf([...items.slice(0, at), ...items.slice(at + 1)]).map((rest) => [item, ...rest]));
  }
});

describe('brute force over every strategy on small random instances', () => {
  const instances = fc.record({
    weights: fc.array(fc.integer({ min: 1, max: 20 }), { minLength: 2, maxLength: 5 }),
    tests: fc.array(fc.record({ pattern: fc.nat(31), minutes: fc.integer({ min: 1, max: 9 }), opens: fc.boolean() }), { minLength: 1, maxLength: 5 }),
  }).map(({ weights, tests }): DiagnosisProblem => ({
    faults: weights.map((weight, index) => ({ name: `f${index}`, weight })),
    tests: tests.map(({ pattern, minutes, opens }, index) => ({
      ...certain(`t${index}`, weights.map((_, fault) => (pattern >> fault) & 1), minutes),
      states: { cover: opens ? 'open' : 'closed' },
    })),
    moves: [{ state: 'cover', to: 'open', minutes: 7 }, { state: 'cover', to: 'closed', minutes: 3 }],
    start: { cover: 'closed' },
  }));

  test('the exact search equals it, the bound lies below, lookahead never beats it', () => {
    fc.assert(fc.property(instances, (problem) => {
      const least = bruteForce(problem);
      const best = bestOrder(problem);
      expect(best.exact).toBe(true);
      expect(best.minutes).toBeCloseTo(least, 8);
      expect(minutesOf(best.tree)).toBeCloseTo(least, 8);
      expect(lowerBound(problem)).toBeLessThanOrEqual(least + 1e-9);
      const settled = bestOrder(problem, { places: 0 });
      expect(settled.minutes).toBeGreaterThanOrEqual(least - 1e-9);
      expect(settled.lowerBound).toBeLessThanOrEqual(least + 1e-9);
    }), { numRuns: 400 });
  });

  test('with uncertain outcomes too', () => {
    const uncertain = fc.record({
      weights: fc.array(fc.integer({ min: 1, max: 20 }), { minLength: 2, maxLength: 4 }),
      tests: fc.array(fc.record({ given: fc.array(fc.constantFrom(0, 0.25, 0.5, 1), { minLength: 4, maxLength: 4 }), minutes: fc.integer({ min: 1, max: 9 }) }), { minLength: 1, maxLength: 3 }),
    }).map(({ weights, tests }): DiagnosisProblem => ({
      faults: weights.map((weight, index) => ({ name: `f${index}`, weight })),
      tests: tests.map(({ given, minutes }, index) => certain(`t${index}`, given.slice(0, weights.length), minutes)),
    }));
    fc.assert(fc.property(uncertain, (problem) => {
      expect(bestOrder(problem).minutes).toBeCloseTo(bruteForce(problem), 8);
    }), { numRuns: 200 });
  });
});

/** Every strategy, without bound or memory. A leaf is where no test left would tell the faults apart. */
function bruteForce(problem: DiagnosisProblem): number {
  const visit = (weights: readonly number[], done: ReadonlySet<number>, cover: string | undefined): number => {
    const total = weights.reduce((sum, weight) => sum + weight, 0);
    let best: number | undefined;
    problem.tests.forEach((test, index) => {
      const tells = test.outcomes.some((outcome) => new Set(outcome.given.filter((_, fault) => (weights[fault] ?? 0) > 0)).size > 1);
      if (done.has(index) || !tells) return;
      const wanted = test.states?.['cover'];
      let minutes = test.minutes + (wanted === undefined || wanted === cover ? 0 : (problem.moves?.find((move) => move.to === wanted)?.minutes ?? 0));
      for (const outcome of test.outcomes) {
        const next = weights.map((weight, fault) => weight * (outcome.given[fault] ?? 0));
        const share = next.reduce((sum, weight) => sum + weight, 0) / total;
        if (share > 0) minutes += share * visit(next, new Set([...done, index]), wanted ?? cover);
      }
      if (best === undefined || minutes < best) best = minutes;
    });
    return best ?? 0;
  };
  return visit(problem.faults.map((fault) => fault.weight), new Set(), problem.start?.['cover']);
}

