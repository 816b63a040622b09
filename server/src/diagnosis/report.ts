/** The diagnosis of a procedure as one plain value: what its tests prove, what its order costs, and what would cost less. */
import { possibleFaults, faultsIn, walkToPlace } from '../flow/possible-faults.ts';
import type { Exploration } from '../flow/explore.ts';
import type { Procedure, Step } from '../procedure/model.ts';
import type { SearchBudget } from './best-order.ts';
import { diagnosisProblem, minutesOfStep, MINUTES_UNKNOWN, type CostOptions } from './from-procedure.ts';
import { isolationOf, type Isolation } from './isolation.ts';
import { changedSheet, numbersOf, sharesOf, type BestOfSheet, type DiagnosisNumbers, type DiagnosisSheet, type WhatIf } from './what-if.ts';
import { writtenFlow } from './written-order.ts';

/** What a result says of a fault: it shows it, leaves it possible, excludes it, or says nothing that counts. */
export type Cell = 'shows' | 'possible' | 'excluded' | 'silent';

export interface ReportFault {
  readonly name: string;
  readonly title: string;
  readonly weight: number;
  readonly share: number;
  /** The writer gave a weight. */
  readonly weighted: boolean;
}

export interface ReportTest extends ReportStep {
  readonly keptFirst: boolean;
  readonly results: readonly { readonly when: string; readonly cells: readonly Cell[] }[];
}

/** A step of the search that is no test: instructions, a reading that is only stored. */
export interface ReportStep {
  readonly name: string;
  readonly title: string;
  readonly kind: string;
  readonly people: number;
  readonly timed: boolean;
}

export interface PossibleAt {
  readonly step: string;
  /** Each set with which some walk arrives, with one such walk. */
  readonly sets: readonly { readonly faults: readonly number[]; readonly walk: readonly { readonly step: string; readonly result?: string }[] }[];
  readonly more: number;
}

export interface DiagnosisReport {
  readonly procedure: {
    readonly name: string; readonly title: string; readonly revision?: string; readonly file: string; readonly inspection: boolean; readonly released: boolean;
  };
  readonly faults: readonly ReportFault[];
  readonly tests: readonly ReportTest[];
  readonly others: readonly ReportStep[];
  readonly possible: readonly PossibleAt[];
  /** The walks were too many: what is possible is not shown in full. */
  readonly possibleIncomplete: boolean;
  readonly isolation: Isolation;
  readonly sheet: DiagnosisSheet;
  readonly numbers: DiagnosisNumbers;
  readonly perPerson: boolean;
  readonly repairs: boolean;
  readonly assumptions: readonly string[];
}

const MOST_SETS = 6;

/** Works everything out. Throws SearchCancelled when the budget says so. */
export function diagnose(procedure: Procedure, exploration: Exploration, options: CostOptions = {}, budget: SearchBudget = {}): DiagnosisReport {
  const { program } = exploration;
  const sheet = diagnosisSheet(procedure, exploration, options);
  const { problem } = sheet;
  const written = [...procedure.steps, ...procedure.afterRepair];
  const shares = sharesOf(problem);
  const numbers = numbersOf(sheet, budget);
  const { places, incomplete } = possibleSets(exploration, procedure);
  return {
    procedure: {
      name: program.name, title: procedure.title?.value ?? program.name, file: procedure.file, inspection: program.purpose === 'inspection',
      released: procedure.status?.value === 'released',
      ...(procedure.revision ? { revision: procedure.revision.value } : {}),
    },
    faults: procedure.faults.map((fault, index) => ({
      name: fault.name.value, title: fault.title?.value ?? fault.name.value.replaceAll('_', ' '), weight: problem.faults[index]?.weight ?? 1, share: shares[index] ?? 0,
      weighted: fault.weight !== undefined,
    })),
    tests: problem.tests.flatMap((test, index): ReportTest[] => {
      const step = sheet.steps[index];
      const source = step === null || step === undefined ? undefined : written[step];
      if (source === undefined) return [];
      return [{
        ...describedStep(source, test.name), keptFirst: source.keepFirst !== undefined,
        results: test.outcomes.map((outcome, result) => ({
          when: outcome.label,
          cells: problem.faults.map((_, fault): Cell => {
            if (program.purpose === 'inspection') return program.steps[step as number]?.results[result]?.raises === fault ? 'shows' : 'silent';
            if (test.speaksOf?.[fault] === false) return 'silent';
            if ((outcome.given[fault] ?? 0) <= 0) return 'excluded';
            return outcome.finds === fault ? 'shows' : 'possible';
          }),
        })),
      }];
    }),
    others: procedure.steps.flatMap((step, index): ReportStep[] => (sheet.steps.includes(index) ? [] : [describedStep(step, sheet.stepNames[index] ?? '')])),
    possible: program.purpose === 'inspection' ? [] : places, possibleIncomplete: incomplete,
    isolation: isolationOf(problem, (fault) => isNeverFound(numbers, fault)),
    sheet, numbers, perPerson: options.perPerson === true, repairs: options.repairs === true,
    assumptions: assumptionsOf(procedure, sheet, options),
  };
}

function describedStep(step: Step, name: string): ReportStep {
  return {
    name, title: step.title?.value ?? name.replaceAll('_', ' '), kind: step.kind ?? '', people: step.people?.value ?? 1, timed: step.time !== undefined || step.kind === 'decide',
  };
}

/** A report with other weights and times: everything that follows from them is worked out anew, but for the best order where one is given. */
export function changedReport(report: DiagnosisReport, change: WhatIf, budget: SearchBudget = {}, best?: BestOfSheet): DiagnosisReport {
  const sheet = changedSheet(report.sheet, change);
  const shares = sharesOf(sheet.problem);
  const numbers = numbersOf(sheet, budget, best);
  return {
    ...report, sheet, numbers,
    faults: report.faults.map((fault, index) => ({ ...fault, weight: sheet.problem.faults[index]?.weight ?? fault.weight, share: shares[index] ?? 0 })),
    isolation: isolationOf(sheet.problem, (fault) => isNeverFound(numbers, fault)),
  };
}

/** What the numbers of a procedure are worked out from. */
export function diagnosisSheet(procedure: Procedure, exploration: Exploration, options: CostOptions = {}): DiagnosisSheet {
  const { problem, steps, opening, untimed } = diagnosisProblem(procedure, exploration, options);
  const written = [...procedure.steps, ...procedure.afterRepair];
  return {
    problem, steps: steps.map((step) => step ?? null), opening, untimed, flow: writtenFlow(exploration),
    stepNames: exploration.program.steps.map((step) => step.name), minutes: written.map((step) => minutesOfStep(step, options)),
  };
}

function isNeverFound({ written }: DiagnosisNumbers, fault: number): boolean {
  return (written.faults[fault]?.found ?? 0) + (written.faults[fault]?.mistaken ?? 0) <= 1e-9;
}

function possibleSets(exploration: Exploration, procedure: Procedure): { readonly places: PossibleAt[]; readonly incomplete: boolean } {
  const { program } = exploration;
  const faults = possibleFaults(exploration);
  const written = [...procedure.steps, ...procedure.afterRepair];
  const bySet = new Map<number, Map<bigint, number>>();
  faults.places.forEach(({ node, possible }, index) => {
    if (node.step === undefined || node.passedOver || program.steps[node.step]?.section !== 'steps') return;
    const sets = bySet.get(node.step) ?? new Map<bigint, number>();
    if (!sets.has(possible)) sets.set(possible, index);
    bySet.set(node.step, sets);
  });
  const places = program.steps.flatMap((step): PossibleAt[] => {
    const sets = bySet.get(step.index);
    if (sets === undefined) return [];
    const shown = [...sets].slice(0, MOST_SETS).map(([possible, place]) => ({
      faults: faultsIn(possible),
      walk: walkToPlace(faults, place).map((edge) => {
        const result = edge.result === undefined ? undefined : written[edge.step]?.results[edge.result]?.when?.text;
        return { step: program.steps[edge.step]?.name ?? '', ...(result === undefined ? {} : { result }) };
      }),
    }));
    return [{ step: step.name, sets: shown, more: sets.size - shown.length }];
  });
  return { places, incomplete: faults.incomplete };
}

function assumptionsOf(procedure: Procedure, sheet: DiagnosisSheet, options: CostOptions): string[] {
  const { untimed } = sheet;
  const found: string[] = [];
  const unweighted = procedure.faults.filter((fault) => fault.weight === undefined).length;
  if (unweighted > 0) found.push(unweighted === procedure.faults.length ? 'No fault has a weight: each counts as often as the others.' : `${unweighted} faults have no weight: each counts 1.`);
  if (untimed.length > 0) {
    const some = untimed.slice(0, 4).join(', ') + (untimed.length > 4 ? ' and others' : '');
    found.push(`${untimed.length === 1 ? 'One step has' : `${untimed.length} steps have`} no time and counts ${MINUTES_UNKNOWN} minute${untimed.length === 1 ? '' : ' each'}: ${some}.`.replace('steps have no time and counts', 'steps have no time and count'));
  }
  if (sheet.problem.tests.some((test) => test.outcomes.some(({ given }) => given.some((p) => p > 0 && p < 1)))) {
    found.push('Where a fault can give several results of a test, each is taken as equally likely.');
  }
  found.push('A result is taken at its word. No test is moved away from what it relies on: the state of the machine, readings, proofs, branches, a supply that must be good first.');
  if (options.perPerson) found.push('A minute counts once for each person it takes.');
  return found;
}
