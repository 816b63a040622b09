/** Small random programs, and a naive enumeration of their walks that shares no code with the exploration. */
import fc from 'fast-check';
import type { Assignment, Condition, Guard, Program, ProgramResult, ProgramStep, Way } from '../../server/src/flow/program.ts';

const VALUES = [2, 3];

/** Programs of up to seven steps over two states, one fact and two faults, with guards, needs, bounds, loops and repairs. */
export function randomProgram(): fc.Arbitrary<Program> {
  return fc.record({ main: fc.integer({ min: 1, max: 5 }), repair: fc.integer({ min: 0, max: 2 }), starts: fc.tuple(fc.option(fc.nat(1)), fc.option(fc.nat(2))) })
    .chain(({ main, repair, starts }) => {
      const count = main + repair;
      const step = (index: number): fc.Arbitrary<ProgramStep> => {
        const last = index === main - 1 || index === count - 1;
        const next: Way = last ? { kind: 'nowhere' } : { kind: 'step', step: index + 1 };
        const way: fc.Arbitrary<Way> = fc.oneof(
          { weight: 3, arbitrary: fc.constant<Way>(next) },
          { weight: 3, arbitrary: fc.nat(count - 1).map((target): Way => ({ kind: 'step', step: target })) },
          { weight: 2, arbitrary: fc.tuple(fc.nat(1), fc.boolean()).map(([fault, byElimination]): Way => ({ kind: 'finds', fault, byElimination })) },
          { weight: 1, arbitrary: fc.constant<Way>({ kind: 'refer' }) },
          { weight: 1, arbitrary: fc.constant<Way>({ kind: 'passes' }) },
        );
        const result: fc.Arbitrary<ProgramResult> = fc.record({
          when: fc.constant({ kind: 'answer' as const, text: 'x' }),
          rulesOut: fc.subarray([0, 1]), leaves: fc.constant(undefined),
          sets: assignments(), raises: fc.constant(undefined), way,
        });
        return fc.record({
          index: fc.constant(index), name: fc.constant(`s${index}`),
          section: fc.constant(index < main ? 'steps' as const : 'after_repair' as const),
          kind: fc.constant('ask' as const), needs: conditions(), during: fc.constant([]), sets: assignments(), onlyIf: guards(),
          circuit: fc.constant(undefined), provesDead: fc.constant(undefined), decidesFact: fc.constant(undefined), run: fc.constant(undefined),
          repeatAtMost: fc.option(fc.integer({ min: 1, max: 2 }), { nil: undefined, freq: 5 }),
          results: fc.array(result, { maxLength: 3 }), way, passOver: fc.constant(next),
        });
      };
      return fc.tuple(...Array.from({ length: count }, (_, index) => step(index))).map((steps): Program => ({
        name: 'random', purpose: 'fault_finding',
        states: VALUES.map((values, index) => ({
          name: `state${index}`, values: Array.from({ length: values }, (_, value) => `v${value}`),
          atStart: starts[index] ?? undefined, atEnd: undefined, held: [],
        })),
        facts: [{ name: 'fact', choices: ['a', 'b'], only: undefined }],
        faults: ['f0', 'f1'], afterRepair: repair > 0 ? [main, count - 1] : [undefined, undefined], circuits: [], steps,
      }));
    });
}

function conditions(): fc.Arbitrary<Condition[]> {
  return fc.option(fc.nat(1), { nil: undefined, freq: 2 }).chain((state) => state === undefined
    ? fc.constant([])
    : fc.subarray(Array.from({ length: VALUES[state] ?? 2 }, (_, value) => value), { minLength: 1 }).map((values) => [{ state, values }]));
}

function assignments(): fc.Arbitrary<Assignment[]> {
  return fc.option(fc.nat(1), { nil: undefined, freq: 2 }).chain((state) => state === undefined
    ? fc.constant([])
    : fc.nat((VALUES[state] ?? 2) - 1).map((value) => [{ state, value }]));
}

function guards(): fc.Arbitrary<Guard[]> {
  return fc.oneof(
    { weight: 4, arbitrary: fc.constant<Guard[]>([]) },
    { weight: 1, arbitrary: fc.nat(1).map((value): Guard[] => [{ kind: 'fact', fact: 0, values: [value] }]) },
    { weight: 1, arbitrary: conditions().map((list) => list.map((condition): Guard => ({ kind: 'state', ...condition }))) },
  );
}

export interface NaiveResult {
  /** 'step afterRepair? values' of every state in which some walk begins some step. */
  readonly begun: Set<string>;
  /** 'ending afterRepair? values' of every state in which some walk ends. */
  readonly ended: Set<string>;
  /** 'step state' of every need that fails on some walk. */
  readonly unmet: Set<string>;
}

/** Depth-first over single values, each start and fact on its own. */
export function enumerateWalks(program: Program): NaiveResult {
  const result: NaiveResult = { begun: new Set(), ended: new Set(), unmet: new Set() };
  const seen = new Set<string>();
  const visit = (at: number, values: number[], fact: number, done: number[], repaired: boolean): void => {
    const key = `${at}|${values}|${fact}|${done}|${repaired}`;
    if (seen.has(key)) return;
    seen.add(key);
    const step = program.steps[at] as ProgramStep;
    const follow = (way: Way, states: number[], counts: number[]): void => {
      if (way.kind === 'step') visit(way.step, states, fact, counts, repaired);
      else if (way.kind === 'finds' && program.afterRepair[way.fault] !== undefined) {
        visit(program.afterRepair[way.fault] as number, states, fact, counts.map(() => 0), true);
      } else result.ended.add(`${way.kind}${way.kind === 'finds' ? way.fault : ''} ${repaired} ${states}`);
    };
    const allowed = step.onlyIf.every((guard) => guard.kind === 'fact' ? guard.values.includes(fact) : guard.values.includes(values[guard.state] as number));
    if (!allowed || (step.repeatAtMost !== undefined && (done[at] as number) >= step.repeatAtMost)) {
      follow(step.passOver, values, done);
      return;
    }
    const counts = done.map((count, index) => (index === at && step.repeatAtMost !== undefined ? count + 1 : count));
    let vectors = [values];
    for (const need of step.needs) {
      if (need.values.includes(values[need.state] as number)) continue;
      result.unmet.add(`${at} ${need.state}`);
      vectors = vectors.flatMap((vector) => need.values.map((value) => vector.map((old, index) => (index === need.state ? value : old))));
    }
    for (const vector of vectors) {
      result.begun.add(`${at} ${repaired} ${vector}`);
      const put = (states: number[], list: readonly Assignment[]): number[] =>
        list.reduce((so, { state, value }) => so.map((old, index) => (index === state ? value : old)), states);
      const after = put(vector, step.sets);
      if (step.results.length === 0) follow(step.way, after, counts);
      for (const taken of step.results) follow(taken.way, put(after, taken.sets), counts);
    }
  };
  const starts = program.states.map((state) => (state.atStart === undefined ? state.values.map((_, value) => value) : [state.atStart]));
  for (const first of starts[0] ?? []) for (const second of starts[1] ?? []) for (const fact of [0, 1]) {
    visit(0, [first, second], fact, program.steps.map(() => 0), false);
  }
  return result;
}
