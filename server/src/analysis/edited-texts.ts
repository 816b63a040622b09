/**
 * Whether two versions of a procedure differ in nothing but the texts that people read in some of its steps. Then every walk is as it
 * was, and most checks have nothing new to say. It errs on one side only: where it says so, it is so.
 */
import { editedBetween } from '../procedure/build-procedure.ts';
import { originalStep } from '../procedure/moved-step.ts';
import type { Procedure, Prose, Result, Step } from '../procedure/model.ts';
import type { Scope } from '../procedure/scope.ts';
import { hazardsOfStepAlone } from '../flow/hazards.ts';

export interface EditedStep {
  readonly index: number;
  readonly before: Step;
  readonly after: Step;
}

/** The steps that differ; undefined where they are not the same number, or what stands above and below them differs. Places count for nothing. */
export function editedSteps(before: Procedure, after: Procedure): EditedStep[] | undefined {
  if (before === after) return [];
  if (before.steps.length !== after.steps.length || before.afterRepair.length !== after.afterRepair.length) return undefined;
  if (!sameHead(before, after)) return undefined;
  const known = editedBetween(before, after);
  if (known !== undefined) return known.map((index) => ({ index, before: stepAt(before, index), after: stepAt(after, index) }));
  const edited: EditedStep[] = [];
  const compare = (olds: readonly Step[], news: readonly Step[], base: number): void => olds.forEach((old, index) => {
    const other = news[index] as Step;
    if (originalStep(old) !== originalStep(other)) edited.push({ index: base + index, before: old, after: other });
  });
  compare(before.steps, after.steps, 0);
  compare(before.afterRepair, after.afterRepair, before.steps.length);
  return edited;
}

function stepAt({ steps, afterRepair }: Procedure, index: number): Step {
  return (steps[index] ?? afterRepair[index - steps.length]) as Step;
}

/** Whether steps differ in nothing but their texts. */
export function onlyTextsDiffer(steps: readonly EditedStep[], procedure: Procedure, scope: Scope): boolean {
  return steps.every(({ before, after }) => sameButTexts(originalStep(before), originalStep(after), procedure, scope));
}

/** Everything declared above and below the steps. */
function sameHead(before: Procedure, after: Procedure): boolean {
  return (Object.keys(before) as (keyof Procedure)[]).every((key) =>
    NOT_OF_THE_HEAD.has(key) || before[key] === after[key] || same(before[key], after[key]));
}

const NOT_OF_THE_HEAD = new Set<keyof Procedure>(['steps', 'afterRepair', 'problems', 'span', 'stepsSpan', 'purposeSpan']);
const TEXTS = ['title', 'question', 'text', 'why', 'note'] as const satisfies readonly (keyof Step)[];

function sameButTexts(before: Step, after: Step, procedure: Procedure, scope: Scope): boolean {
  if (!same(skeleton(before), skeleton(after))) return false;
  const textsBefore = textsOf(before);
  const textsAfter = textsOf(after);
  return textsBefore.length === textsAfter.length
    && textsBefore.every((text, index) => same(namesIn(text, procedure), namesIn(textsAfter[index], procedure)))
    && same(hazardsOfStepAlone(before, scope), hazardsOfStepAlone(after, scope));
}

/** A step without what its texts say; that there is a text remains. */
function skeleton(step: Step): object {
  const texts = Object.fromEntries(TEXTS.map((key) => [key, step[key] !== undefined]));
  return { ...step, ...texts, actions: step.actions.length, results: step.results.map((result) => skeletonOfResult(result, step.results)) };
}

function skeletonOfResult(result: Result, all: readonly Result[]): object {
  const { way } = result;
  // Which of the results refer alike: that two of them differ can be all that a step proves.
  const refers = way.kind === 'refer' ? all.findIndex((other) => other.way.kind === 'refer' && other.way.text.value === way.text.value) : undefined;
  return { ...result, says: result.says !== undefined, way: way.kind === 'refer' ? way.kind : way, refers };
}

/** The texts of a step, in one order. */
export function textsOf(step: Step): (Prose | undefined)[] {
  const { title, question, text, why, note, actions, results } = step;
  return [title, question, text, why, note, ...actions, ...results.map((result) => result.says), ...results.map(({ way }) => (way.kind === 'refer' ? way.text : undefined))];
}

/** What a text speaks of by name: values in braces, and the ids of references. */
function namesIn(prose: Prose | undefined, { references }: Procedure): string[] {
  if (prose === undefined) return [];
  const braces = prose.value.match(/\{[^{}]*\}/gu) ?? [];
  return [...braces, ...references.flatMap(({ id }) => (id.value !== '' && prose.value.includes(id.value) ? [surroundings(prose.value, id.value)] : []))];
}

/** An id counts where it stands whole: what is beside it tells. */
function surroundings(text: string, id: string): string {
  return text.split(id).map((part) => part.slice(0, 1) + part.slice(-1)).join(id);
}

/** Deep equality that passes over places. */
function same(a: unknown, b: unknown): boolean {
  if (a === b) return true;
  if (typeof a !== 'object' || typeof b !== 'object' || a === null || b === null) return typeof a === 'function' && typeof b === 'function';
  if (Array.isArray(a)) return Array.isArray(b) && a.length === b.length && a.every((item, index) => same(item, b[index]));
  if (Array.isArray(b)) return false;
  const one = a as Record<string, unknown>;
  const other = b as Record<string, unknown>;
  const keys = Object.keys(one);
  return keys.length === Object.keys(other).length && keys.every((key) => {
    if (key === 'span' || key === 'node' || key === 'kindSpan' || key === 'cautionsSpan' || key === 'resultsSpan') return (one[key] === undefined) === (other[key] === undefined);
    return key in other && same(one[key], other[key]);
  });
}
