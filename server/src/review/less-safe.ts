/** What kept people safe and is less than it was: steps, and the declarations that the procedure or the shop's file makes. */
import type { Declared } from '../procedure/scope.ts';
import { limitsAreKnown } from './compare-readings.ts';
import type { Effect } from './change.ts';
import { lossEffects, written, type Loss } from './loss.ts';
import { declarationLosses, type DeclarationKind } from './weaker-declarations.ts';
import { stepLosses, type Revision } from './weaker-steps.ts';
import type { Scope } from '../procedure/scope.ts';
import { whenText } from './tree-text.ts';

/** Of a procedure: its steps, and every declaration that it uses, wherever that is written. */
export function procedureLosses(before: Revision, after: Revision, nameBefore: (name: string) => string | undefined): Effect[] {
  const uses = usedDeclarations(before);
  return lossEffects([
    ...stepLosses(before, after, nameBefore), ...unknownLimits(before, after, nameBefore),
    ...declarationLosses(before.scope, after.scope, (kind, was, is, name) => {
      // A procedure that no longer has what it declared for itself may no longer need it; what the steps lose by that, they say.
      if (is === undefined) return was.origin === 'shop' && uses[kind].has(name);
      return kind === 'hazards' || kind === 'faults' || was.origin === 'procedure' || uses[kind].has(name);
    }),
  ]);
}

/** Of a shop's file: all that it declares itself. */
export function shopLosses(file: string, before: Scope, after: Scope): Effect[] {
  const own = (declared: Declared<unknown> | undefined): boolean => declared?.file === file;
  return lossEffects(declarationLosses(before, after, (_, was, is) => own(was) || own(is)));
}

/** The names that the steps of a procedure use, and those that these use in turn. */
function usedDeclarations({ procedure, scope }: Revision): Readonly<Record<DeclarationKind, ReadonlySet<string>>> {
  const used: Record<DeclarationKind, Set<string>> = { states: new Set(), circuits: new Set(), instruments: new Set(), hazards: new Set(), cautions: new Set(), faults: new Set() };
  for (const step of [...procedure.steps, ...procedure.afterRepair]) {
    for (const { state } of [...step.needs, ...step.during, ...step.sets, ...step.onlyIf, ...step.results.flatMap(({ sets }) => sets)]) used.states.add(state.value);
    for (const circuit of [step.circuit, step.provesDead]) if (circuit) used.circuits.add(circuit.value);
    if (step.instrument) used.instruments.add(step.instrument.value);
    for (const use of step.cautions) if (use.kind === 'named') used.cautions.add(use.name.value);
  }
  for (const circuit of used.circuits) for (const { state } of (scope.circuits.get(circuit)?.item.deadWhen ?? []).flat()) used.states.add(state.value);
  return used;
}

/** Limits of a proof that have changed and cannot be compared, since a value in them is known only when it is run. */
function unknownLimits(before: Revision, after: Revision, nameBefore: (name: string) => string | undefined): Loss[] {
  const earlier = new Map([...before.procedure.steps, ...before.procedure.afterRepair].map((step) => [step.name?.value, step]));
  return [...after.procedure.steps, ...after.procedure.afterRepair].flatMap((is): Loss[] => {
    const was = is.name && earlier.get(nameBefore(is.name.value));
    if (!was || was.kind !== 'measure' || is.kind !== 'measure') return [];
    if (was.provesDead === undefined && !was.results.some(({ way, raises }) => way.kind === 'passes' || raises)) return [];
    const [a, b] = [{ file: before.procedure.file, step: was, scope: before.scope }, { file: after.procedure.file, step: is, scope: after.scope }];
    if (limitsAreKnown(a) && limitsAreKnown(b)) return [];
    const text = (step: typeof is): string => step.results.map(({ when }) => (when?.kind === 'band' && when.node ? whenText(when.node) : when?.text ?? '')).join('; ');
    if (text(was) === text(is)) return [];
    const [from, to] = [written(before.procedure.file, was.results[0]?.when ?? was, text(was)), written(after.procedure.file, is.results[0]?.when ?? is, text(is))];
    return [{
      key: `limits ${text(was)} ${text(is)}`, step: is.name?.value ?? '', say: (steps) => `The limits of ${steps} have changed, and a value in them is known only at the machine: whether they let more through, a person must judge.`,
      ...(from ? { before: from } : {}), ...(to ? { after: to } : {}), span: is.name?.span ?? is.span,
    }];
  });
}
