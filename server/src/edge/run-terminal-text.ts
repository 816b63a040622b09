/** A run in lines of text for a terminal: what it shows and in what order. It reads nothing and decides nothing. */
import picocolors from 'picocolors';
import { displayWidth, harmlessLine, harmlessText } from '../render/harmless-text.ts';
import type { CautionSheet, ChecklistDocument, StateChangeSheet } from '../run/checklist-document.ts';
import type { FieldView, Run, RunView, StepView } from '../run/engine.ts';
import { andList, capitalised, durationWords, orList, plainWords } from '../run/texts.ts';

export interface TerminalStyle {
  /** Columns to fill. */
  readonly width: number;
  readonly strong: (text: string) => string;
  readonly faint: (text: string) => string;
  /** The signal word of a caution, in its colour where the terminal has colours. */
  readonly signal: (word: string, text: string) => string;
}

/** The style of a terminal of so many columns (0 or nothing: it does not say). */
export function terminalStyle(columns: number | undefined, coloured: boolean): TerminalStyle {
  const colours = picocolors.createColors(coloured);
  const width = Math.max(40, Math.min(columns || 80, 100));
  return {
    width, strong: colours.bold, faint: colours.dim,
    signal(word, text) {
      switch (word) {
        case 'danger':
          return colours.bold(colours.bgRed(colours.white(text)));
        case 'notice':
          return colours.bold(colours.bgBlue(colours.white(text)));
        // The eight colours have no orange: the word tells a warning from a caution.
        default:
          return colours.bold(colours.bgYellow(colours.black(text)));
      }
    },
  };
}

/** Head of a run: what it is, and what is to be said of it before anything is done. */
export function headText(document: ChecklistDocument, style: TerminalStyle): string {
  const { procedure, standing } = document;
  const revision = procedure.revision === undefined ? '' : `revision ${procedure.revision}`;
  const lines = [style.strong(shown(procedure.title)), [procedure.name, revision, plainWords(procedure.status ?? ''), document.asset?.id].filter(Boolean).map((one) => shown(one ?? '')).join(' · ')];
  if (procedure.complaint) lines.push(...wrapped(shown(procedure.complaint), style.width, ''));
  for (const remark of standing.remarks) lines.push(...wrapped(shown(remark), style.width, '! ').map(style.strong));
  if (standing.accepted.length > 0) {
    lines.push(`Accepted deviations: ${standing.accepted.map((one) => shown(`${one.check}${one.at ? ` at ${one.at}` : ''}${one.because ? ` (${one.because})` : ''}`)).join('; ')}`);
  }
  if (procedure.qualified.length > 0) lines.push(...wrapped(`For: ${procedure.qualified.map((one) => shown(one.title)).join(', ')}`, style.width, ''));
  for (const closing of document.closing) lines.push(...wrapped(shown(closing), style.width, '').map(style.faint));
  return `${lines.join('\n')}\n`;
}

/**
 * Everything about the moment at hand, in the order of reading: where one is, cautions, states, what to do, limits; then, where
 * `faults` is true, which are still possible.
 */
export function viewText(view: RunView, style: TerminalStyle, faults: boolean): string {
  const lines: string[] = ['', style.faint('─'.repeat(Math.min(style.width, 60)))];
  const inside = view.inside.slice(1).map((title) => ` · ${shown(title)}`).join('');
  lines.push(style.faint(`${capitalised(view.position)}${inside} · ${durationWords(view.elapsedSeconds)}`));
  if (view.stage === 'remedy' && view.remedy) lines.push(...remedyLines(view, style));
  else if (view.ending) lines.push(...endingLines(view, style));
  else if (view.field?.kind === 'fact') lines.push(...factLines(view.field, style));
  else if (view.step) lines.push(...stepLines(view.step, view.field, style));
  if (faults && view.faultsLeft.length > 0 && view.stage !== 'remedy' && view.ending === undefined) {
    lines.push('', ...wrapped(`Still possible (${view.faultsLeft.length}): ${view.faultsLeft.map((fault) => shown(fault.title)).join('; ')}`, style.width, '').map(style.faint));
  }
  return `${lines.join('\n')}\n`;
}

/** The words before the cursor. */
export function promptText(field: FieldView | undefined): string {
  switch (field?.kind) {
    case 'acknowledge':
      return `Type 'read' when you have read the ${field.cautions.length === 1 ? 'caution' : 'cautions'}: `;
    case 'confirm_states':
      return field.states.some((state) => state.values.length > 1) ? 'How is it? ' : 'Type \'yes\' when it is so: ';
    case 'fact':
      return field.choices.length > 0 ? `${shown(field.title)} (${orList(field.choices.map((choice, index) => `${index + 1} ${plainWords(choice)}`))}): ` : `${shown(field.title)}${field.unit ? ` [${field.unit}]` : ''}: `;
    case 'answer':
      return field.choices.length > 0 ? 'Number or answer: ' : 'Answer: ';
    case 'reading':
      return field.shows.length > 0 ? `${shown(field.label)} (${orList(field.shows)}): ` : `${shown(field.label)}${field.unit ? ` [${field.unit}]` : ''}: `;
    case 'done':
      return 'Press Enter when it is done: ';
    case 'remedy':
      return '\'done\' when it is carried out, or \'later\' and why: ';
    case 'finish':
      return 'Press Enter to write the record: ';
    default:
      return '> ';
  }
}

export const HELP_TEXT = `Beside the entry that is asked for, you can type:
  back                takes back the last entry; its step is open again
  correct             shows the entries; 'correct 3 12.4 V' puts entry 3 right
  note TEXT           adds a note
  photo FILE          names a photo taken; a file that is here is recorded with its digest
  instrument NUMBER   the number of the instrument in use; add 'until 2027-03-31' for its calibration
  fact NAME VALUE     gives a fact of the asset before it is asked for; 'fact' alone shows them
  handover NAME       from here on NAME does the work
  show                shows the step again
  pause               leaves the run; it can be resumed
  stop REASON         gives the run up and writes its record
  help                shows this
Where an answer is itself one of these words, type a colon before the word to mean the command: ':stop'.
`;

/** One caution: signal word, then what, what of it, and what to do. */
export function cautionLines(caution: CautionSheet, style: TerminalStyle): string[] {
  const word = caution.signal.toUpperCase();
  const parts = [caution.hazard, caution.consequence, caution.avoid].filter((part) => part !== undefined).map((part) => shown(part ?? ''));
  if (caution.wear.length > 0) parts.push(`Wear: ${andList(caution.wear.map(shown))}.`);
  const indent = ' '.repeat(word.length + 3);
  const lines = parts.flatMap((part) => wrapped(part, style.width - indent.length, ''));
  return lines.map((line, index) => (index === 0 ? `${style.signal(caution.signal.toLowerCase(), ` ${shown(word)} `)} ${line}` : `${indent}${line}`));
}

/** Lines of at most `width` columns; the first begins with `first`, the others are indented as far. */
export function wrapped(text: string, width: number, first: string): string[] {
  const lines: string[] = [];
  const indent = ' '.repeat(first.length);
  for (const paragraph of text.split('\n')) {
    let line = '';
    for (const word of paragraph.split(' ')) {
      if (line !== '' && displayWidth(line) + 1 + displayWidth(word) > Math.max(20, width - first.length)) {
        lines.push(line);
        line = word;
      } else line = line === '' ? word : `${line} ${word}`;
    }
    lines.push(line);
  }
  return lines.map((line, index) => (index === 0 ? first : indent) + line);
}

/** Text of a file made safe for a terminal. The space before a unit stays one that no line break comes at, until it is written. */
export function shown(text: string): string {
  return harmlessText(text.replace(/\u202f/g, '\u00a0').replace(/\u2212/g, '-')).replace(/\n/g, ' ').replace(/^ +| +$/g, '');
}

function stepLines(step: StepView, field: FieldView | undefined, style: TerminalStyle): string[] {
  const lines = [style.strong(`${step.number}. ${shown(step.title)}`)];
  for (const caution of step.cautions) lines.push(...cautionLines(caution, style));
  // Until they are acknowledged, nothing of the step itself is shown.
  if (field?.kind === 'acknowledge') return lines;
  const open = step.needs.filter((need) => need.holds !== 'yes');
  if (step.needs.length > 0) lines.push(...wrapped(`The machine: ${step.needs.map((need) => shown(need.words)).join('; ')}`, style.width, ''));
  for (const need of open) lines.push(...need.changes.flatMap((change) => changeLines(change, style)));
  if (field?.kind === 'confirm_states') {
    for (const state of field.states) lines.push(`  ${shown(state.title)}: ${orList(state.values.map(plainWords))}`);
    return lines;
  }
  for (const warning of step.warnings) lines.push(...wrapped(shown(warning), style.width, '! '));
  if (step.qualified.length > 0) lines.push(`Only: ${step.qualified.map((one) => shown(one.title)).join(', ')}`);
  step.actions.forEach((action) => lines.push(...wrapped(shown(action), style.width, '- ')));
  if (step.question) lines.push(...wrapped(shown(step.question), style.width, ''));
  if (step.text) lines.push(...wrapped(shown(step.text), style.width, ''));
  if (step.why) lines.push(...wrapped(`Why: ${shown(step.why)}`, style.width, '').map(style.faint));
  if (step.note) lines.push(...wrapped(`Note: ${shown(step.note)}`, style.width, ''));
  if (step.during.length > 0) lines.push(`Only while you do it: ${step.during.map(shown).join('; ')}${step.maxSeconds ? `, for at most ${durationWords(step.maxSeconds)}` : ''}`);
  if (step.waitSeconds) lines.push(`Wait ${durationWords(step.waitSeconds)} first.`);
  if (step.restSeconds) lines.push(`Rest ${durationWords(step.restSeconds)} since it was last done (${shown(step.restSince ?? '').slice(11, 16)}).`);
  if (step.quantity) lines.push(`Measure: ${shown(step.quantity)}${step.instrument ? ` with ${instrumentWords(step.instrument)}` : ''}${step.circuit ? ` on ${shown(step.circuit.title)}${step.circuit.nominal ? ` (${shown(step.circuit.nominal)})` : ''}` : ''}`);
  if (step.instrument && step.instrument.numbers.length > 0) lines.push(`  Say which one: instrument ${orList(step.instrument.numbers.map(shown))}`);
  for (const probe of step.probes) lines.push(`  ${shown(probe.probe)}: ${shown(probe.place)}`);
  if (step.tools.length > 0) lines.push(`Tools: ${step.tools.map(shown).join(', ')}`);
  if (step.photo) lines.push(`Photo wanted: ${shown(step.photo)}`);
  if (step.figure) lines.push(`Figure: ${shown(step.figure)}`);
  for (const point of step.points) lines.push(`  ${point.current ? '>' : ' '} ${shown(point.title)}${point.understood ? `: ${shown(point.understood)}` : ''}`);
  if (field?.kind === 'answer') {
    field.choices.forEach((choice, index) => lines.push(...wrapped(`${shown(plainWords(choice.value))}${choice.says ? `: ${shown(choice.says)}` : ''}`, style.width, `  ${index + 1}  `)));
  } else {
    for (const limit of step.limits) lines.push(...wrapped(`${shown(limit.words)}: ${shown(limit.says ?? limit.leadsTo)}`, style.width, '  '));
  }
  return lines;
}

function instrumentWords(instrument: NonNullable<StepView['instrument']>): string {
  const number = instrument.number === undefined ? '' : ` ${shown(instrument.number)}`;
  if (instrument.calibratedUntil === undefined) return `${shown(instrument.title)}${number}`;
  const state = instrument.calibration === 'overdue' ? ', which is over' : '';
  return `${shown(instrument.title)}${number} (calibrated until ${shown(instrument.calibratedUntil)}${state})`;
}

function changeLines(change: StateChangeSheet, style: TerminalStyle): string[] {
  return [
    ...change.cautions.flatMap((caution) => cautionLines(caution, style)),
    ...change.do.flatMap((one) => wrapped(shown(one), style.width, '  - ')),
  ];
}

function factLines(field: FieldView & { kind: 'fact' }, style: TerminalStyle): string[] {
  return wrapped(`${shown(field.title)} must be known first${field.from ? `. See: ${shown(field.from)}` : ''}.`, style.width, '');
}

function remedyLines(view: RunView, style: TerminalStyle): string[] {
  const remedy = view.remedy;
  const lines = [style.strong(`Found: ${shown(remedy?.title ?? '')}`)];
  if (remedy?.remedy) lines.push(...wrapped(shown(remedy.remedy), style.width, ''));
  if (remedy?.procedure) lines.push(`Goes on in the procedure ${shown(remedy.procedure)}.`);
  if (remedy?.expectedSeconds) lines.push(`Usual time: ${durationWords(remedy.expectedSeconds)}`);
  if (remedy?.proof) lines.push('The repair is then to be proved.');
  return lines;
}

function endingLines(view: RunView, style: TerminalStyle): string[] {
  const ending = view.ending;
  const lines = wrapped(shown(ending?.words ?? ''), style.width, '').map(style.strong);
  for (const defect of view.defects) lines.push(...wrapped(`${shown(defect.title)}${defect.grade ? ` (${defect.grade})` : ''}${defect.remedy ? `: ${shown(defect.remedy)}` : ''}`, style.width, '- '));
  if (ending?.verdict && ending.verdict !== 'no_defect') lines.push(style.strong(`Verdict: ${ending.verdict}`));
  if (ending && view.field?.kind !== 'confirm_states') lines.push(...wrapped(shown(ending.disposition), style.width, ''));
  if (ending && ending.putBack.length > 0 && view.field?.kind === 'confirm_states') {
    lines.push('Before you leave, put back:');
    for (const need of ending.putBack) lines.push(`  ${shown(need.words)}`, ...need.changes.flatMap((change) => changeLines(change, style)));
  }
  return lines;
}

/** What is left of a wait: '[1:05 left]'. */
export function countdownText(seconds: number): string {
  const left = Math.ceil(seconds);
  return `[${Math.floor(left / 60)}:${String(left % 60).padStart(2, '0')} left]`;
}

/** Facts of the procedures at hand, known or not. */
export function factsText(run: Run): string {
  const sheets = [...new Map(run.walk.frames.flatMap((frame) => frame.sheet.facts).map((fact) => [fact.name, fact])).values()];
  const lines = sheets.map((fact) => {
    const known = run.walk.facts.get(fact.name);
    const value = known === undefined ? `not known${fact.from ? `; see ${shown(fact.from)}` : ''}` : shown(known.text);
    return `  ${harmlessLine(fact.name)} (${shown(fact.title)}): ${value}`;
  });
  return lines.length === 0 ? 'This procedure has no facts.\n' : `${lines.join('\n')}\n`;
}

/** The entries that can be put right, numbered for `correct`. */
export function entriesText(view: RunView): string {
  const lines = view.walked.filter((line) => line.entry !== undefined).map((line, index) =>
    `  ${index + 1}  step ${line.number}, ${shown(line.title)}${line.point ? `, ${harmlessLine(plainWords(line.point))}` : ''}: ${shown(line.entered)}${line.original ? ` (first ${shown(line.original)})` : ''}`);
  return lines.length === 0 ? 'There is no entry yet.\n' : `${lines.join('\n')}\n`;
}
