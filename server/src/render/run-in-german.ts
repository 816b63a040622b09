/**
 * What a run shows, in German. The run itself speaks English, and so do its records, which must read the same wherever they were
 * made; this is for what a person is shown. What a procedure says stays in the procedure's own words, and what the built-in catalogue
 * says has its German ones. It decides nothing and
 * knows no screen.
 */
import type { ChecklistDocument } from '../run/checklist-document.ts';
import { capitalised, uncapitalised, withoutStop } from '../run/texts.ts';
import type { FieldView, LimitView, NeedView, PointView, RemedyView, RunView, StepView, WalkedView } from '../run/view.ts';
import { catalogueIn, cautionInGerman } from './catalogue-in-german.ts';
import { sentenceInGerman } from './run-in-german-sentences.ts';
import { decimalComma, limitInGerman, quantityInGerman } from './run-in-german-words.ts';

/** Texts that a procedure brings and a sentence of the run may hold, the longest first: see ownWords. */
export type OwnWords = readonly string[];

/**
 * What the procedures of a checklist call things in several words ('Posts or clamps loose'): inside a sentence of the run they are no words of the
 * run, and stay whole.
 */
export function ownWords(document: ChecklistDocument): OwnWords {
  const words = new Set<string>();
  const add = (text: string | undefined): void => {
    const plain = withoutStop(text ?? '');
    if (/\s/.test(plain)) [plain, uncapitalised(plain), capitalised(plain)].forEach((one) => words.add(one));
  };
  for (const sheet of [document.procedure, ...Object.values(document.called)]) {
    add(sheet.title);
    for (const { title } of [...sheet.faults, ...sheet.states, ...sheet.circuits, ...sheet.facts]) add(title);
    for (const step of sheet.steps) {
      [step.title, step.question, ...step.points.map(({ title }) => title)].forEach(add);
      for (const result of step.results) {
        add(result.says);
        if (step.kind === 'ask') add(result.written);
        if (result.way.kind === 'refer') add(result.way.text);
      }
    }
  }
  return [...words].sort((one, other) => other.length - one.length).slice(0, MOST_OWN);
}

/** Each is held by one character of the private use area while the sentence around it is put into German. */
const FIRST_PLACE = 0xe100;
const MOST_OWN = 0xf8ff - FIRST_PLACE;

/** A sentence in German; the procedure's own text as it stands. */
export function inGerman(text: string, own: OwnWords = []): string {
  return around(text, own, (sentence) => sentenceInGerman(sentence) ?? sentence);
}

function around(text: string, own: OwnWords, say: (text: string) => string): string {
  let held = text;
  own.forEach((words, index) => {
    if (held.includes(words)) held = held.replaceAll(words, String.fromCharCode(FIRST_PLACE + index));
  });
  return say(held).replace(/[\ue100-\uf8ff]/g, (place) => own[place.charCodeAt(0) - FIRST_PLACE] ?? place);
}

/** The view with the run's own sentences in German and numbers with a decimal comma. Names and values to send stay as they are. */
export function viewInGerman(view: RunView, own: OwnWords = []): RunView {
  const { step, field, judgement, ending, remedy } = view;
  const say = (text: string): string => inGerman(text, own);
  return {
    ...view,
    remarks: view.remarks.map(say), position: say(view.position), next: say(view.next), closing: view.closing.map(say),
    carriedOver: view.carriedOver.map(say),
    walked: view.walked.map((walked) => walkedInGerman(walked, own)),
    ...(step === undefined ? {} : { step: stepInGerman(step, own) }),
    ...(field === undefined ? {} : { field: fieldInGerman(field, own) }),
    ...(judgement === undefined ? {} : { judgement: say(judgement) }),
    ...(remedy === undefined ? {} : { remedy: remedyInGerman(remedy) }),
    ...(ending === undefined ? {} : { ending: { ...ending, words: say(ending.words), putBack: ending.putBack.map(needInGerman), disposition: say(ending.disposition), use: ending.use.map(say) } }),
  };
}

/** The remedy is the procedure's own; what the catalogue warns of beside it is not. */
function remedyInGerman(remedy: RemedyView): RemedyView {
  const { cautions, qualified } = remedy;
  return {
    ...remedy,
    ...(cautions === undefined ? {} : { cautions: cautions.map(cautionInGerman) }),
    ...(qualified === undefined ? {} : { qualified: qualified.map(catalogueIn('de').qualification) }),
  };
}

function stepInGerman(step: StepView, own: OwnWords): StepView {
  const say = (text: string): string => inGerman(text, own);
  return {
    ...step,
    cautions: step.cautions.map(cautionInGerman), qualified: step.qualified.map(catalogueIn('de').qualification),
    warnings: step.warnings.map(say), needs: step.needs.map(needInGerman), during: step.during.map(lastOr),
    ...(step.quantity === undefined ? {} : { quantity: quantityInGerman(step.quantity) }),
    limits: step.limits.map((limit): LimitView => ({ ...limit, words: around(limit.words, own, limitInGerman), leadsTo: say(limit.leadsTo) })),
    points: step.points.map((point): PointView => (point.understood === undefined ? point : { ...point, understood: point.understood === 'overload (OL)' ? 'Überlauf (OL)' : decimalComma(point.understood) })),
  };
}

function needInGerman(need: NeedView): NeedView {
  return { ...need, words: need.values.length > 1 ? lastOr(need.words) : need.words, changes: need.changes.map(catalogueIn('de').change) };
}

/** 'Platform: stowed or grounded'. */
function lastOr(words: string): string {
  return words.replace(/ or (?!.* or )/, ' oder ');
}

function fieldInGerman(field: FieldView, own: OwnWords): FieldView {
  switch (field.kind) {
    case 'reading':
      return { ...field, label: quantityInGerman(field.label) };
    case 'answer':
      return { ...field, label: inGerman(field.label, own) };
    case 'done':
      return { ...field, label: inGerman(field.label, own) };
    default:
      return field;
  }
}

function walkedInGerman(walked: WalkedView, own: OwnWords): WalkedView {
  const entered = inGerman(walked.entered, own);
  return {
    ...walked,
    entered: entered !== walked.entered ? entered : entered === 'overload (OL)' ? 'Überlauf (OL)' : decimalComma(entered),
    remarks: walked.remarks.map((remark) => inGerman(remark, own)),
    ...(walked.judgement === undefined ? {} : { judgement: inGerman(walked.judgement, own) }),
  };
}
