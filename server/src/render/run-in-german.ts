/**
 * What a run shows, in German. The run itself speaks English, and so do its records, which must read the same wherever they were
 * made; this is for what a person is shown. What a procedure says stays in the procedure's own words. It decides nothing and
 * knows no screen.
 */
import type { FieldView, LimitView, NeedView, PointView, RunView, StepView, WalkedView } from '../run/view.ts';
import { sentenceInGerman } from './run-in-german-sentences.ts';
import { decimalComma, limitInGerman, quantityInGerman } from './run-in-german-words.ts';

/** A sentence in German; the procedure's own text as it stands. */
export function inGerman(text: string): string {
  return sentenceInGerman(text) ?? text;
}

/** The view with the run's own sentences in German and numbers with a decimal comma. Names and values to send stay as they are. */
export function viewInGerman(view: RunView): RunView {
  const { step, field, judgement, ending } = view;
  return {
    ...view,
    remarks: view.remarks.map(inGerman), position: inGerman(view.position), next: inGerman(view.next), closing: view.closing.map(inGerman),
    carriedOver: view.carriedOver.map(inGerman),
    walked: view.walked.map(walkedInGerman),
    ...(step === undefined ? {} : { step: stepInGerman(step) }),
    ...(field === undefined ? {} : { field: fieldInGerman(field) }),
    ...(judgement === undefined ? {} : { judgement: inGerman(judgement) }),
    ...(ending === undefined ? {} : { ending: { ...ending, words: inGerman(ending.words), putBack: ending.putBack.map(needInGerman), disposition: inGerman(ending.disposition) } }),
  };
}

function stepInGerman(step: StepView): StepView {
  return {
    ...step,
    warnings: step.warnings.map(inGerman), needs: step.needs.map(needInGerman),
    ...(step.quantity === undefined ? {} : { quantity: quantityInGerman(step.quantity) }),
    limits: step.limits.map((limit): LimitView => ({ ...limit, words: limitInGerman(limit.words), leadsTo: inGerman(limit.leadsTo) })),
    points: step.points.map((point): PointView => (point.understood === undefined ? point : { ...point, understood: point.understood === 'overload (OL)' ? 'Überlauf (OL)' : decimalComma(point.understood) })),
  };
}

function needInGerman(need: NeedView): NeedView {
  return { ...need, words: need.values.length > 1 ? need.words.replace(/ or (?!.* or )/, ' oder ') : need.words };
}

function fieldInGerman(field: FieldView): FieldView {
  switch (field.kind) {
    case 'reading':
      return { ...field, label: quantityInGerman(field.label) };
    case 'answer':
      return { ...field, label: inGerman(field.label) };
    case 'done':
      return { ...field, label: inGerman(field.label) };
    default:
      return field;
  }
}

function walkedInGerman(walked: WalkedView): WalkedView {
  const entered = inGerman(walked.entered);
  return {
    ...walked,
    entered: entered !== walked.entered ? entered : entered === 'overload (OL)' ? 'Überlauf (OL)' : decimalComma(entered),
    remarks: walked.remarks.map(inGerman),
    ...(walked.judgement === undefined ? {} : { judgement: inGerman(walked.judgement) }),
  };
}
