import { isHazardous } from '../flow/isolation.ts';
import { compareRational } from '../quantity/rational.ts';
import { parseQuantity } from '../quantity/parse-quantity.ts';
import { keptByText } from '../text/kept-by-text.ts';
import type { Check } from './check.ts';
import { words } from './edits.ts';
import { begunSteps, nameOf, placeOf } from './walk-of.ts';

export const instrumentCategory: Check = {
  name: 'instrument-category',
  severity: 'error',
  group: 'safety',
  proves: 'Every instrument is rated for the voltage and the measurement category of the circuit it is put on, and on a hazardous one it is named.',
  why: 'An instrument below its rating can arc over in the hand.',
  source: 'IEC 61010-031 and IEC 61010-2-030 (measurement categories; from memory)',
  shop: `shop: Workshop
instruments:
  small_meter: {title: Pocket meter, category: CAT II 300 V, measures: {ac_voltage: {up_to: 600 V}}}
  good_meter: {title: Multimeter, category: CAT III 600 V, measures: {ac_voltage: {up_to: 600 V}}}
`,
  bad: `procedure: mains
title: No mains at the compressor
qualified: electrical
circuits:
  mains: {nominal: 400 V AC, category: CAT III}
steps:
  - step: phase
    measure: ac_voltage
    circuit: mains
    cautions: [mains_voltage]
    with: small_meter
    results:
      - when: at least 380 V
        refer: Test the motor.
      - when: below 380 V
        refer: Test the supply.
`,
  good: `procedure: mains
title: No mains at the compressor
qualified: electrical
circuits:
  mains: {nominal: 400 V AC, category: CAT III}
steps:
  - step: phase
    measure: ac_voltage
    circuit: mains
    cautions: [mains_voltage]
    with: good_meter
    results:
      - when: at least 380 V
        refer: Test the motor.
      - when: below 380 V
        refer: Test the supply.
`,
  *run(context) {
    for (const { step } of begunSteps(context)) {
      const named = step.circuit ?? step.provesDead;
      const circuit = named && context.scope.circuits.get(named.value)?.item;
      const instrument = step.instrument && context.scope.instruments.get(step.instrument.value)?.item;
      if (circuit && step.instrument === undefined && step.kind === 'measure' && isHazardous(circuit) && READ_LIVE.includes(step.quantity?.value ?? '')) {
        yield {
          span: step.quantity?.span ?? placeOf(step),
          step: nameOf(step),
          subject: circuit.name.value,
          message: `'${nameOf(step)}' reads on ${words(circuit.name.value)} (${circuit.nominal?.value.text ?? ''}), and nothing says with what.`,
          help: `Name the instrument, as \`with: voltage_tester\`${circuit.category ? `: it must be of ${circuit.category.value}` : ''}.`,
        };
        continue;
      }
      if (!circuit || !instrument) continue;
      const base = { span: step.instrument?.span ?? placeOf(step), step: nameOf(step), subject: instrument.name.value };
      const title = instrument.title?.value ?? words(instrument.name.value);
      if (instrument.category === undefined && circuit.category && isHazardous(circuit) && READ_LIVE.includes(step.quantity?.value ?? '')) {
        yield {
          ...base,
          message: `${title} has no measurement category, and ${words(circuit.name.value)} (${circuit.nominal?.value.text ?? ''}) asks for ${circuit.category.value}.`,
          help: 'Write the category that is printed on the instrument, as `category: CAT III 600 V`, or use one that has it.',
        };
        continue;
      }
      const rating = instrument.category && readCategory(instrument.category.value);
      if (!rating) continue;
      const nominal = circuit.nominal?.value;
      if (rating.volts && nominal?.unit && compareRational(nominal.base, rating.volts) > 0) {
        yield {
          ...base,
          message: `${title} is rated for ${instrument.category?.value ?? ''}, and ${words(circuit.name.value)} is ${nominal.text}.`,
          help: 'Use an instrument rated for at least the voltage of the circuit.',
        };
        continue;
      }
      const wanted = circuit.category && readCategory(circuit.category.value);
      if (wanted && wanted.category > rating.category) {
        yield {
          ...base,
          message: `${title} is ${instrument.category?.value ?? ''}, and ${words(circuit.name.value)} asks for ${circuit.category?.value ?? ''}.`,
          help: 'Use an instrument of at least that measurement category.',
        };
      }
    }
  },
};

/** What is read on a live circuit, or may turn out to be. */
const READ_LIVE = ['ac_voltage', 'dc_voltage', 'ac_current', 'dc_current', 'frequency', 'power', 'duty_cycle'];

const ROMAN = ['', 'I', 'II', 'III', 'IV'];

const readCategory = keptByText((text) => {
  const match = /CAT\s*(IV|III|II|I)\b\s*(.*)$/iu.exec(text);
  if (!match) return undefined;
  const rated = match[2] ? parseQuantity(match[2]).quantity : undefined;
  return { category: ROMAN.indexOf((match[1] ?? '').toUpperCase()), volts: rated?.unit ? rated.base : undefined };
});
