/** Which readings an expression uses, and where. */
import type { Band, Expression } from '../quantity/expression.ts';
import type { Procedure, Step } from '../procedure/model.ts';
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
export function readingUses(procedure: Procedure): ReadingUse[] {
  const steps = [...procedure.steps, ...procedure.afterRepair];
  const takers = new Map<string, number>();
  steps.forEach((step, index) => {
    if (step.name && (step.kind === 'measure' || step.kind === 'run') && !takers.has(step.name.value)) takers.set(step.name.value, index);
  });
  return steps.flatMap((step, user) =>
    namesUsed(step).flatMap(({ name, span }) => {
      const [head = '', part] = name.split('.');
      const taker = takers.get(head);
      return taker === undefined ? [] : [{ user, text: name, taker, part, span }];
    }),
  );
}

/** The steps that use the reading of one step. */
export function usersOf(uses: readonly ReadingUse[], taker: number): Set<number> {
  return new Set(uses.flatMap((use) => (use.taker === taker ? [use.user] : [])));
}

/** Every name in the expressions of a step, with its place in the file. */
export function namesUsed(step: Step): { readonly name: string; readonly span: Span }[] {
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
