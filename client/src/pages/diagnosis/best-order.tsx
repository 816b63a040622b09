/** The best order found as a tree: test, result, what follows. It is long, so that it opens when it is wanted. */
import { useState } from 'preact/hooks';
import type { OrderTree } from '../../../../server/src/diagnosis/best-order.ts';
import type { DiagnosisReport } from '../../../../server/src/diagnosis/report.ts';
import { number, percent } from '../../../../server/src/render/diagnosis-words.ts';

export function BestOrder({ report, onReveal }: { readonly report: DiagnosisReport; readonly onReveal: (step: string) => void }) {
  const [open, setOpen] = useState(false);
  return (
    <details onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>Test by test, with what follows each result</summary>
      {open && <div class="wide tree" role="region" aria-label="Best order found" tabIndex={0}><Branch report={report} tree={report.numbers.best.tree} onReveal={onReveal} /></div>}
    </details>
  );
}

function Branch({ report, tree, onReveal }: { readonly report: DiagnosisReport; readonly tree: OrderTree; readonly onReveal: (step: string) => void }) {
  if (tree.kind === 'leaf') return <span>{tree.possible.map((fault) => report.faults[fault]?.title ?? '').join(' or ')}</span>;
  const test = report.sheet.problem.tests[tree.test];
  const name = test?.name ?? '';
  // A repair that is tried is no step of the text.
  const isStep = report.tests.some((one) => one.name === name);
  return (
    <>
      {isStep ? <button type="button" class="step-link" title="Show in the text" onClick={() => onReveal(name)}>{name}</button> : <b>{name}</b>} <span class="quiet">{number(tree.minutes)} min</span>
      <ul>{tree.branches.map((branch) => (
        <li key={branch.outcome}>{test?.outcomes[branch.outcome]?.label ?? ''} <span class="quiet">{percent(branch.probability)}:</span> <Branch report={report} tree={branch.tree} onReveal={onReveal} /></li>
      ))}</ul>
    </>
  );
}
