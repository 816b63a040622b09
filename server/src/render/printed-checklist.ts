/**
 * What stands on the sheets of a printed checklist, in reading order and in final words: names in braces filled in, ways on as 'go
 * to step 7', limits with the values of the asset beside them. Markup is for checklist-html.ts and checklist-markdown.ts.
 */
import type {
  CautionSheet, ChecklistDocument, PointSheet, ProcedureSheet, ResultSheet, StateLine, StepSheet, WaySheet,
} from '../run/checklist-document.ts';
import { andList, capitalised, fillText, orList, plainWords, uncapitalised, withoutStop } from '../run/texts.ts';

export interface PrintedChecklist {
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
export function printedChecklist(document: ChecklistDocument): PrintedChecklist {
  const { procedure, asset } = document;
  const called = Object.values(document.called);
  const letters = new Map(called.map((sheet, index) => [sheet.name, letterOf(index + 1)]));
  const context = (sheet: ProcedureSheet): Context =>
    ({ document, sheet, letter: letters.get(sheet.name) ?? '', letters, values: valuesOf(sheet, document) });
  return {
    title: procedure.title,
    identity: [procedure.name, revisionWords(procedure), procedure.status && plainWords(procedure.status), document.shop]
      .filter(Boolean).join(' · '),
    revision: revisionWords(procedure),
    remarks: document.standing.remarks,
    head: headLines(procedure),
    fields: [
      { label: 'Asset', ...(asset ? { given: asset.id } : {}) },
      { label: 'Date and time' },
      { label: 'Done by' },
      ...instrumentFields(document),
    ],
    facts: factFields(procedure, context(procedure)),
    parts: [
      ...partsOf(procedure, context(procedure), ''),
      ...called.flatMap((sheet) => partsOf(sheet, context(sheet), `Procedure ${letters.get(sheet.name) ?? ''}: ${sheet.title}`)),
    ],
    signOff: signOffFields(procedure),
    accepted: document.standing.accepted.map((accepted) => {
      const at = accepted.at ? ` at ${accepted.at}` : '';
      const reason = accepted.because ? ` Accepted because: ${withoutStop(accepted.because)}` : ' Accepted without a reason';
      return `${accepted.check}${at}: ${withoutStop(accepted.message)}.${reason}${accepted.by ? ` (${accepted.by})` : ''}.`;
    }),
    closing: document.closing,
    contentHash: document.contentHash,
  };
}

interface Context {
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

function revisionWords(sheet: ProcedureSheet): string {
  return sheet.revision === undefined ? 'no revision given' : `revision ${sheet.revision}`;
}

function headLines(sheet: ProcedureSheet): { label: string; text: string }[] {
  const lines: { label: string; text: string }[] = [];
  const add = (label: string, text: string | undefined): void => {
    if (text) lines.push({ label, text });
  };
  add(sheet.purpose === 'inspection' ? 'Inspection' : 'Complaint', sheet.complaint);
  add('Applies to', sheet.appliesTo.map(({ fact, values }) => `${plainWords(fact)}: ${orList(values.map(plainWords))}`).join('; '));
  add('Interval', sheet.interval);
  add('Only for', andList(sheet.qualified.map(({ title }) => title)));
  add('Approved', [sheet.approved?.by, sheet.approved?.on].filter(Boolean).join(', '));
  const references = sheet.references.map(({ id, title, sheet: page }) => [id, title, page && `sheet ${page}`].filter(Boolean).join(', '));
  add('References', references.join('; '));
  return lines;
}

function instrumentFields(document: ChecklistDocument): PrintedField[] {
  const titles = new Set<string>();
  for (const sheet of [document.procedure, ...Object.values(document.called)]) {
    for (const step of sheet.steps) if (step.instrument) titles.add(step.instrument.title);
  }
  return [...titles].map((title) => ({ label: `${title}, number` }));
}

function factFields(sheet: ProcedureSheet, { values }: Context): PrintedField[] {
  return sheet.facts.map((fact) => {
    const given = values.get(fact.name);
    return {
      label: capitalised(fact.title) + (fact.from ? ` (from: ${fact.from})` : ''),
      ...(given === undefined ? {} : { given: fact.choices.length > 0 ? plainWords(given) : given }),
      ...(fact.unit ? { unit: fact.unit } : {}),
      ...(fact.choices.length > 0 ? { choices: fact.choices.map(plainWords) } : {}),
    };
  });
}

function partsOf(sheet: ProcedureSheet, context: Context, title: string): PrintedPart[] {
  const steps = sheet.steps.map((step) => printedStep(step, context));
  const main = steps.filter((_, index) => sheet.steps[index]?.section === 'steps');
  const after = steps.filter((_, index) => sheet.steps[index]?.section === 'after_repair');
  const intro: string[] = [];
  if (title) {
    intro.push('Done where a step sends you here. Go back to that step when this procedure ends.', `${capitalised(revisionWords(sheet))}.`);
    for (const { label, given, unit } of factFields(sheet, context)) intro.push(`${label}: ${given ?? `________ ${unit ?? ''}`.trim()}`);
  }
  const parts: PrintedPart[] = [{ title: title || 'Steps', intro, steps: main }];
  // A procedure that is run from another returns at its ending, before any repair.
  if (!title && after.length > 0) parts.push({ title: 'After the repair', intro: ['These steps prove the repair.'], steps: after });
  return parts;
}

function printedStep(step: StepSheet, context: Context): PrintedStep {
  const fill = (text: string): string => fillText(text, (name) => context.values.get(name));
  return {
    number: `${context.letter}${step.number}`,
    title: step.title,
    aside: [step.people > 1 ? `${step.people} people` : '', step.time ? `about ${step.time.text}` : ''].filter(Boolean),
    cautions: step.cautions,
    before: beforeLines(step, context),
    actions: actionsOf(step, context).map((action) => ({ ...action, text: fill(action.text) })),
    details: detailLines(step).map((line) => ({ ...line, text: fill(line.text) })),
    entries: entriesOf(step),
    results: step.results.map((result) => printedResult(step, result, context)),
    after: afterLines(step, context),
  };
}

function beforeLines(step: StepSheet, context: Context): PrintedLine[] {
  const lines: PrintedLine[] = [];
  if (step.onlyIf.length > 0) {
    const over = context.sheet.program.steps[step.index]?.passOver;
    const next = over?.kind === 'step' ? context.sheet.steps[over.step] : undefined;
    const otherwise = next ? `go on with step ${context.letter}${next.number}` : 'pass over it';
    lines.push({ label: 'Only if', text: `${andList(step.onlyIf)}. Otherwise ${otherwise}.` });
  }
  if (step.qualified.length > 0) lines.push({ label: 'Only for', text: andList(step.qualified.map(({ title }) => title)) });
  if (step.needs.length > 0) lines.push({ label: 'Before', text: stateWords(step.needs) });
  if (step.during.length > 0) {
    lines.push({ label: 'Only while doing this', text: stateWords(step.during) + (step.maxTime ? `, no longer than ${step.maxTime.text}` : '') });
  } else if (step.maxTime) lines.push({ label: 'No longer than', text: step.maxTime.text });
  if (step.rest) lines.push({ label: 'Before doing it again', text: `wait ${step.rest.text}` });
  if (step.tools.length > 0) lines.push({ label: 'Tools', text: step.tools.join(', ') });
  return lines;
}

function actionsOf(step: StepSheet, { letters, sheet }: Context): { text: string; box: boolean }[] {
  const wait = step.wait ? [{ text: `Wait ${step.wait.text}.`, box: true }] : [];
  switch (step.kind) {
    case 'ask':
      return [...wait, { text: step.question ?? step.title, box: false }];
    case 'measure': {
      const what = step.measures?.title ?? 'Reading';
      const circuit = step.circuit ? ` of ${uncapitalised(step.circuit.title)}` : '';
      const voltage = /voltage/.test(step.measures?.word ?? '');
      const nominal = voltage && step.circuit?.nominal ? ` (nominal ${step.circuit.nominal})` : '';
      const instrument = step.instrument ? `, with ${uncapitalised(step.instrument.title)}` : '';
      const range = step.range ? `, range ${step.range}` : '';
      return [...wait, { text: `Measure: ${what}${circuit}${nominal}${instrument}${range}.`, box: false }];
    }
    case 'decide': {
      const verb = sheet.facts.some(({ name }) => name === step.decide) ? 'Look up' : 'Compare';
      return [{ text: `${verb}: ${(step.decide ?? step.title).replaceAll('_', ' ')}`, box: false }];
    }
    case 'run': {
      const letter = step.run && letters.get(step.run.name);
      const where = letter ? ` (procedure ${letter} below)` : ' (a separate procedure)';
      return [...wait, { text: `Do the procedure: ${step.run?.title ?? step.title}${where}. Then mark its ending here.`, box: true }];
    }
    default:
      return [...step.actions.map((text) => ({ text, box: true })), ...wait];
  }
}

function detailLines(step: StepSheet): PrintedLine[] {
  const lines: PrintedLine[] = [];
  if (step.probes.length > 0) lines.push({ label: 'Where', text: step.probes.map(({ probe, place }) => `${plainWords(probe)}: ${place}`).join('; ') });
  if (step.text) lines.push({ label: '', text: step.text });
  if (step.seek) lines.push({ label: 'Take the points in turn', text: `until one reads ${step.seek}` });
  if (step.provesDead) lines.push({ label: 'Proves', text: `that ${step.provesDead.title} is dead` });
  if (step.photo) lines.push({ label: 'Photograph', text: step.photo });
  if (step.figure) lines.push({ label: 'Figure', text: step.figure });
  if (step.why) lines.push({ label: 'Why', text: step.why });
  if (step.note) lines.push({ label: 'Note', text: step.note });
  return lines;
}

function entriesOf(step: StepSheet): PrintedField[] {
  if (step.kind !== 'measure') return step.points.map((point) => ({ label: pointLabel(point) }));
  const shows = step.measures?.shows ?? [];
  const field = (label: string): PrintedField => ({
    label, ...(shows.length > 0 ? { choices: shows } : { unit: step.measures?.unit ?? '' }),
  });
  if (step.points.length === 0) return [field('Reading')];
  const points = step.points.map((point) => field(pointLabel(point)));
  if (step.judge === undefined || step.judge === 'each') return points;
  return [...points, field({ highest: 'Highest', lowest: 'Lowest', mean: 'Mean', spread: 'Spread: highest less lowest' }[step.judge])];
}

function pointLabel(point: PointSheet): string {
  const probes = point.probes.map(({ probe, place }) => `${plainWords(probe)}: ${place}`).join('; ');
  return capitalised(plainWords(point.title)) + (probes ? ` (${probes})` : '');
}

function printedResult(step: StepSheet, result: ResultSheet, context: Context): PrintedResult {
  const notes = [result.says, explainNames(step, result.when, context)].filter((note) => note !== undefined && note !== '') as string[];
  return { when: capitalised(whenWords(step, result, context)), notes, then: thenWords(result, context) };
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
function explainNames(step: StepSheet, when: string, { sheet, values, letter }: Context): string | undefined {
  if (step.kind !== 'measure' && step.kind !== 'decide') return undefined;
  const notes: string[] = [];
  for (const [name] of when.matchAll(/\b[a-z][a-z0-9_]*(?:\.[a-z][a-z0-9_]*)?\b/g)) {
    const value = values.get(name);
    const reading = sheet.steps.find((other) => other.name === name.split('.')[0] && other.kind === 'measure');
    const fact = sheet.facts.find((other) => other.name === name);
    const meaning = value !== undefined ? ` = ${value}`
      : reading ? ` = reading of step ${letter}${reading.number}`
      : fact ? ': see the facts of the asset' : undefined;
    const note = meaning === undefined ? undefined : plainWords(name) + meaning;
    if (note !== undefined && !notes.includes(note)) notes.push(note);
  }
  return notes.join(', ');
}

function thenWords(result: ResultSheet, context: Context): string {
  const parts: string[] = [];
  if (result.raises !== undefined) {
    const fault = context.sheet.faults.find(({ name }) => name === result.raises);
    parts.push(`Record the defect: ${withoutStop(fault?.title ?? plainWords(result.raises))}${fault?.grade ? ` (${fault.grade})` : ''}.`);
  }
  if (result.sets.length > 0) parts.push(`Now ${stateWords(result.sets)}.`);
  parts.push(wayWords(result.way, context));
  return parts.join(' ');
}

/** Of a procedure that is run from another. */
const BACK = 'Go back to the step that sent you here.';

function wayWords(way: WaySheet, context: Context): string {
  const { sheet, letter } = context;
  switch (way.kind) {
    case 'step':
      return way.written ? `Go to step ${letter}${way.number}.` : `Go on with step ${letter}${way.number}.`;
    case 'finds': {
      const fault = sheet.faults.find(({ name }) => name === way.fault);
      const found = `Fault: ${withoutStop(way.title)}${way.byElimination ? ' (the only one left)' : ''}.`;
      if (letter) return `${found} ${BACK}`;
      const remedy = fault?.remedy ? ` Remedy: ${fillText(fault.remedy, (name) => context.values.get(name))}` : '';
      const further = fault?.procedure ? ` Procedure: ${plainWords(fault.procedure)}.` : '';
      const index = sheet.program.faults.indexOf(way.fault);
      const proof = sheet.program.afterRepair[index];
      const next = proof === undefined ? undefined : sheet.steps[proof];
      return `${found}${remedy}${further}${next ? ` Then go to step ${next.number}.` : ''}`;
    }
    case 'refer':
      return `${withoutStop(fillText(way.text, (name) => context.values.get(name)))}. ${letter ? BACK : 'The procedure ends here.'}`;
    case 'passes':
      return `Passed. ${letter ? BACK : 'The procedure ends here.'}`;
    case 'nowhere':
      return 'The procedure does not say what follows. Stop and ask.';
  }
}

function afterLines(step: StepSheet, context: Context): PrintedLine[] {
  const lines: PrintedLine[] = [];
  if (step.sets.length > 0) lines.push({ label: 'Afterwards', text: stateWords(step.sets) });
  if (step.repeatAtMost !== undefined) lines.push({ label: 'Do it at most', text: `${step.repeatAtMost} times` });
  if (step.results.length === 0 && (step.way.kind !== 'step' || step.way.written)) {
    lines.push({ label: 'Then', text: wayWords(step.way, context) });
  }
  return lines;
}

function stateWords(lines: readonly StateLine[]): string {
  return lines.map(({ words }) => words).join(', ');
}

function signOffFields(sheet: ProcedureSheet): PrintedField[] {
  const found = sheet.purpose === 'inspection'
    ? [{ label: 'Verdict', choices: ['no defect', 'minor', 'major', 'dangerous'] }, { label: 'Defects' }]
    : [{ label: 'Fault found' }, { label: 'Remedy' }, { label: 'Repair proved', choices: ['yes', 'no'] }];
  return [...found, { label: 'Name' }, { label: 'Signature' }, { label: 'Date and time' }];
}
