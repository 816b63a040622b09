/**
 * What a run makes of a step that is to prove a circuit dead: by the same rules as the checker (flow/isolation.ts), so that no run goes on from a proof
 * that the checker would not take for one. It judges no reading; judge.ts does.
 */
import { bandStaysWithin, flawOfProof, hazardousVolts, pointsLeftOpen, saysAlternating, type ProofFlaw, type ProofStep } from '../flow/isolation.ts';
import type { Band } from '../quantity/expression.ts';
import { compareRational, type Rational } from '../quantity/rational.ts';
import type { Reading } from '../quantity/select-band.ts';
import type { StepSheet } from './checklist-document.ts';
import { andList, uncapitalised } from './texts.ts';

function proofStepOf(sheet: StepSheet): ProofStep {
  return { quantity: sheet.measures?.word, points: sheet.points.map((point) => point.name), judge: sheet.judge, seeks: sheet.seek !== undefined };
}

/** Of the circuit that is to be proved dead; undefined where it does not say its voltage. */
function alternatingOf(sheet: StepSheet): boolean | undefined {
  const nominal = sheet.provesDead?.nominal;
  return nominal === undefined ? undefined : saysAlternating(nominal);
}

/** Why no reading at the step can prove the circuit dead; undefined where one can, and where none is to. */
function flawOf(sheet: StepSheet): ProofFlaw | undefined {
  return sheet.provesDead && flawOfProof(proofStepOf(sheet), alternatingOf(sheet));
}

/** What is to be known before the reading is taken: that it can prove nothing. Undefined where it can. */
export function proofWarning(sheet: StepSheet): string | undefined {
  const flaw = flawOf(sheet);
  if (flaw !== 'no voltage' && flaw !== 'other current') return undefined;
  const circuit = uncapitalised(sheet.provesDead?.title ?? '');
  const why = flaw === 'no voltage' ? 'Only a voltage can.' : `It is a circuit of ${alternatingOf(sheet) === true ? 'AC' : 'DC'}.`;
  return `${sheet.measures?.title ?? 'This reading'} cannot show that ${circuit} is dead. ${why} Do not go on as if it were dead, and tell who wrote the procedure.`;
}

/** What stands in the way of going on by a result as if the circuit were dead: a point that its band says nothing of is live. */
export function livePoints(sheet: StepSheet, band: Band | undefined, readings: ReadonlyMap<string, Reading>, title: (point: string) => string): string | undefined {
  if (sheet.provesDead === undefined || band === undefined) return undefined;
  const proof = proofStepOf(sheet);
  const limit = limitOf(sheet);
  if (!bandStaysWithin(band, limit)) return undefined;
  const live = pointsLeftOpen(proof, band).filter((point) => {
    const reading = readings.get(point);
    return reading !== undefined && (reading.kind !== 'number' || compareRational(reading.base, limit) > 0);
  });
  if (live.length === 0) return undefined;
  return `${andList(live.map(title))}: the reading shows voltage, and ${uncapitalised(sheet.provesDead.title)} is not proved dead. The procedure does not say what follows: stop, touch nothing, and tell who wrote it.`;
}

/** A search ends at the first point that meets it, and the others may be live. */
export function searchProvesNothing(sheet: StepSheet): string | undefined {
  return flawOf(sheet) === 'seeks'
    ? `One point without voltage does not show that ${uncapitalised(sheet.provesDead?.title ?? '')} is dead. Stop, touch nothing, and tell who wrote the procedure.`
    : undefined;
}

function limitOf(sheet: StepSheet): Rational {
  return hazardousVolts(alternatingOf(sheet) ?? sheet.measures?.word === 'ac_voltage');
}
