/** Which readings an expression uses, and where. */
import type { Band, Expression } from '../quantity/expression.ts';
import type { Procedure, Step } from '../procedure/model.ts';
import { distanceMoved, originalStep } from '../procedure/moved-step.ts';
import type { ScalarNode } from '../syntax/tree.ts';
import type { Span } from '../text/span.ts';

export interface ReadingUse {
  /** Index of the step that uses it. */
  readonly user: number;
  /** As written: `supply`, `return_drop.chassis`. */
  readonly text: string;
  /** Index of the step that takes it. */
  readonly taker: number;
  /** The part after the dot. */
  readonly part: string | undefined;
  readonly span: Span;
}

/** Every use of a reading in the bands, decisions and seeks of a procedure; names of facts and shop values are not among them. */
export function readingUses(procedure: Procedure): readonly ReadingUse[] {
  let uses = usesKnown.get(procedure);
  if (uses === undefined) usesKnown.set(procedure, (uses = findUses([...procedure.steps, ...procedure.afterRepair])));
  return uses;
}

const usesKnown = new WeakMap<Procedure, readonly ReadingUse[]>();

function findUses(steps: readonly Step[]): ReadingUse[] {
  const takers = new Map<string, number>();
  steps.forEach((moved, index) => {
    const step = originalStep(moved);
    if (step.name && (step.kind === 'measure' || step.kind === 'run') && !takers.has(step.name.value)) takers.set(step.name.value, index);
  });
  const found: ReadingUse[] = [];
  steps.forEach((step, user) => {
    const by = distanceMoved(step);
    for (const { name, span } of namesUsed(originalStep(step))) {
      const dot = name.indexOf('.');
      const taker = takers.get(dot < 0 ? name : name.slice(0, dot));
      if (taker === undefined) continue;
      const part = dot < 0 ? undefined : name.slice(dot + 1).split('.')[0];
      found.push({ user, text: name, taker, part, span: by === 0 ? span : { start: span.start + by, end: span.end + by } });
    }
  });
  return found;
}

/** For each step whose reading is used, the steps that use it. */
export function usersByTaker(uses: readonly ReadingUse[]): Map<number, Set<number>> {
  const users = new Map<number, Set<number>>();
  for (const { taker, user } of uses) {
    const known = users.get(taker);
    if (known) known.add(user);
    else users.set(taker, new Set([user]));
  }
  return users;
}

/** Every name in the expressions of a step, with its place in the file. */
export function namesUsed(step: Step): readonly { readonly name: string; readonly span: Span }[] {
  let names = namesKnown.get(step);
  if (names === undefined) namesKnown.set(step, (names = findNames(step)));
  return names;
}

const namesKnown = new WeakMap<Step, readonly { readonly name: string; readonly span: Span }[]>();

function findNames(step: Step): { readonly name: string; readonly span: Span }[] {
  const found: { name: string; span: Span }[] = [];
  const collect = (expression: Expression, node: ScalarNode | undefined, fallback: Span): void => {
    forEachName(expression, (name, span) => {
      found.push({ name, span: node ? { start: node.offsetAt(span.start), end: node.offsetAt(span.end) } : fallback });
    });
  };
  const collectBand = (band: Band | undefined, node: ScalarNode | undefined, fallback: Span): void => {
    for (const expression of boundsOf(band)) collect(expression, node, fallback);
  };
  for (const { when } of step.results) if (when?.kind === 'band') collectBand(when.band, when.node, when.span);
  if (step.seek) collectBand(step.seek.band, step.seek.node, step.seek.span);
  if (step.decide?.expression) collect(step.decide.expression, step.decide.node, step.decide.span);
  return found;
}

/** The expressions in a band. */
export function boundsOf(band: Band | undefined): Expression[] {
  if (band?.kind !== 'conditions') return [];
  return band.conditions.flatMap(({ comparison }) => {
    switch (comparison.kind) {
      case 'shows':
        return [];
      case 'between':
        return [comparison.low, comparison.high];
      default:
        return [comparison.bound];
    }
  });
}

function forEachName(expression: Expression, visit: (name: string, span: Span) => void): void {
  switch (expression.kind) {
    case 'quantity':
      return;
    case 'name':
      visit(expression.name, expression.span);
      return;
    case 'negative':
      forEachName(expression.of, visit);
      return;
    case 'call':
      for (const argument of expression.arguments) forEachName(argument, visit);
      return;
    default:
      forEachName(expression.left, visit);
      forEachName(expression.right, visit);
  }
}
