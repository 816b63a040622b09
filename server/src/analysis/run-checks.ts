/** Runs the checks of a file. A check that throws loses only itself, and says so. */
import { ALL_CHECKS, checkNamed } from '../checks/all.ts';
import type { Check, CheckContext } from '../checks/check.ts';
import { limitsReversed, limitsReversedIn, type FactPair } from '../checks/limits-reversed.ts';
import { unknownName, unknownNamesOfShop } from '../checks/unknown-name.ts';
import type { Finding, Problem, Report } from '../findings/finding.ts';
import type { Assets, Shop } from '../procedure/model.ts';
import type { Scope } from '../procedure/scope.ts';
import { reportsAfter, editSince, type Checked } from './check-again.ts';
import { acceptDeviations, severityOf } from './settings.ts';

const CHECKS_BY_NAME: ReadonlyMap<string, Check> = new Map(ALL_CHECKS.map((check) => [check.name, check]));

export interface CheckedProcedure extends Checked {
  readonly findings: readonly Finding[];
}

/**
 * The findings of a procedure: what reading met, then what the checks prove, by place. With `earlier` of the same file, checks to
 * which an edit of texts means nothing are not run again; the findings are the same.
 */
export function checkProcedure(input: Omit<CheckContext, 'once'>, earlier?: Checked): CheckedProcedure {
  const context: CheckContext = { ...input, once: memory(() => context) };
  const { procedure, file, scope } = input;
  const found: Finding[] = findingsOfProblems(file, procedure.problems, scope.settings);
  const broken = procedure.problems.some((problem) => problem.check === 'yaml-syntax');
  const edit = earlier && editSince(earlier, context);
  const reports = new Map<Check, readonly Report[]>();
  for (const check of ALL_CHECKS) {
    const silent = broken && check.wholeOnly === true;
    const severity = severityOf(check, scope.settings);
    if (check.run === undefined || severity === undefined) continue;
    const known = edit && reportsAfter(check, context, edit, (narrowed) => reportsOf(check, narrowed));
    const made = known ?? (silent ? undefined : reportsOf(check, context));
    if (made === undefined) continue;
    reports.set(check, made);
    if (!silent) for (const report of made) found.push({ ...report, check: check.name, severity, file });
  }
  const { findings, unused } = acceptDeviations(withoutRepeats(found), procedure, CHECKS_BY_NAME);
  const unusedCheck = checkNamed('accepted-nothing');
  const unusedSeverity = unusedCheck && severityOf(unusedCheck, scope.settings);
  // What runs last has not spoken yet: its acceptance is not unused.
  const stale = unused.filter((deviation) => CHECKS_BY_NAME.get(deviation.check?.value ?? '')?.runLast === undefined);
  const extra = unusedSeverity === undefined ? [] : stale.map((deviation): Finding => ({
    check: 'accepted-nothing',
    severity: unusedSeverity,
    file,
    span: deviation.span,
    message: `No finding of '${deviation.check?.value ?? ''}'${deviation.at ? ` at '${deviation.at.value}'` : ''} is left to accept.`,
    help: 'Take the entry out, or correct its `check` or `at`.',
  }));
  const open = findings.filter((finding) => finding.accepted === undefined);
  const last = ALL_CHECKS.flatMap((check): Finding[] => {
    const severity = check.runLast && severityOf(check, scope.settings);
    return severity === undefined ? [] : reportsOf(check, context, open).map((report) => ({ ...report, check: check.name, severity, file }));
  });
  // No more of the context is kept than a later check needs: it holds all that was worked out on the way.
  const { text, exploration, releasedText } = input;
  return { of: { file, text, procedure, scope, exploration, releasedText }, reports, findings: byPlace([...findings, ...extra, ...acceptDeviations(last, procedure, CHECKS_BY_NAME).findings]) };
}

/** The findings of a shop file: what reading met, names that nothing declares, and why it is not used. */
export function findingsOfShop(shop: Shop, scope: Scope, passedOver: readonly Problem[]): Finding[] {
  const severity = severityOf(unknownName, scope.settings);
  const unknown = severity === undefined ? [] : [...unknownNamesOfShop(shop, scope)].map((report): Finding => ({ ...report, check: unknownName.name, severity, file: shop.file }));
  return byPlace([...findingsOfProblems(shop.file, [...shop.problems, ...passedOver], scope.settings), ...unknown]);
}

/** The findings of an assets file: what reading met, limits of an asset that are the wrong way round, and why it is not used. */
export function findingsOfAssets(assets: Assets, scope: Scope, pairs: readonly FactPair[], passedOver: readonly Problem[]): Finding[] {
  const severity = severityOf(limitsReversed, scope.settings);
  const reversed = severity === undefined ? [] : [...limitsReversedIn(assets, pairs)].map((report): Finding => ({ ...report, check: limitsReversed.name, severity, file: assets.file }));
  return byPlace([...findingsOfProblems(assets.file, [...assets.problems, ...passedOver], scope.settings), ...reversed]);
}

/** Findings of what reading a file met. */
function findingsOfProblems(file: string, problems: readonly Problem[], settings: ReadonlyMap<string, string>): Finding[] {
  return byPlace(
    problems.flatMap((problem): Finding[] => {
      const check = checkNamed(problem.check);
      const severity = check ? severityOf(check, settings) : 'error';
      return severity === undefined ? [] : [{ ...problem, severity, file }];
    }),
  );
}

/** What a check reports: of the procedure, or, given what the others left open, of that. */
function reportsOf(check: Check, context: CheckContext, open?: readonly Finding[]): Report[] {
  const reports: Report[] = [];
  try {
    for (const report of (open ? check.runLast?.(context, open) : check.run?.(context)) ?? []) reports.push(report);
  } catch (error) {
    reports.push({
      span: context.procedure.name?.span ?? { start: 0, end: 0 },
      message: `The check '${check.name}' failed on this procedure and proves nothing about it.`,
      note: error instanceof Error ? error.message : String(error),
      help: 'Read the procedure with more care than usual where this check would have helped, and report the failure.',
    });
  }
  return reports;
}

/** `once`: each computation runs at most once for a context. */
function memory(context: () => CheckContext): CheckContext['once'] {
  const kept = new Map<unknown, unknown>();
  return <T>(compute: (context: CheckContext) => T): T => {
    if (!kept.has(compute)) kept.set(compute, compute(context()));
    return kept.get(compute) as T;
  };
}

function withoutRepeats(findings: readonly Finding[]): Finding[] {
  const seen = new Set<string>();
  return findings.filter((finding) => {
    const key = `${finding.check}|${finding.span.start}|${finding.span.end}|${finding.message}`;
    if (seen.has(key)) return false;
    seen.add(key);
    return true;
  });
}

function byPlace(findings: readonly Finding[]): Finding[] {
  return [...findings].sort((a, b) => a.span.start - b.span.start || a.span.end - b.span.end || a.check.localeCompare(b.check));
}
