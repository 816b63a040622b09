/**
 * What declarations of circuits, states, instruments, hazards, cautions and faults no longer demand. A declaration of the shop's file bears on
 * every procedure that uses it, so both revisions are compared by what their names mean, wherever that is written.
 */
import type { Caution, Circuit, Fault, Hazard, Instrument, State, StateChange, StateCondition } from '../procedure/model.ts';
import type { Declared, Names, Scope } from '../procedure/scope.ts';
import { parseQuantity } from '../quantity/parse-quantity.ts';
import { compareRational, type Rational } from '../quantity/rational.ts';
import { isWeaker, joined, spoken, written, type Loss } from './loss.ts';
import { textChange } from './weaker-texts.ts';

export type DeclarationKind = 'states' | 'circuits' | 'instruments' | 'hazards' | 'cautions' | 'faults';

/** The files of a declaration in both revisions. */
export interface Files {
  readonly before: string;
  readonly after: string;
}

/** What is less than it was among the declarations that `concerns` names. One that is no longer there at all counts too. */
export function declarationLosses(before: Scope, after: Scope, concerns: (kind: DeclarationKind, was: Declared<unknown>, is: Declared<unknown> | undefined, name: string) => boolean): Loss[] {
  const each = <T>(kind: DeclarationKind, was: Names<T>, is: Names<T>, compare: (was: T, is: T | undefined, files: Files) => Loss[]): Loss[] => [...was].flatMap(([name, earlier]) => {
    const now = is.get(name);
    if (now?.item === earlier.item || !concerns(kind, earlier, now, name)) return [];
    return compare(earlier.item, now?.item, { before: earlier.file, after: now?.file ?? earlier.file });
  });
  return [
    ...each('circuits', before.circuits, after.circuits, circuitLosses),
    ...each('states', before.states, after.states, stateLosses),
    ...each('instruments', before.instruments, after.instruments, instrumentLosses),
    ...each('hazards', before.hazards, after.hazards, hazardLosses),
    ...each('cautions', before.cautions, after.cautions, (was, is, files) => (is === undefined ? gone('caution', was, files) : cautionLosses(was, is, `the caution ${spoken(was.name.value)}`, files))),
    ...each('faults', before.faults, after.faults, faultLosses),
  ];
}

/** Whether the signal word of a caution is a lower one. */
export function isLowerSignal(before: Caution, after: Caution): boolean {
  const rank = (caution: Caution): number => SIGNALS.indexOf(caution.signal?.value ?? '');
  return rank(after) < rank(before);
}

const SIGNALS = ['notice', 'caution', 'warning', 'danger'];

/** `what` names the caution in a sentence. */
export function cautionLosses(was: Caution, is: Caution, what: string, files: Files): Loss[] {
  const losses: Loss[] = [];
  const lose = losing(losses, files, what, is);
  if (isLowerSignal(was, is)) lose('signal', `The signal word of ${what} is ${is.signal ? `now '${is.signal.value}'` : 'gone'}; it was '${was.signal?.value ?? ''}'.`, was.signal, is.signal, [was.signal?.value, is.signal?.value]);
  for (const key of ['hazard', 'consequence', 'avoid'] as const) {
    const [a, b] = [was[key], is[key]];
    if (a === undefined) continue;
    const change = b === undefined ? 'gone' : textChange(a.value, b.value);
    if (change === 'same' || change === 'added') continue;
    const sentence = b === undefined ? `${capital(what)} no longer says ${SAYS[key]}.` : change === 'reversed' ? `What ${what} says of ${SAID[key]} may now mean the contrary.` : `${capital(what)} says ${SAYS[key]} in other words; whether they warn as those did, a person must read.`;
    lose(key, sentence, a, b, [a.value, b?.value]);
  }
  for (const name of was.wear) if (!is.wear.some(({ value }) => value === name.value)) lose(`wear ${name.value}`, `${capital(what)} no longer asks to wear ${spoken(name.value)}.`, name, undefined, [name.value]);
  for (const name of was.covers) if (!is.covers.some(({ value }) => value === name.value)) lose(`covers ${name.value}`, `${capital(what)} no longer covers the hazard ${spoken(name.value)}.`, name, undefined, [name.value]);
  return losses;
}

const SAYS = { hazard: 'what the hazard is', consequence: 'what happens', avoid: 'how to avoid it' } as const;
const SAID = { hazard: 'the hazard', consequence: 'what happens', avoid: 'how to avoid it' } as const;

/** Whether an instrument may be put to less than another: a lower category or rated voltage, or a function that reads less far. */
export function instrumentIsWeaker(was: Instrument, is: Instrument): boolean {
  const [a, b] = [categoryOf(was.category?.value), categoryOf(is.category?.value)];
  if (a && (b === undefined || b.rank < a.rank || (a.volts !== undefined && (b.volts === undefined || compareRational(b.volts, a.volts) < 0)))) return true;
  return was.measures.some((measure) => {
    const other = is.measures.find(({ quantity }) => quantity.value === measure.quantity.value);
    return other !== undefined && isWeaker(measure.upTo, other.upTo, 'less');
  });
}

function circuitLosses(was: Circuit, is: Circuit | undefined, files: Files): Loss[] {
  if (is === undefined) return gone('circuit', was, files);
  const what = `the circuit ${spoken(was.name.value)}`;
  const losses: Loss[] = [];
  const lose = losing(losses, files, what, is);
  const [a, b] = [was.nominal, is.nominal];
  if (isWeaker(a, b, 'less')) lose('nominal', `The nominal voltage of ${what} is ${b ? `now ${b.value.text}` : 'no longer given'}; it was ${a?.value.text ?? ''}. What a high voltage asks for may no longer be asked for.`, a, b, [a?.value.text, b?.value.text]);
  const alternating = (text: string | undefined): boolean => /\bV?AC\b|~/iu.test(text ?? '');
  if (a && b && (was.current === 'ac' || alternating(a.value.text)) && is.current !== 'ac' && !alternating(b.value.text)) lose('current', `${capital(what)} is now one of direct current; it was alternating, which is hazardous from a lower voltage on.`, a, b, [a.value.text, b.value.text]);
  const [category, other] = [categoryOf(was.category?.value), categoryOf(is.category?.value)];
  if (category && (other?.rank ?? 0) < category.rank) lose('category', `${capital(what)} ${is.category ? `is now ${is.category.value}` : 'no longer has a measurement category'}; it was ${was.category?.value ?? ''}. A lesser instrument is let through.`, was.category, is.category, [was.category?.value, is.category?.value]);
  const [wait, shorter] = [was.dischargeWait, is.dischargeWait];
  if (isWeaker(wait, shorter, 'less')) {
    lose('discharge_wait', `The discharge wait of ${what} is ${shorter ? `now ${shorter.value.text}` : 'gone'}; it was ${wait?.value.text ?? ''}.`, wait, shorter, [wait?.value.text, shorter?.value.text]);
  }
  if (deadSooner(was.deadWhen, is.deadWhen)) {
    const texts = [alternativesText(was.deadWhen), alternativesText(is.deadWhen)] as const;
    lose('dead_when', `${capital(what)} is now taken for dead when ${texts[1]}; it was when ${texts[0]}.`, spanOf(was.deadWhen) ?? was, spanOf(is.deadWhen), texts);
  }
  return losses;
}

/** Whether some alternative that now makes it dead holds where none did before. */
function deadSooner(was: Circuit['deadWhen'], is: Circuit['deadWhen']): boolean {
  const within = (given: StateCondition, wanted: StateCondition): boolean =>
    given.state.value === wanted.state.value && given.values.every(({ value }) => wanted.values.some((other) => other.value === value));
  const implies = (a: readonly StateCondition[], b: readonly StateCondition[]): boolean => b.every((wanted) => a.some((given) => within(given, wanted)));
  return (is ?? []).some((now) => !(was ?? []).some((before) => implies(now, before)));
}

function stateLosses(was: State, is: State | undefined, files: Files): Loss[] {
  if (is === undefined) return gone('state', was, files);
  const what = `the state ${spoken(was.name.value)}`;
  const losses: Loss[] = [];
  const lose = losing(losses, files, what, is);
  for (const name of was.held) if (!is.held.some(({ value }) => value === name.value)) lose(`held ${name.value}`, `${spoken(was.name.value)} ${spoken(name.value)} is no longer one that someone must hold: its time is not limited any longer.`, name, undefined, [name.value]);
  if (was.atEnd) {
    const wider = is.atEnd === undefined || is.atEnd.some(({ value }) => !was.atEnd?.some((other) => other.value === value));
    const [a, b] = [was.atEnd, is.atEnd].map((list) => list && joined(list.map(({ value }) => value), 'or'));
    if (wider) lose('at_end', `${capital(what)} may now be left ${b === undefined ? 'as it is' : `as ${spoken(b)}`} at the end; it had to be ${spoken(a ?? '')}.`, was.atEnd[0], is.atEnd?.[0], [a, b]);
  }
  for (const change of was.changes) changeLosses(what, change, is.changes.find(({ to }) => to.value === change.to.value), lose);
  return losses;
}

function changeLosses(what: string, was: StateChange, is: StateChange | undefined, lose: Lose): void {
  const bringing = `bring ${what} to ${spoken(was.to.value)}`;
  if (is === undefined) {
    lose(`change ${was.to.value}`, `It is no longer said how to ${bringing}.`, was, undefined, [was.do.map(({ value }) => value).join(' ')]);
    return;
  }
  const [a, b] = [was, is].map((change) => change.do.map(({ value }) => value).join(' ')) as [string, string];
  const change = textChange(a, b);
  if (change === 'reversed' || change === 'changed') lose(`change ${was.to.value}`, change === 'reversed' ? `How to ${bringing} may now say the contrary.` : `How to ${bringing} is written otherwise; whether it protects as it did, a person must read.`, was.do[0] ?? was, is.do[0] ?? is, [a, b]);
  const names = (of: StateChange): string[] => of.cautions.flatMap((use) => (use.kind === 'named' ? [use.name.value] : []));
  for (const name of names(was)) if (!names(is).includes(name)) lose(`change ${was.to.value} ${name}`, `To ${bringing} no longer gives the caution ${spoken(name)}.`, was, is, [name]);
}

function instrumentLosses(was: Instrument, is: Instrument | undefined, files: Files): Loss[] {
  if (is === undefined) return gone('instrument', was, files);
  const what = `the instrument ${spoken(was.name.value)}`;
  const losses: Loss[] = [];
  const lose = losing(losses, files, what, is);
  const [a, b] = [categoryOf(was.category?.value), categoryOf(is.category?.value)];
  const texts = [was.category?.value, is.category?.value] as const;
  // Either way something is at stake: less than it was fit for, or let onto circuits from which it was kept.
  const differs = a?.rank !== b?.rank || (a?.volts === undefined) !== (b?.volts === undefined) || (a?.volts !== undefined && b?.volts !== undefined && compareRational(a.volts, b.volts) !== 0);
  if (was.category && differs) lose('category', `${capital(what)} is ${texts[1] === undefined ? 'of no category any longer' : `now ${texts[1]}`}; it was ${texts[0]}. Only what is printed on it counts.`, was.category, is.category, texts);
  else if (was.category === undefined && is.category) lose('category', `${capital(what)} now has the category ${is.category.value}; it had none, and was kept from circuits that ask for one.`, was.name, is.category, [undefined, is.category.value]);
  for (const measure of was.measures) {
    if (!/voltage/u.test(measure.quantity.value)) continue;
    const other = is.measures.find(({ quantity }) => quantity.value === measure.quantity.value);
    if (other && (isWeaker(measure.upTo, other.upTo, 'less') || isWeaker(measure.upTo, other.upTo, 'more'))) {
      lose(`up_to ${measure.quantity.value}`, `${capital(what)} now reads ${spoken(measure.quantity.value)} up to ${other.upTo?.value.text ?? 'a value that is not given'}; it was ${measure.upTo?.value.text ?? ''}.`, measure.upTo, other.upTo, [measure.upTo?.value.text, other.upTo?.value.text]);
    }
  }
  return losses;
}

function hazardLosses(was: Hazard, is: Hazard | undefined, files: Files): Loss[] {
  if (is === undefined) return gone('hazard', was, files);
  const what = `the hazard ${spoken(was.name.value)}`;
  const losses: Loss[] = [];
  const lose = losing(losses, files, what, is);
  if (was.repeat === 'every_step' && is.repeat === 'once_before') lose('repeat', `${capital(what)} asks for its caution only once; it was at every step.`, was.name, is.name, ['every step', 'once before']);
  if (was.qualified && is.qualified?.value !== was.qualified.value) lose('qualified', `${capital(what)} no longer asks for the qualification ${spoken(was.qualified.value)}.`, was.qualified, is.qualified, [was.qualified.value, is.qualified?.value]);
  const [a, b] = [was.arisesFrom, is.arisesFrom];
  const conditions = (list: readonly (readonly StateCondition[])[]): string[] => list.map((alternative) => conditionsText(alternative));
  const lost = [
    ...(['during', 'states', 'sets'] as const).flatMap((key) => missing(conditions(a[key]), conditions(b[key]))),
    ...(['words', 'quantities', 'tools'] as const).flatMap((key) => missing(a[key].map(({ value }) => value), b[key].map(({ value }) => value))),
  ];
  if (lost.length > 0) lose('arises_from', `${capital(what)} is no longer seen in: ${lost.join('; ')}.`, was.name, is.name, [lost.join('; ')]);
  for (const key of ['dcAbove', 'acAbove'] as const) {
    if (isWeaker(a[key], b[key], 'more')) lose(key, `${capital(what)} is seen only above ${b[key]?.value.text ?? 'no voltage'}; it was above ${a[key]?.value.text ?? ''}.`, a[key], b[key], [a[key]?.value.text, b[key]?.value.text]);
  }
  return losses;
}

function faultLosses(was: Fault, is: Fault | undefined, files: Files): Loss[] {
  const [a, b] = [was.grade, is?.grade];
  if (is === undefined || a === undefined || GRADES.indexOf(b?.value ?? '') >= GRADES.indexOf(a.value)) return [];
  const losses: Loss[] = [];
  losing(losses, files, `the fault ${spoken(was.name.value)}`, is)('grade', `The defect ${spoken(was.name.value)} is ${b ? `now graded ${b.value}` : 'no longer graded'}; it was ${a.value}.`, a, b, [a.value, b?.value]);
  return losses;
}

const GRADES = ['minor', 'major', 'dangerous'];

function gone(noun: string, was: { readonly name: { readonly value: string; readonly span: Written['span'] } }, files: Files): Loss[] {
  const before = written(files.before, was.name, was.name.value);
  return [{ key: `${noun} ${was.name.value}`, say: () => `The ${noun} ${spoken(was.name.value)} is no longer declared.`, ...(before ? { before } : {}) }];
}

type Written = { readonly span: StateCondition['span'] };
type Lose = (key: string, sentence: string, was: Written | undefined, is: Written | undefined, texts: readonly [string?, string?]) => void;

/** Where nothing is written any longer, the name of the declaration stands for the place. */
function losing(losses: Loss[], files: Files, what: string, is: { readonly name: Written }): Lose {
  return (key, sentence, a, b, [before, after]) => {
    const [was, now] = [written(files.before, a, before), written(files.after, b ?? is.name, b === undefined ? undefined : after)];
    losses.push({ key: `${what} ${key}`, say: () => sentence, ...(was ? { before: was } : {}), ...(now ? { after: now } : {}) });
  };
}

function missing(before: readonly string[], after: readonly string[]): string[] {
  return before.filter((text) => !after.includes(text));
}

function alternativesText(alternatives: Circuit['deadWhen']): string {
  return alternatives === undefined || alternatives.length === 0 ? 'nothing' : joined(alternatives.map(conditionsText), 'or');
}

function conditionsText(conditions: readonly StateCondition[]): string {
  return conditions.length === 0 ? 'always' : joined(conditions.map(({ state, values }) => `${spoken(state.value)} is ${joined(values.map(({ value }) => spoken(value)), 'or')}`), 'and');
}

function spanOf(alternatives: Circuit['deadWhen']): Written | undefined {
  return alternatives?.[0]?.[0];
}

/** `CAT III 600 V`: a rank from 1, and the rated voltage in volts where it is given. */
function categoryOf(text: string | undefined): { readonly rank: number; readonly volts: Rational | undefined } | undefined {
  const match = /CAT\s*(IV|III|II|I)\b\s*(.*)$/iu.exec(text ?? '');
  if (!match) return undefined;
  const rated = match[2] ? parseQuantity(match[2]).quantity : undefined;
  return { rank: ['I', 'II', 'III', 'IV'].indexOf((match[1] ?? '').toUpperCase()) + 1, volts: rated?.base };
}

function capital(text: string): string {
  return `${text.charAt(0).toUpperCase()}${text.slice(1)}`;
}
