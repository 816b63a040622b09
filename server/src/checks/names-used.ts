/** Every use of a name in a procedure, gathered once for an analysis. */
import { usesInSteps, usesOutsideSteps, type NameUse, type UsesInStep } from '../procedure/names.ts';
import type { CheckContext } from './check.ts';

/** Uses in the steps, each step with how far the places of its uses have moved. */
export function namesInSteps({ procedure }: CheckContext): readonly UsesInStep[] {
  return usesInSteps(procedure);
}

/** Uses outside the steps, at their places. */
export function namesOutsideSteps({ procedure }: CheckContext): readonly NameUse[] {
  return usesOutsideSteps(procedure);
}

/** What is used, as 'kind name', wherever it stands. */
export function usedNames(context: CheckContext): ReadonlySet<string> {
  const used = new Set<string>();
  for (const { uses } of context.once(namesInSteps)) for (const { kind, name } of uses) used.add(`${kind} ${name}`);
  for (const { kind, name } of context.once(namesOutsideSteps)) used.add(`${kind} ${name}`);
  return used;
}
