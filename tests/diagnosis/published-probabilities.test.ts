/** Figures that others published: detection and isolation (IEEE 1522), and what uncertain tests say of causes (Jensen and Nielsen, Barber). */
import { describe, expect, test } from 'vitest';
import { bestOrder, type OrderTree } from '../../server/src/diagnosis/best-order.ts';
import { isolationOf } from '../../server/src/diagnosis/isolation.ts';
import { huffmanLength, type DiagnosisProblem, type DiagnosisTest } from '../../server/src/diagnosis/problem.ts';

function certain(name: string, column: readonly number[]): DiagnosisTest {
  return { name, minutes: 1, outcomes: [{ label: 'fail', given: column }, { label: 'pass', given: column.map((value) => 1 - value) }] };
}

describe('IEEE 1522-2004 figures of merit (definitions from memory), on the matrix of Pattipati and Alexandridis with t1 and t2 alone', () => {
  const problem: DiagnosisProblem = {
    faults: [['s1', 0.01], ['s2', 0.02], ['s3', 0.1], ['s4', 0.05], ['s5', 0.12]].map(([name, weight]) => ({ name: String(name), weight: Number(weight) })),
    tests: [certain('t1', [0, 0, 1, 1, 1]), certain('t2', [1, 0, 0, 1, 1])],
  };
  const isolation = isolationOf(problem);

  test('s2 is not detected: .80 of the faults, .9333 by weight', () => {
    expect(isolation.detected.count).toBeCloseTo(0.8, 10);
    expect(isolation.detected.weighted).toBeCloseTo(0.9333, 4);
  });

  test('s4 and s5 are an ambiguity group; isolated to one .3929 by weight', () => {
    expect(isolation.groups.filter(({ faults }) => faults.length > 1).map(({ faults }) => faults.map((fault) => problem.faults[fault]?.name))).toEqual([['s4', 's5']]);
    expect(isolation.isolatedTo[0]?.weighted).toBeCloseTo(0.3929, 4);
    expect(isolation.isolatedTo[0]?.count).toBeCloseTo(0.5, 10);
    expect(isolation.isolatedTo[1]?.weighted).toBeCloseTo(1, 10);
  });
});

describe('Huffman 1952', () => {
  test('five symbols of his construction: .4 .2 .2 .1 .1 need 2.2 binary digits (textbook example, from memory)', () => {
    expect(huffmanLength([0.4, 0.2, 0.2, 0.1, 0.1])).toBeCloseTo(2.2, 10);
  });
  test('of three symbols an alphabet of three needs one digit, four symbols need a second', () => {
    expect(huffmanLength([1, 1, 1], 3)).toBeCloseTo(1, 10);
    expect(huffmanLength([0.4, 0.3, 0.2, 0.1], 3)).toBeCloseTo(1.3, 10);
  });
  test('where every subset can be tested the best order needs no more', () => {
    const weights = [0.4, 0.2, 0.2, 0.1, 0.1];
    const tests = Array.from({ length: 15 }, (_, index) => certain(`t${index}`, weights.map((_, fault) => ((index + 1) >> fault) & 1)));
    expect(bestOrder({ faults: weights.map((weight, index) => ({ name: `f${index}`, weight })), tests }).minutes).toBeCloseTo(2.2, 10);
  });
});

/** The probability of an outcome of a test once others gave what was seen, as the planner works it out. */
function posterior(problem: DiagnosisProblem, seen: Readonly<Record<string, number>>, test: string, outcome: number): number {
  let tree: OrderTree = bestOrder(problem).tree;
  while (tree.kind === 'test' && problem.tests[tree.test]?.name !== test) {
    const met = seen[problem.tests[tree.test]?.name ?? ''];
    const branch = tree.branches.find((one) => one.outcome === met);
    if (!branch) throw new Error('The outcome cannot be met.');
    tree = branch.tree;
  }
  if (tree.kind !== 'test') throw new Error('The order ends too soon.');
  return tree.branches.find((one) => one.outcome === outcome)?.probability ?? 0;
}

describe('Jensen and Nielsen 2007, p. 35: the car that does not start (tables from public test code)', () => {
  /** Hypotheses: fuel and plugs good, fuel good and plugs dirty, no fuel and plugs good, no fuel and plugs dirty. */
  const faults = [0.98 * 0.96, 0.98 * 0.04, 0.02 * 0.96, 0.02 * 0.04].map((weight, index) => ({ name: `h${index}`, weight }));
  const start: DiagnosisTest = { name: 'start', minutes: 1, first: true, outcomes: [{ label: 'no', given: [0.01, 0.99, 1, 1] }, { label: 'yes', given: [0.99, 0.01, 0, 0] }] };
  const meter: DiagnosisTest = {
    name: 'meter', minutes: 1, first: true,
    outcomes: [{ label: 'full', given: [0.39, 0.39, 0.001, 0.001] }, { label: 'half', given: [0.6, 0.6, 0.001, 0.001] }, { label: 'empty', given: [0.01, 0.01, 0.998, 0.998] }],
  };
  const tank = certain('tank', [0, 0, 1, 1]);
  const plugs = certain('plugs', [0, 1, 0, 1]);

  // The published table has the start fail with probability .99 at dirty plugs, .01 with both good.
  test('P(no start) = .068216', () => expect(posterior({ faults, tests: [start, tank] }, {}, 'start', 0)).toBeCloseTo(0.068216, 6));
  test('P(no fuel | no start) = .2932', () => expect(posterior({ faults, tests: [start, tank] }, { start: 0 }, 'tank', 0)).toBeCloseTo(0.2932, 4));
  test('P(dirty plugs | no start) = .5806', () => expect(posterior({ faults, tests: [start, plugs] }, { start: 0 }, 'plugs', 0)).toBeCloseTo(0.5806, 4));
  test('with the meter at half: dirty plugs .8043, no fuel .00069', () => {
    expect(posterior({ faults, tests: [start, meter, plugs] }, { start: 0, meter: 1 }, 'plugs', 0)).toBeCloseTo(0.8043, 4);
    expect(posterior({ faults, tests: [start, meter, tank] }, { start: 0, meter: 1 }, 'tank', 0)).toBeCloseTo(0.00069, 5);
  });
});

describe('Barber, Bayesian Reasoning and Machine Learning, exercise 3.6 (tables from public code)', () => {
  /** Battery good or bad, engine turns over or not, fuel there or not: the fuel gauge plays no part here. */
  const cases = [0, 1].flatMap((bad) => [0, 1].flatMap((still) => [0, 1].map((empty) => ({ bad, still, empty }))));
  const stays = (bad: number): number => (bad ? 0.98 : 0.03);
  const faults = cases.map(({ bad, still, empty }, index) => ({
    name: `h${index}`, weight: (bad ? 0.02 : 0.98) * (still ? stays(bad) : 1 - stays(bad)) * (empty ? 0.05 : 0.95),
  }));
  // With the engine not turning over: 1.0 with fuel, .99 without, as the figures below bear out.
  const noStart = cases.map(({ still, empty }) => (still ? (empty ? 0.99 : 1) : empty ? 0.92 : 0.01));
  const start: DiagnosisTest = { name: 'start', minutes: 1, first: true, outcomes: [{ label: 'no', given: noStart }, { label: 'yes', given: noStart.map((p) => 1 - p) }] };
  const tank = certain('tank', cases.map(({ empty }) => empty));

  test('P(no start) = .101756', () => expect(posterior({ faults, tests: [start, tank] }, {}, 'start', 0)).toBeCloseTo(0.101756, 6));
  test('P(fuel empty | no start) = .4537', () => expect(posterior({ faults, tests: [start, tank] }, { start: 0 }, 'tank', 0)).toBeCloseTo(0.4537, 4));
});
