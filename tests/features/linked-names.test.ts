import { expect, test } from 'vitest';
import { linkedNamesAt } from '../../server/src/features/linked-names.ts';
import { highlightsAt } from '../../server/src/features/references.ts';
import { asMarked, DEPOT, fixture, marksIn } from './fixture.ts';

/** The linked places are exactly the marked ones; none are marked where nothing is linked. */
function checkLinked(text: string): void {
  const given = fixture(text + DEPOT);
  const spans = linkedNamesAt(given.workspace, given.analysis, given.offset) ?? [];
  expect(spans.map((span) => asMarked(given, span))).toEqual(marksIn(given));
}

function checkHighlights(text: string): void {
  const given = fixture(text + DEPOT);
  const spans = highlightsAt(given.workspace, given.analysis, given.offset).map(({ span }) => span).sort((a, b) => a.start - b.start);
  expect(spans.map((span) => asMarked(given, span))).toEqual(marksIn(given));
}

const STEPS = `procedure: lift
steps:
  - step: sup$0ply
    #     ^^^^^^
    measure: dc_voltage
  - step: drop
    decide: supply - 1 V
    #       ^^^^^^
    results:
      - when: below full_rest
        go: supply
        #   ^^^^^^
      - when: otherwise
        refer: The supply is {supply}.
        #                     ^^^^^^
`;

test('a step is linked with its readings in expressions and texts', () => checkLinked(STEPS));

test('the same places are marked while the cursor is on one', () => {
  checkHighlights(STEPS);
  checkHighlights(`procedure: lift
steps:
  - step: one
    needs: {isolator: o$0n}
    #                 ^^
    sets: {isolator: off}
  - step: two
    needs: {isolator: [off, on]}
    #                       ^^
`);
});

test('where a step is gone to, another name is another way: nothing is linked', () =>
  checkLinked('procedure: lift\nsteps:\n  - step: one\n    do: x\n    go: t$0wo\n  - step: two\n    do: y\n    go: one\n'));

test('half-typed: a name that is just being changed, in a list that is not closed', () =>
  checkLinked(`procedure: lift
faults:
  lamp_fai$0: {title: Lamp failed}
# ^^^^^^^^
steps:
  - step: look
    ask: Dark?
    results:
      - when: yes
        rules_out: [lamp_fai,
        #           ^^^^^^^^
`));

test('not what another file uses, nor what two declare, nor a name of the shop', () => {
  checkLinked(`${STEPS.replace(/ *# *\^+\n/g, '')}==> other.procedure.yaml
procedure: other
steps:
  - step: run_it
    run: lift
  - step: judge_it
    decide: run_it.supply
    results: [{when: otherwise, refer: x}]
`);
  checkLinked('procedure: lift\nsteps:\n  - step: o$0ne\n    do: x\n    go: one\n  - step: one\n    do: y\n');
  checkLinked('procedure: lift\nsteps:\n  - step: one\n    do: x\n    needs: {iso$0lator: on}\n    sets: {isolator: off}\n');
});
