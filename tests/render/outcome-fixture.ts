/** A check outcome made by hand, so that outputs of findings are judged apart from the checks that find them. */
import type { Finding } from '../../server/src/findings/finding.ts';
import type { CheckOutcome } from '../../server/src/render/check-outcome.ts';
import { LineIndex } from '../../server/src/text/line-index.ts';

export const LIFT = `procedure: tail_lift_no_raise
title: Tail lift platform does not rise
steps:
  - step: listen
    ask: What do you hear?
    results:
      - {when: silent, go: coil}
  - step: coil
    measure: resistance
    circuit: lift_control
    results:
      - when: between 18 ohm and 26 ohm
`;

export const SHOP = `shop: Brackwater depot
states:
  isolator: {values: [on, off], at_start: on}
`;

/** The span of the first `part` in `text`. */
export function spanOf(text: string, part: string): { start: number; end: number } {
  const start = text.indexOf(part);
  if (start < 0) throw new Error(`The fixture does not hold '${part}'.`);
  return { start, end: start + part.length };
}

export function outcomeOf(findings: readonly Finding[], texts: Readonly<Record<string, string>> = {}): CheckOutcome {
  const all: Record<string, string> = { '/depot/lift.procedure.yaml': LIFT, '/depot/shop.yaml': SHOP, ...texts };
  return {
    findings,
    files: 2,
    milliseconds: 12,
    source: (file) => (all[file] === undefined ? undefined : { text: all[file], lines: new LineIndex(all[file]) }),
    shownPath: (file) => file.replace(/^\/depot\//, ''),
  };
}

const file = '/depot/lift.procedure.yaml';

/** One of each: an error with all its parts, a warning, a hint, an accepted deviation. */
export const FINDINGS: readonly Finding[] = [
  {
    check: 'live-resistance-test',
    severity: 'error',
    file,
    span: spanOf(LIFT, 'measure: resistance'),
    message: "Step 'coil' reads resistance while circuit 'lift_control' can be live.",
    note: 'Nothing turned the isolator off on the way here. A meter set to ohms is damaged by voltage and reads nonsense.',
    help: "Insert a step before 'coil' that turns the isolator off and locks it.",
    witness: [
      { step: 'listen', result: 'silent', place: { file, span: spanOf(LIFT, 'listen') } },
      { step: 'coil', place: { file, span: spanOf(LIFT, 'step: coil') } },
    ],
    related: [{ file: '/depot/shop.yaml', span: spanOf(SHOP, 'at_start: on'), message: "'isolator' is on at the start" }],
    fixes: [{
      title: 'Insert the step that turns the isolator off',
      edits: [{ file, span: { start: LIFT.indexOf('  - step: coil'), end: LIFT.indexOf('  - step: coil') }, newText: '  - step: isolate\n' }],
      altersMeaning: true,
    }],
    step: 'coil',
  },
  { check: 'dead-end', severity: 'warning', file, span: spanOf(LIFT, 'when: between 18 ohm and 26 ohm'), message: 'This result leads nowhere.', step: 'coil' },
  { check: 'vague-word', severity: 'hint', file, span: spanOf(LIFT, 'What do you hear?'), message: "'hear' says little.", help: 'Name the sounds to tell apart.' },
  {
    check: 'long-instruction', severity: 'hint', file, span: spanOf(LIFT, 'Tail lift platform does not rise'), message: 'Too long.', step: 'listen',
    accepted: { because: "The phrase is the maker's own.", by: 'Reviewer B' },
  },
];
