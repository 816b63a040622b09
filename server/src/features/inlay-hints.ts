/**
 * What is shown between the words of a procedure: quantities in the other unit system, minutes so far, faults still possible. Each part can be
 * switched off; none is worked out that is not wanted.
 */
import type { Analysis } from '../analysis/analysis.ts';
import type { Span } from '../text/span.ts';
import { possibleHints } from './diagnosis-possible.ts';
import { minutesSoFar } from './minutes-so-far.ts';
import type { MinutesSoFar } from './minutes-so-far.ts';
import { otherUnitHints } from './other-units-hints.ts';
import { ENGLISH, type FeatureWords } from './words-english.ts';

export interface InlayHint {
  /** It stands behind the character before this offset. */
  readonly offset: number;
  readonly label: string;
  readonly tooltip?: string;
}

export interface InlayHintSettings {
  readonly otherUnits: boolean;
  readonly minutesSoFar: boolean;
  readonly faultsLeft: boolean;
}

/** The hints whose place lies in `within`, by place; those of one place read as one, minutes before faults. */
export function inlayHintsIn(analysis: Analysis, within: Span, settings: InlayHintSettings, words: FeatureWords = ENGLISH): InlayHint[] {
  const hints: InlayHint[] = [
    ...(settings.otherUnits ? otherUnitHints(analysis, within, words) : []),
    ...(settings.minutesSoFar ? minuteHints(analysis, within, words) : []),
    ...(settings.faultsLeft ? possibleHints(analysis, within, words) : []),
  ].sort((a, b) => a.offset - b.offset);
  const joined: InlayHint[] = [];
  for (const hint of hints) {
    const last = joined.at(-1);
    if (last?.offset !== hint.offset) joined.push(hint);
    else joined.splice(-1, 1, { offset: hint.offset, label: `${last.label}, ${hint.label}`, tooltip: [last.tooltip, hint.tooltip].filter(Boolean).join('\n\n') });
  }
  return joined;
}

/** `after 4 to 19 min`, behind the name of each step but the first. */
function minuteHints(analysis: Analysis, within: Span, words: FeatureWords): InlayHint[] {
  const steps = analysis.procedure?.steps ?? [];
  const places = steps.flatMap((step, index) => {
    const end = step.name?.span.end;
    return end === undefined || end < within.start || end > within.end ? [] : [{ index, end }];
  });
  if (places.length === 0) return [];
  const minutes = minutesSoFar(analysis);
  return places.flatMap(({ index, end }): InlayHint[] => {
    const here = minutes.get(index);
    // A run begins with the first: a loop back to it makes that no later.
    if (!here || index === 0) return [];
    return [{ offset: end, label: words.hint.after(minutesText(here, words)), tooltip: minutesTooltip(here, analysis.exploration?.approximate === true, words) }];
  });
}

/** `4 min`, `4 to 19 min`, `4 min or more`. */
export function minutesText({ shortest, longest }: MinutesSoFar, { hint }: FeatureWords = ENGLISH): string {
  const [low, high] = [numberText(shortest), longest === undefined ? undefined : numberText(longest)];
  if (high === undefined) return hint.minutesOrMore(low);
  return low === high ? hint.minutes(low) : hint.minutesBetween(low, high);
}

function minutesTooltip({ shortest, longest }: MinutesSoFar, approximate: boolean, { hint }: FeatureWords): string {
  const walks = longest === undefined
    ? hint.noLongestWalk(numberText(shortest))
    : shortest === longest
      ? hint.everyWalk(numberText(shortest))
      : hint.walks(numberText(shortest), numberText(longest));
  return [walks, hint.counted, ...(approximate ? [hint.tooLarge] : [])].join(' ');
}

function numberText(minutes: number): string {
  return String(minutes < 10 ? Math.round(minutes * 10) / 10 : Math.round(minutes));
}
