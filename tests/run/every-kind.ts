/** Two procedures that use every kind of step and result together: an inspection that is run from a search for a fault. */

export const YARD_ROUND = `procedure: yard_round
title: Round of the yard tractor
revision: 2
status: released
approved: {by: Workshop standards group, on: 2026-11-01}
purpose: inspection
facts: {cab: {choices: [open, closed], from: Data plate}}
faults:
  hose: {title: Hose chafed, grade: dangerous, remedy: Replace the hose.}
  lamp: {title: Lamp dark, grade: minor, remedy: Replace the bulb.}
  tyre: {title: Tyre worn, grade: major, remedy: Replace the tyre.}
steps:
  - {step: park, do: [Park the tractor., Chock a wheel.], time: 1 min}
  - step: hoses
    ask: Is a hose chafed?
    results: [{when: no}, {when: yes, raises: hose}]
  - step: lamps
    ask: Does each lamp light?
    at_each: [front, rear]
    judge: each
    results: [{when: yes}, {when: no, raises: lamp}]
  - step: door
    ask: Does the door latch?
    only_if: {cab: closed}
    results: [{when: yes}, {when: no, refer: Repair the latch first.}]
  - step: tread
    measure: depth
    with: depth_gauge
    at_each: [left, right]
    judge: lowest
    results: [{when: at least 3 mm, passes: true}, {when: below 3 mm, raises: tyre, passes: true}]
`;

export const YARD_NO_LIFT = `procedure: yard_no_lift
title: Fifth wheel does not lift
revision: 1
status: released
approved: {by: Workshop standards group, on: 2026-11-01}
purpose: fault_finding
complaint: The fifth wheel stays down.
facts:
  valve: {choices: [old, new], from: Plate of the valve}
  pressure_low: {quantity: pressure, from: Data sheet}
states:
  pump: {values: [off, on], at_start: off, at_end: [off], changes: [{to: on, do: Start the pump.}, {to: off, do: Stop the pump.}]}
  lever: {values: [free, held], at_start: free, held: [held]}
faults:
  leak: {title: Leak, remedy: Seal it., time: 10 min}
  blocked: {title: Filter blocked, remedy: Change the filter., time: 5 min}
  coil: {title: Coil open, remedy: Change the coil., time: 20 min}
  worn: {title: Pump worn, remedy: Change the pump., time: 90 min}
steps:
  - step: round
    run: yard_round
    results:
      - {when: raised hose, finds: leak}
      - {when: passed}
      - {when: referred, refer: Repair the latch first.}
      - {when: otherwise}
  - {step: start, do: [Start the pump.], sets: {pump: on}}
  - step: hold
    ask: Does it move while the lever is held?
    needs: {pump: on}
    during: {lever: held}
    max_time: 5 s
    rest: 30 s
    people: 2
    repeat_at_most: 3
    results:
      - {when: a little, go: hold}
      - {when: no}
      - {when: 'yes', refer: It moves. Look for what stops it at times.}
  - step: stop_pump
    do: [Stop the pump.]
    sets: {pump: off}
    wait: 10 s
  - step: which
    decide: valve
    results: [{when: old, go: fuses}, {when: new}]
  - step: coil_new
    measure: resistance
    with: meter
    results: [{when: between 4 ohm and 8 ohm, rules_out: [coil], go: pressure}, {when: open, finds: coil}, {when: otherwise, finds: coil}]
  - step: fuses
    measure: dc_voltage
    with: meter
    at_each: [f1, f2, f3]
    seek: below 10 V
    results: [{when: found, finds: coil}, {when: not_found, rules_out: [coil]}]
  - step: pressure
    measure: pressure
    with: gauge
    results: [{when: below pressure_low, leaves: [leak, worn]}, {when: otherwise, finds: blocked}]
  - step: half
    decide: pressure / 2
    results: [{when: below 20 bar, finds: worn}, {when: otherwise, by_elimination: leak}]
after_repair:
  - step: prove
    ask: Does it lift?
    needs: {pump: on}
    during: {lever: held}
    max_time: 5 s
    people: 2
    results: [{when: yes}, {when: no, go: start}]
  - {step: put_back, do: [Stop the pump.], sets: {pump: off}}
  - {step: close, ask: Is the guard shut?, results: [{when: yes, passes: true}, {when: no, refer: Shut the guard.}]}
`;

export const YARD_SHOP = `shop: Brackwater depot
format: 1
instruments:
  meter: {title: Meter, measures: {dc_voltage: {up_to: 600 V, resolution: 0.1 V, accuracy: 1 %}, resistance: {up_to: 40 Mohm, resolution: 0.1 ohm, accuracy: 1 %}}}
  gauge: {title: Gauge, measures: {pressure: {up_to: 400 bar, resolution: 1 bar, accuracy: 1 %}}, numbers: {G-1: 2026-11-01, G-2: 2027-11-01}}
  depth_gauge: {title: Depth gauge, measures: {depth: {up_to: 30 mm, resolution: 0.1 mm}}}
`;
