/** The tables of the diagnosis page: faults and tests with fields to change, the matrix, and what is still possible where. */
import type { Cell, DiagnosisReport } from '../../../../server/src/diagnosis/report.ts';
import type { DiagnosisOutcome } from '../../../../server/src/features/diagnosis.ts';
import { number, percent, percentWithSpread, stepRows, STEP_ROWS_NOTE } from '../../../../server/src/render/diagnosis-words.ts';

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
          <th scope="col" class="name">Fault</th><th scope="col">Weight</th><th scope="col">Share</th>
          {learned && <th scope="col">Records say</th>}<th scope="col">Minutes</th><th scope="col">Found</th>
        </tr></thead>
        <tbody>{report.faults.map((fault, index) => {
          const cost = report.numbers.written.faults[index];
          const record = learned?.weights[index];
          const label = `Weight of ${fault.title}`;
          return (
            <tr key={fault.name} class={fault.weight === written.faults[index]?.weight ? '' : 'is-changed'}>
              <th scope="row">{fault.title}</th>
              <td class="weight">
                <NumberField label={label} value={fault.weight} onValue={(value) => onWeight(fault.name, value)} />
                <input type="range" min="0" max={most} step="1" value={Math.min(most, fault.weight)} aria-label={`${label}, slider`} onInput={(event) => onWeight(fault.name, Number(event.currentTarget.value))} />
              </td>
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

export function StepFields({ report, written, onReveal, onMinutes }: Changed & {
  readonly onReveal: (step: string) => void;
  readonly onMinutes: (step: string, minutes: number) => void;
}) {
  const before = new Map(written.numbers.steps.map(({ step, minutes }) => [step, minutes]));
  return (
    <>
      <div class="wide">
        <table class="numbers">
          <thead><tr>
            <th scope="col" class="name">Step</th><th scope="col">Minutes</th><th scope="col">People</th><th scope="col">Reached</th><th scope="col">Bits</th><th scope="col">Bits a minute</th>
          </tr></thead>
          <tbody>{stepRows(report).map((row) => (
            <tr key={row.name} class={row.minutes === before.get(row.name) ? '' : 'is-changed'}>
              <th scope="row"><StepLink step={row.name} onReveal={onReveal} />{row.keptFirst && <span class="quiet"> kept first</span>}{!row.timed && <span class="quiet"> no time given</span>}</th>
              <td><NumberField label={`Minutes of ${row.name}`} value={row.minutes} onValue={(minutes) => onMinutes(row.name, minutes)} /></td>
              <td>{row.people}</td>
              <td>{percent(row.reached)}</td>
              <td>{row.bits === undefined ? '' : number(row.bits, 2)}</td>
              <td>{row.bitsPerMinute === undefined ? '' : number(row.bitsPerMinute, 3)}</td>
            </tr>
          ))}</tbody>
        </table>
      </div>
      <p class="quiet">{STEP_ROWS_NOTE}</p>
    </>
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
      <ul class="legend">{Object.values(MARKS).map(({ sign, says }) => <li key={says}><b>{sign === '' ? 'blank' : sign}</b> {says}</li>)}</ul>
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
