/** The step at hand with its field and the one large button; its drafts live here and are forgotten when the walk goes on. */
import { useEffect, useState } from 'preact/hooks';
import type { FieldView, RunView, StepView } from '../../../../server/src/run/engine.ts';
import { CautionPanel } from './caution.tsx';
import { buttonWords, cameTo, choicesIn, doubtsOf, entryOf, isEntered, pressedEntry, titleOf } from './entries.ts';
import { EntryField } from './entry.tsx';
import type { Draft } from './entry.tsx';
import { figureKey } from './host.ts';
import type { ChecklistHost } from './host.ts';
import { PeoplePart } from './people-part.tsx';
import { PhotoPart } from './photos.tsx';
import type { Entry, Session } from './session.ts';
import { Instruction, Limits, States } from './step-card.tsx';
import { HoldClock } from './timers.tsx';
import { Remedy, Verdict } from './verdict.tsx';
import type { RemedyDraft } from './verdict.tsx';
import { useWaits, Waits } from './waits.tsx';
import { answerName, WORDS } from './words.ts';

export function StepSheet({ host, session }: { readonly host: ChecklistHost; readonly session: Session }) {
  const { view } = session;
  const { field, step } = view;
  const [draft, setDraft] = useState<Draft>();
  const [remedy, setRemedy] = useState<RemedyDraft>({ carriedOut: undefined, text: '' });
  const [chosenStates, setChosenStates] = useState<Readonly<Record<string, string>>>({});
  const [judged, setJudged] = useState<RunView>();
  const [told, setTold] = useState<string>();
  // What was judged against an earlier state of the run is judged again.
  useEffect(() => setJudged(undefined), [session.events.length]);
  const before = field?.kind === 'acknowledge' || field?.kind === 'confirm_states';
  // Nobody waits before the cautions are read and the machine is ready for it.
  const waits = useWaits(session, !before);

  // That it takes two people has a line of its own.
  const warnings = step?.warnings.filter((warning) => !isAboutPeople(warning)) ?? [];
  const words = field ? buttonWords(view, field, judged, remedy) : '';
  const ready = useReadAtLeast(`${field?.kind ?? ''} ${words}`);

  function change(next: Draft | undefined): void {
    setDraft(next);
    setTold(undefined);
    setJudged(undefined);
    if (next?.sure && field) judge(entryOf(field, next));
  }

  function judge(entry: Entry | undefined): void {
    if (!entry) return;
    const preview = session.preview(entry);
    if ('refused' in preview) setTold(preview.refused);
    else setJudged(preview.view);
  }

  async function press(): Promise<void> {
    if (!field || session.saving || !ready) return;
    setTold(undefined);
    if (waits.open) return setTold(WORDS.waitFirst);
    if (isEntered(field)) {
      if (!draft || draft.typed.trim() === '') {
        setTold((field.kind !== 'reading' && field.kind !== 'fact') || choicesIn(field) ? WORDS.chooseFirst : WORDS.enterFirst);
        document.querySelector<HTMLElement>('.sheet .reading input, .sheet .choices input')?.focus();
        return;
      }
      const entry = entryOf(field, draft);
      if (!entry) return;
      if (!judged) return judge(entry);
      await take(entry);
      return;
    }
    if (field.kind === 'remedy' && remedy.carriedOut === undefined) return setTold(WORDS.chooseFirst);
    const unchosen =
      field.kind === 'confirm_states' && field.states.find((state) => state.values.length > 1 && !chosenStates[state.state]);
    if (unchosen) return setTold(WORDS.chooseFirst);
    const entry = pressedEntry(field, chosenStates, remedy);
    if (entry) await take(entry);
  }

  async function take(entry: Entry): Promise<void> {
    const preview = session.preview(entry);
    if ('refused' in preview) return setTold(preview.refused);
    // What could not be written down stays in the field; the page says why below the sheet.
    if ((await session.send(entry)) !== undefined) return;
    setDraft(undefined);
    setJudged(undefined);
  }

  return (
    <form
      class="step"
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        void press();
      }}
    >
      <h2 class="step-title" id="step-title" tabIndex={-1}>
        {step && view.stage === 'step' && (
          <span class="step-number number" aria-hidden="true">
            {step.number}
          </span>
        )}
        <span>{titleOf(view)}</span>
      </h2>
      {step && view.stage === 'step' && step.cautions.map((caution) => <CautionPanel key={caution.name} caution={caution} />)}
      {step && view.stage === 'step' && field?.kind !== 'acknowledge' && (
        <>
          {warnings.length > 0 && (
            <section class="before" aria-label={WORDS.warningsTitle}>
              <h3>{WORDS.warningsTitle}</h3>
              {warnings.map((warning) => (
                <p key={warning}>{warning}</p>
              ))}
            </section>
          )}
          <States needs={step.needs} during={field?.kind === 'confirm_states' ? [] : step.during} />
          {step.people > 1 && <PeoplePart session={session} step={step} />}
          {!before && <Instruction step={step} figure={figureOf(session, step)} />}
          {!before && step.photo && <PhotoPart host={host} session={session} wanted={step.photo} />}
          {!before && <StepClocks step={step} />}
          {!before && <Waits waits={waits} />}
        </>
      )}
      {view.stage === 'remedy' && view.remedy && <Remedy remedy={view.remedy} draft={remedy} onDraft={setRemedy} />}
      {field?.kind === 'confirm_states' && (
        <StateChoices
          field={field}
          chosen={chosenStates}
          onChosen={(state, value) => setChosenStates({ ...chosenStates, [state]: value })}
        />
      )}
      {view.ending && <Verdict ending={view.ending} closed={view.stage !== 'ended'} />}
      {field && isEntered(field) && !waits.open && (
        <EntryField
          field={field}
          draft={draft}
          onDraft={change}
          describedBy="told limits"
          shownLabel={step?.question}
          refused={told !== undefined}
        />
      )}
      {step && field && <Limits step={step} field={field} />}
      <div class={`dock ${field && isEntered(field) ? 'dock-at-hand' : ''}`}>
        <p class="told" id="told" role="alert" data-test="refused">
          {told}
        </p>
        <p class="judgement" role="status" data-test="judgement">
          {judged && cameTo(judged, session.events.length)}
        </p>
        {judged && doubtsOf(judged, session.events.length).map((doubt) => (
          <p key={doubt} class="doubt" role="status" data-test="doubt">
            {doubt}
          </p>
        ))}
        <div class="dock-buttons">
          {field && !waits.open && (
            <button type="submit" class="next" data-test="next" aria-disabled={session.saving || !ready || undefined}>
              {session.saving ? WORDS.saving : words}
            </button>
          )}
        </div>
      </div>
      {canGoBack(session) && <BackOne session={session} />}
    </form>
  );
}

/** Shorter than this, in ms, nobody has read what the button says: a second tap of a gloved hand is no answer to it. */
const LEAST_READING = 350;

/** False for a moment after `meaning` has changed. */
function useReadAtLeast(meaning: string): boolean {
  const [read, setRead] = useState<string>();
  useEffect(() => {
    const timer = setTimeout(() => setRead(meaning), LEAST_READING);
    return () => clearTimeout(timer);
  }, [meaning]);
  return read === meaning;
}

function StateChoices({
  field,
  chosen,
  onChosen,
}: {
  readonly field: Extract<FieldView, { kind: 'confirm_states' }>;
  readonly chosen: Readonly<Record<string, string>>;
  readonly onChosen: (state: string, value: string) => void;
}) {
  return (
    <>
      {field.states
        .filter((state) => state.values.length > 1)
        .map((state) => (
          <fieldset key={state.state} class="choices">
            <legend>{state.title}</legend>
            {state.values.map((value) => (
              <label key={value} class="choice">
                <input
                  type="radio"
                  name={`state-${state.state}`}
                  value={value}
                  checked={chosen[state.state] === value}
                  onChange={() => onChosen(state.state, value)}
                />
                <span class="choice-words">{answerName(value)}</span>
              </label>
            ))}
          </fieldset>
        ))}
    </>
  );
}

function StepClocks({ step }: { readonly step: StepView }) {
  return step.maxSeconds === undefined ? null : <HoldClock seconds={step.maxSeconds} held={step.during.length > 0} />;
}

function BackOne({ session }: { readonly session: Session }) {
  const last = lastEntry(session.view);
  const [told, setTold] = useState<string>();
  if (last === undefined) return null;
  return (
    <div class="back-part">
      <button
        type="button"
        class="plain back"
        data-test="back"
        onClick={() => void session.send({ kind: 'correction', of: last }).then(setTold)}
      >
        {WORDS.takeBackLast}
      </button>
      <p role="status" class="told">
        {told}
      </p>
    </div>
  );
}

function isAboutPeople(warning: string): boolean {
  return /^(This step takes \d+ people\.|Dieser Schritt braucht \d+ Personen\.)$/.test(warning);
}

/** The figure of the step at hand as a data URI; undefined where the checklist does not carry it. */
function figureOf(session: Session, step: StepView): string | undefined {
  if (step.figure === undefined) return undefined;
  const title = session.view.inside[session.view.inside.length - 1];
  const sheets = [session.document.procedure, ...Object.values(session.document.called)];
  const sheet = sheets.find((candidate) => candidate.title === title && candidate.steps.some((one) => one.name === step.name));
  return session.figures[figureKey((sheet ?? session.document.procedure).name, step.figure)];
}

function canGoBack(session: Session): boolean {
  return (
    !session.view.paused &&
    ['fact', 'step', 'remedy', 'ended'].includes(session.view.stage) &&
    lastEntry(session.view) !== undefined
  );
}

function lastEntry(view: RunView): number | undefined {
  return view.walked.findLast((walked) => walked.entry !== undefined)?.entry;
}
