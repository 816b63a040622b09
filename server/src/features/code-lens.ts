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
import { ENGLISH, type FeatureWords } from './words-english.ts';

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
export function readyLens(
  library: Library, analysis: Analysis, { kind, step, name }: Omit<Lens, 'span'>, words: FeatureWords = ENGLISH,
): ReadyLens | undefined {
  const { procedure } = analysis;
  if (!procedure) return undefined;
  switch (kind) {
    case 'checklist':
      return { title: words.lens.checklist };
    case 'flow':
      return { title: words.lens.flow };
    case 'diagnosis':
      return { title: words.lens.diagnosis };
    case 'callers':
      return callers(library, analysis, words);
    case 'reached_from':
    case 'walk': {
      // Lenses of an older text may still ask.
      if (step === undefined || allSteps(procedure)[step]?.name?.value !== name) return undefined;
      return kind === 'walk' ? walk(analysis, step, words) : reachedFrom(analysis, step, words);
    }
  }
}

function reachedFrom(analysis: Analysis, step: number, words: FeatureWords): ReadyLens {
  const { lens } = words;
  const arrivals = arrivalsAt(analysis, step);
  const from = arrivalWords(analysis, arrivals, words);
  if (from === undefined) return { title: step === 0 ? lens.beginsHere : lens.noWalk };
  return {
    title: step === 0 ? lens.beginsAndReached(from) : lens.reached(from),
    places: arrivals.map(({ span }) => ({ file: analysis.file, span })),
  };
}

function walk(analysis: Analysis, step: number, { lens }: FeatureWords): ReadyLens | undefined {
  const found = shortestWalkTo(analysis, step);
  if (!found) return undefined;
  return { title: lens.walk(found.length - 1), walk: found };
}

function callers(library: Library, analysis: Analysis, { lens }: FeatureWords): ReadyLens | undefined {
  const found = callersOf(library, analysis);
  if (found.length === 0) return undefined;
  return {
    title: found.length === 1 ? lens.runBy(found[0]?.item.name ?? '') : lens.runByMany(found.length),
    places: found.flatMap(({ item, spans }) => spans.map((span) => ({ file: item.file, span }))),
  };
}
