import { expect, test } from 'vitest';
import { COMPUTATIONS } from '../../server/src/quantity/computations.ts';
import { signatureAt } from '../../server/src/features/signature.ts';
import { DEPOT, fixture } from './fixture.ts';

/** The label with the parameter at the cursor in ‹›, and what is said of that parameter. */
function check(line: string, label: string | RegExp | undefined, says?: string): void {
  const { analysis, offset } = fixture(`procedure: lift
circuits:
  feed: {nominal: 24 V}
steps:
  - step: rest
    measure: dc_voltage
    circuit: feed
    with: multimeter
    results:
      - when: ${line}
==> other.procedure.yaml
procedure: other
${DEPOT}`);
  const found = signatureAt(analysis, offset);
  const active = found?.parameters[found.active];
  const shown = found && active ? `${found.label.slice(0, active.start)}‹${found.label.slice(active.start, active.end)}›${found.label.slice(active.end)}` : found?.label;
  if (label instanceof RegExp) expect(shown).toMatch(label);
  else expect(shown).toBe(label);
  if (says !== undefined) expect(active?.says).toBe(says);
}

test('the limit of a comparison: its kind and units, what the instrument reads, the nominal value', () => {
  check('at least $0', 'at least ‹LIMIT›',
    'A DC voltage, in V, mV or kV; or an expression over readings, facts and values of the shop. Digital multimeter reads up to 600 V and shows 0.01 V. The circuit is nominally 24 V.');
  check('above 1 V and below 1$0', 'below ‹LIMIT›');
  check('>= $0', 'at least ‹LIMIT›');
});

test('both limits of between, one after the other', () => {
  check('between $0', 'between ‹LOW› and HIGH');
  check('between 12 V and $0', 'between LOW and ‹HIGH›');
  check('between 12 V and 13 V and $0', undefined);
});

test('a computation: parameters with units, the result, what may be left out', () => {
  check('at least state_of_charge($0', /^state_of_charge\(‹voltage›, \[temperature\].* → %$/, 'Voltage at rest, without load, in V, mV or kV.');
  check('at least state_of_charge(full_rest, $0)', /^state_of_charge\(voltage, ‹\[temperature\]›.* → %$/,
    'Temperature of the electrolyte, in °C or °F. May be left out: then 25 °C is taken.');
});

test('the innermost call that is open, and none once it is closed', () => {
  check('at least max(1 V, min(2 V, $0', 'min(‹quantity›, …)');
  check('at least max(min(1 V, 2 V), $0', 'max(‹quantity›, …)');
  check('at least max(1 V, 2 V)$0', 'at least ‹LIMIT›');
});

test('its range and its source stand beside it', () => {
  const { analysis, offset } = fixture('procedure: lift\nsteps:\n  - step: a\n    decide: state_of_charge($0\n');
  expect(signatureAt(analysis, offset)?.says).toMatch(/^State of charge of a 12 V flooded.*, in %\.\n\nRange: 10\.5 V to 13\.2 V.*\n\n\*Source: US Army TM 5-3805-262-20/s);
});

test('every computation of the catalogue has one, with each parameter in its label', () => {
  for (const computation of COMPUTATIONS) {
    const { analysis, offset } = fixture(`procedure: lift\nsteps:\n  - step: a\n    decide: ${computation.name}($0\n`);
    const found = signatureAt(analysis, offset);
    expect(found?.parameters.map(({ start, end }) => found.label.slice(start, end).replace(/[[\]]/g, ''))).toEqual(computation.parameters.map(({ name }) => name));
  }
});

test('nothing outside expressions, in an answer, or where the band has ended', () => {
  check('$0', undefined);
  check('at le$0', undefined);
  const ask = fixture('procedure: lift\nsteps:\n  - step: a\n    ask: Is it?\n    results:\n      - when: at least $0\n');
  expect(signatureAt(ask.analysis, ask.offset)).toBeUndefined();
  const prose = fixture('procedure: lift\nsteps:\n  - step: a\n    do: Press max($0\n');
  expect(signatureAt(prose.analysis, prose.offset)).toBeUndefined();
});
