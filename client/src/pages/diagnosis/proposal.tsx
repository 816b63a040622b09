/** A better order as an edit: the moves with what each spares, the list as it is and as it would be, and the way to the edit. */
import { useEffect, useRef } from 'preact/hooks';
import type { DiagnosisOutcome } from '../../../../server/src/features/diagnosis.ts';
import { diagnosisWords, stepsSideBySide } from '../../../../server/src/render/diagnosis-words.ts';
import type { FoundProposal } from '../messages.ts';

export function ProposalPart({ outcome, proposal, changed, look, show, apply }: {
  readonly outcome: DiagnosisOutcome;
  readonly proposal: FoundProposal | undefined;
  readonly changed: boolean;
  readonly look: () => void;
  readonly show: () => void;
  readonly apply: () => void;
}) {
  const part = useRef<HTMLDivElement>(null);
  const asked = useRef(false);
  // What had the focus goes when something else takes its place: whoever works by keyboard goes on from here.
  useEffect(() => {
    if (asked.current && document.activeElement === document.body) part.current?.focus();
    asked.current = proposal !== undefined;
  }, [proposal]);
  return <div ref={part} class="proposal-part" tabIndex={-1}>{contents()}</div>;

  function contents() {
    if (!proposal) {
      return (
        <p>
          <button type="button" data-test="look" onClick={look}>Look for a better order as an edit</button>
          {changed && <span class="quiet"> It goes by the weights and times as they are set below.</span>}
        </p>
      );
    }
    if (proposal.waiting) return <p role="status">The steps are being moved and checked again.</p>;
    if (proposal.failed !== undefined) {
      return (
        <p role="status">
          {proposal.failed} <button type="button" onClick={look}>Try again</button>
        </p>
      );
    }
    const found = proposal.proposal as DiagnosisOutcome['proposal'];
    const beyond = proposal.beyond as DiagnosisOutcome['beyond'];
    const words = diagnosisWords({
      report: outcome.report, byRecords: false, looked: true, obstacles: proposal.obstacles, ...(found ? { proposal: found } : {}), ...(beyond ? { beyond } : {}),
    });
    const [summary, ...moves] = words.moves;
    return (
      <div class="proposal" data-test="proposal">
        <div role="status">
          <h3>{found ? 'Proposal' : 'No better order can be had by moving steps.'}</h3>
          {summary && <p>{summary}</p>}
        </div>
        {moves.length > 0 && <ol>{moves.map((sentence) => <li key={sentence}>{sentence}</li>)}</ol>}
        {found && (
          <div class="wide" role="region" aria-label="Steps side by side" tabIndex={0}>
            <table class="side-by-side">
              <thead><tr><th scope="col">Step</th><th scope="col">As written</th><th scope="col">Proposed</th></tr></thead>
              <tbody>{stepsSideBySide(found).map(({ number, before, after, was, moved }) => (
                <tr key={number}>
                  <th scope="row">{number}</th>
                  <td>{before}</td>
                  <td class={moved ? 'is-moved' : ''}>{after}{moved && <span class="quiet"> was {was}</span>}</td>
                </tr>
              ))}</tbody>
            </table>
          </div>
        )}
        {found && (
          <p>
            <button type="button" class={proposal.shown ? '' : 'main'} data-test="show-edit" onClick={show}>Show the edit</button>{' '}
            {proposal.shown
              ? <button type="button" class="main" data-test="apply-edit" onClick={apply}>Apply the edit</button>
              : <span class="quiet">The text is changed only once you have seen the edit and apply it.</span>}
          </p>
        )}
        {words.obstacles.length > 0 && <ul>{words.obstacles.map((sentence) => <li key={sentence}>{sentence}</li>)}</ul>}
      </div>
    );
  }
}
