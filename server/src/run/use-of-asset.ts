/**
 * What the ending of a run means for the use of the asset, in plain words. It never says more than the procedure has shown: an
 * inspection has a verdict only where it was gone through to its passing end. Grades as Directive 2014/45/EU has them (from memory):
 * dangerous, a direct and immediate risk; major, may prejudice safety; minor, no significant effect on safety.
 */
import { andList, plainWords, uncapitalised } from './texts.ts';
import type { Defect, Walk } from './walk-state.ts';

export type InspectionVerdict = 'no_defect' | 'minor' | 'major' | 'dangerous';

/** Of an inspection that came to its passing end: the worst grade raised. A defect without a grade counts as major. Else undefined. */
export function verdictOf(walk: Walk): InspectionVerdict | undefined {
  if (walk.document.procedure.purpose !== 'inspection' || walk.outcome?.kind !== 'passed') return undefined;
  const grades = walk.defects.map(gradeOf);
  if (grades.includes('dangerous')) return 'dangerous';
  if (grades.includes('major')) return 'major';
  return grades.length > 0 ? 'minor' : 'no_defect';
}

/** One to four sentences: whether the asset may be used, what must be done first, and what was not shown. Empty while there is no ending. */
export function useOfAsset(walk: Walk): string {
  return useLines(walk).join(' ');
}

/** The same, one thing a line, the gravest first. */
export function useLines(walk: Walk): string[] {
  const { outcome } = walk;
  if (outcome === undefined) return [];
  const sentences = defectSentences(walk.defects);
  if (walk.document.procedure.purpose === 'inspection' && outcome.kind === 'passed') {
    return sentences.length > 0 ? sentences : ['No defect found by this inspection. It speaks of what it looked at, and of nothing else.'];
  }
  return [...sentences, ...endingSentences(walk)];
}

/** The worst grade first. */
function defectSentences(defects: readonly Defect[]): string[] {
  const named = (grade: string): string => andList([...new Set(defects.filter((one) => (one.grade ?? 'none') === grade).map((one) => uncapitalised(one.title)))]);
  const sentences: string[] = [];
  if (named('dangerous')) sentences.push(`Dangerous: ${named('dangerous')}. The asset must not be used or driven until this is repaired.`);
  if (named('major')) sentences.push(`Major: ${named('major')}. The asset is not to be used or driven until this is repaired.`);
  if (named('none')) sentences.push(`Without a grade: ${named('none')}. The asset is not to be used until the person responsible has graded it.`);
  if (named('minor')) {
    const worse = defects.some((one) => one.grade !== 'minor');
    sentences.push(`Minor: ${named('minor')}. ${worse ? 'By this alone it might be used; repair is due.' : 'The asset may be used; repair is due.'}`);
  }
  return sentences;
}

function endingSentences(walk: Walk): string[] {
  const outcome = walk.outcome as NonNullable<Walk['outcome']>;
  const { purpose } = walk.document.procedure;
  const unfinished = purpose === 'inspection'
    ? 'The inspection did not come to its end: it does not show that the asset is safe to use or to work on.'
    : 'Not completed. Nothing was shown about its use.';
  switch (outcome.kind) {
    case 'stopped':
      return [unfinished];
    case 'no_way_on':
      return [unfinished, 'The procedure gave no way on: tell who wrote it.'];
    case 'referred':
      return purpose === 'inspection'
        ? [`Referred, not passed. ${unfinished} Do not go on as if it had passed until what it was referred for is settled.`]
        : ['Referred: the cause is not yet found, and the fault remains. The person responsible says whether the asset may be used.'];
    case 'repaired':
      return ['Repaired, and the repair proved by the steps of the procedure.'];
    case 'found':
      return [foundSentence(walk)];
    case 'passed':
      return ['No fault found by this procedure.'];
  }
}

function foundSentence(walk: Walk): string {
  const outcome = walk.outcome as NonNullable<Walk['outcome']>;
  if (outcome.remedyCarriedOut) return 'Repaired, and the repair not proved.';
  const fault = walk.frames[0]?.sheet.faults.find((one) => one.name === outcome.fault);
  const remains = `Not repaired: ${uncapitalised(fault?.title ?? plainWords(outcome.fault ?? ''))} remains.`;
  switch (fault?.grade) {
    case 'dangerous':
      return `${remains} It is dangerous: the asset must not be used or driven until it is repaired.`;
    case 'major':
      return `${remains} It is a major defect: the asset is not to be used or driven until it is repaired.`;
    case 'minor':
      return `${remains} It is a minor defect: the asset may be used; repair is due.`;
    default:
      return `${remains} The person responsible says whether the asset may be used.`;
  }
}

function gradeOf(defect: Defect): 'minor' | 'major' | 'dangerous' {
  return defect.grade ?? 'major';
}
