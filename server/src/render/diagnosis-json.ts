/** A diagnosis as JSON for other programs: names in place of indexes, rounded to what is meant. */
import type { OrderTree } from '../diagnosis/best-order.ts';
import type { DiagnosisReport } from '../diagnosis/report.ts';
import type { DiagnosisOutcome } from '../features/diagnosis.ts';

/** The outcome as JSON text, with a line break at its end. `format` rises when a reader would have to change. */
export function renderDiagnosisJson({ report, learned, proposal, beyond, obstacles, byRecords }: DiagnosisOutcome): string {
  const { written, best, values } = report.numbers;
  const faultName = (index: number): string => report.faults[index]?.name ?? '';
  const value = {
    format: 1,
    procedure: report.procedure,
    unit: report.perPerson ? 'person_minutes' : 'minutes', weights: byRecords ? 'records' : 'written',
    faults: report.faults.map((fault, index) => ({ ...fault, share: round(fault.share), ...outcomeOf(written.faults[index]) })),
    tests: report.tests.map((test) => {
      const { test: _name, ...brings } = values.find((one) => one.test === test.name) ?? { test: test.name };
      return {
        ...test, brings: Object.fromEntries(Object.entries(brings).map(([key, number]) => [key, round(Number(number))])),
        results: test.results.map((result) => ({ when: result.when, says: Object.fromEntries(result.cells.map((cell, index) => [faultName(index), cell])) })),
      };
    }),
    steps: report.numbers.steps.map(({ step, minutes, reached }) => ({ step, minutes: round(minutes), reached: round(reached) })),
    possible: report.possible.map(({ step, sets, more }) => ({ step, more, sets: sets.map(({ faults, walk }) => ({ faults: faults.map(faultName), walk })) })),
    isolation: {
      detected: report.isolation.detected, isolatedTo: report.isolation.isolatedTo,
      ambiguityGroups: report.isolation.groups.filter(({ faults }) => faults.length > 1).map(({ faults, share }) => ({ faults: faults.map(faultName), share: round(share) })),
    },
    ...(report.procedure.inspection ? {} : {
      written: {
        minutes: round(written.minutes), planned: round(written.planned), steps: round(written.steps), worst: round(written.worstMinutes),
        detected: written.detected, isolated: written.isolated,
      },
      best: {
        minutes: round(best.minutes), lowerBound: round(best.lowerBound), exact: best.exact, worst: round(best.worstMinutes), tests: round(best.tests), sound: best.sound,
        ...(best.firstMove ? { firstMove: best.firstMove } : {}), order: treeOf(report, best.tree),
      },
    }),
    ...(learned ? {
      records: {
        count: learned.records, minutes: { written: round(learned.minutes.written), planned: round(learned.minutes.planned), best: round(learned.minutes.best) },
        weights: learned.weights.map((one) => ({ ...one, written: round(one.written), learned: round(one.learned), spread: round(one.spread) })),
      },
    } : {}),
    ...(proposal ? {
      proposal: {
        minutes: round(proposal.minutes), before: round(proposal.before), steps: proposal.steps, text: proposal.text,
        moves: proposal.moves.map(({ gain, ...move }) => ({ ...move, ...(gain === undefined ? {} : { gain: round(gain) }) })),
      },
    } : {}),
    ...(beyond ? { beyond: { ...beyond, minutes: round(beyond.minutes) } } : {}),
    obstacles, assumptions: report.assumptions,
  };
  return `${JSON.stringify(value, null, 2)}\n`;
}

function outcomeOf(fault: DiagnosisReport['numbers']['written']['faults'][number] | undefined): object {
  if (fault === undefined) return {};
  return {
    minutes: round(fault.minutes), steps: round(fault.steps), worst: round(fault.worstMinutes), found: round(fault.found), mistaken: round(fault.mistaken),
    mistakenFor: fault.mistakenFor, referred: round(fault.referred),
  };
}

function treeOf(report: DiagnosisReport, tree: OrderTree): object {
  if (tree.kind === 'leaf') return { faults: tree.possible.map((fault) => report.faults[fault]?.name) };
  const test = report.sheet.problem.tests[tree.test];
  return {
    test: test?.name, minutes: round(tree.minutes),
    results: tree.branches.map((branch) => ({ when: test?.outcomes[branch.outcome]?.label, share: round(branch.probability), then: treeOf(report, branch.tree) })),
  };
}

function round(value: number): number {
  return Math.round(value * 1e6) / 1e6;
}
