/**
 * What a flow drawing shows: a procedure's steps and endings as symbols, its ways on as lines. It decides what is said in each
 * symbol and which lines are the main line, ways off and ways back; it knows no sizes and no places (see flow-layout.ts).
 *
 * The symbols are those of ISO 5807:1985: terminator, process, decision, predefined process.
 */
import { signalsOf } from '../flow/signals.ts';
import type { Program, ProgramStep, Way } from '../flow/program.ts';
import type { Procedure, Result, Step } from '../procedure/model.ts';
import type { Scope } from '../procedure/scope.ts';
import { describeQuantityWord, quantityWord } from '../quantity/quantity-words.ts';
import { andList, capitalised, fillText, orList, plainWords } from '../run/texts.ts';
import { faultLetter } from './fault-letters.ts';
import type { SignalName } from './signal-colours.ts';
import { SIGNAL_WORDS } from './signal-colours.ts';

export interface FlowDrawing {
  readonly title: string;
  /** Under the title: revision and status. */
  readonly subtitle: string;
  readonly nodes: readonly DrawnNode[];
  readonly edges: readonly DrawnEdge[];
  /** What the letters of `DrawnNode.open` stand for; absent where no faults are shown. */
  readonly faults?: readonly { readonly letter: string; readonly title: string }[];
}

/** The faults that some walk to a step has not excluded. */
export interface OpenFaults {
  readonly of: number;
  /** By letter and by title. */
  readonly letters: readonly string[];
  readonly titles: readonly string[];
}

export interface DrawnNode {
  readonly id: string;
  readonly symbol: 'terminator' | 'process' | 'decision' | 'measure' | 'predefined';
  /** The step's name; undefined for starts and endings. */
  readonly step?: string;
  /** Number of the step, counted through to the end of `after_repair`. */
  readonly number?: number;
  /** Of a measure: quantity and instrument. */
  readonly band?: string;
  /** What is done or asked, a paragraph each. */
  readonly lines: readonly string[];
  /** Smaller, below: where the probes go, when the step applies. */
  readonly details: readonly string[];
  readonly signal?: SignalName;
  readonly open?: OpenFaults;
  /** Of a terminator. */
  readonly ending?: 'start' | 'finds' | 'refer' | 'passes' | 'nowhere';
  /** Stands in the column of steps; endings of a way off do not. */
  readonly inColumn: boolean;
}

export interface DrawnEdge {
  readonly id: string;
  readonly from: string;
  readonly to: string;
  /** The results that lead this way, in the writer's words. */
  readonly labels: readonly string[];
  /** `main`: to the next symbol in the column; `off`: further on or to an ending; `back`: to an earlier step or the same. */
  readonly course: 'main' | 'off' | 'back';
  /** The way of a step that is passed over. */
  readonly passedOver: boolean;
}

/**
 * The drawing of a procedure. Every step of the program is in it, whether or not a walk arrives there. `possible` says which faults are still possible at
 * each step (features/diagnosis-possible.ts); without it, or where it is empty, none are shown.
 */
export function flowDrawing(procedure: Procedure, program: Program, scope: Scope, possible: ReadonlyMap<number, readonly number[]> = new Map()): FlowDrawing {
  const titleOf = (fault: number): string => procedure.faults[fault]?.title?.value ?? capitalised(plainWords(program.faults[fault] ?? 'fault'));
  const openAt = (step: number): { open?: OpenFaults } => {
    const faults = possible.get(step);
    return faults ? { open: { of: program.faults.length, letters: faults.map(faultLetter), titles: faults.map(titleOf) } } : {};
  };
  const steps = [...procedure.steps, ...procedure.afterRepair];
  const nodes: DrawnNode[] = [];
  const edges = new Map<string, { edge: Omit<DrawnEdge, 'labels' | 'id'>; labels: string[] }>();
  const columnOf = new Map<string, number>();

  const addToColumn = (node: DrawnNode): void => {
    columnOf.set(node.id, columnOf.size);
    nodes.push(node);
  };
  const connect = (from: string, to: string, label: string | undefined, passedOver: boolean): void => {
    const key = wayKey(from, to, passedOver);
    const known = edges.get(key) ?? { edge: { from, to, course: 'off' as const, passedOver }, labels: [] };
    if (label && !known.labels.includes(label)) known.labels.push(label);
    edges.set(key, known);
  };
  const follow = (from: ProgramStep, way: Way, written: Result | undefined, label: string | undefined, passedOver = false): void => {
    const source = stepId(from.index);
    if (way.kind === 'step') return connect(source, stepId(way.step), label, passedOver);
    const ending = endingOf(way, written, program, scope);
    const id = `${source}-${ending.key}`;
    if (!nodes.some((node) => node.id === id)) nodes.push({ ...ending.node, id });
    connect(source, id, label, passedOver);
  };

  const starts = startsAfterRepair(procedure, program);
  if (program.steps.length > 0) {
    addToColumn(terminator('start', 'start', procedure.complaint?.value ?? procedure.title?.value ?? program.name));
    connect('start', stepId(0), undefined, false);
  }
  for (const step of program.steps) {
    const start = starts.get(step.index);
    if (start !== undefined) {
      addToColumn(terminator(`repair-${step.index}`, 'start', start));
      connect(`repair-${step.index}`, stepId(step.index), undefined, false);
    }
    const written = steps[step.index];
    addToColumn({ ...stepNode(step, written, scope), ...openAt(step.index) });
    step.results.forEach((result, index) => {
      const own = written?.results[index];
      follow(step, result.way, own, resultLabel(step, result.when.text, own));
    });
    if (step.results.length === 0) follow(step, step.way, undefined, undefined);
    if (step.onlyIf.length > 0) follow(step, step.passOver, undefined, 'passed over', true);
  }

  // A step that is passed over goes on as if it had been done: no second line where one leads there already.
  const needed = [...edges.values()].filter(({ edge }) => !edge.passedOver || !edges.has(wayKey(edge.from, edge.to, false)));
  const drawn = needed.map(({ edge, labels }, index): DrawnEdge => {
    const from = columnOf.get(edge.from) ?? 0;
    const to = columnOf.get(edge.to);
    const course = to === undefined ? 'off' : to === from + 1 ? 'main' : to > from ? 'off' : 'back';
    return { ...edge, id: `way-${index}`, labels, course };
  });
  // Texts may show a value of the shop; a fact differs from asset to asset, so its name stands for it.
  const fill = (text: string): string => fillText(text, (name) => scope.values.get(name)?.item.is?.value.text);
  return {
    title: procedure.title?.value ?? program.name,
    subtitle: subtitle(procedure),
    nodes: nodes.map((node) => ({ ...node, lines: node.lines.map(fill), details: node.details.map(fill) })),
    edges: drawn.map((edge) => ({ ...edge, labels: edge.labels.map(fill) })),
    ...(possible.size > 0 ? { faults: program.faults.map((_, fault) => ({ letter: faultLetter(fault), title: titleOf(fault) })) } : {}),
  };
}

function wayKey(from: string, to: string, passedOver: boolean): string {
  return JSON.stringify([from, to, passedOver]);
}

function stepId(index: number): string {
  return `step-${index}`;
}

function terminator(id: string, ending: NonNullable<DrawnNode['ending']>, text: string, inColumn = true): DrawnNode {
  return { id, symbol: 'terminator', ending, lines: [text], details: [], inColumn };
}

function stepNode(step: ProgramStep, written: Step | undefined, scope: Scope): DrawnNode {
  const title = written?.title?.value;
  const details: string[] = [];
  if (written && written.onlyIf.length > 0) {
    const conditions = written.onlyIf.map(({ state, values }) => `${plainWords(state.value)}: ${orList(values.map(({ value }) => plainWords(value)))}`);
    details.push(`Only if ${andList(conditions)}`);
  }
  const common = {
    id: stepId(step.index),
    step: step.name,
    number: step.index + 1,
    signal: gravestSignal(written, scope),
    inColumn: true,
  };
  switch (step.kind) {
    case 'ask':
      return { ...common, symbol: 'decision', lines: [written?.question?.value || title || plainWords(step.name)], details };
    case 'decide':
      return { ...common, symbol: 'decision', lines: [title ?? `${spaced(written?.decide?.text ?? step.name)}?`], details };
    case 'measure': {
      const places = (written?.at ?? []).map(({ probe, place }) => `${probe.value}: ${place.value}`);
      const points = (written?.atEach ?? []).map(({ name, title: own }) => own?.value ?? plainWords(name.value));
      if (points.length > 0) places.push(`at each of: ${points.join(', ')}`);
      const judge = written?.judge?.value;
      if (judge) places.push(judge === 'each' ? 'each reading counts' : `the ${judge} counts`);
      const lines = [title ?? capitalised(plainWords(step.name))];
      return { ...common, symbol: 'measure', band: measureBand(written, scope), lines, details: [...places, ...details] };
    }
    case 'run':
      return { ...common, symbol: 'predefined', lines: [title ?? capitalised(plainWords(step.run ?? step.name))], details };
    default: {
      const actions = (written?.actions ?? []).map((action) => action.value);
      const unsaid = [capitalised(plainWords(step.name))];
      return { ...common, symbol: 'process', lines: title ? [title] : actions.length > 0 ? actions : unsaid, details };
    }
  }
}

/** 'DC voltage · Digital multimeter'. */
function measureBand(written: Step | undefined, scope: Scope): string {
  const name = written?.quantity?.value;
  const word = name === undefined ? undefined : quantityWord(name);
  const quantity = word ? describeQuantityWord(word).title : capitalised(plainWords(name ?? 'reading'));
  const instrument = written?.instrument?.value;
  if (instrument === undefined) return quantity;
  return `${quantity} · ${scope.instruments.get(instrument)?.item.title?.value ?? plainWords(instrument)}`;
}

function gravestSignal(written: Step | undefined, scope: Scope): SignalName | undefined {
  const signals = written ? signalsOf(written, scope) : [];
  return SIGNAL_WORDS.find((signal) => signals.includes(signal));
}

/** A band as it is written; an answer as what the technician sees, where the writer says it, else in its own words. */
function resultLabel(step: ProgramStep, when: string, written: Result | undefined): string {
  if (step.kind === 'measure') return when;
  if (step.kind === 'ask' && written?.says) return written.says.value;
  return spaced(when);
}

/** A limit or an answer with its names as words; its numbers stay as they are. */
function spaced(text: string): string {
  return text.replaceAll('_', ' ');
}

/** Terminators of one step with the same key are one. */
function endingOf(
  way: Exclude<Way, { kind: 'step' }>, written: Result | undefined, program: Program, scope: Scope,
): { key: string; node: DrawnNode } {
  switch (way.kind) {
    case 'finds': {
      const name = program.faults[way.fault] ?? 'fault';
      const title = scope.faults.get(name)?.item.title?.value ?? capitalised(plainWords(name));
      const node = terminator('', 'finds', title, false);
      const details = way.byElimination ? ['by elimination: the only one left'] : [];
      return { key: `finds-${way.fault}`, node: { ...node, details } };
    }
    case 'refer': {
      const text = written?.way.kind === 'refer' ? written.way.text.value : 'Refer';
      return { key: `refer-${text}`, node: terminator('', 'refer', text, false) };
    }
    case 'passes':
      return { key: 'passes', node: terminator('', 'passes', 'Passed', false) };
    case 'nowhere':
      return { key: 'nowhere', node: terminator('', 'nowhere', 'Leads nowhere', false) };
  }
}

/** The steps with which the proof of a repair begins, and what their terminator says. */
function startsAfterRepair(procedure: Procedure, program: Program): Map<number, string> {
  const faultsOf = new Map<number, number[]>();
  program.afterRepair.forEach((step, fault) => {
    if (step !== undefined) faultsOf.set(step, [...(faultsOf.get(step) ?? []), fault]);
  });
  const first = program.steps.findIndex((step) => step.section === 'after_repair');
  const starts = new Map<number, string>();
  if (first >= 0) starts.set(first, 'After the repair');
  for (const [step, faults] of faultsOf) {
    if (step === first) continue;
    const titles = faults.map((fault) => procedure.faults[fault]?.title?.value ?? program.faults[fault] ?? 'fault');
    starts.set(step, `After the repair of: ${titles.join(', ')}`);
  }
  return starts;
}

function subtitle(procedure: Procedure): string {
  const status = procedure.status?.value;
  return [
    procedure.name?.value,
    procedure.revision ? `revision ${procedure.revision.value}` : undefined,
    status === undefined ? undefined : plainWords(status),
  ].filter(Boolean).join(' · ');
}
