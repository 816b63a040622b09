/**
 * The limits of a step as they stand on paper: with the values that are known before the work begins, with where the others come from,
 * and with a table where a limit is computed from a reading and nobody could compute it at the machine.
 */
import { formatExpression } from '../quantity/format-band.ts';
import { formatQuantity } from '../quantity/format-quantity.ts';
import { evaluate, knownQuantity, type Environment } from '../quantity/evaluate.ts';
import { expressionsOf, namesIn, type Expression } from '../quantity/expression.ts';
import { parseBand } from '../quantity/parse-band.ts';
import { parseQuantity } from '../quantity/parse-quantity.ts';
import { fromBase, type Quantity } from '../quantity/quantity.ts';
import { rationalToNumber } from '../quantity/rational.ts';
import { lookUpUnit } from '../quantity/unit.ts';
import { environmentOf, limitWords, type JudgeContext } from '../run/judge.ts';
import type { ChecklistDocument, ProcedureSheet, ResultSheet, StepSheet } from '../run/checklist-document.ts';
import { plainWords, uncapitalised } from '../run/texts.ts';
import type { PaperWords } from './printed-checklist-words.ts';

/** What the limits of a procedure are read against: nothing has been measured yet. */
export interface LimitContext {
  readonly document: ChecklistDocument;
  readonly sheet: ProcedureSheet;
  readonly words: PaperWords;
  /** Before every step number; empty for the procedure itself. */
  readonly letter: string;
  /** Name → value as written, of what is known before the work begins. */
  readonly values: ReadonlyMap<string, string>;
}

/** The limit or answer of a result: 'At least 23.8 V (full rest - 1.5 V)'; for a procedure run from here, the fault that it finds, by its title. */
export function limitOf(step: StepSheet, result: ResultSheet, context: LimitContext): string {
  const { document, sheet, words } = context;
  const index = step.results.indexOf(result);
  const fault = sheet.program.steps[step.index]?.results[index]?.when.fault;
  // A procedure may be called `constructor`, which every object has.
  const callee = step.run && Object.hasOwn(document.called, step.run.name) ? document.called[step.run.name] : undefined;
  const title = fault === undefined ? undefined : callee?.faults.find(({ name }) => name === fault)?.title;
  if (title !== undefined) return words.answer(`${result.when.split(' ')[0] ?? ''}: ${uncapitalised(title)}`);
  const { band } = parseBand(result.when);
  if (!isJudged(step) || step.seek !== undefined || band?.kind !== 'conditions') return words.answer(readable(result.when));
  return words.limit(readable(limitWords(judgeContextOf(context), step.index)[index] ?? result.when));
}

/** What the names in a limit stand for where the limit has no value yet: 'supply = reading of step 4'. */
export function namesOf(step: StepSheet, when: string, context: LimitContext): string | undefined {
  return isJudged(step) ? meaningsOf(boundsOf(when), context) : undefined;
}

/** What is compared at a `decide` step, and where it stands: 'the highest of (idle, loaded) (idle = reading of step 4, loaded = reading of step 5)'. */
export function comparedAt(step: StepSheet, context: LimitContext): string {
  const { words } = context;
  const written = step.decide ?? step.title;
  const text = readable(written.replace(/\b(max|min)\(/g, (_, which: string) => `${which === 'max' ? words.highestOf : words.lowestOf} (`));
  // As a bound, so that the expression is read as everywhere else.
  const names = meaningsOf(boundsOf(`at least ${written}`), context);
  if (names === undefined) return text;
  const own = /^(?: =|:)/.test(names.slice(text.length)) && names.startsWith(text);
  return `${text} (${own ? names.slice(text.length).replace(/^:? /, '') : names})`;
}

function meaningsOf(bounds: readonly Expression[], { sheet, values, letter, words }: LimitContext): string | undefined {
  const names = [...new Set(bounds.flatMap((bound) => namesIn(bound).map(({ name }) => name)))];
  if (names.every((name) => values.has(name))) return undefined;
  const notes = names.flatMap((name) => {
    const value = values.get(name);
    const reading = sheet.steps.find((other) => other.name === name.split('.')[0] && other.kind === 'measure');
    const fact = sheet.facts.find((other) => other.name === name);
    const meaning = value !== undefined ? ` = ${words.numbers(value)}`
      : reading ? words.readingOfStep(`${letter}${reading.number}`)
      : fact ? words.seeFacts : undefined;
    return meaning === undefined ? [] : [plainWords(name) + meaning];
  });
  return notes.length > 0 ? notes.join(', ') : undefined;
}

/** For each limit that is computed from one reading: its value for some values of that reading. */
export function limitTables(step: StepSheet, context: LimitContext): { readonly label: string; readonly text: string }[] {
  if (!isJudged(step)) return [];
  const { sheet, words, letter } = context;
  const known = environmentOf(judgeContextOf(context));
  const unit = step.measures?.unit ? lookUpUnit(step.measures.unit)?.unit : undefined;
  const tables = new Map<string, { label: string; text: string }>();
  for (const bound of step.results.flatMap(({ when }) => boundsOf(when)).filter(computes)) {
    const unknown = [...new Set(namesIn(bound).map(({ name }) => name).filter((name) => known(name) === undefined))];
    const from = unknown.length === 1 ? sheet.steps.find((other) => other.name === unknown[0] && other.kind === 'measure') : undefined;
    const fact = unknown.length === 1 ? sheet.facts.find(({ name }) => name === unknown[0]) : undefined;
    const written = readable(formatExpression(bound));
    if ((from === undefined && fact === undefined) || tables.has(written)) continue;
    const samples = from ? samplesOf(from.measures?.word ?? '', from.measures?.unit ?? '', from) : samplesOf(fact?.quantity ?? '', fact?.unit ?? '', step);
    const lines = samples.flatMap((sample) => {
      const environment: Environment = (name) => (name === unknown[0] ? knownQuantity(sample) : known(name));
      const { value } = evaluate(bound, environment);
      if (value === undefined || value.open) return [];
      const shown = { base: value.base, unit: unit?.dimension === value.dimension ? unit : value.unit };
      return [`${formatQuantity(sample)}:\u00a0${formatQuantity(shown, { decimals: decimalsFor(shown) })}`];
    });
    if (lines.length > 1) tables.set(written, { label: from ? words.limitByReading(written, `${letter}${from.number}`) : words.limitByFact(written), text: words.numbers(lines.join(' · ')) });
  }
  return [...tables.values()];
}

function isJudged(step: StepSheet): boolean {
  return step.kind === 'measure' || step.kind === 'decide';
}

function judgeContextOf({ sheet, values }: LimitContext): JudgeContext {
  return { sheet, readings: new Map(), facts: new Map([...values].map(([name, text]) => [name, { text }])) };
}

function boundsOf(when: string): readonly Expression[] {
  const { band } = parseBand(when);
  return band === undefined ? [] : expressionsOf(band);
}

/** Whether a function of the catalogue is in it: sums and differences anyone works out on the margin. */
function computes(expression: Expression): boolean {
  switch (expression.kind) {
    case 'call':
      return !['min', 'max', 'abs'].includes(expression.function) || expression.arguments.some(computes);
    case 'quantity':
    case 'name':
      return false;
    case 'negative':
      return computes(expression.of);
    default:
      return computes(expression.left) || computes(expression.right);
  }
}

const TEMPERATURES: Readonly<Record<string, readonly number[]>> = {
  '°C': [-15, -10, -5, 0, 5, 10, 15, 20, 25, 30, 40], '°F': [0, 10, 20, 30, 40, 50, 60, 70, 80, 100],
};
/** Of the nominal value of a circuit. */
const SHARES = [0.8, 0.9, 1, 1.1, 1.2];

/** Values that something is likely to have: temperatures of a workshop year, voltages about the nominal one of the step's circuit. */
function samplesOf(word: string, unit: string, step: StepSheet): Quantity[] {
  const temperatures = TEMPERATURES[unit];
  if (temperatures) return temperatures.flatMap((degrees) => quantityOf(`${degrees} ${unit}`));
  const nominal = step.circuit?.nominal === undefined ? undefined : parseQuantity(step.circuit.nominal).quantity;
  if (nominal?.unit === undefined || !/voltage/.test(word)) return [];
  const number = rationalToNumber(fromBase(nominal.base, nominal.unit));
  return SHARES.flatMap((share) => quantityOf(`${Math.round(number * share * 100) / 100} ${nominal.unit?.symbol ?? ''}`));
}

function quantityOf(written: string): Quantity[] {
  const { quantity } = parseQuantity(written);
  return quantity === undefined ? [] : [quantity];
}

/** Three significant figures. */
function decimalsFor({ base, unit }: { readonly base: Quantity['base']; readonly unit?: Quantity['unit'] }): number {
  const size = Math.abs(rationalToNumber(unit === undefined ? base : fromBase(base, unit)));
  return size === 0 ? 0 : Math.max(0, Math.min(4, 2 - Math.floor(Math.log10(size))));
}

/** Names as a person reads them: `load_test_minimum(battery_temperature)` → 'load test minimum (battery temperature)'. */
function readable(text: string): string {
  return text.replaceAll('_', ' ').replace(/([a-z0-9])\(/gi, '$1 (');
}
