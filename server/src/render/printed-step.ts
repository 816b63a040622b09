/** One step as it stands on paper, in reading order and in final words. Markup is for checklist-html.ts and checklist-markdown.ts. */
import { catalogueIn } from './catalogue-in-german.ts';
import type { CautionSheet, PointSheet, ProcedureSheet, ResultSheet, StateLine, StepSheet, WaySheet } from '../run/checklist-document.ts';
import { capitalised, fillText, plainWords, uncapitalised, withoutStop } from '../run/texts.ts';
import { comparedAt, limitOf, limitTables, namesOf, type LimitContext } from './printed-limits.ts';
import type { PaperWords } from './printed-checklist-words.ts';

export interface PrintedStep {
  /** '5'; in a procedure run from here with its letter: 'B5'. */
  readonly number: string;
  readonly title: string;
  /** '2 people', 'about 4 min'. */
  readonly aside: readonly string[];
  readonly cautions: readonly CautionSheet[];
  /** What must be so before it begins, who may do it, what is needed. */
  readonly before: readonly PrintedLine[];
  /** What to do: one action each, or the question, or what to measure. */
  readonly actions: readonly { readonly text: string; readonly box: boolean }[];
  readonly details: readonly PrintedLine[];
  /** An image to show how, as a data URI. */
  readonly figure?: string;
  readonly entries: readonly PrintedField[];
  readonly results: readonly PrintedResult[];
  /** What holds afterwards, and where a step without results leads. */
  readonly after: readonly PrintedLine[];
}

export interface PrintedLine {
  readonly label: string;
  readonly text: string;
  /** Each to be ticked, in place of the text. */
  readonly boxes?: readonly string[];
}

export interface PrintedField {
  readonly label: string;
  readonly unit?: string;
  readonly given?: string;
  /** Words to tick instead of a blank. */
  readonly choices?: readonly string[];
  /** Lines over the whole width, for what takes more words. */
  readonly lines?: number;
}

export interface PrintedResult {
  readonly when: string;
  /** What the technician sees, or what the names in the limit stand for. */
  readonly notes: readonly string[];
  readonly then: string;
  /** Which faults it excludes or leaves, by their marks: 'Rules out F2, F5.' */
  readonly faults?: string;
}

export interface StepContext extends LimitContext {
  readonly figures: Readonly<Record<string, string>>;
  /** Name of a procedure → the letter before its step numbers. */
  readonly letters: ReadonlyMap<string, string>;
  /** Name of a fault of the procedure itself → its mark on the list of faults: 'F3'. */
  readonly marks: ReadonlyMap<string, string>;
}

export function printedStep(step: StepSheet, context: StepContext): PrintedStep {
  const { words } = context;
  const fill = (text: string): string => fillText(text, (name) => context.values.get(name));
  const figure = step.figure === undefined ? undefined : context.figures[`${context.sheet.name}/${step.figure}`];
  return {
    number: `${context.letter}${step.number}`,
    title: fill(step.title),
    aside: [step.people > 1 ? words.people(step.people) : '', step.time ? words.about(words.numbers(step.time.text)) : ''].filter(Boolean),
    cautions: cautionsOf(step, context).map(catalogueIn(words.language).caution),
    before: beforeLines(step, context),
    actions: actionsOf(step, context).map((action) => ({ ...action, text: fill(action.text) })),
    ...(figure === undefined ? {} : { figure }),
    details: [...detailLines(step, words, figure !== undefined).map((line) => ({ ...line, text: fill(line.text) })), ...limitTables(step, context)],
    entries: entriesOf(step, words),
    results: step.results.map((result) => printedResult(step, result, context)),
    after: afterLines(step, context),
  };
}

/** A sheet of paper cannot wait for what is found: what a remedy at the end of a step warns of stands above the step. */
function cautionsOf(step: StepSheet, { sheet, letter }: StepContext): CautionSheet[] {
  const ways = [step.way, ...step.results.map((result) => result.way)];
  // Within a called procedure the caller goes on with the finding, and has its remedy.
  const remedies = letter ? [] : ways.flatMap((way) => (way.kind === 'finds' ? (sheet.faults.find(({ name }) => name === way.fault)?.cautions ?? []) : []));
  const all = [...step.cautions];
  for (const caution of remedies) if (!all.some(({ name }) => name === caution.name)) all.push(caution);
  return all;
}

/** A state with its values in words: 'Platform: stowed or grounded'. */
export function stateWords({ state, values }: Pick<StateLine, 'state' | 'values'>, sheet: ProcedureSheet, words: PaperWords): string {
  const title = sheet.states.find(({ name }) => name === state)?.title ?? capitalised(plainWords(state));
  return `${title}: ${words.or(values.map(plainWords))}`;
}

function beforeLines(step: StepSheet, context: StepContext): PrintedLine[] {
  const { words, sheet } = context;
  const lines: PrintedLine[] = [];
  if (step.onlyIf.length > 0) {
    const over = sheet.program.steps[step.index]?.passOver;
    const next = over?.kind === 'step' ? sheet.steps[over.step] : undefined;
    const only = words.and(step.onlyIf.map(words.lastOr));
    lines.push({ label: words.onlyIf, text: next ? words.otherwiseGoOn(only, `${context.letter}${next.number}`) : words.otherwisePassOver(only) });
  }
  if (step.qualified.length > 0) lines.push({ label: words.onlyFor, text: words.and(step.qualified.map((one) => catalogueIn(words.language).qualification(one).title)) });
  if (step.needs.length > 0) lines.push({ label: words.before, text: '', boxes: step.needs.map((line) => stateWords(line, sheet, words)) });
  if (step.during.length > 0) {
    const held = step.during.map((line) => stateWords(line, sheet, words)).join('; ');
    lines.push({ label: words.whileDoing, text: held + (step.maxTime ? words.andNoLonger(words.numbers(step.maxTime.text)) : '') });
  } else if (step.maxTime) lines.push({ label: words.noLongerThan, text: words.numbers(step.maxTime.text) });
  if (step.rest) lines.push({ label: words.beforeAgain, text: words.waitShort(words.numbers(step.rest.text)) });
  if (step.tools.length > 0) lines.push({ label: words.tools, text: step.tools.join(', ') });
  return lines;
}

function actionsOf(step: StepSheet, context: StepContext): { text: string; box: boolean }[] {
  const { letters, sheet, words } = context;
  const wait = step.wait ? [{ text: words.wait(words.numbers(step.wait.text)), box: true }] : [];
  switch (step.kind) {
    case 'ask':
      return [...wait, { text: step.question ?? step.title, box: false }];
    case 'measure': {
      const voltage = /voltage/.test(step.measures?.word ?? '');
      const text = words.measure(
        words.quantity(step.measures?.title ?? words.reading), step.circuit ? uncapitalised(step.circuit.title) : '',
        words.numbers((voltage ? step.circuit?.nominal : undefined) ?? ''), step.instrument ? uncapitalised(step.instrument.title) : '',
        words.numbers(step.range ?? ''),
      );
      return [...wait, { text, box: false }];
    }
    case 'decide': {
      const verb = sheet.facts.some(({ name }) => name === step.decide) ? words.lookUp : words.compare;
      return [{ text: `${verb}: ${comparedAt(step, context)}`, box: false }];
    }
    case 'run': {
      const letter = step.run && letters.get(step.run.name);
      return [...wait, { text: words.doProcedure(step.run?.title ?? step.title, letter ?? ''), box: true }];
    }
    default:
      return [...step.actions.map((text) => ({ text, box: true })), ...wait];
  }
}

function detailLines(step: StepSheet, words: PaperWords, figureShown: boolean): PrintedLine[] {
  const lines: PrintedLine[] = [];
  if (step.probes.length > 0) lines.push({ label: words.where, text: step.probes.map(({ probe, place }) => `${plainWords(probe)}: ${place}`).join('; ') });
  if (step.text) lines.push({ label: '', text: step.text });
  if (step.seek) lines.push({ label: words.pointsInTurn, text: words.untilReads(words.limit(step.seek)) });
  if (step.provesDead) lines.push({ label: words.proves, text: words.thatDead(step.provesDead.title) });
  if (step.photo) lines.push({ label: words.photograph, text: step.photo });
  if (step.figure && !figureShown) lines.push({ label: words.figure, text: step.figure });
  if (step.why) lines.push({ label: words.why, text: step.why });
  if (step.note) lines.push({ label: words.note, text: step.note });
  return lines;
}

function entriesOf(step: StepSheet, words: PaperWords): PrintedField[] {
  if (step.kind !== 'measure') return step.points.map((point) => ({ label: pointLabel(point) }));
  const shows = step.measures?.shows ?? [];
  const field = (label: string): PrintedField => ({
    label, ...(shows.length > 0 ? { choices: shows } : { unit: step.measures?.unit ?? '' }),
  });
  if (step.points.length === 0) return [field(words.reading)];
  const points = step.points.map((point) => field(pointLabel(point)));
  if (step.judge === undefined || step.judge === 'each') return points;
  return [...points, field(words.judged[step.judge])];
}

function pointLabel(point: PointSheet): string {
  const probes = point.probes.map(({ probe, place }) => `${plainWords(probe)}: ${place}`).join('; ');
  return capitalised(plainWords(point.title)) + (probes ? ` (${probes})` : '');
}

function printedResult(step: StepSheet, result: ResultSheet, context: StepContext): PrintedResult {
  const fill = (text: string): string => fillText(text, (name) => context.values.get(name));
  const notes = [result.says && fill(result.says), namesOf(step, result.when, context)].filter((note) => note !== undefined && note !== '') as string[];
  const faults = faultWords(result, context);
  return { when: capitalised(limitOf(step, result, context)), notes, then: thenWords(result, context), ...(faults === undefined ? {} : { faults }) };
}

/** For whoever crosses out on the list what is no longer possible. */
function faultWords(result: ResultSheet, { marks, words }: StepContext): string | undefined {
  const marked = (names: readonly string[]): string => words.and(names.flatMap((name) => marks.get(name) ?? []));
  if (result.way.kind === 'finds') return undefined;
  const leaves = marked(result.leaves ?? []);
  if (leaves) return words.leaves(leaves);
  const rulesOut = marked(result.rulesOut);
  return rulesOut ? words.rulesOut(rulesOut) : undefined;
}

function thenWords(result: ResultSheet, context: StepContext): string {
  const { words, sheet } = context;
  const parts: string[] = [];
  if (result.raises !== undefined) {
    const fault = sheet.faults.find(({ name }) => name === result.raises);
    parts.push(words.recordDefect(withoutStop(fault?.title ?? plainWords(result.raises)), fault?.grade && words.grades[fault.grade]));
  }
  if (result.sets.length > 0) parts.push(words.now(result.sets.map((line) => stateWords(line, sheet, words)).join('; ')));
  parts.push(wayWords(result.way, context));
  return parts.join(' ');
}

function wayWords(way: WaySheet, context: StepContext): string {
  const { sheet, letter, words } = context;
  switch (way.kind) {
    case 'step':
      return (way.written ? words.goTo : words.goOn)(`${letter}${way.number}`);
    case 'finds': {
      const fault = sheet.faults.find(({ name }) => name === way.fault);
      const found = words.fault(withoutStop(way.title), way.byElimination);
      if (letter) return `${found} ${words.back}`;
      const who = fault?.qualified?.map((one) => catalogueIn(words.language).qualification(one).title) ?? [];
      const only = who.length > 0 ? ` (${words.onlyFor}: ${words.and(who)})` : '';
      const remedy = fault?.remedy ? `${words.remedyIs(fillText(fault.remedy, (name) => context.values.get(name)))}${only}` : '';
      const further = fault?.procedure ? words.furtherProcedure(plainWords(fault.procedure)) : '';
      const index = sheet.program.faults.indexOf(way.fault);
      const proof = sheet.program.afterRepair[index];
      const next = proof === undefined ? undefined : sheet.steps[proof];
      return `${found}${remedy}${further}${next ? words.thenGoTo(String(next.number)) : ''}`;
    }
    case 'refer':
      return `${withoutStop(fillText(way.text, (name) => context.values.get(name)))}. ${letter ? words.back : words.endsHere}`;
    case 'passes':
      return `${words.passed} ${letter ? words.back : words.endsHere}`;
    case 'nowhere':
      return words.nowhere;
  }
}

function afterLines(step: StepSheet, context: StepContext): PrintedLine[] {
  const { words, sheet } = context;
  const lines: PrintedLine[] = [];
  if (step.sets.length > 0) lines.push({ label: words.afterwards, text: step.sets.map((line) => stateWords(line, sheet, words)).join('; ') });
  if (step.repeatAtMost !== undefined) lines.push({ label: words.atMost, text: words.times(step.repeatAtMost) });
  if (step.results.length === 0 && (step.way.kind !== 'step' || step.way.written)) {
    lines.push({ label: words.then, text: wayWords(step.way, context) });
  }
  return lines;
}
