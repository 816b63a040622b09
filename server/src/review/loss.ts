/** Something that kept people safe and is less than it was: put together from both revisions, and joined where several steps lose the same. */
import type { Quantity } from '../quantity/quantity.ts';
import { compareRational } from '../quantity/rational.ts';
import { quantityDimension } from '../quantity/quantity.ts';
import type { At } from '../procedure/model.ts';
import type { Span } from '../text/span.ts';
import type { Effect, Written } from './change.ts';

export interface Loss {
  /** Of losses with the same key one sentence is made. */
  readonly key: string;
  /** The step that loses it; absent for a declaration, which then names itself in `say`. */
  readonly step?: string;
  /** The sentence, with the steps that lose it as its subject. */
  readonly say: (steps: string, several: boolean) => string;
  readonly before?: Written;
  readonly after?: Written;
  readonly span?: Span;
}

/** One effect for each loss; steps that lose the same are named together, and the first place stands for all. */
export function lossEffects(losses: readonly Loss[]): Effect[] {
  const groups = new Map<string, { readonly first: Loss; readonly steps: string[] }>();
  for (const loss of losses) {
    const group = groups.get(loss.key);
    if (group === undefined) groups.set(loss.key, { first: loss, steps: loss.step === undefined ? [] : [loss.step] });
    else if (loss.step !== undefined && !group.steps.includes(loss.step)) group.steps.push(loss.step);
  }
  return [...groups.values()].map(({ first, steps }): Effect => ({
    kind: 'risk', message: first.say(listed(steps), steps.length > 1), ...(first.before ? { before: first.before } : {}), ...(first.after ? { after: first.after } : {}), ...(first.span ? { span: first.span } : {}),
  }));
}

/** A thing with its place in a file. */
export function written(file: string, item: { readonly span: Span } | undefined, text?: string): Written | undefined {
  return item === undefined ? undefined : { file, span: item.span, ...(text === undefined ? {} : { text: text.replace(/\s+/gu, ' ').trim() }) };
}

/** Whether a quantity is less (or, with `more`, more) than it was, or gone, or of another kind, so that nobody can tell. */
export function isWeaker(before: At<Quantity> | undefined, after: At<Quantity> | undefined, weaker: 'less' | 'more'): boolean {
  if (before === undefined) return false;
  if (after === undefined || quantityDimension(before.value) !== quantityDimension(after.value)) return true;
  const order = compareRational(after.value.base, before.value.base);
  return weaker === 'less' ? order < 0 : order > 0;
}

/** `'a'`, `'b'` and 3 more steps. */
export function listed(steps: readonly string[]): string {
  const quoted = steps.map((step) => `'${step}'`);
  if (quoted.length > MOST_NAMED) return `${quoted.slice(0, MOST_NAMED - 1).join(', ')} and ${quoted.length - MOST_NAMED + 1} more steps`;
  return joined(quoted, 'and');
}

/** a, b and c. */
export function joined(words: readonly string[], last: 'and' | 'or'): string {
  return words.length < 2 ? (words[0] ?? '') : `${words.slice(0, -1).join(', ')} ${last} ${words.at(-1) ?? ''}`;
}

const MOST_NAMED = 5;

/** A name as a person says it. */
export function spoken(name: string): string {
  return name.replaceAll('_', ' ');
}
