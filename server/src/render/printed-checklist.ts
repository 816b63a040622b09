/**
 * What stands on the sheets of a printed checklist, in reading order and in final words: names in braces filled in, ways on as 'go
 * to step 7', limits with the values of the asset beside them. Markup is for checklist-html.ts and checklist-markdown.ts.
 */
import type {
  CautionSheet, ChecklistDocument, PointSheet, ProcedureSheet, ResultSheet, StateLine, StepSheet, WaySheet,
} from '../run/checklist-document.ts';
import { capitalised, fillText, plainWords, uncapitalised, withoutStop } from '../run/texts.ts';
import { PAPER_WORDS, type PaperLanguage, type PaperWords } from './printed-checklist-words.ts';

export interface PaperOptions {
  /** Where the page version is found: the code on every sheet leads there. */
  readonly address?: string;
  /** Of the printed words, not of the procedure; English without it. */
  readonly language?: PaperLanguage;
  /** `PROCEDURE/FIGURE` → data URI. */
  readonly figures?: Readonly<Record<string, string>>;
}

export interface PrintedChecklist {
  readonly words: PaperWords;
  readonly title: string;
  /** 'tail_lift_no_raise · revision 4 · released · Brackwater depot'. */
  readonly identity: string;
  readonly revision: string;
  /** For the head of every sheet: draft, withdrawn, open errors. */
  readonly remarks: readonly string[];
  readonly head: readonly { readonly label: string; readonly text: string }[];
  /** To be filled in before the work begins; `given` where it is known. */
  readonly fields: readonly PrintedField[];
  readonly facts: readonly PrintedField[];
  readonly parts: readonly PrintedPart[];
  readonly signOff: readonly PrintedField[];
  readonly accepted: readonly string[];
  readonly closing: readonly string[];
  readonly contentHash: string;
  /** What the code on every sheet says. */
  readonly scan: string;
  readonly address?: string;
}

export interface PrintedField {
  readonly label: string;
  readonly unit?: string;
  readonly given?: string;
  /** Words to tick instead of a blank. */
  readonly choices?: readonly string[];
}

export interface PrintedPart {
  /** 'Steps', 'After the repair', or a procedure that is run from here. */
  readonly title: string;
  readonly intro: readonly string[];
  readonly steps: readonly PrintedStep[];
}

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
}

export interface PrintedResult {
  readonly when: string;
  /** What the technician sees, or what the names in the limit stand for. */
  readonly notes: readonly string[];
  readonly then: string;
}

/** The sheets of a checklist. */
export function printedChecklist(document: ChecklistDocument, options: PaperOptions = {}): PrintedChecklist {
  const { procedure, asset } = document;
  const words = PAPER_WORDS[options.language ?? 'en'];
  const called = Object.values(document.called);
  const letters = new Map(called.map((sheet, index) => [sheet.name, letterOf(index + 1)]));
  const context = (sheet: ProcedureSheet): Context =>
    ({ document, sheet, words, figures: options.figures ?? {}, letter: letters.get(sheet.name) ?? '', letters, values: valuesOf(sheet, document) });
  return {
    words,
    title: procedure.title,
    identity: [procedure.name, revisionWords(procedure, words), procedure.status && statusWords(procedure.status, words), document.shop]
      .filter(Boolean).join(' · '),
    revision: revisionWords(procedure, words),
    remarks: document.standing.remarks.map(words.sentence),
    head: headLines(procedure, words),
    fields: [
      { label: words.asset, ...(asset ? { given: asset.id } : {}) },
      { label: words.dateAndTime },
      { label: words.doneBy },
      ...instrumentFields(document, words),
    ],
    facts: factFields(procedure, context(procedure)),
    parts: [
      ...partsOf(procedure, context(procedure), ''),
      ...called.flatMap((sheet) => partsOf(sheet, context(sheet), words.procedureTitle(letters.get(sheet.name) ?? '', sheet.title))),
    ],
    signOff: signOffFields(procedure, words),
    accepted: document.standing.accepted.map((accepted) => {
      const at = accepted.at ? words.acceptedAt(accepted.at) : '';
      const reason = accepted.because ? words.acceptedBecause(withoutStop(accepted.because)) : words.acceptedWithout;
      return `${accepted.check}${at}: ${withoutStop(accepted.message)}.${reason}${accepted.by ? ` (${accepted.by})` : ''}.`;
    }),
    closing: document.closing.map(words.sentence),
    contentHash: document.contentHash,
    scan: scanText(document, options.address),
    ...(options.address === undefined ? {} : { address: options.address }),
  };
}

interface Context {
  readonly words: PaperWords;
  readonly figures: Readonly<Record<string, string>>;
  readonly document: ChecklistDocument;
  readonly sheet: ProcedureSheet;
  /** Before every step number; empty for the procedure itself. */
  readonly letter: string;
  readonly letters: ReadonlyMap<string, string>;
  /** Name → value as written, of what is known before the work begins. */
  readonly values: ReadonlyMap<string, string>;
}

/** A, B, … Z, AA: the procedure itself has no letter, so the first one run from it is B. */
function letterOf(index: number): string {
  return index < 26 ? String.fromCharCode(65 + index) : letterOf(Math.floor(index / 26) - 1) + String.fromCharCode(65 + (index % 26));
}

function valuesOf(sheet: ProcedureSheet, document: ChecklistDocument): Map<string, string> {
  const values = new Map(sheet.values.map(({ name, is }) => [name, is]));
  const facts = new Set(sheet.facts.map(({ name }) => name));
  for (const { name, value } of document.asset?.facts ?? []) if (facts.has(name)) values.set(name, value);
  return values;
}

function revisionWords(sheet: ProcedureSheet, words: PaperWords): string {
  return sheet.revision === undefined ? words.noRevision : words.revision(sheet.revision);
}

function statusWords(status: string, words: PaperWords): string {
  return words.status[status] ?? plainWords(status);
}

/** With an address, a link whose part behind # says which text was printed; else the same in words, for whoever compares by hand. */
function scanText({ procedure, contentHash }: ChecklistDocument, address: string | undefined): string {
  const { name, revision } = procedure;
  if (address === undefined) return [name, ...(revision === undefined ? [] : [`revision ${revision}`]), `content ${contentHash}`].join(', ');
  const about = new URLSearchParams({ procedure: name, ...(revision === undefined ? {} : { revision }), content: contentHash });
  return `${address}#${about.toString()}`;
}

function headLines(sheet: ProcedureSheet, words: PaperWords): { label: string; text: string }[] {
  const lines: { label: string; text: string }[] = [];
  const add = (label: string, text: string | undefined): void => {
    if (text) lines.push({ label, text });
  };
  add(sheet.purpose === 'inspection' ? words.inspection : words.complaint, sheet.complaint);
  add(words.appliesTo, sheet.appliesTo.map(({ fact, values }) => `${plainWords(fact)}: ${words.or(values.map(plainWords))}`).join('; '));
  add(words.interval, sheet.interval);
  add(words.onlyFor, words.and(sheet.qualified.map(({ title }) => title)));
  add(words.approved, [sheet.approved?.by, sheet.approved?.on].filter(Boolean).join(', '));
  const references = sheet.references.map(({ id, title, sheet: page }) => [id, title, page && words.sheetNumber(page)].filter(Boolean).join(', '));
  add(words.references, references.join('; '));
  return lines;
}

function instrumentFields(document: ChecklistDocument, words: PaperWords): PrintedField[] {
  const titles = new Set<string>();
  for (const sheet of [document.procedure, ...Object.values(document.called)]) {
    for (const step of sheet.steps) if (step.instrument) titles.add(step.instrument.title);
  }
  return [...titles].map((title) => ({ label: words.number(title) }));
}

function factFields(sheet: ProcedureSheet, { values, words }: Context): PrintedField[] {
  return sheet.facts.map((fact) => {
    const given = values.get(fact.name);
    return {
      label: capitalised(fact.title) + (fact.from ? words.from(fact.from) : ''),
      ...(given === undefined ? {} : { given: fact.choices.length > 0 ? plainWords(given) : words.numbers(given) }),
      ...(fact.unit ? { unit: fact.unit } : {}),
      ...(fact.choices.length > 0 ? { choices: fact.choices.map(plainWords) } : {}),
    };
  });
}

function partsOf(sheet: ProcedureSheet, context: Context, title: string): PrintedPart[] {
  const { words } = context;
  const steps = sheet.steps.map((step) => printedStep(step, context));
  const main = steps.filter((_, index) => sheet.steps[index]?.section === 'steps');
  const after = steps.filter((_, index) => sheet.steps[index]?.section === 'after_repair');
  const intro: string[] = [];
  if (title) {
    intro.push(words.doneFromStep, `${capitalised(revisionWords(sheet, words))}.`);
    for (const { label, given, unit } of factFields(sheet, context)) intro.push(`${label}: ${given ?? `________ ${unit ?? ''}`.trim()}`);
  }
  const parts: PrintedPart[] = [{ title: title || words.steps, intro, steps: main }];
  // A procedure that is run from another returns at its ending, before any repair.
  if (!title && after.length > 0) parts.push({ title: words.afterRepair, intro: [words.provesRepair], steps: after });
  return parts;
}

function printedStep(step: StepSheet, context: Context): PrintedStep {
  const { words } = context;
  const fill = (text: string): string => fillText(text, (name) => context.values.get(name));
  const figure = step.figure === undefined ? undefined : context.figures[`${context.sheet.name}/${step.figure}`];
  return {
    number: `${context.letter}${step.number}`,
    title: step.title,
    aside: [step.people > 1 ? words.people(step.people) : '', step.time ? words.about(words.numbers(step.time.text)) : ''].filter(Boolean),
    cautions: step.cautions,
    before: beforeLines(step, context),
    actions: actionsOf(step, context).map((action) => ({ ...action, text: fill(action.text) })),
    ...(figure === undefined ? {} : { figure }),
    details: detailLines(step, words, figure !== undefined).map((line) => ({ ...line, text: fill(line.text) })),
    entries: entriesOf(step, words),
    results: step.results.map((result) => printedResult(step, result, context)),
    after: afterLines(step, context),
  };
}

function beforeLines(step: StepSheet, context: Context): PrintedLine[] {
  const { words } = context;
  const lines: PrintedLine[] = [];
  if (step.onlyIf.length > 0) {
    const over = context.sheet.program.steps[step.index]?.passOver;
    const next = over?.kind === 'step' ? context.sheet.steps[over.step] : undefined;
    const only = words.and(step.onlyIf);
    lines.push({ label: words.onlyIf, text: next ? words.otherwiseGoOn(only, `${context.letter}${next.number}`) : words.otherwisePassOver(only) });
  }
  if (step.qualified.length > 0) lines.push({ label: words.onlyFor, text: words.and(step.qualified.map(({ title }) => title)) });
  if (step.needs.length > 0) lines.push({ label: words.before, text: stateWords(step.needs) });
  if (step.during.length > 0) {
    lines.push({ label: words.whileDoing, text: stateWords(step.during) + (step.maxTime ? words.andNoLonger(words.numbers(step.maxTime.text)) : '') });
  } else if (step.maxTime) lines.push({ label: words.noLongerThan, text: words.numbers(step.maxTime.text) });
  if (step.rest) lines.push({ label: words.beforeAgain, text: words.waitShort(words.numbers(step.rest.text)) });
  if (step.tools.length > 0) lines.push({ label: words.tools, text: step.tools.join(', ') });
  return lines;
}

function actionsOf(step: StepSheet, { letters, sheet, words }: Context): { text: string; box: boolean }[] {
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
      return [{ text: `${verb}: ${(step.decide ?? step.title).replaceAll('_', ' ')}`, box: false }];
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

function printedResult(step: StepSheet, result: ResultSheet, context: Context): PrintedResult {
  const notes = [result.says, explainNames(step, result.when, context)].filter((note) => note !== undefined && note !== '') as string[];
  return { when: capitalised(context.words.limit(whenWords(step, result, context))), notes, then: thenWords(result, context) };
}

/** The limit or answer; the fault that a procedure run from here finds, by its title. */
function whenWords(step: StepSheet, result: ResultSheet, { document, sheet }: Context): string {
  const index = step.results.indexOf(result);
  const fault = sheet.program.steps[step.index]?.results[index]?.when.fault;
  const callee = step.run && document.called[step.run.name];
  const title = fault === undefined ? undefined : callee?.faults.find(({ name }) => name === fault)?.title;
  return title === undefined ? result.when.replaceAll('_', ' ') : `${result.when.split(' ')[0] ?? ''}: ${uncapitalised(title)}`;
}

/** What the names in a limit stand for: 'coil low = 18 ohm, supply = reading of step 4'. */
function explainNames(step: StepSheet, when: string, { sheet, values, letter, words }: Context): string | undefined {
  if (step.kind !== 'measure' && step.kind !== 'decide') return undefined;
  const notes: string[] = [];
  for (const [name] of when.matchAll(/\b[a-z][a-z0-9_]*(?:\.[a-z][a-z0-9_]*)?\b/g)) {
    const value = values.get(name);
    const reading = sheet.steps.find((other) => other.name === name.split('.')[0] && other.kind === 'measure');
    const fact = sheet.facts.find((other) => other.name === name);
    const meaning = value !== undefined ? ` = ${words.numbers(value)}`
      : reading ? words.readingOfStep(`${letter}${reading.number}`)
      : fact ? words.seeFacts : undefined;
    const note = meaning === undefined ? undefined : plainWords(name) + meaning;
    if (note !== undefined && !notes.includes(note)) notes.push(note);
  }
  return notes.join(', ');
}

function thenWords(result: ResultSheet, context: Context): string {
  const { words } = context;
  const parts: string[] = [];
  if (result.raises !== undefined) {
    const fault = context.sheet.faults.find(({ name }) => name === result.raises);
    parts.push(words.recordDefect(withoutStop(fault?.title ?? plainWords(result.raises)), fault?.grade && words.grades[fault.grade]));
  }
  if (result.sets.length > 0) parts.push(words.now(stateWords(result.sets)));
  parts.push(wayWords(result.way, context));
  return parts.join(' ');
}

function wayWords(way: WaySheet, context: Context): string {
  const { sheet, letter, words } = context;
  switch (way.kind) {
    case 'step':
      return (way.written ? words.goTo : words.goOn)(`${letter}${way.number}`);
    case 'finds': {
      const fault = sheet.faults.find(({ name }) => name === way.fault);
      const found = words.fault(withoutStop(way.title), way.byElimination);
      if (letter) return `${found} ${words.back}`;
      const remedy = fault?.remedy ? words.remedyIs(fillText(fault.remedy, (name) => context.values.get(name))) : '';
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

function afterLines(step: StepSheet, context: Context): PrintedLine[] {
  const { words } = context;
  const lines: PrintedLine[] = [];
  if (step.sets.length > 0) lines.push({ label: words.afterwards, text: stateWords(step.sets) });
  if (step.repeatAtMost !== undefined) lines.push({ label: words.atMost, text: words.times(step.repeatAtMost) });
  if (step.results.length === 0 && (step.way.kind !== 'step' || step.way.written)) {
    lines.push({ label: words.then, text: wayWords(step.way, context) });
  }
  return lines;
}

function stateWords(lines: readonly StateLine[]): string {
  return lines.map(({ words }) => words).join(', ');
}

function signOffFields(sheet: ProcedureSheet, words: PaperWords): PrintedField[] {
  const found = sheet.purpose === 'inspection'
    ? [{ label: words.verdict, choices: words.verdicts }, { label: words.defects }]
    : [{ label: words.faultFound }, { label: words.remedy }, { label: words.repairProved, choices: words.yesNo }];
  return [...found, { label: words.name }, { label: words.signature }, { label: words.dateAndTime }];
}
