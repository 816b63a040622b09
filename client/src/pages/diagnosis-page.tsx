/**
 * The diagnosis beside the text: the matrix, what the order costs, and what it would cost with other weights and times. The numbers are worked out
 * here, with the code that the command line uses; nothing is asked of anyone while a person moves a slider.
 */
import { render } from 'preact';
import { useEffect, useMemo, useState } from 'preact/hooks';
import { changedReport } from '../../../server/src/diagnosis/report.ts';
import type { BestOfSheet, WhatIf } from '../../../server/src/diagnosis/what-if.ts';
import type { DiagnosisOutcome } from '../../../server/src/features/diagnosis.ts';
import { DIAGNOSIS_CLOSING, diagnosisWords } from '../../../server/src/render/diagnosis-words.ts';
import { BestOrder } from './diagnosis/best-order.tsx';
import { ProposalPart } from './diagnosis/proposal.tsx';
import { FaultFields, Matrix, Possible, StepFields } from './diagnosis/tables.tsx';
import { editorLink } from './editor-link.ts';
import type { EditorLink } from './editor-link.ts';
import type { FoundProposal, FromDiagnosisPage, ToDiagnosisPage } from './messages.ts';

/** Work that the search may do while someone moves a slider, in places times tests, and the most places. */
const WORK = 60_000;
const PLACES = 5_000;
/** Wait after a change before the best order is looked for again, in ms; what the written order costs follows at once. */
const AFTER_CHANGE = 80;
/** The same where there are so many tests that the search would hold up the next move. */
const AFTER_CHANGE_OF_MANY = 500;
const MANY_TESTS = 60;

interface Kept {
  readonly uri?: string;
  readonly change?: WhatIf;
}

const link = editorLink();
const place = document.getElementById('page');
if (link && place) render(<DiagnosisPage link={link} />, place);

function DiagnosisPage({ link }: { readonly link: EditorLink }) {
  const kept = useMemo(() => (link.kept() ?? {}) as Kept, [link]);
  const [shown, setShown] = useState<{ readonly uri: string; readonly outcome: DiagnosisOutcome }>();
  const [change, setChange] = useState<WhatIf>(kept.change ?? {});
  const [best, setBest] = useState<{ readonly of: unknown; readonly change: WhatIf; readonly best: BestOfSheet }>();
  const [trouble, setTrouble] = useState<string>();
  const [proposal, setProposal] = useState<FoundProposal>();
  const post = (message: FromDiagnosisPage) => link.post(message);

  useEffect(() => {
    link.onMessage((raw) => {
      const message = raw as ToDiagnosisPage;
      if (message.kind === 'diagnosis') {
        setShown({ uri: message.uri, outcome: message.outcome as DiagnosisOutcome });
        setTrouble(undefined);
        setProposal(undefined);
      } else if (message.kind === 'trouble') setTrouble(message.text);
      else if (message.kind === 'shown') setProposal((found) => found && { ...found, shown: true });
      else setProposal(message);
    });
    post({ kind: 'ready' });
  }, [link]);

  useEffect(() => {
    if (!shown) return undefined;
    link.keep({ uri: shown.uri, change } satisfies Kept);
    const tests = shown.outcome.report.tests.length;
    const places = Math.min(PLACES, Math.round(WORK / Math.max(1, tests)));
    const wait = tests > MANY_TESTS ? AFTER_CHANGE_OF_MANY : AFTER_CHANGE;
    const timer = setTimeout(() => {
      setBest({ of: shown, change, best: changedReport(shown.outcome.report, change, { places }).numbers.best });
    }, best?.of === shown ? wait : 0);
    return () => clearTimeout(timer);
  }, [change, shown]);

  const fresh = best?.of === shown && best?.change === change;
  const report = useMemo(
    () => shown && changedReport(shown.outcome.report, change, { places: 0 }, best?.best ?? shown.outcome.report.numbers.best),
    [shown, change, best],
  );
  if (!shown || !report) return <main class="diagnosis"><p role="status">{trouble ?? 'The diagnosis is being worked out.'}</p></main>;

  const { outcome } = shown;
  const words = diagnosisWords({ ...outcome, report });
  const changes = Object.keys(change.weights ?? {}).length + Object.keys(change.minutes ?? {}).length;
  const { inspection, title, name, revision } = report.procedure;
  const reveal = (step: string) => post({ kind: 'reveal', step });
  const alter = (next: WhatIf) => {
    setChange(next);
    // It was found for other weights and times.
    setProposal(undefined);
  };
  const stale = fresh ? '' : 'is-stale';
  return (
    <main class="diagnosis">
      <h1>{title}</h1>
      <p class="quiet">{name}{revision ? `, revision ${revision}` : ''}</p>
      <p class="trouble" role="status">{trouble}</p>
      <section aria-labelledby="order">
        <h2 id="order">Order</h2>
        {words.lines.length > 0 && (
          <table class="numbers">
            <thead><tr><td /><th scope="col">As written</th><th scope="col">Best found</th></tr></thead>
            <tbody>{words.lines.map((line) => (
              <tr key={line.label}><th scope="row">{capital(line.label)}</th><td>{line.written}</td><td class={stale}>{line.best}</td></tr>
            ))}</tbody>
          </table>
        )}
        <div class={stale} aria-live="polite">{words.verdict.map((sentence) => <p key={sentence}>{sentence}</p>)}</div>
        {!inspection && (
          <ProposalPart
            outcome={{ ...outcome, report }} proposal={proposal} changed={changes > 0}
            look={() => {
              setProposal({ kind: 'proposal', waiting: true, obstacles: [] });
              post({ kind: 'propose', change });
            }}
            show={() => post({ kind: 'show' })}
            apply={() => post({ kind: 'apply' })}
          />
        )}
      </section>
      {words.records.length > 0 && (
        <section aria-labelledby="records">
          <h2 id="records">Records</h2>
          {words.records.map((sentence) => <p key={sentence}>{sentence}</p>)}
          <button type="button" onClick={() => alter({ ...change, weights: Object.fromEntries((outcome.learned?.weights ?? []).map(({ fault, learned }) => [fault, Math.round(learned * 1000) / 10])) })}>
            Try the weights of the records
          </button>
        </section>
      )}
      {!inspection && (
        <section aria-labelledby="what-if">
          <div class="heading">
            <h2 id="what-if">What if</h2>
            {words.lines[0] && (
              <p class="live number">
                <span class="quiet">As written</span> {words.lines[0].written} <span class="quiet">· best found</span> <span class={stale}>{words.lines[0].best}</span> <span class="quiet">minutes</span>
              </p>
            )}
            <button type="button" aria-disabled={changes === 0} onClick={() => alter({})}>Back to what is written</button>
          </div>
          <p class="quiet">Change a weight or a time, and the numbers follow. The text stays as it is.</p>
          <FaultFields report={report} written={outcome.report} learned={outcome.learned} onWeight={(fault, weight) => alter(withWeight(change, outcome, fault, weight))} />
          <StepFields report={report} written={outcome.report} onReveal={reveal} onMinutes={(step, minutes) => alter(withMinutes(change, outcome, step, minutes))} />
        </section>
      )}
      <section aria-labelledby="matrix">
        <h2 id="matrix">What each result says of each fault</h2>
        <Matrix report={report} onReveal={reveal} />
      </section>
      {report.possible.length > 0 && (
        <section aria-labelledby="possible">
          <h2 id="possible">Still possible on arrival</h2>
          <Possible report={report} onReveal={reveal} />
        </section>
      )}
      {!inspection && report.numbers.best.sound && (
        <section aria-labelledby="best">
          <h2 id="best">Best order found</h2>
          <BestOrder report={report} onReveal={reveal} />
        </section>
      )}
      {words.isolation.length > 0 && (
        <section aria-labelledby="isolation">
          <h2 id="isolation">How far the faults are told apart (IEEE 1522)</h2>
          {words.isolation.map((sentence) => <p key={sentence}>{sentence}</p>)}
        </section>
      )}
      <section aria-labelledby="assumed">
        <h2 id="assumed">Assumed</h2>
        <ul>{words.assumptions.map((sentence) => <li key={sentence}>{sentence}</li>)}</ul>
        <p class="quiet">{DIAGNOSIS_CLOSING}</p>
      </section>
    </main>
  );
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

function withWeight(change: WhatIf, { report }: DiagnosisOutcome, fault: string, weight: number): WhatIf {
  return { ...change, weights: withEntry(change.weights, fault, weight, report.faults.find(({ name }) => name === fault)?.weight) };
}

function withMinutes(change: WhatIf, { report }: DiagnosisOutcome, step: string, minutes: number): WhatIf {
  return { ...change, minutes: withEntry(change.minutes, step, minutes, report.numbers.steps.find((one) => one.step === step)?.minutes) };
}

/** A value as written is no change. */
function withEntry(values: Readonly<Record<string, number>> = {}, name: string, value: number, written: number | undefined): Record<string, number> {
  const others = Object.entries(values).filter(([other]) => other !== name);
  return Object.fromEntries(value === written ? others : [...others, [name, value]]);
}
