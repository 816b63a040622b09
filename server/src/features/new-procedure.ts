/**
 * A new procedure by a few questions: which comes next, whether an answer will do, and at the end the text, with no error and no
 * warning of its own making. Whoever asks (the editor, the command line) only shows questions and hands the answers back.
 */
import { Workspace } from '../analysis/workspace.ts';
import type { Finding } from '../findings/finding.ts';
import type { Scope } from '../procedure/scope.ts';
import { formatFile, readForFormatting } from './format.ts';
import { QUESTIONS } from './new-procedure-questions.ts';
import { procedureText } from './new-procedure-text.ts';

export type Answers = Readonly<Record<string, string>>;

export interface Choice {
  readonly value: string;
  readonly label: string;
  readonly values?: readonly string[];
  readonly detail?: string;
}

export interface Question {
  readonly id: string;
  /** A sentence that can be read aloud. {0} stands for the first of `values`, so that it can be put into another language. */
  readonly text: string;
  readonly values?: readonly string[];
  readonly help?: string;
  /** One of them is to be chosen; absent: a text is to be typed. */
  readonly choices?: readonly Choice[];
  /** What the answer is taken to be where nothing is typed. */
  readonly suggestion?: string;
}

/** A sentence with its places filled. */
export function filledIn(text: string, values: readonly string[] = []): string {
  return text.replace(/\{(\d)\}/g, (place, index: string) => values[Number(index)] ?? place);
}

/** Where the procedure will stand: what it shares, and the names that are taken. */
export interface NewPlace {
  /** The key of the folder, without a slash at its end. */
  readonly folder: string;
  /** The shop and assets files that apply there, nearest first. */
  readonly shared: readonly { readonly path: string; readonly text: string }[];
  readonly taken: ReadonlySet<string>;
  readonly scope: Scope | undefined;
}

export interface NewProcedure {
  readonly name: string;
  /** The key of its file. */
  readonly file: string;
  readonly text: string;
  /** Errors and warnings that the writer's own words gave rise to. */
  readonly findings: readonly Finding[];
}

/** What is known of a folder of the workspace. */
export function placeIn(workspace: Workspace, folder: string): NewPlace {
  const shared = [];
  for (
    let at: string | undefined = folder;
    at !== undefined;
    at = at.includes('/') ? at.slice(0, at.lastIndexOf('/')) : undefined
  ) {
    for (const name of ['shop.yaml', 'shop.yml', 'assets.yaml', 'assets.yml']) {
      const path: string = at === '' ? `/${name}` : `${at}/${name}`;
      const text = workspace.textOf(path);
      if (text !== undefined) shared.push({ path, text });
    }
  }
  const taken = new Set(workspace.procedures().map(({ name }) => name));
  return { folder, shared, taken, scope: alone({ folder, shared }, 'new', 'procedure: new\n').scope };
}

/** The next question that has no answer yet; undefined where all are answered. */
export function nextQuestion(place: NewPlace, answers: Answers): Question | undefined {
  for (const question of QUESTIONS) {
    if (Object.hasOwn(answers, question.id) || question.asked?.(answers, place) === false) continue;
    const asked = question.ask(answers, place);
    if (asked !== undefined) return { ...asked, id: question.id };
  }
  return undefined;
}

/** How many questions there will be, as far as the answers so far show. */
export function countQuestions(place: NewPlace, answers: Answers): number {
  return QUESTIONS.filter(
    (question) =>
      Object.hasOwn(answers, question.id) ||
      (question.asked?.(answers, place) !== false && question.ask(answers, place) !== undefined),
  ).length;
}

/** Why an answer will not do, in a sentence; undefined where it will. */
export function problemWith(place: NewPlace, answers: Answers, id: string, answer: string): string | undefined {
  const question = QUESTIONS.find((one) => one.id === id);
  if (question === undefined) return `There is no question '${id}'.`;
  const choices = question.ask(answers, place)?.choices;
  if (choices && !choices.some(({ value }) => value === answer))
    return `Choose one of: ${choices.map(({ value }) => value).join(', ')}.`;
  return question.problem?.(answer.trim(), answers, place);
}

/** The answers with suggestions in place of those that were left empty. */
export function completed(place: NewPlace, answers: Answers): Answers {
  const result: Record<string, string> = {};
  for (const question of QUESTIONS) {
    const given = answers[question.id]?.trim();
    if (given === undefined) continue;
    result[question.id] = given === '' ? (question.ask(result, place)?.suggestion ?? '') : given;
  }
  return result;
}

/** The procedure that the answers describe. Every question must have its answer. */
export function newProcedure(place: NewPlace, answers: Answers): NewProcedure {
  const given = completed(place, answers);
  const name = given['name'] ?? 'new_procedure';
  let best: NewProcedure | undefined;
  // The instrument that leads to no finding; none where each would.
  for (const instrument of [...instrumentsFor(place, given), undefined]) {
    const written = withCautions(place, name, procedureText(given, place, instrument));
    const text = formatted(written.text);
    const { findings } = written;
    if (best === undefined || findings.length < best.findings.length)
      best = { name, file: `${place.folder}/${name}.procedure.yaml`, text, findings };
    if (best.findings.length === 0) break;
  }
  return best as NewProcedure;
}

function instrumentsFor({ scope }: NewPlace, answers: Answers): string[] {
  const quantity = answers['first_test'];
  return [...(scope?.instruments.values() ?? [])]
    .filter(({ item }) => item.measures.some((one) => one.quantity.value === quantity))
    .map(({ item }) => item.name.value);
}

/** What the checks ask to be added before a person may do the work. */
const ADDED = new Set(['missing-caution', 'qualified-person', 'held-too-long', 'alone']);

/** The text with the cautions and qualifications that its steps need: the shop and the catalogue know them. */
function withCautions(place: NewPlace, name: string, first: string): { text: string; findings: readonly Finding[] } {
  let text = first;
  for (let round = 0; round < 40; round++) {
    const { findings } = alone(place, name, text);
    const open = findings.filter(({ severity, accepted }) => severity !== 'hint' && !accepted);
    const edits = open.find((finding) => ADDED.has(finding.check) && finding.fixes?.length === 1)?.fixes?.[0]?.edits;
    if (edits === undefined || edits.length === 0) return { text, findings: open };
    text = [...edits]
      .sort((a, b) => b.span.start - a.span.start)
      .reduce((whole, { span, newText }) => whole.slice(0, span.start) + newText + whole.slice(span.end), text);
  }
  return { text, findings: alone(place, name, text).findings };
}

/** Cautions go to the column and the place where a writer would put them. */
function formatted(text: string): string {
  return [...formatFile(readForFormatting('new.procedure.yaml', text))]
    .reverse()
    .reduce((whole, { span, newText }) => whole.slice(0, span.start) + newText + whole.slice(span.end), text);
}

/** The analysis of a text in its place, with nothing beside it but what it shares. */
function alone(
  { folder, shared }: Pick<NewPlace, 'folder' | 'shared'>,
  name: string,
  text: string,
): ReturnType<Workspace['analyse']> {
  const workspace = new Workspace();
  for (const file of shared) workspace.setFile(file.path, file.text);
  const path = `${folder}/${name}.procedure.yaml`;
  workspace.setFile(path, text);
  return workspace.analyse(path);
}
