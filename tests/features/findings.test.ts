import { test } from 'vitest';
import { checkFindings, DEPOT } from './fixture.ts';

test('findings stand on the very words that are wrong', () =>
  checkFindings(`procedure: lamp
title: Lamp stays dark
revision: 1
complaint: The lamp stays dark.
circuits:
  feed: {nominal: 24 V, dead_when: {isolator: off}}
faults:
  lamp: {title: Lamp failed, remedy: Replace the lamp.}
  supply: {title: No supply, remedy: Find the open fuse.}
steps:
  - step: feed_volts
    measure: dc_voltage
    circuit: feed
    with: multimetre
    #     ^^^^^^^^^^ unknown-name: 'multimetre'
    at: {red: feed stud, black: ground stud}
    results:
  # ^^^^^^^^ reading-gap: no result for a reading of at least 20 V and below 22 V
      - when: at least 22 V
        finds: lamp
      - when: below 20 V
        finds: suply
        #      ^^^^^ unknown-name: 'suply'
after_repair:
  - step: prove
    ask: Does it light?
    results:
      - when: yes
        passes: true
      - when: no
        go: feed_volts
${DEPOT}`));

test('a clean procedure has none', () =>
  checkFindings(`procedure: lamp
title: Lamp stays dark
revision: 1
complaint: The lamp stays dark.
circuits:
  feed: {nominal: 24 V, dead_when: {isolator: off}}
faults:
  lamp: {title: Lamp failed, remedy: Replace the lamp.}
  supply: {title: No supply, remedy: Find the open fuse.}
steps:
  - step: feed_volts
    measure: dc_voltage
    circuit: feed
    with: multimeter
    at: {red: feed stud, black: ground stud}
    results:
      - when: at least 22 V
        finds: lamp
      - when: below 22 V
        finds: supply
after_repair:
  - step: prove
    ask: Does it light?
    results:
      - when: yes
        passes: true
      - when: no
        go: feed_volts
${DEPOT}`));
