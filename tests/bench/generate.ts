/**
 * Makes procedures and workspaces of any size, realistic and clean: Brackwater depot's long service of a street sweeper, unit by unit. Eight
 * states, six facts, cautions, circuits, bands, readings that later limits use, a fault a unit, and the proof after repair. Of the same
 * arguments always the same text.
 */

/** Steps in one unit's section. */
const STEPS_A_UNIT = 10;
/** Those that end the list and prove the repair. */
const STEPS_AT_THE_END = 6;
/** Indexes, in a unit, of the first step that takes a reading, and of the one that isolates it. */
const FIRST_READING = 2;
const FIRST_STEP_WITHOUT_POWER = 7;

const UNITS = [
  'main brush', 'left brush', 'right brush', 'suction fan', 'water pump', 'hopper', 'spray bar', 'beacon', 'rear camera', 'auger',
  'dust filter', 'oil cooler', 'side gate', 'work lamp', 'tipping ram', 'wander hose', 'tank valve', 'door latch', 'wiper', 'blower',
] as const;

const FACTS = ['heater', 'camera_kit', 'high_pressure'] as const;

/** The shop that every generated file lives in. */
export const BENCH_SHOP = `shop: Brackwater depot
format: 1
instruments:
  multimeter:
    title: Digital multimeter
    category: CAT III 600 V
    measures:
      dc_voltage: {up_to: 600 V, resolution: 0.01 V, accuracy: 0.5 % + 2 counts}
      resistance: {up_to: 40 Mohm, resolution: 0.1 ohm, accuracy: 0.9 % + 3 counts}
  hydraulic_gauge:
    title: Hydraulic gauge
    measures: {pressure: {up_to: 400 bar, resolution: 0.5 bar, accuracy: 0.5 %}}
states:
  drive: {values: [still, turning], at_start: still, held: [turning]}
hazards:
  turning_unit:
    title: A unit that turns
    arises_from: {during: [{drive: turning}]}
    repeat: every_step
cautions:
  clear_of_unit:
    signal: danger
    hazard: The unit turns while the switch is held.
    consequence: It will catch and crush a hand or a sleeve.
    avoid: Keep everyone out of the marked area. Let go of the switch when anyone enters it.
    covers: [turning_unit]
values:
  rested: {is: 25.0 V, from: Battery handbook table}
`;

/** A procedure of about 700 bytes a step. `name` and the number of its first unit tell procedures of a workspace apart: what they say, name and measure differs with the unit. */
export function generateProcedure(steps: number, name = 'long_service', first = 0): string {
  const count = Math.max(2, steps - STEPS_AT_THE_END);
  const units = Math.ceil(count / STEPS_A_UNIT);
  const sections = Array.from({ length: units }, (_, index) => section(first + index, index, units)).flat().slice(0, count);
  // A unit that is cut off takes nothing apart that would have to be put back, and no reading that nothing uses.
  const left = count % STEPS_A_UNIT;
  const spare = count - left + (left >= FIRST_STEP_WITHOUT_POWER ? FIRST_STEP_WITHOUT_POWER : FIRST_READING);
  for (let step = spare; step < count && left !== 0; step++) sections[step] = spareStep(step);
  const body = sections.join('\n');
  const faults = Array.from({ length: units }, (_, index) => first + index).filter((unit) => body.includes(`${faultOf(unit)}\n`) || body.endsWith(faultOf(unit)));
  const facts = FACTS.filter((fact) => body.includes(`{${fact}: `));
  return `${[head(name, faults, facts), 'steps:', body, lastSteps(), 'after_repair:', proof()].join('\n')}\n`;
}

function head(name: string, units: readonly number[], facts: readonly string[]): string {
  const faults = units.map((unit) =>
    `  ${faultOf(unit)}:\n    title: Feed or drive of the ${titleOf(unit)} failed\n    weight: ${1 + (unit % 9)}\n`
    + `    remedy: Replace the harness of the ${titleOf(unit)}. Find out what wore it.\n    time: ${10 + (unit % 5) * 10} min`);
  return `procedure: ${name}
title: Sweeper stops working unit by unit
revision: 3
status: draft
purpose: fault_finding
complaint: One of the units of the sweeper does not do its work.
references:
  - {id: SW-12, title: Wiring diagram of the sweeper, sheet: 4}
facts:
${facts.map((fact) => `  ${fact}: {choices: [fitted, not_fitted], from: SW-12}\n`).join('')}  coil_low: {quantity: resistance, from: Data sheet of the contactor}
  coil_high: {quantity: resistance, from: Data sheet of the contactor}
  relief_pressure: {quantity: pressure, from: Data plate of the power unit}
states:
  isolator: {values: [on, off], at_start: on, at_end: on}
  parking_brake: {values: [released, applied], at_start: released}
  drive: {values: [still, turning], at_start: still, held: [turning]}
  guard: {values: [closed, open], at_start: closed, at_end: closed}
  unit_lead: {values: [connected, unplugged], at_start: connected, at_end: connected}
  area: {values: [unmarked, marked], at_start: unmarked}
  work_switch: {values: [off, on], at_start: off, at_end: off}
  test_hose: {values: [removed, fitted], at_start: removed, at_end: removed}
circuits:
  unit_power: {nominal: 24 V, dead_when: {isolator: off}, from: SW-12}
  unit_control:
    nominal: 24 V
    dead_when: [{isolator: off}, {unit_lead: unplugged}]
    live_when: {work_switch: on}
    from: SW-12
faults:
${faults.join('\n')}`;
}

function faultOf(unit: number): string {
  return `unit_${unit + 1}_failed`;
}

function titleOf(unit: number): string {
  return `${UNITS[unit % UNITS.length]} ${Math.floor(unit / UNITS.length) + 1}`;
}

/** The ten steps of a unit. A fact is asked about in its own part of the procedure, as the pages of a manual for options are. */
function section(unit: number, index: number, units: number): string[] {
  const title = titleOf(unit);
  const at = (step: string): string => `unit_${unit + 1}_${step}`;
  const fact = FACTS[Math.floor((index * FACTS.length) / units)] ?? FACTS[0];
  const low = `24.${unit % 10}`;
  const drop = `1.${unit % 7}`;
  const own = `only_if: {${fact}: fitted}`;
  return [
    `  - step: ${at('make_safe')}
    title: Make the ${title} safe to approach
    do:
      - Park on level ground.
      - Apply the parking brake.
      - Mark off the area around the ${title} with three cones.
      - Tell the yard office which machine stands here.
    why: Whoever works at the ${title} stands where the driver cannot see them, and where other vehicles of the yard turn.
    sets: {parking_brake: applied, area: marked}
    note: The cones stand in the rack beside the wash bay. Put them back when the job is done, as the next crew needs them early.
    time: 3 min`,
    `  - step: ${at('look')}
    title: Look at the ${title} before anything is moved
    ask: What do you see at the ${title} and along its harness up to the first clip?
    why: A torn harness explains most failures of the ${title}, and is found in a minute without any tool.
    needs: {area: marked, parking_brake: applied}
    text: Use a hand lamp. Follow the harness from the plug to the first clip, and look behind the bracket.
    time: 2 min
    results:
      - when: the harness is whole
        says: No cut, no bare wire and no loose plug between the unit and the first clip.
      - when: the harness is damaged
        says: A cut, a bare wire or a loose plug is seen.
        finds: ${faultOf(unit)}`,
    `  - step: ${at('supply')}
    title: Supply at the plug of the ${title}
    measure: dc_voltage
    circuit: unit_power
    with: multimeter
    range: 60 V
    at: {red: feed pin of the plug, black: chassis stud}
    text: Hold the probes behind the finger guards. Push the red probe into the rear of the plug beside the seal of the wire.
    why: Everything after this compares with the supply that really stands at the ${title}, whatever the battery gives.
    needs: {isolator: on, area: marked}
    time: 3 min
    note: The seal of the wire closes again when the probe is drawn out. Grease it where it looks dry, from the tin in the van.`,
    `  - step: ${at('battery')}
    title: Battery behind the ${title}
    measure: dc_voltage
    circuit: unit_power
    with: multimeter
    range: 60 V
    at: {red: battery positive post, black: battery negative post}
    why: A low battery makes every later reading of the ${title} low, and nobody would know from where.
    needs: {isolator: on, area: marked}
    time: 2 min
    results:
      - when: at least ${low} V
        says: The battery carries the work ahead.
      - when: below ${low} V
        refer: Fit a charged battery first and find out why it was flat. Then start with the ${title} again from the top of this page.`,
    `  - step: ${at('turn')}
    title: Turn the ${title} for a moment
    ask: What do you hear at the ${title} when the switch is held for 3 seconds?
    why: Separates the drive from the feed of the ${title} before anything is unplugged.
    needs: {isolator: on, area: marked, guard: closed}
    during: {drive: turning, work_switch: on}
    max_time: 5 s
    rest: 1 min
    cautions: [clear_of_unit]
    people: 2
    time: 2 min
    results:
      - when: it turns
        says: It turns evenly and without noise.
      - when: it stays still
        says: Nothing moves, or it starts and stops again.
        go: ${at('control')}`,
    `  - step: ${at('option')}
    title: Option that shares the feed of the ${title}
    ask: Is the plug of the option pushed in up to the stop and locked?
    ${own}
    why: The option of the ${title} shares its feed. A plug that is half way in draws the feed down only now and then.
    needs: {area: marked, parking_brake: applied}
    text: Push the plug in until it clicks. Pull once at the harness, not at the wires.
    time: 1 min
    results:
      - when: yes
        says: The plug is locked and its seal is not pinched.
      - when: no
        says: The plug is loose or its lock is broken.
        finds: ${faultOf(unit)}`,
    `  - step: ${at('control')}
    title: Control line of the ${title}
    measure: dc_voltage
    circuit: unit_control
    with: multimeter
    range: 60 V
    at: {red: control pin of the plug, black: chassis stud}
    needs: {isolator: on, area: marked, guard: closed, unit_lead: connected}
    during: {drive: turning, work_switch: on}
    max_time: 5 s
    rest: 1 min
    cautions: [clear_of_unit]
    people: 2
    time: 3 min
    results:
      - when: at least ${at('supply')} - ${drop} V
        says: The control line carries what the supply gives.
      - when: below ${at('supply')} - ${drop} V
        finds: ${faultOf(unit)}`,
    `  - step: ${at('isolate')}
    title: Isolate the ${title}
    do:
      - Turn the isolator off.
      - Lock the isolator with the lock from the cab.
      - Unplug the lead of the ${title}.
      - Hang the tag with your name at the lock.
    why: The next reading needs a circuit without any voltage, and nobody may switch it on while you hold the lead.
    sets: {isolator: off, unit_lead: unplugged}
    needs: {area: marked}
    note: The lock hangs in the cab of every sweeper. Report one that is missing to the workshop office.
    time: 2 min`,
    `  - step: ${at('coil')}
    title: Coil of the contactor of the ${title}
    measure: resistance
    circuit: unit_control
    with: multimeter
    range: 400 ohm
    at: {red: coil terminal 1, black: coil terminal 2}
    needs: {isolator: off, unit_lead: unplugged}
    why: The coil of the ${title} is either within the data sheet or it is the fault, and no other reading tells it.
    text: Zero the leads first. Hold both probes still until the reading stands.
    time: 3 min
    results:
      - when: between coil_low and coil_high
        says: The coil is within the data sheet.
      - when: otherwise
        finds: ${faultOf(unit)}`,
    `  - step: ${at('put_back')}
    title: Put the ${title} back
    do:
      - Plug in the lead of the ${title}.
      - Take the lock off.
      - Turn the isolator on.
      - Close every cover that was opened for the ${title}.
      - Count the screws of the covers.
    why: What is found at the next unit must not come from what was left open at this one.
    sets: {isolator: on, unit_lead: connected}
    needs: {area: marked}
    note: A screw that is missing is written down on the job card with the place where it belongs.
    time: 2 min`,
  ];
}

function spareStep(step: number): string {
  return `  - step: note_${step + 1}
    title: Write down what was found so far
    do:
      - Write the readings of the last unit on the job card.
      - Sign the job card with your name and the time.
    why: Who takes over from you starts from the job card alone, and may stand in another bay on another day.
    note: The job cards lie in the drawer under the window. A full one goes to the workshop office the same evening.
    needs: {area: marked}
    time: 1 min`;
}

function lastSteps(): string {
  return `  - step: fit_hose
    title: Fit the test hose
    do:
      - Let the pressure down with the work switch off.
      - Fit the test hose to the test port.
    sets: {test_hose: fitted}
    cautions: [injection]
  - step: last_pressure
    title: Pressure of the power unit
    measure: pressure
    with: hydraulic_gauge
    at: {port: pressure test port}
    needs: {test_hose: fitted}
    cautions: [injection]
  - step: take_hose_off
    do:
      - Let the pressure down with the work switch off.
      - Take the test hose off.
    sets: {test_hose: removed}
    cautions: [injection]
  - step: pressure_verdict
    decide: last_pressure
    results:
      - when: below relief_pressure - 10 bar
        refer: The power unit does not reach its pressure. Go on with its own procedure.
      - when: otherwise
        refer: Every unit works as it should. Ask the driver what was seen, and when.`;
}

function proof(): string {
  return `  - step: put_everything_back
    do: [Plug in every lead that was unplugged., Take the lock off., Turn the isolator on.]
    sets: {isolator: on, unit_lead: connected}
  - step: prove
    ask: Does every unit work for one minute?
    needs: {isolator: on, area: marked}
    results:
      - when: yes
        passes: true
      - when: no
        refer: The repair did not help. Ask the workshop office before you go on.`;
}

/** A workspace of many small procedures of one shop: file → text. */
export function generateWorkspace(files: number, stepsAFile: number): Map<string, string> {
  const made = new Map<string, string>([['shop.yaml', BENCH_SHOP]]);
  for (let index = 0; index < files; index++) {
    const name = `service_${index + 1}`;
    made.set(`bay_${1 + (index % 40)}/${name}.procedure.yaml`, generateProcedure(stepsAFile, name, index * Math.ceil(stepsAFile / STEPS_A_UNIT)));
  }
  return made;
}
