/**
 * What the checks reported of an earlier version of a procedure, carried over to a version in which some steps differ.
 * It gives what the checks would report now, or nothing where only running them can tell.
 */
import type { Check, CheckContext, EditedTexts } from '../checks/check.ts';
import type { Fix, RelatedPlace, Report, WitnessStep } from '../findings/finding.ts';
import type { Step } from '../procedure/model.ts';
import type { Span } from '../text/span.ts';
import { changeBetween, spanAfter, type TextChange } from '../text/text-change.ts';
import { editedSteps, onlyTextsDiffer, type EditedStep } from './edited-texts.ts';

/** What was checked, with what each check reported of it. */
export interface Checked {
  readonly of: Pick<CheckContext, 'file' | 'text' | 'procedure' | 'scope' | 'exploration' | 'releasedText'>;
  readonly reports: ReadonlyMap<Check, readonly Report[]>;
}

/** What changed between two versions of a procedure, as far as checks may ask. */
export interface StepsEdit {
  readonly earlier: Checked;
  readonly change: TextChange;
  readonly steps: readonly EditedStep[];
  /** More than texts may differ in the steps: then only checks that look at nothing but texts are spared. */
  readonly structure: boolean;
  readonly linesBefore: string;
  readonly linesAfter: string;
}

/** The edit that leads from what was checked to this context; undefined where it is more than an edit of some steps. */
export function editSince(earlier: Checked, context: CheckContext): StepsEdit | undefined {
  const before = earlier.of;
  if (before.scope !== context.scope || before.file !== context.file || before.releasedText !== context.releasedText) return undefined;
  const steps = editedSteps(before.procedure, context.procedure);
  if (steps === undefined) return undefined;
  const change = changeBetween(before.text, context.text);
  if (!steps.every((step) => inside(change, step.before.span))) return undefined;
  // Fixes hold on to the line of a step's name: an edit before it may move what they write.
  const afterTheNames = steps.every((step) => step.before.name !== undefined && change.start > step.before.name.span.end);
  const structure = before.exploration !== context.exploration || !afterTheNames || !onlyTextsDiffer(steps, context.procedure, context.scope);
  return {
    earlier, change, steps, structure,
    linesBefore: linesAround(before.text, change.start, change.oldEnd), linesAfter: linesAround(context.text, change.start, change.newEnd),
  };
}

/** The reports of a check after the edit; undefined where it has to run again over the whole. */
export function reportsAfter(check: Check, context: CheckContext, edit: StepsEdit, run: (context: CheckContext) => Iterable<Report>): readonly Report[] | undefined {
  const known = edit.earlier.reports.get(check);
  if (known === undefined || check.texts === 'whole' || (edit.structure && check.textsAlone !== true)) return undefined;
  if (check.texts === 'each') {
    const others = known.filter((report) => !edit.steps.some(({ before }) => report.span.start >= before.span.start && report.span.start <= before.span.end));
    const moved = movedReports(others, context.file, edit.change);
    return moved && (edit.steps.length === 0 ? moved : [...moved, ...run(onlyTheEdited(context, edit.steps))]);
  }
  if (check.texts !== undefined) {
    const { texts } = check;
    const token = (step: Step, lines: string): string => `${step.name?.value ?? ''} ${texts(context, { step, lines } satisfies EditedTexts)}`;
    if (edit.steps.some(({ before, after }) => token(before, edit.linesBefore) !== token(after, edit.linesAfter))) return undefined;
    // No text of a step differs, but a comment may.
    const [first] = context.procedure.steps;
    if (edit.steps.length === 0 && first && token(first, edit.linesBefore) !== token(first, edit.linesAfter)) return undefined;
  }
  return movedReports(known, context.file, edit.change);
}

function onlyTheEdited(context: CheckContext, steps: readonly EditedStep[]): CheckContext {
  const kept = new Map<unknown, unknown>();
  const narrowed: CheckContext = {
    ...context,
    only: new Set(steps.map((step) => step.index)),
    once: <T>(compute: (context: CheckContext) => T): T => {
      if (!kept.has(compute)) kept.set(compute, compute(narrowed));
      return kept.get(compute) as T;
    },
  };
  return narrowed;
}

function inside(change: TextChange, span: Span): boolean {
  return span.start <= change.start && change.oldEnd <= span.end;
}

function linesAround(text: string, start: number, end: number): string {
  const from = text.lastIndexOf('\n', start - 1) + 1;
  const to = text.indexOf('\n', end);
  return text.slice(from, to < 0 ? text.length : to);
}

/** Reports at their places after a change; undefined where a place touches what changed. */
function movedReports(reports: readonly Report[], file: string, change: TextChange): Report[] | undefined {
  const moved: Report[] = [];
  try {
    for (const report of reports) moved.push(movedReport(report, file, change));
  } catch (error) {
    if (error === TOUCHED) return undefined;
    throw error;
  }
  return moved;
}

const TOUCHED = new Error('a place touches what changed');

function movedReport(report: Report, file: string, change: TextChange): Report {
  const move = (span: Span): Span => {
    const moved = spanAfter(change, span);
    if (moved === undefined) throw TOUCHED;
    return moved;
  };
  const moveIn = (other: string, span: Span): Span => (other === file ? move(span) : span);
  return {
    ...report,
    span: move(report.span),
    ...(report.witness ? { witness: report.witness.map((step): WitnessStep => (step.place ? { ...step, place: { ...step.place, span: moveIn(step.place.file, step.place.span) } } : step)) } : {}),
    ...(report.related ? { related: report.related.map((place): RelatedPlace => ({ ...place, span: moveIn(place.file, place.span) })) } : {}),
    ...(report.fixes ? { fixes: report.fixes.map((fix): Fix => ({ ...fix, edits: fix.edits.map((edit) => ({ ...edit, span: moveIn(edit.file, edit.span) })) })) } : {}),
  };
}
