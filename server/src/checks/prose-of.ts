/** The texts of a procedure that a person reads, each with what it belongs to: the ground of the wording checks. */
import type { Prose, Step } from '../procedure/model.ts';
import type { Span } from '../text/span.ts';
import { allSteps, stepsLookedAt, type CheckContext } from './check.ts';

/** What a text is: an action of `do`, the question of `ask` … */
export type ProseKind =
  | 'title' | 'complaint' | 'step title' | 'action' | 'question' | 'text' | 'why' | 'note' | 'photo' | 'answer' | 'says' | 'refer' | 'remedy' | 'fault title'
  | 'caution' | 'place' | 'point title' | 'change';

export interface ProseAt {
  readonly kind: ProseKind;
  readonly text: string;
  readonly prose: Prose;
  readonly step: Step | undefined;
  /** Another name it belongs to: a fault, a caution. */
  readonly subject?: string;
}

/** Every text, in the order of the file as far as its parts go; gathered once for an analysis. */
export function proseOf(context: CheckContext): readonly ProseAt[] {
  return context.once(gatherProse);
}

function gatherProse(context: CheckContext): ProseAt[] {
  const { procedure } = context;
  const found: ProseAt[] = [];
  const add = (kind: ProseKind, prose: Prose | undefined, step?: Step, subject?: string): void => {
    if (prose !== undefined) found.push({ kind, text: prose.value, prose, step, ...(subject === undefined ? {} : { subject }) });
  };
  if (context.only !== undefined) {
    for (const [, step] of stepsLookedAt(context)) addStep(step, add);
    return found;
  }
  add('title', procedure.title);
  add('complaint', procedure.complaint);
  for (const state of procedure.states) for (const change of state.changes) for (const action of change.do) add('change', action, undefined, state.name.value);
  for (const caution of procedure.cautions) {
    for (const part of [caution.hazard, caution.consequence, caution.avoid]) add('caution', part, undefined, caution.name.value);
  }
  for (const fault of procedure.faults) {
    add('fault title', fault.title, undefined, fault.name.value);
    add('remedy', fault.remedy, undefined, fault.name.value);
  }
  for (const step of allSteps(procedure)) addStep(step, add);
  return found;
}

function addStep(step: Step, add: (kind: ProseKind, prose: Prose | undefined, step: Step) => void): void {
  add('step title', step.title, step);
  for (const action of step.actions) add('action', action, step);
  add('question', step.question, step);
  add('text', step.text, step);
  add('why', step.why, step);
  add('note', step.note, step);
  add('photo', step.photo, step);
  for (const use of step.cautions) {
    if (use.kind !== 'written') continue;
    for (const part of [use.caution.hazard, use.caution.consequence, use.caution.avoid]) add('caution', part, step);
  }
  for (const probe of step.at) add('place', probe.place, step);
  for (const point of step.atEach) {
    add('point title', point.title, step);
    for (const probe of point.at) add('place', probe.place, step);
  }
  for (const result of step.results) {
    if (result.when?.kind === 'answer') add('answer', { value: result.when.text, span: result.when.span }, step);
    add('says', result.says, step);
    if (result.way.kind === 'refer') add('refer', result.way.text, step);
  }
}

/** The texts of one step. */
export function proseOfStep(step: Step): ProseAt[] {
  const found: ProseAt[] = [];
  addStep(step, (kind, prose) => {
    if (prose !== undefined) found.push({ kind, text: prose.value, prose, step });
  });
  return found;
}

/** A place inside a text, in the file. */
export function placeInProse(prose: Prose, start: number, end: number): Span {
  const { node } = prose;
  if (node === undefined) {
    // An answer's text is written as it stands, unless it is quoted or folded.
    return prose.span.end - prose.span.start === prose.value.length ? { start: prose.span.start + start, end: prose.span.start + end } : prose.span;
  }
  const from = node.offsetAt(start);
  // The end is the end of the last character, not the start of the next one: a folded line may lie between.
  const to = end > start ? node.offsetAt(end - 1) + 1 : from;
  return { start: from, end: Math.max(from, to) };
}

/** What a report says of its place in the procedure. */
export function ownerOf(at: ProseAt): { step?: string; subject?: string } {
  return { ...(at.step?.name ? { step: at.step.name.value } : {}), ...(at.subject === undefined ? {} : { subject: at.subject }) };
}
