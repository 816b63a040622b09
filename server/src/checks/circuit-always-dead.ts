import type { Circuit } from '../procedure/model.ts';
import type { Check, CheckContext } from './check.ts';
import { words } from './edits.ts';

export const circuitAlwaysDead: Check = {
  name: 'circuit-always-dead',
  severity: 'error',
  group: 'safety',
  proves: 'Every circuit that some states make dead is not dead in others.',
  why: 'A circuit that counts as dead whatever is switched lets an ohm test on live conductors pass.',
  source: 'Common practice, no source: a circuit is dead because of what was switched, pulled or removed',
  bad: `procedure: fan
title: Cab fan weak
circuits:
  fan_line: {nominal: 24 V, dead_when: {isolator: [on, off]}}
steps:
  - step: motor
    measure: resistance
    circuit: fan_line
    results:
      - when: at most 5 ohm
        passes: true
      - when: above 5 ohm
        refer: Replace the fan motor.
`,
  good: `procedure: fan
title: Cab fan weak
circuits:
  fan_line: {nominal: 24 V, dead_when: {isolator: off}}
steps:
  - step: switch_off
    do: [Turn the isolator off.]
    sets: {isolator: off}
  - step: motor
    measure: resistance
    circuit: fan_line
    results:
      - when: at most 5 ohm
        passes: true
      - when: above 5 ohm
        refer: Replace the fan motor.
`,
  *run(context) {
    const { program, procedure } = context;
    for (const circuit of procedure.circuits) {
      const known = program.circuits.find(({ name }) => name === circuit.name.value);
      const isEmpty = circuit.deadWhen?.some((alternative) => alternative.length === 0) === true;
      // An alternative of which a condition could not be read has been told.
      if (known?.unclear !== 'always dead' || (isEmpty && !saysNothing(context, circuit))) continue;
      const name = circuit.name.value;
      yield {
        span: circuit.name.span,
        subject: name,
        message: `By its \`dead_when\` the circuit ${words(name)} is dead whatever is done.`,
        note: isEmpty ? 'It names no state.' : 'It takes in every value of its states.',
        help: 'Name only the values that make it dead, as `dead_when: {isolator: off}`. Leave `dead_when` out where nothing does.',
      };
    }
  },
};

/** Whether an alternative is written without a condition. */
function saysNothing({ text }: CheckContext, circuit: Circuit): boolean {
  const written = text.slice(circuit.span.start, circuit.span.end);
  return /\bdead_when['"]?:\s*(?:\[[^\]]*)?(?:-[^:]*)?\{\s*\}/u.test(written);
}
