/**
 * The first sheet: which procedure, how far it may be relied on, for which asset, by whom; runs that were begun and not
 * finished.
 */
import { useState } from 'preact/hooks';
import type { Unfinished as UnfinishedRun } from '../messages.ts';
import type { ChecklistHost, Offered } from './host.ts';
import { SettingsPart } from './settings-part.tsx';
import { catalogueIn } from '../../../../server/src/render/catalogue-in-german.ts';
import { inGerman } from '../../../../server/src/render/run-in-german.ts';
import { languageInUse, momentWords, plainName, sentence, statusName, WORDS } from './words.ts';

interface StartProps {
  readonly host: ChecklistHost;
  readonly offer: Offered;
  readonly asset: string | undefined;
  readonly trouble: string | undefined;
  readonly onAsset: (asset: string | undefined) => void;
  readonly onBegin: (person: string, asset: string | undefined) => Promise<void>;
  /** `person`: who goes on with it. */
  readonly onResume: (runId: string, person: string) => Promise<void>;
  readonly onCarryOver: (runId: string, person: string) => Promise<void>;
  readonly onStopChanged: (runId: string) => Promise<void>;
  readonly onDiscard: (runId: string) => Promise<void>;
  /** Run → why it cannot be carried over. */
  readonly refused: Readonly<Record<string, string>>;
}

export function Start(props: StartProps) {
  const { host, offer, asset, trouble, onAsset, onBegin, onDiscard } = props;
  const { document: checklist } = offer;
  const sheet = checklist.procedure;
  const [person, setPerson] = useState(rememberedPerson());
  const [typedAsset, setTypedAsset] = useState('');
  const [busy, setBusy] = useState(false);
  const fixed = offer.fixedAsset;
  const runnable = sheet.steps.length > 0;

  async function begin(): Promise<void> {
    if (busy || !runnable) return;
    setBusy(true);
    rememberPerson(person.trim());
    await onBegin(person.trim(), fixed ?? asset ?? (typedAsset.trim() || undefined));
    setBusy(false);
  }

  return (
    <main class="sheet">
      <h1 class="step-title" tabIndex={-1} id="step-title">
        {sheet.title}
      </h1>
      <Head offer={offer} />
      {host.warning && <p class="remark">{host.warning}</p>}
      <ScannedSheet host={host} />
      <form
        class="begin"
        onSubmit={(event) => {
          event.preventDefault();
          void begin();
        }}
      >
        <label class="field-line">
          <span>{WORDS.personField}</span>
          <input
            type="text"
            class="wide"
            data-test="person"
            maxLength={100}
            autoComplete="off"
            value={person}
            onInput={(event) => setPerson(event.currentTarget.value)}
          />
        </label>
        <Unfinished {...props} person={person.trim()} />
        {fixed === undefined && offer.assets.length > 0 && (
          <label class="field-line">
            <span>{WORDS.assetField}</span>
            <select
              class="wide"
              data-test="asset"
              value={asset ?? ''}
              onChange={(event) => onAsset(event.currentTarget.value || undefined)}
            >
              <option value="">{WORDS.assetNone}</option>
              {offer.assets.map((id) => (
                <option key={id} value={id}>
                  {id}
                </option>
              ))}
            </select>
          </label>
        )}
        {fixed === undefined && offer.assets.length === 0 && (
          <label class="field-line">
            <span>{WORDS.assetField}</span>
            <input
              type="text"
              class="wide"
              data-test="asset"
              maxLength={100}
              autoComplete="off"
              value={typedAsset}
              onInput={(event) => setTypedAsset(event.currentTarget.value)}
            />
          </label>
        )}
        {checklist.asset === undefined && sheet.facts.length > 0 && <p class="quiet">{WORDS.assetMissing}</p>}
        <p role="alert" class="told">
          {trouble}
        </p>
        {!runnable && <p class="remark">{WORDS.noSteps}</p>}
        {runnable && (
          <button type="submit" class="next" data-test="next" aria-disabled={busy}>
            {busy ? WORDS.saving : WORDS.begin}
          </button>
        )}
      </form>
      <FinishedRuns host={host} offer={offer} onDiscard={onDiscard} />
      <SettingsPart />
      <Closing lines={checklist.closing.map(inLanguage)} />
    </main>
  );
}

function Head({ offer }: { readonly offer: Offered }) {
  const { document: checklist } = offer;
  const sheet = checklist.procedure;
  const facts: [string, string][] = [];
  if (offer.fixedAsset !== undefined) facts.push([WORDS.assetField, offer.fixedAsset]);
  if (sheet.complaint) facts.push([WORDS.complaint, sheet.complaint]);
  if (sheet.appliesTo.length > 0) {
    facts.push([
      WORDS.appliesTo,
      sheet.appliesTo.map((line) => `${plainName(line.fact)}: ${line.values.map(plainName).join(` ${WORDS.or} `)}`).join(', '),
    ]);
  }
  if (sheet.revision)
    facts.push([WORDS.revision, [sheet.revision, sheet.status && statusName(sheet.status)].filter(Boolean).join(', ')]);
  if (sheet.approved) facts.push([WORDS.approved, [sheet.approved.by, sheet.approved.on].filter(Boolean).join(', ')]);
  if (sheet.qualified.length > 0)
    facts.push([WORDS.qualifiedWhole, sheet.qualified.map((one) => catalogueIn(languageInUse()).qualification(one).title).join(', ')]);
  return (
    <>
      <Remarks remarks={checklist.standing.remarks.map(inLanguage)} />
      <dl class="circumstances">
        {facts.map(([term, words]) => (
          <div key={term}>
            <dt>{term}</dt>
            <dd>{words}</dd>
          </div>
        ))}
      </dl>
      {checklist.standing.accepted.length > 0 && (
        <details>
          <summary>{WORDS.accepted(checklist.standing.accepted.length)}</summary>
          <ul>
            {checklist.standing.accepted.map((accepted, index) => (
              <li key={index}>{WORDS.acceptedLine(accepted.message, accepted.because, accepted.by)}</li>
            ))}
          </ul>
        </details>
      )}
    </>
  );
}

/** A sentence of the document's own, not the procedure's. */
function inLanguage(sentence: string): string {
  return languageInUse() === 'de' ? inGerman(sentence) : sentence;
}

/** Whether the printed sheet that led here shows the text of this page. */
export function ScannedSheet({ host }: { readonly host: ChecklistHost }) {
  if (!host.sheet) return null;
  return host.sheet.same ? (
    <p class="quiet" data-test="sheet-same">
      {WORDS.sheetSame}
    </p>
  ) : (
    <p class="remark" role="alert" data-test="sheet-other">
      {WORDS.sheetOther(host.sheet.revision)}
    </p>
  );
}

/** Draft, withdrawn, open errors: on every sheet. */
export function Remarks({ remarks }: { readonly remarks: readonly string[] }) {
  if (remarks.length === 0) return null;
  return (
    <div class="remarks" data-test="remarks">
      {remarks.map((remark) => (
        <p key={remark} class="remark">
          {remark}
        </p>
      ))}
    </div>
  );
}

export function Closing({ lines }: { readonly lines: readonly string[] }) {
  if (lines.length === 0) return null;
  return (
    <footer class="closing">
      <h2>{WORDS.closingTitle}</h2>
      <ul>
        {lines.map((line) => (
          <li key={line}>{line}</li>
        ))}
      </ul>
    </footer>
  );
}

function Unfinished({ offer, refused, onResume, onCarryOver, onDiscard, onStopChanged, person }: StartProps & { readonly person: string }) {
  const [sure, setSure] = useState<string>();
  if (offer.unfinished.length === 0) return null;
  const { contentHash } = offer.document;
  return (
    <section class="unfinished" aria-labelledby="unfinished-title">
      <h2 id="unfinished-title">{WORDS.unfinishedTitle}</h2>
      <ul class="lines">
        {offer.unfinished.map((run) => {
          const other = run.contentHash !== undefined && run.contentHash !== contentHash;
          const why = refused[run.runId];
          return (
            <li key={run.runId} data-test="unfinished">
              <p>{unfinishedLine(run)}</p>
              {other && (
                <div class="remark" data-test="changed">
                  <p>
                    <strong>{WORDS.changedTitle}.</strong> {WORDS.otherText(run.revision)}
                  </p>
                  {why === undefined && <p>{WORDS.carryRule}</p>}
                  {why !== undefined && (
                    <p role="alert" data-test="carry-refused">
                      {WORDS.carryRefused} {why}
                    </p>
                  )}
                </div>
              )}
              <div class="row">
                {!other && (
                  <button type="button" class="plain strong" data-test="resume" onClick={() => void onResume(run.runId, person)}>
                    {WORDS.resume}
                  </button>
                )}
                {other && why === undefined && (
                  <button type="button" class="plain strong" data-test="carry-over" onClick={() => void onCarryOver(run.runId, person)}>
                    {WORDS.carryOver}
                  </button>
                )}
                {other && (
                  <button type="button" class="plain" data-test="stop-changed" onClick={() => void onStopChanged(run.runId)}>
                    {WORDS.changedStop}
                  </button>
                )}
                <button
                  type="button"
                  class="plain"
                  data-test="discard"
                  onClick={() => {
                    if (sure !== run.runId) setSure(run.runId);
                    else void onDiscard(run.runId);
                  }}
                >
                  {sure === run.runId ? WORDS.discardSure : WORDS.discard}
                </button>
              </div>
            </li>
          );
        })}
      </ul>
    </section>
  );
}

/** 'Asset TL-07, begun 25 Nov 2026, 09:30 by T-14, paused, 12 entries'. */
function unfinishedLine(run: UnfinishedRun): string {
  return sentence(
    [
      ...(run.asset ? [WORDS.assetFixed(run.asset)] : []),
      WORDS.begunAt(momentWords(run.startedAt)) + (run.person ? ` ${WORDS.byPerson(run.person)}` : ''),
      ...(run.paused ? [WORDS.pausedNow] : []),
      WORDS.entries(run.events),
    ].join(', '),
  );
}

/** Records that nobody else has yet: they stay until they are taken away on purpose. */
function FinishedRuns({ host, offer, onDiscard }: Pick<StartProps, 'host' | 'offer' | 'onDiscard'>) {
  const [sure, setSure] = useState<string>();
  const [told, setTold] = useState<string>();
  if (offer.finished.length === 0) return null;
  const save = (runId: string) =>
    host
      .finish(runId)
      .then((filed) => host.showRecord(filed))
      .then(setTold, (error: unknown) => setTold(error instanceof Error ? error.message : String(error)));
  return (
    <details class="finished" data-test="finished">
      <summary>{WORDS.finishedTitle(offer.finished.length)}</summary>
      <ul class="lines">
        {offer.finished.map((run) => (
          <li key={run.runId}>
            <p>{unfinishedLine(run)}</p>
            <div class="row">
              <button type="button" class="plain strong" data-test="save-finished" onClick={() => void save(run.runId)}>
                {WORDS.recordSave}
              </button>
              <button
                type="button"
                class="plain"
                onClick={() => {
                  if (sure !== run.runId) setSure(run.runId);
                  else void onDiscard(run.runId);
                }}
              >
                {sure === run.runId ? WORDS.removeSure : WORDS.remove}
              </button>
            </div>
          </li>
        ))}
      </ul>
      <p role="status" class="told">
        {told}
      </p>
    </details>
  );
}

const PERSON = 'faultwright-person';

function rememberedPerson(): string {
  try {
    return localStorage.getItem(PERSON) ?? '';
  } catch {
    return '';
  }
}

function rememberPerson(person: string): void {
  try {
    localStorage.setItem(PERSON, person);
  } catch {
    // It is typed again next time.
  }
}
