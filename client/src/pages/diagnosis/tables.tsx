/** The tables of the diagnosis page: faults and tests with fields to change, the matrix, and what is still possible where. */
import type { Cell, DiagnosisReport } from '../../../../server/src/diagnosis/report.ts';
import type { DiagnosisOutcome } from '../../../../server/src/features/diagnosis.ts';
import { number, percent, percentWithSpread } from '../../../../server/src/render/diagnosis-words.ts';

interface Tables {
  readonly report: DiagnosisReport;
}

interface Changed extends Tables {
  /** The report with the weights and times as written. */
  readonly written: DiagnosisReport;
}

export function FaultFields({ report, written, learned, onWeight }: Changed & {
  readonly learned: DiagnosisOutcome['learned'];
  readonly onWeight: (fault: string, weight: number) => void;
}) {
  const most = Math.max(10, ...written.faults.map(({ weight }) => weight)) * 2;
  return (
    <div class="wide">
      <table class="numbers">
        <thead><tr>
          <th scope="col" class="name">Fault</th><th scope="col">Weight</th><th scope="col"><span class="only-heard">Slider</span></th><th scope="col">Share</th>
          {learned && <th scope="col">Records say</th>}<th scope="col">Minutes</th><th scope="col">Found</th>
        </tr></thead>
        <tbody>{report.faults.map((fault, index) => {
          const cost = report.numbers.written.faults[index];
          const record = learned?.weights[index];
          const label = `Weight of ${fault.title}`;
          return (
            <tr key={fault.name} class={fault.weight === written.faults[index]?.weight ? '' : 'is-changed'}>
              <th scope="row">{fault.title}</th>
              <td><NumberField label={label} value={fault.weight} onValue={(value) => onWeight(fault.name, value)} /></td>
              <td><input type="range" min="0" max={most} step="1" value={Math.min(most, fault.weight)} aria-label={`${label}, slider`} onInput={(event) => onWeight(fault.name, Number(event.currentTarget.value))} /></td>
              <td>{percent(fault.share)}</td>
              {learned && <td>{record ? percentWithSpread(record.learned, record.spread) : ''}</td>}
              <td>{number(cost?.minutes ?? 0)}</td>
              <td>{percent(cost?.found ?? 0)}</td>
            </tr>
          );
        })}</tbody>
      </table>
    </div>
  );
}

export function TestFields({ report, written, onReveal, onMinutes }: Changed & {
  readonly onReveal: (step: string) => void;
  readonly onMinutes: (test: string, minutes: number) => void;
}) {
  return (
    <div class="wide">
      <table class="numbers">
        <thead><tr>
          <th scope="col" class="name">Test</th><th scope="col">Minutes</th><th scope="col">People</th><th scope="col">Reached</th><th scope="col">Bits</th><th scope="col">Bits a minute</th>
        </tr></thead>
        <tbody>{report.tests.map((test) => {
          const value = report.numbers.values.find((one) => one.test === test.name);
          const before = written.numbers.values.find((one) => one.test === test.name);
          return (
            <tr key={test.name} class={value?.minutes === before?.minutes ? '' : 'is-changed'}>
              <th scope="row"><StepLink step={test.name} onReveal={onReveal} />{test.keptFirst && <span class="quiet"> kept first</span>}{!test.timed && <span class="quiet"> no time given</span>}</th>
              <td><NumberField label={`Minutes of ${test.name}`} value={value?.minutes ?? 0} onValue={(minutes) => onMinutes(test.name, minutes)} /></td>
              <td>{test.people}</td>
              <td>{percent(value?.reached ?? 0)}</td>
              <td>{number(value?.bits ?? 0, 2)}</td>
              <td>{value?.bitsPerMinute === undefined ? '' : number(value.bitsPerMinute, 3)}</td>
            </tr>
          );
        })}</tbody>
      </table>
    </div>
  );
}

const MARKS: Readonly<Record<Cell, { readonly sign: string; readonly says: string }>> = {
  shows: { sign: '●', says: 'shows it' },
  possible: { sign: '○', says: 'leaves it possible' },
  excluded: { sign: '·', says: 'excludes it' },
  silent: { sign: '', says: 'says nothing of it' },
};

export function Matrix({ report, onReveal }: Tables & { readonly onReveal: (step: string) => void }) {
  return (
    <>
      <div class="wide" role="region" aria-label="Table of results and faults" tabIndex={0}>
        <table class="matrix">
          <thead><tr><td />{report.faults.map((fault) => <th scope="col" key={fault.name} title={fault.title}><span>{fault.name}</span></th>)}</tr></thead>
          {report.tests.map((test) => (
            <tbody key={test.name}>
              <tr class="test"><th scope="rowgroup" colSpan={report.faults.length + 1}><StepLink step={test.name} onReveal={onReveal} /></th></tr>
              {test.results.map((result, at) => (
                <tr key={at}>
                  <th scope="row">{result.when}</th>
                  {result.cells.map((cell, index) => (
                    <td key={index} class={cell} title={`${report.faults[index]?.title ?? ''}: ${MARKS[cell].says}`}><span aria-hidden="true">{MARKS[cell].sign}</span><span class="only-heard">{MARKS[cell].says}</span></td>
                  ))}
                </tr>
              ))}
            </tbody>
          ))}
        </table>
      </div>
      <p class="quiet">{Object.values(MARKS).map(({ sign, says }) => `${sign === '' ? 'blank' : sign} ${says}`).join(' · ')}</p>
    </>
  );
}

export function Possible({ report, onReveal }: Tables & { readonly onReveal: (step: string) => void }) {
  const all = report.faults.length;
  const names = (faults: readonly number[]): string =>
    faults.length === all ? `all ${all} faults` : faults.length === 0 ? 'none' : faults.map((index) => report.faults[index]?.name ?? '').join(', ');
  return (
    <div class="wide">
      <table>
        <thead><tr><th scope="col">Step</th><th scope="col">Faults that no walk to it has excluded</th></tr></thead>
        <tbody>{report.possible.map(({ step, sets, more }) => (
          <tr key={step}>
            <th scope="row"><StepLink step={step} onReveal={onReveal} /></th>
            <td>{sets.map(({ faults }) => names(faults)).join(' or ')}{more > 0 ? ` or ${more} more` : ''}</td>
          </tr>
        ))}</tbody>
      </table>
      {report.possibleIncomplete && <p>There are more walks than can be followed: not every set is shown.</p>}
    </div>
  );
}

function NumberField({ label, value, onValue }: { readonly label: string; readonly value: number; readonly onValue: (value: number) => void }) {
  return (
    <input
      type="number" min="0" step="any" inputMode="decimal" aria-label={label} value={Math.round(value * 100) / 100}
      onInput={(event) => {
        const typed = event.currentTarget.valueAsNumber;
        if (Number.isFinite(typed) && typed >= 0) onValue(typed);
      }}
    />
  );
}

function StepLink({ step, onReveal }: { readonly step: string; readonly onReveal: (step: string) => void }) {
  return <button type="button" class="step-link" title="Show in the text" onClick={() => onReveal(step)}>{step}</button>;
}
