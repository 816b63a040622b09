import { hazardousVolts, isHazardous, voltageExpected } from '../flow/isolation.ts';
import type { Circuit, Step } from '../procedure/model.ts';
import { findQuantitiesInProse } from '../quantity/prose-quantities.ts';
import { quantityPhrase, quantityWord } from '../quantity/quantity-words.ts';
import { absRational, compareRational } from '../quantity/rational.ts';
import { NEEDS_DEAD, NEEDS_LIVE } from './circuit-tests.ts';
import { allSteps, type Check, type CheckContext } from './check.ts';
import { words } from './edits.ts';
import { begunSteps, nameOf, placeOf } from './walk-of.ts';

export const circuitNotNamed: Check = {
  name: 'circuit-not-named',
  severity: 'error',
  group: 'safety',
  proves: 'Where a hazardous voltage is at hand, every electrical reading names its circuit; a resistance does wherever circuits are declared.',
  why: 'Of a reading on an unnamed circuit nothing can be told: neither whether it is dead nor what the instrument must stand.',
  source: '29 CFR 1910.333(b)(2)(iv)(B) (from memory); class B voltage of ISO 6469-3 and UN R100 (from memory)',
  shop: `shop: Workshop
instruments:
  tester: {title: Voltage tester, category: CAT III 1000 V, measures: {ac_voltage: {up_to: 1000 V}}}
`,
  bad: `procedure: phases
title: Workshop fan does not start
qualified: electrical
steps:
  - step: phases
    measure: ac_voltage
    with: tester
    at: {red: isolator L1, black: isolator L2}
    cautions: [mains_voltage]
    results:
      - when: at least 360 V
        refer: Test the motor.
      - when: below 360 V
        refer: Test the supply.
`,
  good: `procedure: phases
title: Workshop fan does not start
qualified: electrical
circuits:
  supply: {nominal: 400 V AC, category: CAT III, dead_when: {isolator: off}}
steps:
  - step: phases
    measure: ac_voltage
    circuit: supply
    with: tester
    at: {red: isolator L1, black: isolator L2}
    cautions: [mains_voltage]
    results:
      - when: at least 360 V
        refer: Test the motor.
      - when: below 360 V
        refer: Test the supply.
`,
  texts: (_, { step }) => hazardousVoltageSaid(step) ?? '',
  *run(context) {
    for (const { step, signs } of readingsWithoutCircuit(context)) {
      if (signs === undefined) continue;
      const word = quantityWord(step.quantity?.value ?? '');
      yield {
        span: step.quantity?.span ?? placeOf(step),
        step: nameOf(step),
        message: `'${nameOf(step)}' reads ${word ? quantityPhrase(word) : 'a quantity'} and names no circuit.`,
        note: signs,
        help: helpFor(context),
      };
    }
  },
};

function helpFor({ procedure }: CheckContext): string {
  const [first] = procedure.circuits;
  if (first === undefined) return 'Declare it, as `circuits: {supply: {nominal: 400 V AC, dead_when: {isolator: off}}}`, and name it at the step: `circuit: supply`.';
  return `Name it, as \`circuit: ${first.name.value}\`. A part on the bench is a circuit of its own: its \`dead_when\` says that it lies there.`;
}

export interface ReadingWithoutCircuit {
  readonly step: Step;
  /** Why that is dangerous, in a sentence; undefined where nothing points to it. */
  readonly signs: string | undefined;
}

/** The electrical readings that are taken on some walk and name no circuit. */
export function readingsWithoutCircuit(context: CheckContext): ReadingWithoutCircuit[] {
  return begunSteps(context).flatMap(({ step }): ReadingWithoutCircuit[] => {
    const word = step.quantity?.value ?? '';
    if (step.kind !== 'measure' || step.circuit !== undefined || step.provesDead !== undefined) return [];
    if (!NEEDS_DEAD.has(word) && !NEEDS_LIVE.has(word)) return [];
    return [{ step, signs: signsOf(context, step) }];
  });
}

function signsOf(context: CheckContext, step: Step): string | undefined {
  const { procedure } = context;
  const own = hazardousVoltageIn(step);
  if (own !== undefined) return `It speaks of ${own}, which is a hazardous voltage.`;
  const circuit = context.once(hazardousCircuits)[0];
  if (circuit) return `The procedure works on ${words(circuit.name.value)} (${circuit.nominal?.value.text ?? ''}).`;
  const other = context.once(hazardousSteps)[0];
  if (other) return `'${nameOf(other.step)}' speaks of ${other.voltage}, which is a hazardous voltage.`;
  return NEEDS_DEAD.has(step.quantity?.value ?? '') && procedure.circuits.length > 0 ? 'It must be read on a dead circuit, and nothing tells whether this one is.' : undefined;
}

/** Circuits of hazardous voltage that the procedure declares or that a step of it names. */
function hazardousCircuits({ program, scope }: CheckContext): Circuit[] {
  return program.circuits.flatMap(({ name }) => {
    const circuit = scope.circuits.get(name)?.item;
    return circuit && isHazardous(circuit) ? [circuit] : [];
  });
}

function hazardousSteps({ procedure }: CheckContext): { readonly step: Step; readonly voltage: string }[] {
  return allSteps(procedure).flatMap((step) => {
    // A step with a circuit of known voltage has been told by it.
    const voltage = step.circuit === undefined && step.provesDead === undefined ? hazardousVoltageIn(step) : undefined;
    return voltage === undefined ? [] : [{ step, voltage }];
  });
}

/** A hazardous voltage that a step expects in its limits or range, or names in its texts. */
function hazardousVoltageIn(step: Step): string | undefined {
  const expected = voltageExpected(step);
  return expected && compareRational(expected.volts, hazardousVolts(expected.alternating)) > 0 ? expected.text : hazardousVoltageSaid(step);
}

/** A hazardous voltage in the texts and places of a reading. */
export function hazardousVoltageSaid(step: Step): string | undefined {
  // The voltage of an insulation tester is its own.
  if (step.kind !== 'measure' || step.quantity?.value === 'insulation_resistance') return undefined;
  const places = [...step.at, ...step.atEach.flatMap((point) => point.at)].map(({ place }) => place.value);
  const titles = step.atEach.flatMap((point) => (point.title ? [point.title.value] : []));
  for (const text of [step.title?.value, step.text?.value, ...places, ...titles]) {
    for (const { quantity, span } of findQuantitiesInProse(text ?? '')) {
      if (quantity.unit?.dimension !== 'voltage') continue;
      const alternating = quantity.unit.supply === 'ac' || step.quantity?.value === 'ac_voltage' || /^\s*(AC|~)/u.test((text ?? '').slice(span.end));
      if (compareRational(absRational(quantity.base), hazardousVolts(alternating)) > 0) return quantity.text;
    }
  }
  return undefined;
}
