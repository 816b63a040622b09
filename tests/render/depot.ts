/** Procedures for the tests of drawings and checklists, made as the product makes them: texts → workspace → analysis. */
import { readdirSync, readFileSync } from 'node:fs';
import { Workspace } from '../../server/src/analysis/workspace.ts';
import type { Analysis } from '../../server/src/analysis/analysis.ts';
import { possibleAtSteps } from '../../server/src/features/diagnosis-possible.ts';
import { flowDrawing } from '../../server/src/render/flow-drawing.ts';
import type { FlowDrawing } from '../../server/src/render/flow-drawing.ts';
import { buildChecklist } from '../../server/src/run/checklist.ts';
import type { ChecklistDocument } from '../../server/src/run/checklist.ts';

const LIBRARY = new URL('../../procedures/', import.meta.url);

/** Names of the procedures of the demo library. */
export const LIBRARY_NAMES = readdirSync(LIBRARY).filter((name) => name.endsWith('.procedure.yaml')).map((name) => name.replace('.procedure.yaml', '')).sort();

const library = new Workspace();
for (const name of readdirSync(LIBRARY)) {
  if (name.endsWith('.yaml')) library.setFile(`/library/${name}`, readFileSync(new URL(name, LIBRARY), 'utf8'));
}

/** With `faults`, the steps say which are still possible. */
export function libraryDrawing(name: string, faults = false): FlowDrawing {
  return drawingOf(library.analyse(`/library/${name}.procedure.yaml`), faults);
}

export function libraryChecklist(name: string, asset?: string): ChecklistDocument {
  return buildChecklist(library.analyse(`/library/${name}.procedure.yaml`), asset, library);
}

const SHOP = `shop: Brackwater depot
states:
  isolator: {values: [on, off], at_start: on}
  control: {values: [released, raise], at_start: released, held: [raise]}
instruments:
  multimeter: {title: Digital multimeter, measures: {dc_voltage: {up_to: 600 V}, resistance: {up_to: 40 Mohm}}}
cautions:
  moving_platform:
    signal: danger
    hazard: The platform moves while the control is held.
    consequence: A person under it will be crushed.
    avoid: Keep everyone out of the marked area.
    wear: [safety_shoes]
    covers: []
values:
  full_rest: {is: 25.3 V, from: Battery handbook table}
`;

const ASSETS = `assets:
  TL-07: {equipment: tail_lift, coil_low: 18 ohm}
`;

/** A workspace with a small shop and these files, by name. */
export function workspaceOf(files: Readonly<Record<string, string>>): Workspace {
  const workspace = new Workspace();
  workspace.setFile('/depot/shop.yaml', SHOP);
  workspace.setFile('/depot/assets.yaml', ASSETS);
  for (const [name, text] of Object.entries(files)) workspace.setFile(`/depot/${name}.procedure.yaml`, text);
  return workspace;
}

export function drawingFrom(text: string, faults = false): FlowDrawing {
  return drawingOf(workspaceOf({ lift: text }).analyse('/depot/lift.procedure.yaml'), faults);
}

export function checklistFrom(files: Readonly<Record<string, string>>, asset?: string): ChecklistDocument {
  const workspace = workspaceOf(files);
  return buildChecklist(workspace.analyse(`/depot/${Object.keys(files)[0] ?? ''}.procedure.yaml`), asset, workspace);
}

function drawingOf(analysis: Analysis, faults: boolean): FlowDrawing {
  const { procedure, program, scope } = analysis;
  if (!procedure || !program || !scope) throw new Error('The text holds no procedure.');
  return flowDrawing(procedure, program, scope, faults ? possibleAtSteps(analysis) : undefined);
}

/** One of each kind of step, ways off and back, a caution, a step passed over, a proof of the repair. */
export const LIFT = `procedure: lift
title: Platform does not rise
revision: 3
status: draft
complaint: The platform stays down.
applies_to: {equipment: tail_lift}
facts:
  tilt_sensor: {choices: [fitted, not_fitted]}
  coil_low: {quantity: resistance, from: Data sheet of the contactor}
faults:
  low_battery: {title: Battery discharged, remedy: Charge the battery.}
  open_fuse: {title: Control fuse open, remedy: Find the overload. Fit a fuse of the same rating.}
  contactor: {title: Contactor coil out of range, remedy: Replace the contactor.}
circuits:
  lift_power: {nominal: 24 V, dead_when: {isolator: off}}
steps:
  - step: listen
    ask: What do you hear while the raise control is held?
    during: {control: raise}
    max_time: 5 s
    cautions: [moving_platform]
    people: 2
    time: 1 min
    results:
      - {when: silent, says: No sound.}
      - {when: click, says: One click.}
      - {when: motor_runs, says: The motor runs., go: tilt}
  - step: battery
    run: battery_test
    results:
      - {when: passed}
      - {when: finds flat, finds: low_battery}
      - {when: otherwise, refer: Repair the battery first. Then start again.}
  - step: supply
    measure: dc_voltage
    circuit: lift_power
    with: multimeter
    range: 60 V
    at: {red: contactor input stud, black: battery negative post}
    results:
      - {when: 'at least full_rest - 1.5 V', rules_out: [open_fuse]}
      - {when: otherwise, finds: open_fuse}
  - step: isolate
    do:
      - Turn the isolator off.
      - Lock it.
    sets: {isolator: off}
  - step: coil
    measure: resistance
    circuit: lift_power
    with: multimeter
    results:
      - {when: at least coil_low, go: listen}
      - {when: below coil_low, by_elimination: contactor}
  - step: tilt
    only_if: {tilt_sensor: fitted}
    decide: tilt_sensor
    results:
      - {when: fitted, passes: true}
      - {when: not_fitted, passes: true}
  - step: last
    ask: Is it whole?
    results:
      - {when: yes, passes: true}
after_repair:
  - step: prove
    ask: Does the platform rise three times?
    results:
      - {when: yes, passes: true}
      - {when: no, go: listen}
`;

export const BATTERY = `procedure: battery_test
title: Condition of the battery
revision: 7
status: released
faults:
  flat: {title: Battery flat, remedy: Charge it.}
steps:
  - step: rest
    measure: dc_voltage
    with: multimeter
    at_each: [left_battery, right_battery]
    judge: lowest
    results:
      - {when: at least 12.4 V, passes: true}
      - {when: below 12.4 V, finds: flat}
`;

/** A procedure of `count` steps with ways on, off and back, the same each time. */
export function longProcedure(count: number): string {
  const steps = Array.from({ length: count }, (_, index) => {
    const name = `step_${index + 1}`;
    const last = index === count - 1;
    const off = index % 7 === 3 && index + 5 < count ? `go: step_${index + 6}` : index % 5 === 4 && index > 8 ? `go: step_${index - 6}` : 'finds: worn';
    switch (index % 3) {
      case 0:
        return `  - step: ${name}\n    do: [Turn the drum ${index} times by hand until the mark stands at the top.]\n${last ? '    go: step_1\n' : ''}`;
      case 1:
        return `  - step: ${name}\n    ask: Does lamp ${index} burn while the switch is held for 3 s?\n    results:\n      - {when: yes${last ? ', passes: true' : ''}}\n      - {when: no, ${off}}\n`;
      default:
        return `  - step: ${name}\n    measure: dc_voltage\n    with: multimeter\n    at: {red: clamp ${index}, black: frame}\n    results:\n      - {when: at least 11.5 V${last ? ', passes: true' : ''}}\n      - {when: below 11.5 V, ${off}}\n`;
    }
  });
  return `procedure: long\ntitle: Long way\nfaults:\n  worn: {title: Worn out}\nsteps:\n${steps.join('')}`;
}
