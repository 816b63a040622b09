/**
 * What stands on the sheets of a printed checklist, in reading order and in final words: names in braces filled in, ways on as 'go
 * to step 7', limits with the values of the asset. Steps are in printed-step.ts; markup is for checklist-html.ts and
 * checklist-markdown.ts.
 */
import { catalogueIn } from './catalogue-in-german.ts';
import type { CautionSheet, ChecklistDocument, ProcedureSheet, StateLine } from '../run/checklist-document.ts';
import { capitalised, plainWords, withoutStop } from '../run/texts.ts';
import type { PaperSize } from './paper-size.ts';
import { PAPER_WORDS, type PaperLanguage, type PaperWords } from './printed-checklist-words.ts';
import { printedStep, stateWords, type PrintedField, type PrintedResult, type PrintedStep, type StepContext } from './printed-step.ts';

export type { PrintedField, PrintedLine, PrintedResult, PrintedStep } from './printed-step.ts';

export interface PaperOptions {
  /** Where the page version is found: the code on every sheet leads there. */
  readonly address?: string;
  /** Of the printed words, not of the procedure; English without it. */
  readonly language?: PaperLanguage;
  /** `PROCEDURE/FIGURE` → data URI. */
  readonly figures?: Readonly<Record<string, string>>;
  /** A4 without it. */
  readonly paper?: PaperSize;
}

export interface PrintedChecklist {
  readonly words: PaperWords;
  readonly title: string;
  /** 'tail_lift_no_raise · revision 4 · released · Brackwater depot'. */
  readonly identity: string;
  readonly revision: string;
  /** For the head of every sheet: draft, withdrawn, open errors. */
  readonly remarks: readonly string[];
  /** For the head of every sheet: whose work it is part of, should it lie alone. */
  readonly running: readonly PrintedField[];
  readonly head: readonly { readonly label: string; readonly text: string }[];
  /** To be filled in before the work begins; `given` where it is known. */
  readonly fields: readonly PrintedField[];
  readonly facts: readonly PrintedField[];
  /** Faults that may be the cause, each with its mark: 'F3 Oil level too low'. To be crossed out on the way. */
  readonly faults: readonly string[];
  readonly parts: readonly PrintedPart[];
  /** How states that the steps want are brought about. */
  readonly states: readonly PrintedChange[];
  /** States to be left at the end, to be ticked. */
  readonly left: readonly string[];
  /** What an inspection's defects mean for the use of the asset. */
  readonly verdicts: readonly PrintedResult[];
  readonly signOff: readonly PrintedField[];
  readonly accepted: readonly string[];
  readonly closing: readonly string[];
  readonly contentHash: string;
  /** What the code on every sheet says. */
  readonly scan: string;
  readonly address?: string;
  readonly paper: PaperSize;
}

export interface PrintedPart {
  /** 'Steps', 'After the repair', or a procedure that is run from here. */
  readonly title: string;
  readonly intro: readonly string[];
  readonly steps: readonly PrintedStep[];
}

export interface PrintedChange {
  /** 'Battery isolator: off'. */
  readonly state: string;
  readonly cautions: readonly CautionSheet[];
  readonly actions: readonly string[];
}

/** The sheets of a checklist. */
export function printedChecklist(document: ChecklistDocument, options: PaperOptions = {}): PrintedChecklist {
  const { procedure, asset } = document;
  const words = PAPER_WORDS[options.language ?? 'en'];
  const called = Object.values(document.called);
  const letters = new Map(called.map((sheet, index) => [sheet.name, letterOf(index + 1)]));
  const marks = marksOf(procedure);
  const context = (sheet: ProcedureSheet): StepContext => ({
    document, sheet, words, figures: options.figures ?? {}, letter: letters.get(sheet.name) ?? '', letters, values: valuesOf(sheet, document),
    marks: sheet === procedure ? marks : new Map(),
  });
  const people = [procedure, ...called].some((sheet) => sheet.steps.some((step) => step.people > 1));
  const assetField = { label: words.asset, ...(asset ? { given: asset.id } : {}) };
  return {
    words,
    title: procedure.title,
    identity: [procedure.name, revisionWords(procedure, words), procedure.status && statusWords(procedure.status, words), document.shop]
      .filter(Boolean).join(' · '),
    revision: revisionWords(procedure, words),
    remarks: document.standing.remarks.map(words.sentence),
    running: [assetField, { label: words.date }, { label: words.initials }],
    head: headLines(procedure, words),
    fields: [
      assetField,
      { label: words.dateAndTime },
      { label: words.doneBy },
      ...(people ? [{ label: words.secondPerson }] : []),
      ...instrumentFields(document, words),
    ],
    facts: factFields(procedure, context(procedure)),
    faults: procedure.faults.filter(({ name }) => marks.has(name)).map(({ name, title }) => `${marks.get(name) ?? ''} ${withoutStop(title)}`),
    parts: [
      ...partsOf(procedure, context(procedure), ''),
      ...called.flatMap((sheet) => partsOf(sheet, context(sheet), words.procedureTitle(letters.get(sheet.name) ?? '', sheet.title))),
    ],
    states: [procedure, ...called].flatMap((sheet) => changesOf(sheet, words)).filter((change, index, all) => all.findIndex((other) => sameChange(other, change)) === index),
    left: leftStates(procedure, words),
    verdicts: procedure.purpose === 'inspection' ? verdictsOf([procedure, ...called], words) : [],
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
    paper: options.paper ?? 'a4',
  };
}

/** A, B, … Z, AA: the procedure itself has no letter, so the first one run from it is B. */
function letterOf(index: number): string {
  return index < 26 ? String.fromCharCode(65 + index) : letterOf(Math.floor(index / 26) - 1) + String.fromCharCode(65 + (index % 26));
}

/** Marks for the faults that some result rules out or leaves: where none does, there is nothing to cross out. */
function marksOf(sheet: ProcedureSheet): Map<string, string> {
  const speaks = sheet.steps.some((step) => step.results.some((result) => result.rulesOut.length > 0 || (result.leaves?.length ?? 0) > 0));
  if (sheet.purpose === 'inspection' || !speaks) return new Map();
  return new Map(sheet.faults.map(({ name }, index) => [name, `F${index + 1}`]));
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
  add(words.onlyFor, words.and(sheet.qualified.map((one) => catalogueIn(words.language).qualification(one).title)));
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

function factFields(sheet: ProcedureSheet, { values, words }: StepContext): PrintedField[] {
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

function partsOf(sheet: ProcedureSheet, context: StepContext, title: string): PrintedPart[] {
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

/** Of the states that a step wants before or while it is done, or that are to be left: the actions for each value that says how. */
function changesOf(sheet: ProcedureSheet, words: PaperWords): PrintedChange[] {
  const lines: Pick<StateLine, 'state' | 'values' | 'changes'>[] = sheet.steps.flatMap((step) => [...step.needs, ...step.during]);
  for (const { name, atEnd, values } of sheet.program.states) {
    if (!atEnd?.length) continue;
    const wanted = atEnd.map((value) => values[value] ?? '');
    lines.push({ state: name, values: wanted, changes: sheet.states.find((state) => state.name === name)?.changes.filter(({ to }) => wanted.includes(to)) ?? [] });
  }
  return lines.flatMap((line) => line.changes.map(catalogueIn(words.language).change).map((change) => ({
    state: stateWords({ state: line.state, values: [change.to] }, sheet, words), cautions: change.cautions, actions: change.do,
  })));
}

function sameChange(one: PrintedChange, other: PrintedChange): boolean {
  return one.state === other.state && one.actions.join('\n') === other.actions.join('\n');
}

function leftStates(sheet: ProcedureSheet, words: PaperWords): string[] {
  return sheet.program.states.flatMap(({ name, atEnd, values }) =>
    (atEnd?.length ? [stateWords({ state: name, values: atEnd.map((value) => values[value] ?? '') }, sheet, words)] : []));
}

/** An inspection that can record no defect passes, or is not gone through to its end. */
function verdictsOf(sheets: readonly ProcedureSheet[], words: PaperWords): PrintedResult[] {
  const raises = sheets.some(({ steps }) => steps.some(({ results }) => results.some((result) => result.raises !== undefined)));
  const lines = raises ? words.use : [words.use[0], words.use.at(-1)].filter((line) => line !== undefined);
  return lines.map(([when, then]) => ({ when, notes: [], then }));
}

function signOffFields(sheet: ProcedureSheet, words: PaperWords): PrintedField[] {
  const found = sheet.purpose === 'inspection'
    ? [{ label: words.defects, lines: 3 }, { label: words.notes, lines: 1 }, { label: words.toldTo }]
    : [
      { label: words.faultFound, lines: 1 }, { label: words.remedy, lines: 1 }, { label: words.notes, lines: 2 },
      { label: words.repairProved, choices: words.yesNo }, { label: words.mayBeUsed, choices: words.yesNo },
    ];
  return [...found, { label: words.name }, { label: words.signature }, { label: words.dateAndTime }];
}
