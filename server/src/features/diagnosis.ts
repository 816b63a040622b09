/**
 * The diagnosis of a procedure of a workspace: its report, what its records say of the weights, and a better order as an edit. The workspace is left
 * as it is: proposals are analysed in one of their own, with the few files that bear on the procedure.
 */
import { Workspace } from '../analysis/workspace.ts';
import type { SearchBudget } from '../diagnosis/best-order.ts';
import type { CostOptions } from '../diagnosis/from-procedure.ts';
import { learnWeights, type LearnedWeight } from '../diagnosis/learned-weights.ts';
import { proposeOrder, type AnalysedText, type OrderProposal, type ProposalOptions } from '../diagnosis/propose-order.ts';
import { changedReport, diagnose, diagnosisSheet, type DiagnosisReport } from '../diagnosis/report.ts';
import { bestOfSheet, changedSheet, type FirstMove, type WhatIf } from '../diagnosis/what-if.ts';
import type { RunRecord } from '../run/record.ts';

export interface DiagnosisOptions extends CostOptions {
  /** Records of the procedure: see findingsIn. */
  readonly found?: ReadonlyMap<string, number>;
  /** Other weights and times to go by than those written; 'records' stands for the weights that the records say. */
  readonly change?: WhatIf | 'records';
  /** Without it no better order is looked for as an edit. */
  readonly propose?: boolean;
  readonly budget?: SearchBudget;
}

export interface DiagnosisOutcome {
  readonly report: DiagnosisReport;
  readonly learned?: {
    readonly weights: readonly LearnedWeight[];
    readonly records: number;
    /** With the weights of the records: the order as written as it stands and as the planner counts it, and the best one found. */
    readonly minutes: { readonly written: number; readonly planned: number; readonly best: number };
  };
  readonly proposal?: Omit<OrderProposal, 'analysed'>;
  /** What the best order found does that the proposal, or the text where there is none, does not, and the minutes that it still spares. */
  readonly beyond?: { readonly minutes: number; readonly move?: FirstMove };
  /** The numbers go by the weights of the records. */
  readonly byRecords: boolean;
  readonly obstacles: readonly string[];
  /** A better order was looked for as an edit. */
  readonly looked: boolean;
}

/** Minutes below which it is not said that the best order found would spare more than the edit. */
const LEAST_BEYOND = 0.06;
const PLACES_BEYOND = 5_000;
const MOST_CALLERS = 8;

/** Undefined where the file holds no procedure with faults and steps. Throws SearchCancelled when the budget says so. */
export function diagnosisOf(workspace: Workspace, path: string, options: DiagnosisOptions = {}): DiagnosisOutcome | undefined {
  const { procedure, exploration } = workspace.analyse(path);
  if (!procedure || !exploration || procedure.faults.length === 0 || procedure.steps.length === 0) return undefined;
  const asWritten = diagnose(procedure, exploration, options, options.budget);
  // A fault that the procedure no longer lists says nothing of those it does.
  const records = asWritten.faults.map(({ name }) => options.found?.get(name) ?? 0).reduce((sum, count) => sum + count, 0);
  const learned = options.found && records > 0 ? { records, ...learnedFrom(asWritten, options.found, options.budget) } : undefined;
  const byRecords = options.change === 'records' && learned !== undefined;
  const change = options.change !== 'records' ? options.change : learned && { weights: Object.fromEntries(learned.weights.map((one) => [one.fault, one.learned])) };
  const report = change ? changedReport(asWritten, change, options.budget) : asWritten;
  const common = { report, byRecords, ...(learned ? { learned } : {}) };
  if (!options.propose || report.procedure.inspection) return { ...common, obstacles: [], looked: false };
  const { proposal: found, obstacles } = proposalFor(workspace, path, { ...options, ...(change ? { change } : { change: {} }) }, options.budget);
  const beyond = beyondOf(found?.analysed ?? { procedure, exploration }, found?.minutes ?? report.numbers.written.minutes, report.numbers.best.minutes, options, change ?? {});
  return { ...common, obstacles, looked: true, ...(found ? { proposal: withoutAnalysis(found) } : {}), ...(beyond ? { beyond } : {}) };
}

/** The analysis is large and of no use to whoever is told. */
function withoutAnalysis({ analysed: _analysed, ...proposal }: OrderProposal): Omit<OrderProposal, 'analysed'> {
  return proposal;
}

/** What the best order found still spares, and where it first goes another way than the text would. */
function beyondOf(
  { procedure, exploration }: Pick<AnalysedText, 'procedure' | 'exploration'>, minutes: number, best: number, options: CostOptions, change: WhatIf,
): DiagnosisOutcome['beyond'] {
  if (minutes - best < LEAST_BEYOND) return undefined;
  const { firstMove } = bestOfSheet(changedSheet(diagnosisSheet(procedure, exploration, options), change), { places: PLACES_BEYOND });
  return { minutes: minutes - best, ...(firstMove ? { move: firstMove } : {}) };
}

function learnedFrom(report: DiagnosisReport, found: ReadonlyMap<string, number>, budget: SearchBudget | undefined): Omit<NonNullable<DiagnosisOutcome['learned']>, 'records'> {
  const weights = learnWeights(report.faults.map(({ name, weight }) => ({ fault: name, weight })), found);
  const { numbers } = changedReport(report, { weights: Object.fromEntries(weights.map(({ fault, learned }) => [fault, learned])) }, budget);
  return { weights, minutes: { written: numbers.written.minutes, planned: numbers.written.planned, best: numbers.best.minutes } };
}

/** How often each fault was found by a procedure, in records of its runs. */
export function findingsIn(records: readonly Pick<RunRecord, 'procedure' | 'outcome'>[], procedure: string): Map<string, number> {
  const found = new Map<string, number>();
  for (const { procedure: { name }, outcome } of records) {
    if (name !== procedure || outcome.fault === undefined || (outcome.kind !== 'found' && outcome.kind !== 'repaired')) continue;
    found.set(outcome.fault, (found.get(outcome.fault) ?? 0) + 1);
  }
  return found;
}

function proposalFor(workspace: Workspace, path: string, options: ProposalOptions, budget: SearchBudget | undefined): ReturnType<typeof proposeOrder> {
  const own = new Workspace();
  for (const file of filesThatBear(workspace, path)) own.setFile(file, workspace.textOf(file) ?? '');
  const callers = callersOf(own, path);
  const analysed = (): AnalysedText | undefined => {
    const { text, procedure, exploration, findings } = own.analyse(path);
    // What runs this procedure relies on it: a finding there counts as one here.
    const elsewhere = callers.flatMap((caller) => own.analyse(caller).findings.map((finding) => ({ ...finding, message: `${caller}: ${finding.message}` })));
    return procedure && exploration ? { text, procedure, exploration, findings: [...findings, ...elsewhere] } : undefined;
  };
  const start = analysed();
  if (start === undefined) return { obstacles: [] };
  return proposeOrder(start, (text) => {
    own.setFile(path, text);
    return analysed();
  }, options, budget);
}

/** Procedures that run this one, the first few. */
function callersOf(workspace: Workspace, path: string): string[] {
  const name = workspace.analyse(path).procedure?.name?.value;
  const runs = (file: string): boolean => {
    const { procedure } = workspace.analyse(file);
    return [...(procedure?.steps ?? []), ...(procedure?.afterRepair ?? [])].some((step) => step.run?.value === name && workspace.fileOfProcedure(name ?? '', file) === path);
  };
  return workspace.dependants(path).filter(runs).slice(0, MOST_CALLERS);
}

/** The procedure, the shop and assets files above it, what it runs and what runs it. */
export function filesThatBear(workspace: Workspace, path: string): Set<string> {
  const files = new Set<string>([path, ...callersOf(workspace, path)]);
  for (const file of files) {
    const { scope, procedure } = workspace.analyse(file);
    for (const shop of scope?.shopFiles ?? []) files.add(shop);
    for (const { file: assets } of scope?.assets ?? []) files.add(assets);
    for (const step of [...(procedure?.steps ?? []), ...(procedure?.afterRepair ?? [])]) {
      const called = step.run && workspace.fileOfProcedure(step.run.value, file);
      if (called) files.add(called);
    }
    for (const fault of procedure?.faults ?? []) {
      const next = fault.procedure && workspace.fileOfProcedure(fault.procedure.value, file);
      if (next) files.add(next);
    }
  }
  return files;
}
