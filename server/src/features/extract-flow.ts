/**
 * Whether steps can become a procedure of their own: it begins at one place, ends at one place or with a finding, and proves on
 * the way what all its walks prove. Looks at the flow between steps alone; texts and names are for extract-steps.ts.
 */
import type { Procedure, Result, Step, WayOn } from '../procedure/model.ts';

/** How the steps go on when they are through. */
export type GoesOn =
  /** With the step behind them. */
  | { readonly kind: 'next' }
  | { readonly kind: 'go'; readonly step: string }
  /** The whole procedure ends without a fault. */
  | { readonly kind: 'passes' };

export interface ExtractedFlow {
  /** Undefined where each walk ends with a finding or a referral. */
  readonly goesOn: GoesOn | undefined;
  /** Faults that some result of the steps finds, in order. */
  readonly finds: readonly string[];
  /** Defects that they raise. */
  readonly raises: readonly string[];
  readonly refers: boolean;
  /** Faults that every walk through the steps has ruled out when it goes on. */
  readonly rulesOut: readonly string[];
}

/** The flow of the selected steps; or why they cannot be a procedure of their own. */
export function extractedFlow(procedure: Procedure, selected: readonly Step[]): ExtractedFlow | { readonly problem: string } {
  const names = new Set(selected.map(nameOf));
  const first = selected[0] as Step;
  const into = [...procedure.steps, ...procedure.afterRepair].find(
    (step) => !selected.includes(step) && targetsOf(step).some((target) => names.has(target) && target !== nameOf(first)),
  );
  if (into !== undefined) {
    const target = targetsOf(into).find((name) => names.has(name) && name !== nameOf(first)) ?? '';
    return {
      problem: `'${nameOf(into)}' goes to '${target}', in the middle of these steps. A procedure that is run begins at its first step, '${nameOf(first)}'.`,
    };
  }
  const after = procedure.steps[procedure.steps.indexOf(selected.at(-1) as Step) + 1];
  const waysOn = new Map<string, GoesOn>();
  const take = (way: GoesOn): void => void waysOn.set(way.kind === 'go' ? `go ${way.step}` : way.kind, way);
  for (const [step, way] of leavingWays(selected)) {
    if (way.kind === 'passes') take({ kind: 'passes' });
    else if (way.kind === 'go' && !names.has(way.step.value))
      take(way.step.value === after?.name?.value ? { kind: 'next' } : { kind: 'go', step: way.step.value });
    else if (way.kind === 'next' && step === selected.at(-1)) take({ kind: 'next' });
  }
  // A step that is passed over goes to the next in the list.
  if ((selected.at(-1) as Step).onlyIf.length > 0) take({ kind: 'next' });
  if (waysOn.size > 1) {
    const places = [...waysOn.values()].map((way) =>
      way.kind === 'next'
        ? `to '${after?.name?.value ?? 'the next step'}'`
        : way.kind === 'go'
          ? `to '${way.step}'`
          : 'to the end, without a fault',
    );
    return {
      problem: `These steps go on in ${places.length} places: ${places.slice(0, -1).join(', ')} and ${places.at(-1) ?? ''}. A procedure that is run can only hand back that it passed, and to which of them it goes would be lost.`,
    };
  }
  const raises = [
    ...new Set(selected.flatMap((step) => step.results.flatMap((result) => (result.raises ? [result.raises.value] : [])))),
  ];
  if (selected.flatMap((step) => step.results).filter((result) => result.raises).length > 1) {
    return { problem: `These steps raise several defects. A procedure that is run hands back one; the others would be lost.` };
  }
  const goesOn = [...waysOn.values()][0];
  if (goesOn === undefined || goesOn.kind === 'passes' || after !== undefined || goesOn.kind === 'go') {
    return {
      goesOn,
      finds: findsOf(selected),
      raises,
      refers: selected.some((step) => step.results.some(({ way }) => way.kind === 'refer')),
      rulesOut: goesOn === undefined || goesOn.kind === 'passes' ? [] : ruledOutBehind(procedure, selected),
    };
  }
  return { problem: `The last of these steps leads nowhere. Say first where it goes on.` };
}

/** Names that a step's own `go` or those of its results name. */
export function targetsOf(step: Step): string[] {
  return [...(step.go ? [step.go.value] : []), ...step.results.flatMap(({ way }) => (way.kind === 'go' ? [way.step.value] : []))];
}

export function nameOf(step: Step): string {
  return step.name?.value ?? '';
}

/** Each way on of each step: of its results, or its own where it has none. */
function leavingWays(steps: readonly Step[]): (readonly [Step, WayOn])[] {
  return steps.flatMap((step) =>
    step.results.length > 0 ? step.results.map(({ way }) => [step, way] as const) : [[step, ownWay(step)] as const],
  );
}

function ownWay(step: Step): WayOn {
  return step.go ? { kind: 'go', step: step.go, span: step.go.span } : { kind: 'next', span: step.span };
}

function findsOf(steps: readonly Step[]): string[] {
  return [
    ...new Set(
      steps.flatMap((step) =>
        step.results.flatMap(({ way }) => (way.kind === 'finds' || way.kind === 'by_elimination' ? [way.fault.value] : [])),
      ),
    ),
  ];
}

/** Of all walks that leave these steps, the faults that each of them has ruled out: a search that only ever takes away. */
export function ruledOutBehind(procedure: Procedure, selected: readonly Step[]): string[] {
  const all = procedure.faults.map((fault) => fault.name.value);
  const position = new Map(selected.map((step, index) => [nameOf(step), index]));
  // Undefined: no walk has arrived yet.
  const arriving: (ReadonlySet<string> | undefined)[] = selected.map((_, index) => (index === 0 ? new Set<string>() : undefined));
  let atEnd: ReadonlySet<string> | undefined;
  const meet = (a: ReadonlySet<string> | undefined, b: ReadonlySet<string>): ReadonlySet<string> =>
    a === undefined ? b : new Set([...a].filter((name) => b.has(name)));
  let changed = true;
  const arrive = (index: number | undefined, faults: ReadonlySet<string>): void => {
    if (index === undefined || index >= selected.length) {
      atEnd = meet(atEnd, faults);
      return;
    }
    const met = meet(arriving[index], faults);
    if (met.size !== arriving[index]?.size) changed = true;
    arriving[index] = met;
  };
  while (changed) {
    changed = false;
    selected.forEach((step, index) => {
      const before = arriving[index];
      if (before === undefined) return;
      if (step.onlyIf.length > 0) arrive(index + 1, before);
      const leave = (way: WayOn, faults: ReadonlySet<string>): void => {
        if (way.kind === 'next') arrive(index + 1, faults);
        else if (way.kind === 'go') arrive(position.get(way.step.value), faults);
        else if (way.kind === 'passes') arrive(undefined, faults);
      };
      if (step.results.length === 0) leave(ownWay(step), before);
      for (const result of step.results) leave(result.way, new Set([...before, ...excludedBy(result, all)]));
    });
  }
  return atEnd === undefined ? [] : all.filter((name) => (atEnd as ReadonlySet<string>).has(name));
}

function excludedBy(result: Result, all: readonly string[]): string[] {
  const left = result.leaves?.map((name) => name.value);
  return [
    ...result.rulesOut.map((name) => name.value),
    ...(left === undefined ? [] : all.filter((name) => !left.includes(name))),
  ];
}
