import { expect, test } from 'vitest';
import { calleesOf, callersOf, callItemAt } from '../../server/src/features/calls.ts';
import type { Call } from '../../server/src/features/calls.ts';
import { fixture, placeName } from './fixture.ts';
import type { Fixture } from './fixture.ts';

const LIBRARY = `procedure: lift
title: Lift stays down
faults:
  chain: {title: Chain open, procedure: interlock}
steps:
  - step: rest
    run: bat$0tery
    results: [{when: otherwise, refer: x}]
  - step: again
    run: battery
    results: [{when: otherwise, refer: x}]
==> battery.procedure.yaml
procedure: battery
title: Condition of the battery
steps: [{step: look, do: Look at the lift.}]
==> interlock.procedure.yaml
procedure: interlock
steps: [{step: look, run: battery, results: [{when: otherwise, refer: x}]}]
==> elsewhere/shop.yaml
shop: Other shop
==> elsewhere/battery.procedure.yaml
procedure: battery
steps: [{step: look, do: x}]
==> elsewhere/round.procedure.yaml
procedure: round
steps: [{step: look, run: battery, results: [{when: otherwise, refer: x}]}]
`;

function shown(given: Fixture, calls: readonly Call[]): string[] {
  return calls.map(({ item, spans }) => `${item.name} ${placeName(given, item.file, item.nameSpan)} at ${spans.length}`);
}

test('the item at the cursor is the procedure that is named there, else the file\'s own', () => {
  const given = fixture(LIBRARY);
  expect(callItemAt(given.workspace, given.analysis, given.offset)).toMatchObject({ name: 'battery', title: 'Condition of the battery', file: '/depot/battery.procedure.yaml' });
  expect(callItemAt(given.workspace, given.analysis, 0)?.name).toBe('lift');
  const half = fixture('procedure: li$0');
  expect(callItemAt(half.workspace, half.analysis, half.offset)?.name).toBe('li');
});

test('what a procedure runs, by steps and by faults that go on elsewhere', () => {
  const given = fixture(LIBRARY);
  expect(shown(given, calleesOf(given.workspace, given.analysis))).toEqual(['interlock interlock.procedure.yaml:1 at 1', 'battery battery.procedure.yaml:1 at 2']);
});

test('what runs a procedure: of two with one name, each in its own shop', () => {
  const given = fixture(LIBRARY);
  const callers = (file: string): string[] => shown(given, callersOf(given.workspace, given.workspace.analyse(file)));
  expect(callers('/depot/battery.procedure.yaml')).toEqual(['interlock interlock.procedure.yaml:1 at 1', 'lift main.procedure.yaml:1 at 2']);
  expect(callers('/depot/elsewhere/battery.procedure.yaml')).toEqual(['round elsewhere/round.procedure.yaml:1 at 1']);
  expect(callers('/depot/main.procedure.yaml')).toEqual([]);
});
