/**
 * Lines above a procedure and above its steps: what can be opened from there, what leads here. Where they stand is told at once and costs
 * little; what each says is worked out when it comes into view. An editor's commands are not known here.
 */
import type { Analysis } from '../analysis/analysis.ts';
import type { WitnessStep } from '../findings/finding.ts';
import type { Place, Span } from '../text/span.ts';
import { callersOf } from './calls.ts';
import type { Library } from './symbols.ts';
import { allSteps } from './symbols.ts';
import { arrivalsAt, arrivalWords, isReached, shortestWalkTo } from './walks-here.ts';

export type LensKind = 'checklist' | 'flow' | 'diagnosis' | 'callers' | 'reached_from' | 'walk';

export interface Lens {
  readonly span: Span;
  readonly kind: LensKind;
  /** Index and name of the step that it is about. */
  readonly step?: number;
  readonly name?: string;
}

export interface LensSettings {
  /** Above the procedure: run, flow, diagnosis, callers. */
  readonly procedure: boolean;
  /** Above each step: reached from, walk. */
  readonly steps: boolean;
}

export interface ReadyLens {
  readonly title: string;
  /** What it opens: places in files, or a walk; absent where the title says all, and for commands of the editor. */
  readonly places?: readonly Place[];
  readonly walk?: readonly WitnessStep[];
}

/** Only lenses that have something to say: an editor leaves room for every one. */
export function lensesOf(library: Library, analysis: Analysis, settings: LensSettings): Lens[] {
  const { procedure } = analysis;
  if (!procedure || procedure.steps.length === 0) return [];
  const lenses: Lens[] = [];
  if (settings.procedure) {
    const span = procedure.name?.span ?? { start: 0, end: 0 };
    lenses.push({ span, kind: 'checklist' }, { span, kind: 'flow' });
    if (procedure.faults.length > 0) lenses.push({ span, kind: 'diagnosis' });
    if (callersOf(library, analysis).length > 0) lenses.push({ span, kind: 'callers' });
  }
  if (settings.steps) {
    allSteps(procedure).forEach((step, index) => {
      if (!step.name) return;
      const about = { span: step.name.span, step: index, name: step.name.value };
      lenses.push({ ...about, kind: 'reached_from' });
      if (index > 0 && isReached(analysis, index)) lenses.push({ ...about, kind: 'walk' });
    });
  }
  return lenses;
}

/** What a lens says and opens; undefined where it has nothing to say, or its step is there no more. */
export function readyLens(library: Library, analysis: Analysis, { kind, step, name }: Omit<Lens, 'span'>): ReadyLens | undefined {
  const { procedure } = analysis;
  if (!procedure) return undefined;
  switch (kind) {
    case 'checklist':
      return { title: 'Run as checklist' };
    case 'flow':
      return { title: 'Show the flow' };
    case 'diagnosis':
      return { title: 'Show the diagnosis' };
    case 'callers':
      return callers(library, analysis);
    case 'reached_from':
    case 'walk': {
      // Lenses of an older text may still ask.
      if (step === undefined || allSteps(procedure)[step]?.name?.value !== name) return undefined;
      return kind === 'walk' ? walk(analysis, step) : reachedFrom(analysis, step);
    }
  }
}

function reachedFrom(analysis: Analysis, step: number): ReadyLens {
  const arrivals = arrivalsAt(analysis, step);
  const words = arrivalWords(analysis, arrivals);
  const begins = step === 0 ? 'A run begins here' : undefined;
  if (words === undefined) return { title: begins ?? 'No walk comes here' };
  return {
    title: begins ? `${begins}. Reached again from ${words}` : `Reached from ${words}`,
    places: arrivals.map(({ span }) => ({ file: analysis.file, span })),
  };
}

function walk(analysis: Analysis, step: number): ReadyLens | undefined {
  const found = shortestWalkTo(analysis, step);
  if (!found) return undefined;
  const before = found.length - 1;
  return { title: `Shortest walk here: ${before === 1 ? '1 step' : `${before} steps`}`, walk: found };
}

function callers(library: Library, analysis: Analysis): ReadyLens | undefined {
  const found = callersOf(library, analysis);
  if (found.length === 0) return undefined;
  return {
    title: `Run by ${found.length === 1 ? (found[0]?.item.name ?? '') : `${found.length} procedures`}`,
    places: found.flatMap(({ item, spans }) => spans.map((span) => ({ file: item.file, span }))),
  };
}
