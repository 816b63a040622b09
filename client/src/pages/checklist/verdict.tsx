/** Endings: the fault with its remedy, and the verdict of the run with what is to be put back and where the record went. */
import { useState } from 'preact/hooks';
import type { DefectView, EndingView, RemedyView } from '../../../../server/src/run/engine.ts';
import { CautionPanel } from './caution.tsx';
import { HowTo } from './step-card.tsx';
import { durationWords, sentence, WORDS } from './words.ts';

export interface RemedyDraft {
  readonly carriedOut: boolean | undefined;
  readonly text: string;
}

export function Remedy({
  remedy,
  draft,
  onDraft,
}: {
  readonly remedy: RemedyView;
  readonly draft: RemedyDraft;
  readonly onDraft: (draft: RemedyDraft) => void;
}) {
  return (
    <section class="instruction" id="instruction" tabIndex={-1} aria-labelledby="step-title" data-test="remedy">
      {remedy.cautions?.map((caution) => (
        <CautionPanel key={caution.name} caution={caution} />
      ))}
      {remedy.qualified && remedy.qualified.length > 0 && (
        <p data-test="remedy-qualified">{`${WORDS.qualified}: ${remedy.qualified.map((one) => one.title).join(', ')}`}</p>
      )}
      {remedy.remedy && <p class="question">{remedy.remedy}</p>}
      {remedy.expectedSeconds !== undefined && (
        <p class="quiet">{sentence(WORDS.expected(durationWords(remedy.expectedSeconds)))}</p>
      )}
      {remedy.procedure && <p>{WORDS.remedyProcedure(remedy.procedure)}</p>}
      {remedy.proof && <p>{WORDS.remedyProof}</p>}
      <fieldset class="choices">
        <legend class="only-heard">{WORDS.remedyTitle}</legend>
        {(
          [
            ['done', true, WORDS.remedyDone],
            ['later', false, WORDS.remedyLater],
          ] as const
        ).map(([value, carriedOut, words]) => (
          <label key={value} class="choice" data-test="remedy-choice" data-when={value}>
            <input
              type="radio"
              name="remedy"
              value={value}
              checked={draft.carriedOut === carriedOut}
              onChange={() => onDraft({ ...draft, carriedOut })}
            />
            <span class="choice-words">{words}</span>
          </label>
        ))}
      </fieldset>
      <label class="field-line">
        <span>{WORDS.remedyText}</span>
        <input
          type="text"
          class="wide"
          data-test="remedy-text"
          maxLength={2000}
          autoComplete="off"
          value={draft.text}
          onInput={(event) => onDraft({ ...draft, text: event.currentTarget.value })}
        />
      </label>
    </section>
  );
}

export function Verdict({ ending, closed }: { readonly ending: EndingView; readonly closed: boolean }) {
  return (
    <section class="verdict" id="instruction" tabIndex={-1} aria-labelledby="step-title" data-test="verdict">
      <p class="question">{ending.words}</p>
      {ending.use.length > 0 && (
        <section class="use" aria-labelledby="use-title" data-test="disposition">
          <h3 id="use-title">{WORDS.useTitle}</h3>
          <ul class="lines">
            {ending.use.map((line) => (
              <UseLine key={line} line={line} />
            ))}
          </ul>
        </section>
      )}
      {ending.putBack.length > 0 && (
        <>
          <h3>{WORDS.putBackTitle}</h3>
          <ul class="lines">
            {ending.putBack.map((need) => (
              <li key={need.state}>
                <strong>{sentence(need.words)}</strong>
                {!closed && <HowTo need={need} />}
              </li>
            ))}
          </ul>
        </>
      )}
    </section>
  );
}

/** What may be done comes before why: 'The asset must not be used …', then the defects that say so. */
function UseLine({ line }: { readonly line: string }) {
  const [, because, words] = /^([^:.]+: .*?\.) ([^:]+)$/s.exec(line) ?? [];
  if (because === undefined || words === undefined) return <li>{line}</li>;
  return (
    <li>
      <span class="use-words">{words}</span>
      <span class="use-because">{because}</span>
    </li>
  );
}

export function Defects({ defects }: { readonly defects: readonly DefectView[] }) {
  if (defects.length === 0) return null;
  return (
    <section class="defects" aria-label={WORDS.defects(defects.length)}>
      <h3>{WORDS.defects(defects.length)}</h3>
      <ul class="lines">
        {byGrade(defects).map((defect, index) => (
          <li key={index} class="defect">
            <span class={`grade grade-${defect.grade ?? 'none'}`}>{defect.grade ? WORDS.grades[defect.grade] : WORDS.gradeNone}</span>
            <span>
              <strong>{defect.title}</strong>
              {defect.remedy && <span class="quiet"> {defect.remedy}</span>}
            </span>
          </li>
        ))}
      </ul>
    </section>
  );
}

const GRADES = ['dangerous', 'major', undefined, 'minor'];

/** The gravest first; one without a grade counts as a major one does. */
function byGrade(defects: readonly DefectView[]): DefectView[] {
  return [...defects].sort((one, other) => GRADES.indexOf(one.grade) - GRADES.indexOf(other.grade));
}

/** Where the record is, and how to see or keep it. */
export function RecordPlace({
  words,
  where,
  action,
  onShow,
}: {
  readonly words: string;
  readonly where: string;
  readonly action: string;
  readonly onShow: () => Promise<string | undefined>;
}) {
  const [told, setTold] = useState<string>();
  return (
    <section class="record">
      <p>
        {words}{' '}
        <span class="path" data-test="record">
          {where}
        </span>
      </p>
      <button
        type="button"
        class="plain strong"
        data-test="record-show"
        onClick={() => {
          onShow().then(setTold, (error: unknown) => setTold(error instanceof Error ? error.message : String(error)));
        }}
      >
        {action}
      </button>
      <p role="status" class="told">
        {told}
      </p>
    </section>
  );
}
