/** A small library for the tests of the server: clean as it stands. */
export const SHOP = `shop: Brackwater depot
states:
  isolator:
    values: [on, off]
    at_start: on
    changes:
      - {to: off, do: Turn the isolator off., time: 1 min}
      - {to: on, do: Turn the isolator on., time: 1 min}
instruments:
  multimeter:
    title: Digital multimeter
    category: CAT III 600 V
    measures:
      dc_voltage: {up_to: 600 V, resolution: 0.01 V, accuracy: 0.5 % + 2 counts}
      resistance: {up_to: 40 Mohm, resolution: 0.1 ohm, accuracy: 0.9 % + 3 counts}
`;

export const LAMP = `procedure: work_lamp
title: Work lamp stays dark
revision: 1
status: draft
complaint: The work lamp stays dark. The other lamps light.

circuits:
  lamp_feed: {nominal: 24 V, dead_when: {isolator: off}}

faults:
  lamp: {title: Lamp failed, weight: 60, remedy: Replace the lamp., time: 10 min}
  supply: {title: No supply, weight: 40, remedy: Find the open fuse., time: 20 min}

steps:
  - step: feed
    measure: dc_voltage
    circuit: lamp_feed
    with: multimeter
    at: {red: lamp feed terminal, black: lamp return terminal}
    time: 2 min
    results:
      - when: at least 22 V
        finds: lamp
      - when: below 22 V
        finds: supply

after_repair:
  - step: prove
    ask: Does the lamp light?
    results:
      - when: yes
        passes: true
      - when: no
        go: feed
`;

/** Runs the lamp's procedure. */
export const ROUND = `procedure: lamp_round
title: Lamps of the sweeper
revision: 1
status: draft
complaint: A lamp is dark.

faults:
  lamp: {title: Lamp or its supply failed, weight: 1, remedy: See the record of the lamp., time: 10 min}

steps:
  - step: work_lamp
    run: work_lamp
    time: 5 min
    results:
      - when: finds lamp
        finds: lamp
      - when: finds supply
        finds: lamp
      - when: otherwise
        refer: Look at the other lamps.

after_repair:
  - step: prove
    ask: Do all lamps light?
    results:
      - when: yes
        passes: true
      - when: no
        refer: Begin again.
`;

export const LIBRARY: Readonly<Record<string, string>> = {
  'shop.yaml': SHOP,
  'work_lamp.procedure.yaml': LAMP,
  'rounds/lamp_round.procedure.yaml': ROUND,
};
