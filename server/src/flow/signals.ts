/** The gravest thing a step warns of: what a drawing shows as a tab. */
import type { Caution, Step } from '../procedure/model.ts';
import type { Scope } from '../procedure/scope.ts';

const GRAVITY = ['danger', 'warning', 'caution', 'notice'];

/** The signal words of a step's cautions, the gravest first, each once. */
export function signalsOf(step: Step, scope: Scope | undefined): string[] {
  const found = new Set<string>();
  for (const use of step.cautions) {
    const caution: Caution | undefined = use.kind === 'written' ? use.caution : scope?.cautions.get(use.name.value)?.item;
    if (caution?.signal) found.add(caution.signal.value);
  }
  return [...found].sort((a, b) => GRAVITY.indexOf(a) - GRAVITY.indexOf(b));
}
