/** A review put into sentences, section by section: what text and page both show. */
import { ALL_CHECKS } from '../checks/all.ts';
import type { Finding, WitnessStep } from '../findings/finding.ts';
import type { Change, Comparison, Effect, Written } from '../review/change.ts';
import type { Span } from '../text/span.ts';
import { number } from './diagnosis-words.ts';

export interface ReviewItem {
  readonly tone: 'risk' | 'gain' | 'plain';
  readonly sentence: string;
  /** 'error missing-caution', where it is a finding. */
  readonly check?: string;
  readonly walk?: string;
  readonly before?: string;
  readonly after?: string;
  /** Where it is in the later text. */
  readonly span?: Span;
}

export interface ReviewSection {
  readonly title: string;
  readonly items: readonly ReviewItem[];
}

export const REVIEW_CLOSING = 'A program sees what is written, not what was meant. A person who knows the machine decides whether a revision is released.';

/** 'revision 4, released → revision 5, in review'. */
export function reviewIdentity(comparison: Comparison): string {
  const { before, after, renamed } = comparison;
  return renamed && before && after ? `${identity(comparison)}; renamed: the file was ${before.file} and is now ${after.file}` : identity(comparison);
}

function identity({ before, after }: Comparison): string {
  const sheet = (side: Comparison['before']): string => [side?.revision ? `revision ${side.revision}` : 'no revision', ...(side?.status ? [side.status.replaceAll('_', ' ')] : [])].join(', ');
  const name = (after ?? before)?.name ?? '';
  if (before === undefined) return `${name}: new, ${sheet(after)}`;
  if (after === undefined) return `${name}: removed; it was ${sheet(before)}`;
  if (before.revision === undefined && after.revision === undefined && before.status === undefined && after.status === undefined) return name;
  return sheet(before) === sheet(after) ? `${name}, ${sheet(after)} before and now` : `${name}: ${sheet(before)} → ${sheet(after)}`;
}

/** Sections that have something to say, what bears on safety first. */
export function reviewSections(comparison: Comparison): ReviewSection[] {
  const { appeared, gone, changes, minutes, approximate } = comparison;
  const open = appeared.filter((finding) => !finding.accepted);
  const accepted = appeared.filter((finding) => finding.accepted);
  const sections: ReviewSection[] = [
    { title: 'Less safe than before', items: [...effectsOf(comparison, 'risk'), ...open.filter(isSafety).map((finding) => findingItem(finding, 'risk'))] },
    { title: 'Safer than before', items: [...effectsOf(comparison, 'gain'), ...gone.filter((finding) => isSafety(finding) && !finding.accepted).map((finding) => findingItem(finding, 'gain', 'No longer: '))] },
    { title: 'Now accepted as a deviation', items: accepted.map((finding) => findingItem(finding, 'plain')) },
    { title: 'Followed otherwise', items: effectsOf(comparison, 'other') },
    { title: 'Other findings that are new', items: open.filter((finding) => !isSafety(finding)).map((finding) => findingItem(finding, 'plain')) },
    { title: 'Other findings that are gone', items: gone.filter((finding) => !isSafety(finding) && !finding.accepted).map((finding) => findingItem(finding, 'plain', 'No longer: ')) },
    { title: 'Changes that bear on safety', items: changesOf(changes, 'safety') },
    { title: 'Changes of limits, results and order', items: changesOf(changes, 'course') },
    { title: 'Changes of wording', items: changesOf(changes, 'wording') },
  ];
  const remarks: ReviewItem[] = [
    ...(minutes && Math.abs(minutes.before - minutes.after) >= 0.05 ? [plain(`A finding now takes ${number(minutes.after)} minutes on average; before, it took ${number(minutes.before)}.`)] : []),
    ...(approximate ? [plain('There are more walks than can be followed one by one: an effect may be missing here, or be none.')] : []),
  ];
  return [...sections, { title: 'Over all', items: remarks }].filter(({ items }) => items.length > 0);
}

function isSafety({ check, severity }: Finding): boolean {
  return severity !== 'hint' && SAFETY.has(check);
}

const SAFETY = new Set(ALL_CHECKS.filter(({ group }) => group === 'safety').map(({ name }) => name));

function plain(sentence: string): ReviewItem {
  return { tone: 'plain', sentence };
}

function effectsOf({ effects, before: was, after: is }: Comparison, kind: Effect['kind']): ReviewItem[] {
  return effects.filter((effect) => effect.kind === kind).map(({ message, witness, witnessIsBefore, span, before, after }) => ({
    tone: kind === 'other' ? 'plain' : kind, sentence: message, ...(span ? { span } : {}), ...(witness && witness.length > 0 ? { walk: `${witnessIsBefore ? 'Before: ' : ''}${walkText(witness)}` } : {}),
    ...(before ? { before: writtenText(before, was?.file) } : {}), ...(after ? { after: writtenText(after, is?.file) } : {}),
  }));
}

/** 'line 62: at most 5 V', with the name of the file where it is another one. */
function writtenText({ file, line, text }: Written, own: string | undefined): string {
  const place = [...(file === own ? [] : [file.startsWith('catalogue:') ? 'the built-in catalogue' : file.slice(file.lastIndexOf('/') + 1)]), ...(line === undefined ? [] : [`line ${line}`])].join(', ');
  return [place, text ?? 'not there'].filter((part) => part !== '').join(': ');
}

function findingItem(finding: Finding, tone: ReviewItem['tone'], before = ''): ReviewItem {
  return {
    tone, sentence: `${before}${finding.message}`, check: `${finding.severity} ${finding.check}`,
    ...(before === '' ? { span: finding.span } : {}),
    ...(finding.witness && finding.witness.length > 0 && before === '' ? { walk: walkText(finding.witness) } : {}),
  };
}

function changesOf(changes: readonly Change[], bearing: Change['bearing']): ReviewItem[] {
  return changes.filter((change) => change.bearing === bearing).map(({ message, before, after, spanAfter }) => {
    // What the sentence itself says in full is not said again under it.
    const said = (text: string | undefined): text is string => text !== undefined && !message.includes(text);
    return { tone: 'plain', sentence: message, ...(said(before) ? { before } : {}), ...(said(after) ? { after } : {}), ...(spanAfter ? { span: spanAfter } : {}) };
  });
}

function walkText(walk: readonly WitnessStep[]): string {
  return walk.flatMap(({ step, result }) => (result === undefined ? [step] : [step, result])).join(' → ');
}
