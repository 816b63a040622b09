/**
 * What stands in the field as an event, and what the page says about it: the words of the large button, the title, the
 * judgement. No screen, no engine.
 */
import type { FieldView, RunView } from '../../../../server/src/run/engine.ts';
import type { Draft, EnteredField } from './entry.tsx';
import type { Entry } from './session.ts';
import type { RemedyDraft } from './verdict.tsx';
import { WORDS } from './words.ts';

export function isEntered(field: FieldView): field is EnteredField {
  return field.kind === 'answer' || field.kind === 'reading' || field.kind === 'fact';
}

export function choicesIn(field: EnteredField): boolean {
  return field.kind === 'reading' ? field.shows.length > 0 : field.choices.length > 0;
}

export function entryOf(field: FieldView, draft: Draft): Entry | undefined {
  const typed = draft.typed.trim();
  if (field.kind === 'fact') return { kind: 'fact', fact: field.fact, typed };
  if (field.kind !== 'answer' && field.kind !== 'reading') return undefined;
  return { kind: field.kind, step: field.step, ...(field.point === undefined ? {} : { point: field.point }), typed };
}

export function pressedEntry(field: FieldView, chosen: Readonly<Record<string, string>>, remedy: RemedyDraft): Entry | undefined {
  switch (field.kind) {
    case 'acknowledge':
      return { kind: 'acknowledged', cautions: field.cautions };
    case 'confirm_states':
      return {
        kind: 'states_confirmed',
        states: Object.fromEntries(field.states.map((state) => [state.state, chosen[state.state] ?? state.values[0] ?? ''])),
      };
    case 'done':
      return { kind: 'done', step: field.step };
    case 'remedy':
      return {
        kind: 'remedy',
        carriedOut: remedy.carriedOut === true,
        ...(remedy.text.trim() ? { text: remedy.text.trim() } : {}),
      };
    case 'finish':
      return { kind: 'finished' };
    case 'resume':
      return { kind: 'resumed' };
    default:
      return undefined;
  }
}

/** What the large button says: before an entry is judged, that it will be; after, where it leads. */
export function buttonWords(view: RunView, field: FieldView, judged: RunView | undefined, remedy: RemedyDraft): string {
  if (field.kind === 'confirm_states') return view.stage === 'ended' ? WORDS.putBackDone : WORDS.statesConfirm;
  if (field.kind === 'remedy' && remedy.carriedOut !== undefined) {
    return remedy.carriedOut && view.remedy?.proof ? WORDS.nextProof : WORDS.nextEnd;
  }
  if (field.kind === 'remedy') return WORDS.remedyChoose;
  if (!isEntered(field)) return view.next;
  if (!judged && choicesIn(field)) return WORDS.chooseAnswer;
  if (!judged) return field.kind === 'fact' ? WORDS.judgeFact : WORDS.judge;
  if (judged.stage === 'remedy' && judged.remedy) return WORDS.nextRemedy(judged.remedy.title);
  if (judged.stage === 'ended') return WORDS.nextEnd;
  if (judged.stage !== 'step' || !judged.step) return WORDS.goOn;
  const point = judged.step.points.find((candidate) => candidate.current);
  const before = 'point' in field ? field.point : undefined;
  if (point && point.name !== before && view.step?.name === judged.step.name && view.step.doneBefore === judged.step.doneBefore)
    return WORDS.nextPoint(point.title);
  return WORDS.nextStep(judged.step.number, judged.step.title);
}

/** The judgement of the entry that would be event `index`; where nothing is judged yet, how it was understood. */
export function cameTo(judged: RunView, index: number): string | undefined {
  const walked = judged.walked.find((candidate) => candidate.entry === index);
  return walked ? (walked.judgement ?? WORDS.reads(walked.entered)) : judged.judgement;
}

/** What is to be known beside the judgement: too close for this instrument, out of calibration, a wait not kept. */
export function doubtsOf(judged: RunView, index: number): readonly string[] {
  const walked = judged.walked.find((candidate) => candidate.entry === index);
  return walked?.remarks.filter((remark) => !walked.judgement?.includes(remark)) ?? [];
}

export function titleOf(view: RunView): string {
  if (view.paused) return WORDS.paused;
  if (view.stage === 'remedy' && view.remedy) return `${WORDS.remedyTitle}: ${view.remedy.title}`;
  if (view.stage === 'finished') return WORDS.finished;
  if (view.stage === 'stopped') return WORDS.stopped;
  if (view.stage === 'ended') return WORDS.verdictTitle;
  return view.field?.kind === 'fact' ? view.field.title : (view.step?.title ?? '');
}
