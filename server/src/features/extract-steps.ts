/**
 * Steps become a procedure of their own, and a step that runs it takes their place. What the checks say of the two files together
 * is no worse than what they said of the one; where it would be, or where the flow does not allow it, the answer is the reason.
 */
import type { Analysis } from '../analysis/analysis.ts';
import type { Finding } from '../findings/finding.ts';
import type { Procedure, Step } from '../procedure/model.ts';
import { nameUses } from '../procedure/names.ts';
import type { Span } from '../text/span.ts';
import { worseFinding } from './compare-findings.ts';
import { extractedFlow, nameOf } from './extract-flow.ts';
import { writeExtraction, type Extracted, type Extraction, type ToExtract } from './extract-writing.ts';
import type { Library } from './symbols.ts';
import { edited, topValue } from './text-parts.ts';
import { nameFrom } from './written-yaml.ts';

/** The steps that a span touches, where they can be taken out of their procedure at all. */
export function selectedSteps(analysis: Analysis, span: Span): readonly Step[] {
  const { procedure, lines } = analysis;
  const from = lines.positionAt(span.start).line;
  const end = lines.positionAt(span.end);
  const to = end.column === 0 && end.line > from ? end.line - 1 : end.line;
  const touched = (procedure?.steps ?? []).filter(
    (step) =>
      lines.positionAt(step.span.start).line <= to && lines.positionAt(Math.max(step.span.start, step.span.end - 1)).line >= from,
  );
  return touched;
}

/** A name that is free for the procedure of these steps. */
export function suggestedName(library: Library, selected: readonly Step[]): string {
  const first = selected[0];
  return nameFrom(
    first?.title?.value ?? nameOf(first as Step).replaceAll('_', ' '),
    new Set(library.procedures().map(({ name }) => name)),
    40,
  );
}

/** Takes the steps that a span touches out into a procedure called `name`. */
export function extractSteps(library: Library, analysis: Analysis, span: Span, name?: string): Extracted {
  const { procedure, tree } = analysis;
  const selected = selectedSteps(analysis, span);
  const problem = procedure === undefined ? 'This is no procedure.' : whyNot(library, analysis, procedure, selected, name);
  if (problem !== undefined || procedure === undefined) return { problem: problem ?? '' };
  const flow = extractedFlow(procedure, selected);
  if ('problem' in flow) return flow;
  const list = topValue(tree, 'steps');
  if (list?.kind !== 'list' || list.flow || list.items.length !== procedure.steps.length)
    return {
      problem: 'The steps of this procedure are not written as a list with dashes, each with a name. Put that right first.',
    };
  const called = name ?? suggestedName(library, selected);
  const whole = { library, analysis, procedure, list, selected, flow, called };
  // Faults that the steps find are the new procedure's.
  const found = new Set([...flow.finds, ...flow.raises]);
  const first = tried(whole, found);
  if ('problem' in first || first.worse === undefined) return 'problem' in first ? first : first.made;
  // Those that they only rule out may be needed to show what the tests are for.
  const all = new Set([...found, ...mentioned(selected)]);
  const aboutFaults = ABOUT_FAULTS.has(first.worse.check);
  const second = aboutFaults && all.size > found.size ? tried(whole, all) : undefined;
  if (second !== undefined && 'made' in second && second.worse === undefined) return second.made;
  const wayOut = aboutFaults ? '' : ' Take the steps along that see to it.';
  return {
    problem: `As a procedure of their own these steps would have a finding that they do not have here: ${first.worse.message}${wayOut}`,
  };
}

/** Checks that ask which faults a procedure declares, and what its tests say of them. */
const ABOUT_FAULTS = new Set(['proves-nothing', 'not-isolated', 'fault-never-found', 'nothing-left', 'finds-ruled-out', 'unknown-name']);

/** The new procedure with these faults, and the finding that it would lead to. */
function tried(
  whole: ToExtract,
  faults: ReadonlySet<string>,
): { readonly made: Extraction; readonly worse: Finding | undefined } | { readonly problem: string } {
  const made = writeExtraction(whole, faults);
  if ('problem' in made) return made;
  const { library, analysis } = whole;
  const changed = new Map([
    [analysis.file, edited(analysis.text, made.edits)],
    [made.file, made.fileText],
  ]);
  return { made, worse: worseFinding(library, [analysis.file], [analysis.file, made.file], changed) };
}

function whyNot(
  library: Library,
  analysis: Analysis,
  procedure: Procedure,
  selected: readonly Step[],
  name: string | undefined,
): string | undefined {
  if (selected.length === 0) return "Select the steps that are to become a procedure: whole steps of 'steps'.";
  if (procedure.problems.some((one) => one.check === 'yaml-syntax'))
    return 'This procedure cannot be read in every place. Put that right first.';
  if (selected.length === procedure.steps.length)
    return 'These are all the steps of the procedure: there is nothing to take them out of.';
  if (selected.some((step) => step.name === undefined)) return 'One of these steps has no name.';
  if (name !== undefined && !/^[a-z][a-z0-9_]*$/.test(name))
    return `'${name}' cannot be a name: a small letter comes first, then small letters, digits and '_'.`;
  if (name !== undefined && library.procedures().some((one) => one.name === name))
    return `There is a procedure '${name}' already. Choose another name.`;
  return readingProblem(library, analysis, procedure, selected);
}

/** Readings that would have to cross from one procedure into the other where they cannot. */
function readingProblem(
  library: Library,
  analysis: Analysis,
  procedure: Procedure,
  selected: readonly Step[],
): string | undefined {
  const inside = new Set(selected.map(nameOf));
  for (const use of nameUses(procedure)) {
    const isInside = use.step !== undefined && inside.has(use.step);
    if (use.kind === 'reading' && use.of === undefined && isInside && !inside.has(use.name)) {
      return `'${use.step ?? ''}' uses the reading '${use.name}', which is taken outside of these steps. A procedure that is run does not see the readings of the one that runs it: take '${use.name}' along.`;
    }
    const crosses =
      (use.kind === 'point' || use.kind === 'reading') &&
      use.of !== undefined &&
      use.inExpression === true &&
      !isInside &&
      inside.has(use.of);
    if (crosses)
      return `'${use.step ?? 'The procedure'}' uses '${use.of ?? ''}.${use.name}', a part of a reading of these steps. Of a procedure that is run only whole readings can be used.`;
  }
  const readings = selected.filter((step) => step.kind === 'measure').map(nameOf);
  for (const { name, file } of library.procedures()) {
    const text = file === analysis.file ? undefined : library.textOf(file);
    if (text === undefined || !readings.some((reading) => text.includes(`.${reading}`))) continue;
    const other = library.procedureIn(file);
    const runs = new Set((other?.steps ?? []).filter((step) => step.run?.value === procedure.name?.value).map(nameOf));
    const use =
      other &&
      nameUses(other).find(
        (one) => one.kind === 'reading' && one.of !== undefined && runs.has(one.of) && readings.includes(one.name),
      );
    if (use)
      return `The procedure '${name}' uses the reading '${use.name}' of these steps. It would no longer be one of this procedure's own.`;
  }
  return undefined;
}

/** Faults that results of the steps rule out or leave. */
function mentioned(selected: readonly Step[]): string[] {
  return selected.flatMap((step) =>
    step.results.flatMap((result) => [...result.rulesOut, ...(result.leaves ?? [])].map((name) => name.value)),
  );
}
