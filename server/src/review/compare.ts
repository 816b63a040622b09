/** Two revisions of a file side by side: what is written otherwise, what that does on its walks, and which findings come and go. */
import type { Analysis } from '../analysis/analysis.ts';
import { diagnosisSheet } from '../diagnosis/report.ts';
import { writtenNumbers } from '../diagnosis/what-if.ts';
import type { Finding } from '../findings/finding.ts';
import { compareReadings } from './compare-readings.ts';
import { compareTexts } from './compare-texts.ts';
import { compareWalks, type Walked } from './compare-walks.ts';
import type { Comparison, Effect, Sheet } from './change.ts';
import { stepNamesBefore } from './match-steps.ts';

/** Compares two analyses of a file; undefined stands for a file that is not there. Throws for nothing that was written in either. */
export function compareRevisions(before: Analysis | undefined, after: Analysis | undefined): Comparison {
  const nameBefore = stepNamesBefore(before?.tree, after?.tree);
  const [was, is] = [walkedOf(before), walkedOf(after)];
  const minutes = was && is ? minutesOf(was, is) : undefined;
  return {
    ...(before ? { before: sheetOf(before) } : {}), ...(after ? { after: sheetOf(after) } : {}),
    effects: was && is ? [...compareWalks(was, is, nameBefore), ...readings(was, is, nameBefore)].sort(byKind) : [],
    ...findingsOf(before?.findings ?? [], after?.findings ?? [], nameBefore),
    changes: compareTexts(before?.tree, after?.tree, nameBefore),
    ...(minutes ? { minutes } : {}),
    approximate: was?.exploration.approximate === true || is?.exploration.approximate === true,
  };
}

/** Whether a person who reviews the change has anything to look at. */
export function saysNothing({ effects, appeared, gone, changes, before, after }: Comparison): boolean {
  return before !== undefined && after !== undefined && effects.length + appeared.length + gone.length + changes.length === 0;
}

function walkedOf(analysis: Analysis | undefined): Walked | undefined {
  const { procedure, scope, exploration } = analysis ?? {};
  return procedure && scope && exploration ? { procedure, scope, exploration } : undefined;
}

function sheetOf({ file, procedure, shop }: Analysis): Sheet {
  const name = procedure?.name?.value ?? file.slice(file.lastIndexOf('/') + 1);
  return {
    file, name, title: procedure?.title?.value ?? shop?.title?.value ?? name,
    ...(procedure?.revision ? { revision: procedure.revision.value } : {}), ...(procedure?.status ? { status: procedure.status.value } : {}),
  };
}

const ORDER: Readonly<Record<Effect['kind'], number>> = { risk: 0, other: 1, gain: 2 };

function byKind(a: Effect, b: Effect): number {
  return ORDER[a.kind] - ORDER[b.kind];
}

function readings(was: Walked, is: Walked, nameBefore: (name: string) => string | undefined): Effect[] {
  const steps = new Map([...was.procedure.steps, ...was.procedure.afterRepair].map((step) => [step.name?.value, step]));
  return [...is.procedure.steps, ...is.procedure.afterRepair].flatMap((step) => {
    const earlier = step.name && steps.get(nameBefore(step.name.value));
    return earlier ? compareReadings({ step: earlier, scope: was.scope }, { step, scope: is.scope }) : [];
  });
}

/** A finding is the same where its check, step, subject and message are; what is left over of each side has come or gone. */
function findingsOf(before: readonly Finding[], after: readonly Finding[], nameBefore: (name: string) => string | undefined): Pick<Comparison, 'appeared' | 'gone'> {
  const counts = new Map<string, Finding[]>();
  const key = ({ check, step, subject, message, accepted }: Finding): string => JSON.stringify([check, step, subject, message, accepted !== undefined]);
  for (const finding of before) counts.set(key(finding), [...(counts.get(key(finding)) ?? []), finding]);
  const appeared = after.filter((finding) => {
    const earlier = finding.step === undefined ? undefined : nameBefore(finding.step);
    const named = earlier === undefined || earlier === finding.step ? finding : { ...finding, step: earlier, message: finding.message.replaceAll(`'${finding.step ?? ''}'`, `'${earlier}'`) };
    return counts.get(key(named))?.shift() === undefined;
  });
  return { appeared, gone: [...counts.values()].flat() };
}

function minutesOf(was: Walked, is: Walked): Comparison['minutes'] {
  const minutes = ({ procedure, exploration }: Walked): number | undefined =>
    procedure.faults.length === 0 || procedure.steps.length === 0 || procedure.purpose === 'inspection' ? undefined : writtenNumbers(diagnosisSheet(procedure, exploration)).minutes;
  const [before, after] = [minutes(was), minutes(is)];
  return before === undefined || after === undefined ? undefined : { before, after };
}
