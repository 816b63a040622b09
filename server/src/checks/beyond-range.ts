import { compareRational } from '../quantity/rational.ts';
import { quantityWord } from '../quantity/quantity-words.ts';
import { allSteps, type Check, type CheckContext } from './check.ts';
import { words } from './edits.ts';
import { limitVerdicts } from './limit-verdicts.ts';
import { functionFor } from './limits-of.ts';
import { nameOf } from './walk-of.ts';

export const beyondRange: Check = {
  name: 'beyond-range',
  severity: 'error',
  group: 'quantities',
  proves: "Every limit can be read: it lies inside the range that the step sets and what the instrument reads, for every asset; and a proof of absence of voltage could show the whole of it.",
  why: "The needle stands at its stop, and the reading is written down all the same.",
  source: 'Common practice, no source',
  shop: `shop: Workshop
instruments:
  gauge: {title: Hydraulic gauge, measures: {pressure: {up_to: 250 bar, resolution: 5 bar, accuracy: 1 %}}}
  fine_gauge: {title: Fine hydraulic gauge, measures: {pressure: {up_to: 400 bar, resolution: 0.5 bar, accuracy: 0.5 %}}}
`,
  bad: `procedure: relief
title: Lift slow
steps:
  - step: pressure
    measure: pressure
    with: gauge
    results:
      - when: at least 280 bar
        passes: true
      - when: below 280 bar
        refer: Test the relief valve.
`,
  good: `procedure: relief
title: Lift slow
steps:
  - step: pressure
    measure: pressure
    with: fine_gauge
    results:
      - when: at least 280 bar
        passes: true
      - when: below 280 bar
        refer: Test the relief valve.
`,
  *run(context) {
    const told = new Set<number>();
    for (const { check, index, ...report } of context.once(limitVerdicts)) {
      if (check !== 'beyond-range') continue;
      told.add(index);
      yield report;
    }
    yield* proofsBeyondRange(context, told);
  },
};

/** A proof that a circuit is dead must be able to show that it is live: with its whole voltage, not only with the limit. */
function* proofsBeyondRange(context: CheckContext, told: ReadonlySet<number>) {
  for (const [index, step] of allSteps(context.procedure).entries()) {
    const circuit = step.provesDead && context.scope.circuits.get(step.provesDead.value)?.item;
    const nominal = circuit?.nominal?.value;
    const word = quantityWord(step.quantity?.value ?? '');
    if (told.has(index) || circuit === undefined || nominal?.unit?.dimension !== 'voltage' || (word !== 'dc_voltage' && word !== 'ac_voltage')) continue;
    const instrument = step.instrument && context.scope.instruments.get(step.instrument.value)?.item;
    const reads = instrument && functionFor(instrument, word)?.upTo?.value;
    const range = step.range?.value;
    const place = { step: nameOf(step), subject: circuit.name.value, note: `The circuit ${words(circuit.name.value)} has ${nominal.text}, which the proof must be able to show.` };
    if (range?.unit?.dimension === 'voltage' && compareRational(range.base, nominal.base) < 0) {
      yield { ...place, span: step.range?.span ?? step.span, message: `The range ${range.text} of '${nameOf(step)}' does not hold the voltage of its circuit.`, help: 'Set a range that holds the voltage of the circuit.' };
    } else if (instrument && step.instrument && reads?.unit?.dimension === 'voltage' && compareRational(reads.base, nominal.base) < 0 && isRatedHigher(instrument.category?.value)) {
      yield {
        ...place, span: step.instrument.span, message: `${instrument.title?.value ?? words(instrument.name.value)} reads up to ${reads.text}, less than the voltage of its circuit.`,
        help: 'Use an instrument that reads the voltage of the circuit.',
      };
    }

    /** Where its rating is too low as well, `instrument-category` says so. */
    function isRatedHigher(category: string | undefined): boolean {
      const rated = /(\d+)\s*V/u.exec(category ?? '')?.[1];
      return rated === undefined || nominal === undefined || Number(rated) * Number(nominal.base.denominator) >= Number(nominal.base.numerator);
    }
  }
}
