/** The faults that some walk has not excluded on arrival at each step: for hovers, and beside the steps in the text. */
import type { Analysis } from '../analysis/analysis.ts';
import type { Exploration } from '../flow/explore.ts';
import { faultsIn, possibleFaults } from '../flow/possible-faults.ts';
import { ENGLISH, type FeatureWords } from './words-english.ts';

export interface PossibleHint {
  /** Where it stands: behind the name of a step. */
  readonly offset: number;
  readonly label: string;
  readonly tooltip: string;
}

const known = new WeakMap<Exploration, ReadonlyMap<number, readonly number[]>>();

/** Step → faults still possible, for the steps of a search; empty where the walks are too many or there is no search. */
export function possibleAtSteps({ program, exploration }: Analysis): ReadonlyMap<number, readonly number[]> {
  if (!program || !exploration || program.purpose !== 'fault_finding' || program.faults.length === 0) return new Map();
  const before = known.get(exploration);
  if (before) return before;
  const union = new Map<number, bigint>();
  const { places, incomplete } = possibleFaults(exploration);
  if (!incomplete) {
    for (const { node, possible } of places) {
      if (node.step !== undefined && !node.afterRepair && program.steps[node.step]?.section === 'steps') union.set(node.step, (union.get(node.step) ?? 0n) | possible);
    }
  }
  const sets = new Map([...union].map(([step, set]) => [step, faultsIn(set)]));
  known.set(exploration, sets);
  return sets;
}

/** One hint for each test to which not all faults come any more. */
export function possibleHints(analysis: Analysis, within: { readonly start: number; readonly end: number }, words: FeatureWords = ENGLISH): PossibleHint[] {
  const { procedure, program } = analysis;
  if (!procedure || !program) return [];
  const all = program.faults.length;
  return [...possibleAtSteps(analysis)].flatMap(([index, faults]): PossibleHint[] => {
    const step = procedure.steps[index];
    const end = step?.name?.span.end;
    if (step === undefined || end === undefined || end < within.start || end > within.end || step.results.length === 0 || faults.length === all) return [];
    const names = faults.map((fault) => program.faults[fault] ?? '');
    const label = names.length === 1 ? words.hint.onlyLeft(names[0] ?? '') : words.hint.left(names.length, all);
    return [{ offset: end, label, tooltip: words.possible.names(names.join(', ') || words.possible.none) }];
  });
}
