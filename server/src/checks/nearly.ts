/** What the results do say of a fault that no result finds. */
import type { Procedure } from '../procedure/model.ts';
import { listed } from './edits.ts';

/** 'It is only ever excluded, at …' or 'No result speaks of it.' */
export function nearlyReached(procedure: Procedure, fault: string): string {
  const steps = [...procedure.steps, ...procedure.afterRepair];
  const excluding = steps.filter((step) => step.results.some((result) => result.rulesOut.some((name) => name.value === fault)));
  if (excluding.length > 0) return `It is only ever excluded, at ${listed(excluding.map((step) => `'${step.name?.value ?? ''}'`))}.`;
  const leaving = steps.filter((step) => step.results.some((result) => result.leaves?.some((name) => name.value === fault)));
  if (leaving.length > 0) return `It is left possible at ${listed(leaving.map((step) => `'${step.name?.value ?? ''}'`))}, and nothing follows that tells it from the others.`;
  return 'No result speaks of it.';
}
