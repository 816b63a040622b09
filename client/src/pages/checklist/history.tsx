/**
 * What was done so far: folded, opened to read or to correct. A correction stands beside the first entry; nothing is
 * overwritten.
 */
import { useState } from 'preact/hooks';
import type { ChecklistDocument, StepSheet } from '../../../../server/src/run/checklist.ts';
import type { RunView, WalkedView } from '../../../../server/src/run/engine.ts';
import type { Session } from './session.ts';
import { answerName, plainName, sentence, WORDS } from './words.ts';

export function History({ session, open }: { readonly session: Session; readonly open?: boolean }) {
  const { view } = session;
  const [correcting, setCorrecting] = useState<number>();
  if (view.walked.length === 0) return null;
  return (
    <details class="history" data-test="history" open={open}>
      <summary>{WORDS.soFar(view.walked.length)}</summary>
      <ol>
        {view.walked.map((walked, index) => (
          <li key={index}>
            <div class="walked">
              <span class="walked-title">
                <span class="quiet number">
                  {walked.inside.length > 1 ? `${walked.inside[walked.inside.length - 1]}, ` : ''}
                  {walked.number > 0 ? `${walked.number} ` : ''}
                </span>
                {walked.title}
                {walked.point ? `, ${plainName(walked.point)}` : ''}
              </span>
              {!saysAll(walked) && <span class="walked-entered">{sentence(answerName(walked.entered))}</span>}
              {walked.judgement && <span>{sentence(walked.judgement)}</span>}
              {walked.remarks
                .filter((remark) => !walked.judgement?.includes(remark))
                .map((remark) => (
                  <span key={remark}>{remark}</span>
                ))}
              {walked.original !== undefined && <span class="quiet">{WORDS.firstEntered(walked.original)}</span>}
            </div>
            {walked.entry !== undefined && correcting !== walked.entry && canCorrect(view) && (
              <button
                type="button"
                class="plain"
                data-test="correct"
                aria-label={WORDS.correctTitle(walked.title)}
                onClick={() => setCorrecting(walked.entry)}
              >
                {WORDS.correct}
              </button>
            )}
            {walked.entry !== undefined && correcting === walked.entry && (
              <Correction session={session} walked={walked} entry={walked.entry} onClose={() => setCorrecting(undefined)} />
            )}
          </li>
        ))}
      </ol>
    </details>
  );
}

/** Whether the judgement begins with what was entered, so that saying it twice tells nothing. */
function saysAll({ entered, judgement }: WalkedView): boolean {
  const plain = (text: string): string => answerName(text).replace(/^(decided|entschieden): /i, '').toLowerCase();
  return judgement !== undefined && judgement.toLowerCase().startsWith(plain(entered));
}

/** A run that is closed or paused takes no corrections. */
function canCorrect(view: RunView): boolean {
  return !view.paused && view.stage !== 'finished' && view.stage !== 'stopped';
}

function Correction({
  session,
  walked,
  entry,
  onClose,
}: {
  readonly session: Session;
  readonly walked: WalkedView;
  readonly entry: number;
  readonly onClose: () => void;
}) {
  const [typed, setTyped] = useState('');
  const [reason, setReason] = useState('');
  const [told, setTold] = useState<string>();
  const choices = choicesOf(session.document, walked);

  async function write(value: string | undefined): Promise<void> {
    const event = {
      kind: 'correction' as const,
      of: entry,
      ...(value === undefined ? {} : { typed: value }),
      ...(reason.trim() ? { reason: reason.trim() } : {}),
    };
    const refused = await session.send(event);
    if (refused === undefined) onClose();
    else setTold(refused);
  }

  return (
    <form
      class="correction"
      onSubmit={(event) => {
        event.preventDefault();
        if (typed.trim() === '') setTold(choices.length > 0 ? WORDS.chooseFirst : WORDS.enterFirst);
        else void write(typed.trim());
      }}
    >
      {walked.retype && (
        <label class="field-line">
          <span>{WORDS.correctField}</span>
          {choices.length > 0 ? (
            <select class="wide" data-test="correction" value={typed} onChange={(event) => setTyped(event.currentTarget.value)}>
              <option value="" />
              {choices.map((choice) => (
                <option key={choice.value} value={choice.value}>
                  {choice.words}
                </option>
              ))}
            </select>
          ) : (
            <input
              type="text"
              class="wide number"
              data-test="correction"
              maxLength={2000}
              autoComplete="off"
              value={typed}
              onInput={(event) => {
                setTyped(event.currentTarget.value);
                setTold(undefined);
              }}
            />
          )}
        </label>
      )}
      <label class="field-line">
        <span>{WORDS.correctReason}</span>
        <input
          type="text"
          class="wide"
          data-test="correction-reason"
          maxLength={500}
          autoComplete="off"
          value={reason}
          onInput={(event) => setReason(event.currentTarget.value)}
        />
      </label>
      <p role="alert" class="told">
        {told}
      </p>
      <div class="row">
        {walked.retype && (
          <button type="submit" class="plain strong" data-test="correction-save">
            {WORDS.correctSave}
          </button>
        )}
        <button type="button" class="plain" data-test="take-back" onClick={() => void write(undefined)}>
          {WORDS.takeBack}
        </button>
        <button type="button" class="plain" onClick={onClose}>
          {WORDS.cancel}
        </button>
      </div>
    </form>
  );
}

/** The answers that the step knows, where it is one to choose from. */
function choicesOf(document: ChecklistDocument, walked: WalkedView): { value: string; words: string }[] {
  const title = walked.inside[walked.inside.length - 1];
  const sheets = [document.procedure, ...Object.values(document.called)];
  const step: StepSheet | undefined = (sheets.find((sheet) => sheet.title === title) ?? document.procedure).steps.find(
    (candidate) => candidate.name === walked.step,
  );
  if (!step) return [];
  if (step.measures && step.measures.shows.length > 0)
    return step.measures.shows.map((word) => ({ value: word, words: sentence(answerName(word)) }));
  if (step.kind !== 'ask' || step.results.some((result) => result.when === 'otherwise')) return [];
  return step.results.map((result) => ({ value: result.written, words: result.says ?? sentence(answerName(result.written)) }));
}
