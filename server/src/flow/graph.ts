/**
 * The flow as it is drawn: the start, a node for each step, an ending for each kind, and the ways between them in the writer's words. It knows
 * nothing of shapes or places; render/ draws it.
 */
import type { Caution, Procedure, Step } from '../procedure/model.ts';
import type { Scope } from '../procedure/scope.ts';
import type { Span } from '../text/span.ts';
import type { Program, Way } from './program.ts';

export interface GraphNode {
  /** `start`, the step's name, or `end:…`. */
  readonly id: string;
  readonly kind: 'start' | 'do' | 'ask' | 'measure' | 'decide' | 'run' | 'unknown' | 'finds' | 'refer' | 'passes' | 'nowhere';
  readonly section: 'steps' | 'after_repair' | 'ending' | 'start';
  /** Its first line: the step's title, or its question, quantity or first action. */
  readonly title: string;
  /** Further lines: the other actions. */
  readonly lines: readonly string[];
  /** Of a measure: quantity word and instrument's title. */
  readonly quantity?: string;
  readonly instrument?: string;
  /** Of a `run`: the procedure. */
  readonly runs?: string;
  /** Signal words of its cautions, the gravest first. */
  readonly signals: readonly string[];
  /** The step's place in the text. */
  readonly span?: Span;
  /** Order of writing, for the main line; endings have none. */
  readonly order?: number;
}

export interface GraphEdge {
  readonly from: string;
  readonly to: string;
  /** The result in the writer's words; empty where a step has one way on. */
  readonly label: string;
  /** What the technician sees (`says`), where given. */
  readonly says?: string;
  /** `next` runs down the main line; `back` leads to an earlier step; `forward` skips steps; `end` leads to an ending. */
  readonly kind: 'next' | 'forward' | 'back' | 'end' | 'repair';
  /** Step passed over because of `only_if`. */
  readonly passedOver: boolean;
}

export interface FlowGraph {
  readonly title: string;
  readonly nodes: readonly GraphNode[];
  readonly edges: readonly GraphEdge[];
}

const GRAVITY = ['danger', 'warning', 'caution', 'notice'];

/** The graph of a procedure: one node a step, one edge a result. */
export function flowGraph(procedure: Procedure, program: Program, scope?: Scope): FlowGraph {
  const steps = [...procedure.steps, ...procedure.afterRepair];
  const nodes: GraphNode[] = [{ id: 'start', kind: 'start', section: 'start', title: procedure.title?.value ?? program.name, lines: [], signals: [] }];
  const endings = new Map<string, GraphNode>();
  const edges: GraphEdge[] = [];
  const idOf = (index: number): string => program.steps[index]?.name ?? `step ${index + 1}`;
  steps.forEach((step, index) => nodes.push(stepNode(step, idOf(index), index, scope)));
  if (steps.length > 0) edges.push({ from: 'start', to: idOf(0), label: '', kind: 'next', passedOver: false });

  const add = (from: number, way: Way, label: string, says: string | undefined, passedOver: boolean, referText: string | undefined): void => {
    const base = { from: idOf(from), label, passedOver, ...(says === undefined ? {} : { says }) };
    if (way.kind === 'step') {
      const kind = way.step === from + 1 ? 'next' : way.step <= from ? 'back' : 'forward';
      edges.push({ ...base, to: idOf(way.step), kind });
      return;
    }
    const ending = endingNode(way, procedure, referText);
    endings.set(ending.id, ending);
    edges.push({ ...base, to: ending.id, kind: 'end' });
  };

  program.steps.forEach((programStep, index) => {
    const step = steps[index] as Step;
    if (programStep.onlyIf.length > 0) add(index, programStep.passOver, onlyIfText(step), undefined, true, undefined);
    if (programStep.results.length === 0) {
      add(index, programStep.way, '', undefined, false, undefined);
      return;
    }
    programStep.results.forEach((result, at) => {
      const written = step.results[at];
      const referText = written?.way.kind === 'refer' ? written.way.text.value : undefined;
      add(index, result.way, result.when.text, written?.says?.value, false, referText);
    });
  });
  addRepairs(procedure, program, endings, edges, idOf);
  return { title: procedure.title?.value ?? program.name, nodes: [...nodes, ...endings.values()], edges };
}

function stepNode(step: Step, id: string, order: number, scope: Scope | undefined): GraphNode {
  const [first = id, ...rest] = stepLines(step);
  const instrument = step.instrument && (scope?.instruments.get(step.instrument.value)?.item.title?.value ?? words(step.instrument.value));
  return {
    id,
    kind: step.kind ?? 'unknown',
    section: step.section,
    title: step.title?.value ?? first,
    lines: step.title ? [first, ...rest] : rest,
    ...(step.kind === 'measure' && step.quantity ? { quantity: words(step.quantity.value) } : {}),
    ...(instrument ? { instrument } : {}),
    ...(step.run ? { runs: step.run.value } : {}),
    signals: signalsOf(step, scope),
    span: step.name?.span ?? step.span,
    order,
  };
}

function stepLines(step: Step): string[] {
  switch (step.kind) {
    case 'do':
      return step.actions.map((action) => action.value);
    case 'ask':
      return step.question ? [step.question.value] : [];
    case 'measure':
      return step.name ? [words(step.name.value)] : [];
    case 'decide':
      return step.decide ? [words(step.decide.text)] : [];
    case 'run':
      return step.run ? [words(step.run.value)] : [];
    case undefined:
      return [];
  }
}

/** The signal words of a step's cautions, the gravest first, each once. */
export function signalsOf(step: Step, scope: Scope | undefined): string[] {
  const found = new Set<string>();
  for (const use of step.cautions) {
    const caution: Caution | undefined = use.kind === 'written' ? use.caution : scope?.cautions.get(use.name.value)?.item;
    if (caution?.signal) found.add(caution.signal.value);
  }
  return [...found].sort((a, b) => GRAVITY.indexOf(a) - GRAVITY.indexOf(b));
}

function endingNode(way: Exclude<Way, { kind: 'step' }>, procedure: Procedure, referText: string | undefined): GraphNode {
  const base = { section: 'ending' as const, lines: [], signals: [] };
  switch (way.kind) {
    case 'finds': {
      const fault = procedure.faults[way.fault];
      return { ...base, id: `end:finds:${fault?.name.value ?? ''}`, kind: 'finds', title: fault?.title?.value ?? words(fault?.name.value ?? ''),
        lines: fault?.remedy ? [fault.remedy.value] : [] };
    }
    case 'refer':
      return { ...base, id: `end:refer:${referText ?? ''}`, kind: 'refer', title: referText ?? 'Refer' };
    case 'passes':
      return { ...base, id: 'end:passes', kind: 'passes', title: 'Passed' };
    case 'nowhere':
      return { ...base, id: 'end:nowhere', kind: 'nowhere', title: 'Leads nowhere' };
  }
}

/** From each fault found to the step that proves its repair. */
function addRepairs(procedure: Procedure, program: Program, endings: Map<string, GraphNode>, edges: GraphEdge[], idOf: (index: number) => string): void {
  procedure.faults.forEach((fault, index) => {
    const id = `end:finds:${fault.name.value}`;
    const proof = program.afterRepair[index];
    if (proof === undefined || !endings.has(id)) return;
    edges.push({ from: id, to: idOf(proof), label: 'after the repair', kind: 'repair', passedOver: false });
  });
}

function onlyIfText(step: Step): string {
  return `not ${step.onlyIf.map((guard) => `${words(guard.state.value)} ${guard.values.map((value) => words(value.value)).join(' or ')}`).join(', ')}`;
}

/** snake_case as words. */
function words(name: string): string {
  return name.replaceAll('_', ' ');
}
