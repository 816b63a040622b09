/**
 * From what was typed to what it means at a step: understood, held against the results, and said in a sentence. The arithmetic is
 * quantity's; what follows from a result is the walk's.
 */
import { judgeOfProof } from '../flow/isolation.ts';
import type { Band } from '../quantity/expression.ts';
import { evaluate, knownQuantity, type Environment, type Known } from '../quantity/evaluate.ts';
import { parseBand, parseExpression } from '../quantity/parse-band.ts';
import { parseQuantity } from '../quantity/parse-quantity.ts';
import { quantityDimension } from '../quantity/quantity.ts';
import { describeQuantityWord, quantityWord } from '../quantity/quantity-words.ts';
import { absRational } from '../quantity/rational.ts';
import { judgeReadings, meetsBand, selectResult, type Reading, type Selection } from '../quantity/select-band.ts';
import type { Unit } from '../quantity/unit.ts';
import { closenessAtPoint, closenessRemark, oppositeOf, type Comparing } from './closeness.ts';
import type { ProcedureSheet, ResultSheet, StepSheet } from './checklist-document.ts';
import { bandNames, bandWords, expressionNames, readingWords, understoodWords } from './limit-words.ts';
import { livePoints, searchProvesNothing } from './proof-of-dead.ts';
import { andList, capitalised, fillText, namesInText, orList, plainWords, uncapitalised, withoutStop } from './texts.ts';
import { unitOf } from './understand.ts';
import type { PointEntry, Understood } from './walk-state.ts';

export interface JudgeContext {
  readonly sheet: ProcedureSheet;
  readonly readings: ReadonlyMap<string, Understood>;
  readonly facts: ReadonlyMap<string, { readonly text: string }>;
}

export type Judgement =
  | {
    /** Indexes of the results taken: one, one a point, or none where the step has no results. */
    readonly results: readonly number[];
    /** What was held against them. */
    readonly value: Understood | undefined;
    /** The value in words. */
    readonly words: string;
    /** '11.8 V is below 12.4 V: battery discharged'. */
    readonly sentence: string | undefined;
    /** What is to be known beside it: too close to a limit for the instrument. */
    readonly remarks?: readonly string[];
  }
  | { readonly problem: string }
  /** Names of facts that must be known first. */
  | { readonly wants: readonly string[] };

/** What names in expressions and texts mean at this moment. */
export function environmentOf(context: JudgeContext): Environment {
  return (name) => {
    const reading = context.readings.get(name);
    if (reading !== undefined) return knownReading(reading);
    const fact = context.facts.get(name);
    const written = fact?.text ?? context.sheet.values.find((value) => value.name === name)?.is;
    if (written === undefined) return undefined;
    const { quantity, problems } = parseQuantity(written);
    if (quantity === undefined || problems.length > 0) return undefined;
    const word = fact && quantityWord(context.sheet.facts.find((one) => one.name === name)?.quantity ?? '');
    // A data-sheet value without its unit says nothing: it is asked for.
    if (quantity.unit === undefined && word !== undefined && !describeQuantityWord(word).bareNumber) return undefined;
    return knownQuantity(quantity);
  };
}

/** A name in a text: its value in words, or undefined where there is none. */
export function displayName(context: JudgeContext, name: string): string | undefined {
  const reading = context.readings.get(name);
  if (reading !== undefined) return understoodWords(reading);
  return context.facts.get(name)?.text ?? context.sheet.values.find((value) => value.name === name)?.is;
}

/** Facts that the limits or the instructions of a step need and nobody knows yet. */
export function factsWanted(context: JudgeContext, step: number): string[] {
  const sheet = context.sheet.steps[step];
  if (sheet === undefined) return [];
  const limits = sheet.kind === 'measure' ? [...bandsOf(sheet), seekBand(sheet)].flatMap((band) => (band ? bandNames(band) : [])) : [];
  const texts = [...sheet.actions, sheet.question ?? '', sheet.text ?? ''].flatMap(namesInText)
    .filter((name) => context.sheet.facts.some((fact) => fact.name === name) && displayName(context, name) === undefined);
  return [...new Set([...unknownFacts(context, limits), ...texts])];
}

/** The limit of each result in words, with the values of this run where an expression has one. */
export function limitWords(context: JudgeContext, step: number): string[] {
  const sheet = context.sheet.steps[step];
  if (sheet === undefined) return [];
  const bands = bandsOf(sheet);
  const environment = environmentOf(context);
  const unit = unitOf(sheet);
  return sheet.results.map((result, index) => {
    const band = bands[index];
    if (sheet.kind !== 'measure' && sheet.kind !== 'decide') return plainWords(result.when);
    if (band !== undefined) return band.kind === 'otherwise' ? 'anything else' : bandWords(band, environment, unit, (point) => pointTitle(sheet, point));
    return sheet.seek === undefined ? plainWords(result.when) : seekWords(sheet, result, environment, unit);
  });
}

/** Whether the entry at a point ends a search over the points. */
export function meetsSeek(context: JudgeContext, step: number, entry: PointEntry): boolean | { readonly problem: string } {
  const sheet = context.sheet.steps[step];
  const band = sheet && seekBand(sheet);
  if (band === undefined) return { problem: 'The procedure does not say what is searched for at these points.' };
  const met = meetsBand(band, readingOf(entry.understood, false), environmentOf(context));
  if (met.problem !== undefined) return { problem: met.problem };
  if (met.unknown !== undefined) return { problem: unknownReading(met.unknown) };
  return met.index !== undefined;
}

/** Holds the entries of a step, all of its points, against its results. `found`: the last entry ended a search over the points. */
export function judgeEntries(context: JudgeContext, step: number, entries: readonly PointEntry[], found: boolean): Judgement {
  const sheet = context.sheet.steps[step];
  const last = entries[entries.length - 1];
  if (sheet === undefined || last === undefined) return { problem: 'There is no step here.' };
  if (sheet.kind === 'ask') return judgeAnswers(context, sheet, entries);
  if (sheet.seek !== undefined && sheet.points.length > 0) {
    const refused = found ? searchProvesNothing(sheet) : undefined;
    return refused === undefined ? judgeSearch(context, sheet, entries, found) : { problem: refused };
  }
  if (sheet.points.length === 0) return judgeOne(context, sheet, last.understood, (words) => words);
  const judge = sheet.provesDead === undefined ? sheet.judge : judgeOfProof(sheet.judge);
  switch (judge) {
    case undefined:
      return judgePoints(context, sheet, entries);
    case 'each':
      return judgeEach(context, sheet, entries);
    default:
      return judgeTogether(context, sheet, entries, judge);
  }
}

/** Decides a `decide` step from facts and readings. */
export function judgeDecision(context: JudgeContext, step: number): Judgement {
  const sheet = context.sheet.steps[step];
  const program = context.sheet.program;
  const { decidesFact } = program.steps[step] ?? {};
  if (sheet === undefined) return { problem: 'There is no step here.' };
  if (decidesFact !== undefined) {
    const fact = program.facts[decidesFact];
    const known = context.facts.get(fact?.name ?? '')?.text.trim();
    const choice = known === undefined ? -1 : (fact?.choices.indexOf(known) ?? -1);
    if (choice < 0) return { wants: [fact?.name ?? ''] };
    const results = program.steps[step]?.results ?? [];
    const taken = results.findIndex((result) => result.when.choice === choice || result.when.kind === 'otherwise');
    const words = `${uncapitalised(context.sheet.facts[decidesFact]?.title ?? '')} is ${plainWords(known ?? '')}`;
    if (taken < 0) return results.length === 0 ? { results: [], value: undefined, words, sentence: undefined } : { problem: `No result speaks of it: ${words}.` };
    return { results: [taken], value: undefined, words, sentence: `${capitalised(words)}${consequence(context, sheet, taken, true)}` };
  }
  return judgeExpression(context, sheet);
}

function judgeExpression(context: JudgeContext, sheet: StepSheet): Judgement {
  const text = sheet.decide ?? '';
  const { expression } = parseExpression(text);
  if (expression === undefined) return { problem: `'${text}' cannot be computed.` };
  const facts = unknownFacts(context, [...expressionNames(expression), ...bandsOf(sheet).flatMap((band) => (band ? bandNames(band) : []))]);
  if (facts.length > 0) return { wants: facts };
  const named = expression.kind === 'name' ? context.readings.get(expression.name) : undefined;
  if (named !== undefined && named.kind !== 'quantity') return judgeOne(context, sheet, named, (words) => `${sheet.title}, ${words},`);
  const evaluated = evaluate(expression, environmentOf(context));
  if (evaluated.unknown !== undefined) return { problem: unknownReading(evaluated.unknown) };
  if (evaluated.problem !== undefined) return { problem: evaluated.problem };
  const { value } = evaluated;
  if (value.open) return judgeOne(context, sheet, { kind: 'open' }, (words) => `${sheet.title}, ${words},`);
  const reading: Reading = { kind: 'number', base: value.base, dimension: value.dimension, unit: value.unit ?? unitOf(sheet) };
  return judgeReading(context, sheet, reading, named, (words) => `${sheet.title}, ${words},`);
}

function judgeAnswers(context: JudgeContext, sheet: StepSheet, entries: readonly PointEntry[]): Judgement {
  const results: number[] = [];
  const sentences: string[] = [];
  for (const entry of entries) {
    const word = entry.understood.kind === 'word' ? entry.understood.word : entry.words;
    const own = sheet.results.findIndex((result) => result.written === word);
    const index = own >= 0 ? own : sheet.results.findIndex((result) => result.when === 'otherwise');
    if (index >= 0) results.push(index);
    const says = index >= 0 ? sheet.results[index]?.says : undefined;
    const at = entry.point === undefined ? '' : `${pointTitle(sheet, entry.point)}: `;
    const said = says === undefined ? entry.words : withoutStop(filled(context, says));
    sentences.push(`${at}${at === '' ? capitalised(said) : uncapitalised(said)}${index >= 0 ? consequence(context, sheet, index, false) : ''}`);
  }
  const value = entries.length === 1 ? entries[0]?.understood : undefined;
  return { results, value, words: entries.map((entry) => entry.words).join(', '), sentence: asSentences(sentences) };
}

function judgeOne(context: JudgeContext, sheet: StepSheet, understood: Understood, subject: (words: string) => string): Judgement {
  return judgeReading(context, sheet, readingOf(understood, sheet.provesDead !== undefined), understood, subject);
}

/** `understood` is what is kept of it where it was entered; a computed value keeps none. */
function judgeReading(
  context: JudgeContext, sheet: StepSheet, reading: Reading, understood: Understood | undefined, subject: (words: string) => string,
  parts: readonly Reading[] = [],
): Judgement {
  const words = understood === undefined ? readingWords(reading) : understoodWords(understood);
  if (sheet.results.length === 0) return { results: [], value: understood, words, sentence: `${capitalised(subject(words).replace(/,$/, ''))}, noted.` };
  const selected = selectResult(bandsOf(sheet), reading, environmentOf(context));
  const refused = problemOfSelection(context, sheet, selected, subject(words));
  if (refused !== undefined) return refused;
  const index = selected.index ?? -1;
  const remark = closenessRemark(comparing(context, sheet), reading, index, parts);
  return {
    results: [index], value: understood, words, ...(remark === undefined ? {} : { remarks: [remark] }),
    sentence: asSentences([judgedAs(context, sheet, index, subject(words), reading.kind === 'word')]),
  };
}

function judgePoints(context: JudgeContext, sheet: StepSheet, entries: readonly PointEntry[]): Judgement {
  const readings = new Map(entries.map((entry) => [entry.point ?? '', readingOf(entry.understood, sheet.provesDead !== undefined)]));
  const words = andList(entries.map((entry) => `${pointTitle(sheet, entry.point)} ${entry.words}`));
  if (sheet.results.length === 0) return { results: [], value: undefined, words, sentence: `${capitalised(words)}, noted.` };
  const selected = selectResult(bandsOf(sheet), readings, environmentOf(context));
  const refused = problemOfSelection(context, sheet, selected, words);
  if (refused !== undefined) return refused;
  const index = selected.index ?? -1;
  const live = livePoints(sheet, bandsOf(sheet)[index], readings, (point) => pointTitle(sheet, point));
  if (live !== undefined) return { problem: live };
  const remarks = entries.flatMap(({ point = '' }) => {
    const remark = closenessAtPoint(comparing(context, sheet), readings, point, index);
    return remark === undefined ? [] : [`${pointTitle(sheet, point)}: ${remark}`];
  });
  return { results: [index], value: undefined, words, sentence: asSentences([`${capitalised(words)}${consequence(context, sheet, index, true)}`]), remarks };
}

/** What the instrument's uncertainty is held against. */
function comparing(context: JudgeContext, sheet: StepSheet, bands = bandsOf(sheet), limits = limitWords(context, sheet.index)): Comparing {
  return {
    sheet, bands, limits, environment: environmentOf(context),
    readAt: (name) => (context.readings.has(name) ? context.sheet.steps.find((step) => step.name === name.split('.')[0]) : undefined),
  };
}

function judgeEach(context: JudgeContext, sheet: StepSheet, entries: readonly PointEntry[]): Judgement {
  const results: number[] = [];
  const sentences: string[] = [];
  const remarks: string[] = [];
  for (const entry of entries) {
    const judged = judgeOne(context, sheet, entry.understood, (words) => `${pointTitle(sheet, entry.point)}, ${words},`);
    if (!('results' in judged)) return judged;
    results.push(...judged.results);
    if (judged.sentence !== undefined) sentences.push(judged.sentence);
    remarks.push(...(judged.remarks ?? []).map((remark) => `${pointTitle(sheet, entry.point)}: ${remark}`));
  }
  const words = entries.map((entry) => `${pointTitle(sheet, entry.point)} ${entry.words}`).join(', ');
  return { results, value: undefined, words, sentence: asSentences(sentences), remarks };
}

function judgeTogether(
  context: JudgeContext, sheet: StepSheet, entries: readonly PointEntry[], judge: 'highest' | 'lowest' | 'mean' | 'spread',
): Judgement {
  const joined = judgeReadings(judge, entries.map((entry) => readingOf(entry.understood, sheet.provesDead !== undefined)));
  if (joined.kind === 'problem') return { problem: joined.problem };
  const from = judge === 'highest' || judge === 'lowest'
    ? entries.find((entry) => sameReading(readingOf(entry.understood, sheet.provesDead !== undefined), joined))
    : undefined;
  const where = from === undefined ? '' : ` at ${uncapitalised(pointTitle(sheet, from.point))}`;
  const parts = judge === 'spread' ? entries.map((entry) => readingOf(entry.understood, false)) : [];
  return judgeReading(context, sheet, joined, from?.understood ?? kept(joined), (words) => `the ${judge}, ${words}${where},`, parts);
}

function judgeSearch(context: JudgeContext, sheet: StepSheet, entries: readonly PointEntry[], found: boolean): Judgement {
  const index = sheet.results.findIndex((result) => result.when === (found ? 'found' : 'not_found') || result.when === 'otherwise');
  const last = entries[entries.length - 1] as PointEntry;
  const band = seekBand(sheet);
  const limit = band ? bandWords(band, environmentOf(context), unitOf(sheet), (point) => point) : sheet.seek;
  const words = found ? `${pointTitle(sheet, last.point)} ${last.words}` : `none of ${entries.length} points`;
  const sentence = found
    ? `Found at ${uncapitalised(pointTitle(sheet, last.point))}: ${last.words}, ${limit}`
    : `None of the ${entries.length} points is ${limit}`;
  if (index < 0) {
    return sheet.results.length === 0
      ? { results: [], value: found ? last.understood : undefined, words, sentence: `${sentence}.` }
      : { problem: `${sentence}, and no result speaks of that.` };
  }
  return {
    results: [index], value: found ? last.understood : undefined, words, remarks: searchRemarks(context, sheet, entries),
    sentence: asSentences([`${sentence}${consequence(context, sheet, index, true)}`]),
  };
}

/** Each reading of a search that the instrument cannot tell from one on the other side of the limit. */
function searchRemarks(context: JudgeContext, sheet: StepSheet, entries: readonly PointEntry[]): string[] {
  const band = seekBand(sheet);
  if (band === undefined) return [];
  const words = (one: Band): string => bandWords(one, environmentOf(context), unitOf(sheet), (point) => point);
  const opposite = oppositeOf(band)?.map((comparison) => words({ kind: 'conditions', span: band.span, conditions: [{ comparison, point: undefined, span: band.span }] }));
  const against = comparing(context, sheet, [band, { kind: 'otherwise', span: band.span }], [words(band), opposite ? orList(opposite) : 'anything else']);
  return entries.flatMap((entry) => {
    const reading = readingOf(entry.understood, false);
    const taken = selectResult(against.bands, reading, against.environment).index;
    const remark = taken === undefined ? undefined : closenessRemark(against, reading, taken);
    return remark === undefined ? [] : [`${pointTitle(sheet, entry.point)}: ${remark}`];
  });
}

function problemOfSelection(context: JudgeContext, sheet: StepSheet, selected: Selection, words: string): Judgement | undefined {
  if (selected.index !== undefined) return undefined;
  if (selected.problem !== undefined) return { problem: selected.problem };
  if (selected.unknown !== undefined) {
    const facts = unknownFacts(context, selected.unknown);
    return facts.length > 0 ? { wants: facts } : { problem: unknownReading(selected.unknown) };
  }
  if (selected.several !== undefined) {
    const met = selected.several.map((index) => sheet.results[index]?.when ?? '');
    return { problem: `${capitalised(words)} meets ${met.length} results of this step (${met.join('; ')}). The procedure contradicts itself here: stop, and tell who wrote it.` };
  }
  const all = sheet.results.map((result) => result.when).join('; ');
  return { problem: `${capitalised(words)} meets no result of this step (${all}). Check the reading. If it is right, the procedure has a gap here: stop, and tell who wrote it.` };
}

function unknownReading(names: readonly string[]): string {
  return `It needs ${andList(names)}, which ${names.length === 1 ? 'was' : 'were'} not read on this walk. Go back and take the reading, or stop and tell who wrote the procedure.`;
}

/** '11.8 V is below 12.4 V: battery discharged'. A lamp's word says itself. */
function judgedAs(context: JudgeContext, sheet: StepSheet, index: number, words: string, isWord: boolean): string {
  const after = consequence(context, sheet, index, true);
  if (isWord) return `${capitalised(words)}${after}`;
  const limits = limitWords(context, sheet.index);
  const band = bandsOf(sheet)[index];
  if (band?.kind === 'open') return `${capitalised(words)}${after}`;
  if (band?.kind !== 'otherwise') return `${capitalised(words)} is ${limits[index] ?? ''}${after}`;
  const others = limits.filter((_, other) => other !== index);
  const limit = others.length === 1 ? `is not ${others[0]}` : `is outside the other limits (${others.join('; ')})`;
  return `${capitalised(words)} ${limit}${after}`;
}

/** What a result comes to, after a colon; empty where it only leads on. */
function consequence(context: JudgeContext, sheet: StepSheet, index: number, says: boolean): string {
  const result = sheet.results[index];
  if (result === undefined) return '';
  const titles = (names: readonly string[]): string[] =>
    names.map((name) => uncapitalised(context.sheet.faults.find((fault) => fault.name === name)?.title ?? plainWords(name)));
  if (result.way.kind === 'finds') return `: ${uncapitalised(result.way.title)}${result.way.byElimination ? ', the only one left' : ''}`;
  if (result.raises !== undefined) {
    const grade = context.sheet.faults.find((fault) => fault.name === result.raises)?.grade;
    return `: ${titles([result.raises])[0]}${grade ? `, ${grade} defect` : ', a defect'}`;
  }
  if (says && result.says !== undefined) return `: ${uncapitalised(withoutStop(filled(context, result.says)))}`;
  if (result.leaves !== undefined && result.leaves.length > 0) return `: leaves ${orList(titles(result.leaves))}`;
  if (result.rulesOut.length > 0) return `: rules out ${andList(titles(result.rulesOut))}`;
  return '';
}

function asSentences(parts: readonly string[]): string {
  return parts.map((part) => `${withoutStop(part)}.`).join(' ');
}

function filled(context: JudgeContext, text: string): string {
  return fillText(text, (name) => displayName(context, name));
}

function seekWords(sheet: StepSheet, result: ResultSheet, environment: Environment, unit: Unit | undefined): string {
  const band = seekBand(sheet);
  const limit = band ? bandWords(band, environment, unit, (point) => point) : (sheet.seek ?? '');
  if (result.when === 'found') return `one of the points is ${limit}`;
  return result.when === 'not_found' ? `none of the points is ${limit}` : plainWords(result.when);
}

function unknownFacts(context: JudgeContext, names: readonly string[]): string[] {
  const environment = environmentOf(context);
  const unknown = names.filter((name) => context.sheet.facts.some((fact) => fact.name === name) && environment(name) === undefined);
  return [...new Set(unknown)];
}

/** The bands of a step's results; undefined for those that are none. */
function bandsOf(sheet: StepSheet): (Band | undefined)[] {
  return sheet.results.map((result) => {
    if (sheet.seek !== undefined && (result.when === 'found' || result.when === 'not_found')) return undefined;
    return parseBand(result.written).band;
  });
}

function seekBand(sheet: StepSheet): Band | undefined {
  return sheet.seek === undefined ? undefined : parseBand(sheet.seek).band;
}

function pointTitle(sheet: StepSheet, point: string | undefined): string {
  return sheet.points.find((one) => one.name === point)?.title ?? plainWords(point ?? '');
}

/** An entry as it takes part in bands. Whether a circuit is dead is judged by the magnitude, whichever way round the probes are. */
function readingOf(understood: Understood, magnitude: boolean): Reading {
  if (understood.kind !== 'quantity') return understood;
  const { quantity } = understood;
  const base = magnitude ? absRational(quantity.base) : quantity.base;
  return { kind: 'number', base, dimension: quantityDimension(quantity), unit: quantity.unit };
}

function sameReading(one: Reading, other: Reading): boolean {
  if (one.kind !== 'number' || other.kind !== 'number') return one.kind === other.kind;
  return one.base.numerator === other.base.numerator && one.base.denominator === other.base.denominator;
}

/** A computed reading as an entry would have given it. */
function kept(reading: Reading): Understood {
  if (reading.kind !== 'number') return reading;
  const words = readingWords(reading);
  const { quantity } = parseQuantity(words.replace(/\u202f/g, ' ').replace(/\u2212/g, '-'));
  return quantity === undefined
    ? { kind: 'word', word: words }
    : { kind: 'quantity', quantity: { ...quantity, base: reading.base, unit: reading.unit ?? quantity.unit } };
}

function knownReading(understood: Understood): Known | undefined {
  if (understood.kind === 'quantity') return knownQuantity(understood.quantity);
  if (understood.kind === 'open') return { base: { numerator: 0n, denominator: 1n }, dimension: 'ratio', open: true };
  return undefined;
}
