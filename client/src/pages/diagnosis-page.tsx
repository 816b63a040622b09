/**
 * The diagnosis beside the text: what the tests prove, what the order costs, and what would follow from other weights and times. All numbers are
 * worked out in this page, with the code that the command line uses; asks nothing of the network.
 */
import { render } from 'preact';
import { useEffect, useMemo, useState } from 'preact/hooks';
import { changedReport } from '../../../server/src/diagnosis/report.ts';
import type { WhatIf } from '../../../server/src/diagnosis/what-if.ts';
import type { DiagnosisOutcome } from '../../../server/src/features/diagnosis.ts';
import { DIAGNOSIS_CLOSING, diagnosisWords } from '../../../server/src/render/diagnosis-words.ts';
import { FaultFields, Matrix, Possible, TestFields } from './diagnosis/tables.tsx';
import { editorLink, type EditorLink } from './editor-link.ts';
import type { FoundProposal, FromDiagnosisPage, ToDiagnosisPage } from './messages.ts';

/** Places that the search may open while someone moves a slider. */
const PLACES = 5_000;
/** Wait after a change before the search begins, in ms. */
const AFTER_CHANGE = 80;

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
  const [settled, setSettled] = useState<WhatIf>(change);
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
      else setProposal(message);
    });
    post({ kind: 'ready' });
  }, [link]);

  useEffect(() => {
    const timer = setTimeout(() => setSettled(change), AFTER_CHANGE);
    if (shown) link.keep({ uri: shown.uri, change } satisfies Kept);
    return () => clearTimeout(timer);
  }, [change, shown]);

  const report = useMemo(() => shown && changedReport(shown.outcome.report, settled, { places: PLACES }), [shown, settled]);
  if (!shown || !report) return <main class="diagnosis"><p role="status">{trouble ?? 'The diagnosis is being worked out.'}</p></main>;

  const { outcome } = shown;
  const words = diagnosisWords({ ...outcome, report });
  const changes = Object.keys(change.weights ?? {}).length + Object.keys(change.minutes ?? {}).length;
  const { inspection, title } = report.procedure;
  const reveal = (step: string) => post({ kind: 'reveal', step });
  return (
    <main class="diagnosis">
      <h1>{title}</h1>
      <p class="trouble" role="status">{trouble}</p>
      <section aria-labelledby="order">
        <h2 id="order">Order</h2>
        {words.lines.length > 0 && (
          <table class="numbers">
            <thead><tr><td /><th scope="col">As written</th><th scope="col">Best found</th></tr></thead>
            <tbody>{words.lines.map((line) => (
              <tr key={line.label}><th scope="row">{line.label}</th><td>{line.written}</td><td>{line.best}</td></tr>
            ))}</tbody>
          </table>
        )}
        <div aria-live="polite">{words.verdict.map((sentence) => <p key={sentence}>{sentence}</p>)}</div>
        {!inspection && <ProposalPart proposal={proposal} changed={changes > 0} post={post} wait={() => setProposal({ kind: 'proposal', waiting: true, obstacles: [] })} />}
      </section>
      {words.records.length > 0 && (
        <section aria-labelledby="records">
          <h2 id="records">Records</h2>
          {words.records.map((sentence) => <p key={sentence}>{sentence}</p>)}
          <button type="button" onClick={() => setChange({ ...change, weights: Object.fromEntries((outcome.learned?.weights ?? []).map(({ fault, learned }) => [fault, Math.round(learned * 1000) / 10])) })}>
            Try the weights of the records
          </button>
        </section>
      )}
      {!inspection && (
        <section aria-labelledby="what-if">
          <div class="heading">
            <h2 id="what-if">What if</h2>
            {words.lines[0] && <p class="live number"><span class="quiet">As written</span> {words.lines[0].written} <span class="quiet">best found</span> {words.lines[0].best} <span class="quiet">minutes</span></p>}
            <button type="button" disabled={changes === 0} onClick={() => setChange({})}>{changes === 0 ? 'As written' : 'Back to what is written'}</button>
          </div>
          <p class="quiet">Change a weight or a time: the numbers follow. The text stays as it is.</p>
          <FaultFields report={report} written={outcome.report} learned={outcome.learned} onWeight={(fault, weight) => setChange(withWeight(change, outcome, fault, weight))} />
          <TestFields report={report} written={outcome.report} onReveal={reveal} onMinutes={(test, minutes) => setChange(withMinutes(change, outcome, test, minutes))} />
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

function ProposalPart({ proposal, changed, post, wait }: {
  readonly proposal: FoundProposal | undefined;
  readonly changed: boolean;
  readonly post: (message: FromDiagnosisPage) => void;
  readonly wait: () => void;
}) {
  const look = () => {
    wait();
    post({ kind: 'propose' });
  };
  if (!proposal) {
    return <p><button type="button" onClick={look}>Look for a better order as an edit</button>{changed && <span class="quiet"> It goes by the weights and times as written.</span>}</p>;
  }
  if (proposal.waiting) return <p role="status">The steps are being moved and checked again.</p>;
  const { moves, obstacles } = proposal;
  return (
    <div role="status">
      {moves ? (
        <>
          <p>Moving {moves.length === 1 ? 'one step' : `${moves.length} steps`} takes the order as written from {proposal.before?.toFixed(2)} to {proposal.minutes?.toFixed(2)} minutes. Texts and limits stay as they are, and every check stays as it was.</p>
          <ul>{moves.map(({ step, before }) => <li key={step}>{before === undefined ? `Move '${step}' behind the others.` : `Move '${step}' before '${before}'.`}</li>)}</ul>
          <p><button type="button" class="main" onClick={() => post({ kind: 'apply' })}>Show the edit</button></p>
        </>
      ) : <p>No better order can be had by moving steps.</p>}
      {obstacles.length > 0 && <ul>{obstacles.map((sentence) => <li key={sentence}>{sentence}</li>)}</ul>}
    </div>
  );
}

function withWeight(change: WhatIf, { report }: DiagnosisOutcome, fault: string, weight: number): WhatIf {
  return { ...change, weights: withEntry(change.weights, fault, weight, report.faults.find(({ name }) => name === fault)?.weight) };
}

function withMinutes(change: WhatIf, { report }: DiagnosisOutcome, test: string, minutes: number): WhatIf {
  return { ...change, minutes: withEntry(change.minutes, test, minutes, report.sheet.problem.tests.find(({ name }) => name === test)?.minutes) };
}

/** A value as written is no change. */
function withEntry(values: Readonly<Record<string, number>> = {}, name: string, value: number, written: number | undefined): Record<string, number> {
  const others = Object.entries(values).filter(([other]) => other !== name);
  return Object.fromEntries(value === written ? others : [...others, [name, value]]);
}
