/** A run in lines of text for a terminal: what it shows and in what order. It reads nothing and decides nothing. */
import picocolors from 'picocolors';
import { displayWidth, harmlessLine, harmlessText } from '../render/harmless-text.ts';
import type { CautionSheet, ChecklistDocument, StateChangeSheet } from '../run/checklist-document.ts';
import type { FieldView, Run, RunView, StepView } from '../run/engine.ts';
import { capitalised, durationWords, plainWords } from '../run/texts.ts';
import { terminalLanguage, wordFor, type Language, type TerminalLanguage, type TerminalWords } from './run-terminal-words.ts';

/** How it looks, and in which language it speaks. */
export interface TerminalStyle extends TerminalLanguage {
  /** Columns to fill. */
  readonly width: number;
  readonly strong: (text: string) => string;
  readonly faint: (text: string) => string;
  /** The signal word of a caution, in its colour where the terminal has colours. */
  readonly signal: (word: string, text: string) => string;
}

/** The style of a terminal of so many columns (0 or nothing: it does not say), for runs of `document`. */
export function terminalStyle(columns: number | undefined, coloured: boolean, language: Language = 'en', document?: ChecklistDocument): TerminalStyle {
  const colours = picocolors.createColors(coloured);
  const width = Math.max(40, Math.min(columns || 80, 100));
  return {
    ...terminalLanguage(language, document), width, strong: colours.bold, faint: colours.dim,
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
  const { words, sentence } = style;
  const revision = procedure.revision === undefined ? '' : words.revision(procedure.revision);
  const status = procedure.status ?? '';
  const facts = [procedure.name, revision, wordFor(words.statuses, status, plainWords(status)), document.asset?.id];
  const lines = [style.strong(shown(procedure.title)), facts.filter(Boolean).map((one) => shown(one ?? '')).join(' · ')];
  if (procedure.complaint) lines.push(...wrapped(shown(procedure.complaint), style.width, ''));
  for (const remark of standing.remarks) lines.push(...wrapped(shown(sentence(remark)), style.width, '! ').map(style.strong));
  if (standing.accepted.length > 0) {
    lines.push(words.accepted(standing.accepted.map((one) => shown(`${one.check}${one.at ? ` at ${one.at}` : ''}${one.because ? ` (${one.because})` : ''}`)).join('; ')));
  }
  if (procedure.qualified.length > 0) lines.push(...wrapped(words.forWhom(procedure.qualified.map((one) => shown(style.qualification(one).title)).join(', ')), style.width, ''));
  for (const closing of document.closing) lines.push(...wrapped(shown(sentence(closing)), style.width, '').map(style.faint));
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
  else if (view.step) lines.push(...stepLines(view.step, view.field, style, view.helper));
  if (faults && view.stage !== 'remedy' && view.ending === undefined) {
    const { words } = style;
    const found = view.defects.map((defect) => `${shown(defect.title)}${defect.grade ? ` (${wordFor(words.grades, defect.grade, defect.grade)})` : ''}`);
    const left = [
      ...(found.length > 0 ? [words.defectsSoFar(found.length, found.join('; '))] : []),
      ...(view.faultsLeft.length > 0 ? [words.stillPossible(view.faultsLeft.length, view.faultsLeft.map((fault) => shown(fault.title)).join('; '))] : []),
    ];
    if (left.length > 0) lines.push('', ...left.flatMap((line) => wrapped(line, style.width, '')).map(style.faint));
  }
  return `${lines.join('\n')}\n`;
}

/** The words before the cursor. `waiting`: a wait that has not begun stands before the entry. */
export function promptText(field: FieldView | undefined, { words }: TerminalLanguage, waiting = false): string {
  const { prompts } = words;
  if (waiting) return words.waitPrompt;
  switch (field?.kind) {
    case 'acknowledge':
      return prompts.read(field.cautions.length);
    case 'confirm_states':
      return field.states.some((state) => state.values.length > 1) ? prompts.howIsIt : prompts.isSo;
    case 'fact':
      return field.choices.length > 0 ? `${shown(field.title)} (${words.or(field.choices.map((choice, index) => `${index + 1} ${shown(plainWords(choice))}`))}): ` : `${shown(field.title)}${field.unit ? ` [${field.unit}]` : ''}: `;
    case 'answer':
      return field.choices.length > 0 ? prompts.numberOrAnswer : prompts.answer;
    case 'reading':
      return field.shows.length > 0 ? `${shown(field.label)} (${words.or(field.shows.map(shown))}): ` : `${shown(field.label)}${field.unit ? ` [${field.unit}]` : ''}: `;
    case 'done':
      return prompts.done;
    case 'remedy':
      return prompts.remedy;
    case 'finish':
      return prompts.finish;
    default:
      return '> ';
  }
}

/** One caution: signal word, then what, what of it, and what to do. */
export function cautionLines(caution: CautionSheet, style: TerminalStyle): string[] {
  const word = wordFor(style.words.signals, caution.signal.toLowerCase(), caution.signal.toUpperCase());
  const parts = [caution.hazard, caution.consequence, caution.avoid].filter((part) => part !== undefined).map((part) => shown(part ?? ''));
  if (caution.wear.length > 0) parts.push(style.words.wear(style.words.and(caution.wear.map(shown))));
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

function stepLines(step: StepView, field: FieldView | undefined, style: TerminalStyle, helper: string | undefined): string[] {
  const { words } = style;
  const lines = [style.strong(`${step.number}. ${shown(step.title)}`)];
  const add = (text: string, first = ''): void => void lines.push(...wrapped(text, style.width, first));
  for (const caution of step.cautions) lines.push(...cautionLines(caution, style));
  // Until they are acknowledged, nothing of the step itself is shown.
  if (field?.kind === 'acknowledge') return lines;
  const open = step.needs.filter((need) => need.holds !== 'yes');
  if (step.needs.length > 0) add(words.machine(step.needs.map((need) => shown(need.words)).join('; ')));
  for (const need of open) lines.push(...need.changes.flatMap((change) => changeLines(change, style)));
  if (field?.kind === 'confirm_states') {
    for (const state of field.states) lines.push(`  ${shown(state.title)}: ${words.or(state.values.map((value) => shown(plainWords(value))))}`);
    return lines;
  }
  for (const warning of step.warnings) add(shown(warning), '! ');
  if (step.people > 1) lines.push(helper === undefined ? words.helperWanted : words.helperNow(shown(helper)));
  if (step.qualified.length > 0) lines.push(words.only(step.qualified.map((one) => shown(one.title)).join(', ')));
  step.actions.forEach((action) => add(shown(action), '- '));
  if (step.question) add(shown(step.question));
  if (step.text) add(shown(step.text));
  if (step.why) lines.push(...wrapped(words.why(shown(step.why)), style.width, '').map(style.faint));
  if (step.note) add(words.noteLine(shown(step.note)));
  lines.push(...timeLines(step, style), ...measureLines(step, style));
  if (step.tools.length > 0) add(words.tools(step.tools.map(shown).join(', ')));
  if (step.photo) add(words.photoWanted(shown(step.photo)));
  if (step.figure) add(words.figure(shown(step.figure)));
  for (const point of step.points) lines.push(`  ${point.current ? '>' : ' '} ${shown(point.title)}${point.understood ? `: ${shown(point.understood)}` : ''}`);
  if (field?.kind === 'answer') {
    field.choices.forEach((choice, index) => add(`${shown(answerWords(choice.value, words))}${choice.says ? `: ${shown(choice.says)}` : ''}`, `  ${index + 1}  `));
  } else {
    for (const limit of step.limits) add(`${shown(limit.words)}: ${shown(limit.says ?? limit.leadsTo)}`, '  ');
  }
  return lines;
}

/** What is to be waited for, and how long it may take. */
function timeLines(step: StepView, { words, width }: TerminalStyle): string[] {
  const lines: string[] = [];
  const longest = step.maxSeconds === undefined ? undefined : durationWords(step.maxSeconds);
  if (step.during.length > 0) lines.push(...wrapped(words.during(step.during.map(shown).join('; '), longest), width, ''));
  else if (longest !== undefined) lines.push(words.atMost(longest));
  if (longest !== undefined) lines.push(...wrapped(words.clockHint, width, ''));
  if (step.restSeconds) lines.push(...wrapped(words.rest(durationWords(step.restSeconds), shown(step.restSince ?? '').slice(11, 16)), width, ''));
  if (step.waitSeconds && !step.waitKept) {
    lines.push(words.wait(durationWords(step.waitSeconds)));
    if (step.waitSince === undefined) lines.push(...wrapped(words.waitHint(durationWords(step.waitSeconds)), width, ''));
  }
  return lines;
}

function measureLines(step: StepView, { words, width }: TerminalStyle): string[] {
  const lines: string[] = [];
  if (step.quantity) {
    const circuit = step.circuit && `${shown(step.circuit.title)}${step.circuit.nominal ? ` (${shown(step.circuit.nominal)})` : ''}`;
    lines.push(...wrapped(words.measure(shown(step.quantity), step.instrument && instrumentWords(step.instrument, words), circuit), width, ''));
  }
  if (step.instrument && step.instrument.numbers.length > 0) lines.push(`  ${words.whichInstrument(words.or(step.instrument.numbers.map(shown)))}`);
  for (const probe of step.probes) lines.push(...wrapped(`${shown(probe.probe)}: ${shown(probe.place)}`, width, '  '));
  return lines;
}

/** An answer as it is read: 'yes' and its like in the language of the terminal, all else in the procedure's words. */
function answerWords(value: string, words: TerminalWords): string {
  return wordFor(words.answers, value, plainWords(value));
}

function instrumentWords(instrument: NonNullable<StepView['instrument']>, words: TerminalWords): string {
  const number = instrument.number === undefined ? '' : ` ${shown(instrument.number)}`;
  if (instrument.calibratedUntil === undefined) return `${shown(instrument.title)}${number}`;
  return `${shown(instrument.title)}${number} (${words.calibratedUntil(shown(instrument.calibratedUntil), instrument.calibration === 'overdue')})`;
}

function changeLines(change: StateChangeSheet, style: TerminalStyle): string[] {
  return [
    ...change.cautions.flatMap((caution) => cautionLines(caution, style)),
    ...change.do.flatMap((one) => wrapped(shown(one), style.width, '  - ')),
  ];
}

function factLines(field: FieldView & { kind: 'fact' }, style: TerminalStyle): string[] {
  return wrapped(style.words.factFirst(shown(field.title), field.from === undefined ? undefined : shown(field.from)), style.width, '');
}

function remedyLines(view: RunView, style: TerminalStyle): string[] {
  const { remedy } = view;
  const { words } = style;
  const lines = [style.strong(words.found(shown(remedy?.title ?? '')))];
  for (const caution of remedy?.cautions ?? []) lines.push(...cautionLines(caution, style));
  if (remedy?.qualified && remedy.qualified.length > 0) lines.push(words.only(remedy.qualified.map((one) => shown(one.title)).join(', ')));
  if (remedy?.remedy) lines.push(...wrapped(shown(remedy.remedy), style.width, ''));
  if (remedy?.procedure) lines.push(words.goesOnIn(shown(remedy.procedure)));
  if (remedy?.expectedSeconds) lines.push(words.usualTime(durationWords(remedy.expectedSeconds)));
  if (remedy?.proof) lines.push(words.thenProved);
  return lines;
}

function endingLines(view: RunView, style: TerminalStyle): string[] {
  const { ending } = view;
  const { words } = style;
  const lines = wrapped(shown(ending?.words ?? ''), style.width, '').map(style.strong);
  for (const defect of view.defects) {
    lines.push(...wrapped(`${shown(defect.title)}${defect.grade ? ` (${wordFor(words.grades, defect.grade, defect.grade)})` : ''}${defect.remedy ? `: ${shown(defect.remedy)}` : ''}`, style.width, '- '));
  }
  if (ending?.verdict && ending.verdict !== 'no_defect') lines.push(style.strong(words.verdict(wordFor(words.grades, ending.verdict, ending.verdict))));
  if (ending && view.field?.kind !== 'confirm_states') lines.push(...wrapped(shown(ending.disposition), style.width, ''));
  if (ending && ending.putBack.length > 0 && view.field?.kind === 'confirm_states') {
    lines.push(words.putBack);
    for (const need of ending.putBack) lines.push(...wrapped(shown(need.words), style.width, '  '), ...need.changes.flatMap((change) => changeLines(change, style)));
  }
  return lines;
}

/** What is left of a time: '1:05'. */
export function clockText(seconds: number): string {
  const left = Math.max(0, Math.ceil(seconds));
  return `${Math.floor(left / 60)}:${String(left % 60).padStart(2, '0')}`;
}

/** Facts of the procedures at hand, known or not. */
export function factsText(run: Run, { words }: TerminalLanguage): string {
  const sheets = [...new Map(run.walk.frames.flatMap((frame) => frame.sheet.facts).map((fact) => [fact.name, fact])).values()];
  const lines = sheets.map((fact) => {
    const known = run.walk.facts.get(fact.name);
    const value = known === undefined ? words.notKnown(fact.from === undefined ? undefined : shown(fact.from)) : shown(known.text);
    return `  ${harmlessLine(fact.name)} (${shown(fact.title)}): ${value}`;
  });
  return lines.length === 0 ? `${words.noFacts}\n` : `${lines.join('\n')}\n`;
}

/** The entries that can be put right, numbered for `correct`. */
export function entriesText(view: RunView, { words }: TerminalLanguage): string {
  const lines = view.walked.filter((line) => line.entry !== undefined).map((line, index) => {
    const point = line.point === undefined ? undefined : harmlessLine(plainWords(line.point));
    return `  ${index + 1}  ${words.entryLine(line.number, shown(line.title), point, shown(line.entered), line.original === undefined ? undefined : shown(line.original))}`;
  });
  return lines.length === 0 ? `${words.noEntries}\n` : `${lines.join('\n')}\n`;
}
