/** Two revisions of a file side by side: what is written otherwise, what that does on its walks, and which findings come and go. */
import type { Analysis } from '../analysis/analysis.ts';
import { diagnosisSheet } from '../diagnosis/report.ts';
import { writtenNumbers } from '../diagnosis/what-if.ts';
import type { Finding } from '../findings/finding.ts';
import { compareReadings } from './compare-readings.ts';
import { compareTexts } from './compare-texts.ts';
import { compareWalks, type Walked } from './compare-walks.ts';
import type { Comparison, Effect, Sheet, Written } from './change.ts';
import { LineIndex } from '../text/line-index.ts';
import { procedureLosses, shopLosses } from './less-safe.ts';
import { stepNamesBefore } from './match-steps.ts';

/** The texts of other files of both revisions, so that a place in a shop's file has its line. */
export interface Sources {
  readonly before: (file: string) => string | undefined;
  readonly after: (file: string) => string | undefined;
}

/** Compares two analyses of a file; undefined stands for a file that is not there. Throws for nothing that was written in either. */
export function compareRevisions(before: Analysis | undefined, after: Analysis | undefined, sources?: Sources): Comparison {
  const nameBefore = stepNamesBefore(before?.tree, after?.tree);
  const [was, is] = [walkedOf(before), walkedOf(after)];
  const minutes = was && is ? minutesOf(was, is) : undefined;
  return {
    ...(before ? { before: sheetOf(before) } : {}), ...(after ? { after: sheetOf(after) } : {}),
    effects: withLines(effectsOf(before, after, nameBefore).sort(byKind), before, after, sources),
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

function effectsOf(before: Analysis | undefined, after: Analysis | undefined, nameBefore: (name: string) => string | undefined): Effect[] {
  const [was, is] = [walkedOf(before), walkedOf(after)];
  if (was && is) return [...procedureLosses(was, is, nameBefore), ...compareWalks(was, is, nameBefore), ...readings(was, is, nameBefore)];
  return before?.shop && after?.shop && before.scope && after.scope ? shopLosses(after.file, before.scope, after.scope) : [];
}

/** Places with their lines, where the texts are at hand. */
function withLines(effects: readonly Effect[], before: Analysis | undefined, after: Analysis | undefined, sources: Sources | undefined): Effect[] {
  const place = (written: Written | undefined, lines: (file: string) => LineIndex | undefined): Written | undefined => {
    const index = written && lines(written.file);
    return written && index ? { ...written, line: index.positionAt(written.span.start).line + 1 } : written;
  };
  const [was, is] = [linesOf(before, sources?.before), linesOf(after, sources?.after)];
  return effects.map((effect): Effect => {
    const [a, b] = [place(effect.before, was), place(effect.after, is)];
    return { ...effect, ...(a ? { before: a } : {}), ...(b ? { after: b } : {}) };
  });
}

function linesOf(own: Analysis | undefined, textOf: Sources['before'] | undefined): (file: string) => LineIndex | undefined {
  const known = new Map<string, LineIndex | undefined>(own ? [[own.file, own.lines]] : []);
  return (file) => {
    if (!known.has(file)) {
      const text = textOf?.(file);
      known.set(file, text === undefined ? undefined : new LineIndex(text));
    }
    return known.get(file);
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
    return earlier ? compareReadings({ file: was.procedure.file, step: earlier, scope: was.scope }, { file: is.procedure.file, step, scope: is.scope }) : [];
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
