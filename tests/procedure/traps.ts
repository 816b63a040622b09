/** Texts that an unwary writer writes, each in a procedure that is otherwise sound. */

export interface Trap {
  readonly name: string;
  readonly text: string;
  /** The part that is wrong, for the snapshot. */
  readonly shown: string;
  /** The checks that must report it, in the order of their places. */
  readonly checks: readonly string[];
}

const HEAD = 'procedure: lamp\ntitle: Lamp dark\n';
const FAULTS = 'faults:\n  bulb: {title: Bulb failed}\n  fuse: {title: Fuse open}\n';
const REST = 'results:\n      - when: yes\n        passes: true\n      - when: no\n        finds: bulb\n';

/** In place of the question of a step. */
function inStep(name: string, lines: string, ...checks: string[]): Trap {
  return { name, shown: lines, checks, text: `${HEAD}${FAULTS}steps:\n  - step: look\n    ask: Is it lit?\n    ${lines.replaceAll('\n', '\n    ')}\n    ${REST}` };
}

/** In place of a whole step. */
function asStep(name: string, lines: string, ...checks: string[]): Trap {
  return {
    name, shown: lines, checks,
    text: `${HEAD}${FAULTS}steps:\n  - step: first\n    do: Switch it on.\n${lines.replaceAll(/^/gm, '  ')}\n  - step: look\n    ask: Is it lit?\n    ${REST}`,
  };
}

/** Among the results of a measured step. */
function inResult(name: string, lines: string, ...checks: string[]): Trap {
  return {
    name, shown: lines, checks,
    text: `${HEAD}${FAULTS}steps:\n  - step: supply\n    measure: dc_voltage\n    results:\n${lines.replaceAll(/^/gm, '      ')}\n      - when: otherwise\n        finds: bulb\n`,
  };
}

/** At the top of the file. */
function atTop(name: string, lines: string, ...checks: string[]): Trap {
  return { name, shown: lines, checks, text: `${HEAD}${lines}\n${FAULTS}steps:\n  - step: look\n    ask: Is it lit?\n    ${REST}` };
}

export const TRAPS: readonly Trap[] = [
  // What YAML does to texts.
  inStep('a colon in a text', 'text: Note: the lamp is hot.', 'yaml-syntax'),
  inStep('a colon in a text that goes on', 'text: Note: the lamp is hot\n  for a minute.', 'yaml-syntax'),
  asStep('a colon in an instruction', '- step: warn\n  do:\n    - Note: the lamp is hot.\n    - Wait.', 'wrong-kind'),
  asStep('a colon in an instruction in brackets', '- step: warn\n  do: [Note: the lamp is hot., Wait.]', 'wrong-kind'),
  inStep('a colon at the end of a text', 'text: Look at:', 'yaml-syntax'),
  inStep('a number after a sign', 'text: Use fuse #12 of the box.', 'text-cut-off'),
  inStep('a number after a sign and a space', 'text: See sheet No. # 12', 'text-cut-off'),
  inStep('a comment is no trap', 'text: Look at the lamp.   # from the manual'),
  atTop('a number sign inside braces', 'references:\n  - {id: WD-7, title: Diagram #7, sheet: 2}', 'text-cut-off'),
  asStep('a comma inside braces', '- step: supply\n  measure: dc_voltage\n  at: {red: pin 3, 4, black: frame}', 'text-cut-off'),
  asStep('a comma inside brackets', '- step: off\n  do: [Turn the key off, then lock it., Wait.]', 'text-cut-off'),
  asStep('names in brackets are no trap', '- step: off\n  do: [Turn the key off., Lock it.]\n  tools: [Torque wrench, feeler gauge]'),
  inStep('a value in braces alone', 'text: {relief_pressure}', 'wrong-kind'),
  inStep('a value in braces at the start of a text', 'text: {relief_pressure} is the limit.', 'yaml-syntax'),
  inStep('brackets at the start of a text', 'text: [Optional] Clean the lens.', 'yaml-syntax'),
  inResult('a comparison sign at the start', '- when: >= 12 V\n  passes: true', 'yaml-syntax'),
  inResult('a comparison sign without a space', '- when: >12 V\n  passes: true', 'yaml-syntax'),
  inResult('a comparison sign that YAML lets pass', '- when: <= 12 V\n  passes: true'),
  inStep('an asterisk at the start', 'text: *Do not* touch the lens.', 'yaml-syntax'),
  inStep('an asterisk and a word', 'text: *Caution*', 'yaml-syntax'),
  inStep('an ampersand at the start', 'text: &c. and so on', 'text-cut-off'),
  inStep('an exclamation mark at the start', 'text: !Stop when it smokes.', 'yaml-syntax'),
  inStep('a percent sign at the start', 'text: %RH is on the gauge.', 'yaml-syntax'),
  inStep('an at sign at the start', 'text: @ the rear lamp', 'yaml-syntax'),
  inStep('a backtick at the start', 'text: `Mode` selects it.', 'yaml-syntax'),
  inStep('a bar at the start', 'text: | is the off mark', 'yaml-syntax'),
  inStep('a dash at the start', 'text: - 12 V is the limit', 'yaml-syntax'),
  inStep('a question mark at the start', 'text: ? Is it lit', 'yaml-syntax'),
  inStep('a quotation that ends too early', 'text: "Run" lamp on the panel.', 'yaml-syntax'),
  inStep('a quotation mark never closed', 'text: "Look at the lamp.', 'yaml-syntax'),
  inStep('an apostrophe never closed', "text: 'Look at the lamp.", 'yaml-syntax'),
  inStep('an apostrophe inside a text is no trap', "text: Don't touch the lens."),
  inStep('a backslash in double quotes', 'figure: "pictures\\lamp.png"', 'yaml-syntax'),
  inStep('a brace never closed', 'needs: {isolator: on', 'yaml-syntax'),
  inStep('a bracket never closed', 'cautions: [hot_lens', 'yaml-syntax'),
  // Layout.
  inStep('a tab', 'needs:\n\tisolator: on', 'yaml-syntax'),
  inStep('a no-break space', 'needs:\n\u00a0\u00a0isolator: on', 'yaml-syntax'),
  inStep('no space after a colon', 'text:Look at the lamp.', 'yaml-syntax'),
  asStep('no space after a dash', '- step: off\n  do:\n    - Turn it off.\n    -Lock it.', 'yaml-syntax'),
  asStep('a key one column too far', '- step: off\n   do: Turn it off.', 'yaml-syntax'),
  asStep('a key one column too near', '- step: off\n do: Turn it off.', 'yaml-syntax'),
  asStep('a dash one column too far', '- step: ask_more\n  ask: Is it warm?\n  results:\n    - when: yes\n      finds: bulb\n     - when: no\n       finds: fuse', 'yaml-syntax'),
  asStep('a dash left out', '  step: off\n  do: Turn it off.', 'yaml-syntax'),
  { name: 'a dash left out at the start', shown: 'steps:\n    step: off', checks: ['yaml-syntax'], text: `${HEAD}${FAULTS}steps:\n    step: off\n    do: Turn it off.\n  - step: look\n    ask: Is it lit?\n    ${REST}` },
  asStep('a key without its colon', '- step: ask_more\n  ask: Is it warm?\n  results\n    - when: yes\n      finds: bulb\n    - when: no\n      finds: fuse', 'yaml-syntax'),
  atTop('a second document', '---', 'missing-key', 'yaml-syntax'),
  { name: 'a tag directive', shown: '%YAML 1.1', checks: ['yaml-syntax'], text: `%YAML 1.1\n---\n${atTop('', '').text}` },
  atTop('an alias that names nothing', 'complaint: *above', 'yaml-syntax'),
  atTop('a merge key', 'facts: {a: &a {quantity: pressure}, b: {<<: *a}}', 'yaml-syntax'),
  { name: 'a control character', shown: '\\u0007', checks: ['yaml-syntax'], text: atTop('', 'complaint: Bell \u0007').text },
  // Words that other readers of YAML change.
  atTop('a revision keeps its form', 'revision: 1.10'),
  asStep('yes, no, on and off are words', '- step: off\n  do: Turn it off.\n  sets: {isolator: off}'),
  // Keys.
  inStep('a key spelt wrong', 'wy: To see.', 'unknown-key'),
  inStep('a key by another word', 'description: Look at the lens.', 'unknown-key'),
  inStep('a key that means nothing', 'colour: red', 'unknown-key'),
  inResult('an unknown key in a result', '- when: above 12 V\n  goto: look', 'unknown-key'),
  inStep('a key twice, not the first', 'why: To see.\nwhy: To know.', 'duplicate-name'),
  inStep('a key with nothing', 'why:', 'wrong-kind'),
  atTop('a fact that says nothing', 'facts: {tank: {}}', 'missing-key'),
  atTop('a caution with parts missing', 'cautions: {hot: {signal: caution, hazard: The lens is hot.}}', 'missing-key', 'missing-key'),
  atTop('a list of faults', 'states:\n  - lamp: {values: [lit, dark]}', 'wrong-kind'),
  // Steps and results.
  asStep('a step of no kind', '- step: nothing\n  title: Nothing', 'missing-key'),
  asStep('a step of two kinds', '- step: both\n  do: Switch it on.\n  measure: dc_voltage', 'wrong-kind'),
  asStep('instructions with results', '- step: both\n  do: Switch it on.\n  results:\n    - when: yes\n      passes: true', 'wrong-kind'),
  asStep('a question without results', '- step: ask_more\n  ask: Is it warm?', 'missing-key'),
  asStep('a step with results and a go', '- step: ask_more\n  ask: Is it warm?\n  go: look\n  results:\n    - when: yes\n      finds: bulb', 'wrong-kind'),
  asStep('a step name with a space', '- step: Make safe\n  do: Switch it off.', 'wrong-kind'),
  asStep('a reading that is named like a unit', '- step: psi\n  measure: pressure', 'wrong-kind'),
  asStep('two steps of one name', '- step: first\n  do: Switch it off.', 'duplicate-name'),
  asStep('a step that is a text', '- Switch it off.', 'wrong-kind'),
  inResult('two ways on', '- when: above 12 V\n  finds: bulb\n  go: supply', 'wrong-kind'),
  inResult('two results alike', '- when: above 12 V\n  passes: true\n- when: Above 12 V\n  finds: bulb', 'duplicate-name'),
  inResult('a list of answers', '- when: [above 12 V, below 3 V]\n  passes: true', 'wrong-kind'),
  inResult('passes with another word', '- when: above 12 V\n  passes: yes', 'wrong-kind'),
  inResult('a band that is none', '- when: more than 12 V\n  passes: true', 'wrong-kind'),
  inResult('a unit that is none', '- when: above 12 Vlot\n  passes: true', 'unit-unknown'),
  asStep('an ending that is none', '- step: sub\n  run: other\n  results:\n    - when: ok\n      passes: true', 'wrong-kind'),
  asStep('a search that ends with a band', '- step: sub\n  measure: dc_current\n  at_each: [f1, f2]\n  seek: below 0.1 A\n  results:\n    - when: below 0.1 A\n      finds: bulb', 'wrong-kind'),
  asStep('a point twice', '- step: sub\n  measure: dc_current\n  at_each: [f1, f1]', 'duplicate-name'),
  asStep('probes as a text', '- step: sub\n  measure: dc_current\n  at: battery posts', 'wrong-kind'),
  asStep('a quantity that is none', '- step: sub\n  measure: dc_volts', 'wrong-kind'),
  // Values.
  inStep('a time without a unit', 'time: 3', 'unit-missing'),
  inStep('a time with an unknown unit', 'time: 3 mni', 'unit-unknown'),
  inStep('a time that is a voltage', 'time: 3 V', 'unit-mismatch'),
  inStep('a time in words', 'time: three minutes', 'wrong-kind'),
  asStep('a volume in gallons', '- step: sub\n  measure: volume\n  range: 5 gal', 'unit-ambiguous'),
  inStep('people in words', 'people: two', 'wrong-kind'),
  inStep('people in quotes', "people: '2'", 'wrong-kind'),
  inStep('half a person', 'people: 1.5', 'wrong-kind'),
  atTop('a status with a capital', 'status: Released', 'wrong-kind'),
  atTop('a status that is none', 'status: final', 'wrong-kind'),
  asStep('a judge of another name', '- step: sub\n  measure: dc_current\n  at_each: [f1, f2]\n  judge: every', 'wrong-kind'),
  inStep('states as a list', 'needs: [{isolator: on}, {control: raise}]', 'wrong-kind'),
  inStep('a state as a text', 'needs: isolator on', 'wrong-kind'),
  inStep('a state without a value', 'needs: {isolator}', 'wrong-kind'),
  asStep('a state set to two values', '- step: off\n  do: Turn it off.\n  sets: {isolator: [on, off]}', 'wrong-kind'),
  inResult('names with commas and no brackets', '- when: above 12 V\n  rules_out: bulb, fuse', 'wrong-kind'),
  inResult('a name twice in a list', '- when: above 12 V\n  rules_out: [bulb, bulb]', 'duplicate-name'),
  atTop('a nominal voltage with AC', 'circuits: {mains: {nominal: 400 V AC}}'),
  atTop('a nominal voltage without a unit', 'circuits: {mains: {nominal: 400}}', 'unit-missing'),
];
