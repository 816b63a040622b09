/** The text of a new procedure from its answers. Each part is what the checks ask of it and no more; places to fill say so. */
import type { Scope } from '../procedure/scope.ts';
import type { Answers, NewPlace } from './new-procedure.ts';
import { bandInWords } from './format-words.ts';
import { listed, sentence } from './new-procedure-questions.ts';
import { lineText, nameFrom, textInBraces } from './written-yaml.ts';

/** The answers must be complete; `instrument` takes the reading. */
export function procedureText(answers: Answers, place: NewPlace, instrument: string | undefined): string {
  const isInspection = answers['purpose'] === 'inspection';
  const titles = listed(isInspection ? answers['defects'] : answers['faults']);
  const taken = new Set([
    'prepare',
    'switch_off',
    'switch_on',
    'prove',
    'finish',
    'supply',
    ...(place.scope?.values.keys() ?? []),
    ...(place.scope?.facts.keys() ?? []),
  ]);
  const faults = titles.map((title) => {
    const name = nameFrom(title, taken);
    taken.add(name);
    // A name of its own for the step: a reading is known by it.
    const step = nameFrom(`check ${title}`, taken);
    taken.add(step);
    return { title, name, step };
  });
  const parts = { answers, scope: place.scope, faults, instrument };
  return [...head(parts, isInspection), ...(isInspection ? inspectionSteps(parts) : faultSteps(parts)), ''].join('\n');
}

interface Parts {
  readonly answers: Answers;
  readonly scope: Scope | undefined;
  readonly faults: readonly { readonly title: string; readonly name: string; readonly step: string }[];
  readonly instrument: string | undefined;
}

function head({ answers, faults }: Parts, isInspection: boolean): string[] {
  const { name = '', title = '', complaint, interval, equipment, nominal, grade } = answers;
  return [
    `procedure: ${name}`,
    `title: ${lineText(title)}`,
    'revision: 1',
    'status: draft',
    `purpose: ${isInspection ? 'inspection' : 'fault_finding'}`,
    ...(isInspection ? [] : [`complaint: ${lineText(sentence(complaint ?? title))}`]),
    ...(isInspection && interval !== undefined && interval !== 'none' ? [`interval: ${interval}`] : []),
    ...(equipment === undefined || equipment === 'any' ? [] : [`applies_to: {equipment: ${equipment}}`]),
    '',
    ...(nominal === undefined
      ? []
      : [
          'circuits:',
          `  supply: {title: Circuit under test, nominal: ${nominal}${answers['first_test'] === 'resistance' ? ', dead_when: {isolator: off}' : ''}}`,
          '',
        ]),
    'faults:',
    ...faults.map(
      (fault) =>
        `  ${fault.name}: {title: ${textInBraces(capital(fault.title))}${isInspection ? `, grade: ${grade ?? 'major'}` : ''}, remedy: Repair or replace the part.}`,
    ),
    '',
    'steps:',
  ];
}

function faultSteps(parts: Parts): string[] {
  const { answers, faults } = parts;
  const safe = makeSafe(parts);
  const isOff = answers['first_test'] === 'resistance';
  const first = faults[0]?.step ?? '';
  const steps: string[] = [];
  faults.slice(0, -1).forEach((fault, index) => {
    const isLastTest = index === faults.length - 2;
    const other = faults[index + 1];
    const good = [
      `        rules_out: [${fault.name}]`,
      ...(isLastTest && other !== undefined ? [`        by_elimination: ${other.name}`] : []),
    ];
    steps.push(
      '',
      ...(index === 0
        ? firstTest(parts, good, [`        finds: ${fault.name}`])
        : question(fault, good, [`        finds: ${fault.name}`])),
    );
  });
  const start = safe.length > 0 ? 'prepare' : isOff ? 'switch_off' : first;
  return [
    ...[...safe, ...(isOff ? turned(parts, 'switch_off', 'off', safe.length > 0) : []), ...steps].slice(
      safe.length === 0 && !isOff ? 1 : 0,
    ),
    '',
    'after_repair:',
    ...(isOff ? turned(parts, 'switch_on', 'on', false) : []),
    '  - step: prove',
    `    ask: ${lineText(answers['proof'] ?? 'Is the complaint gone?')}`,
    '    results:',
    '      - when: yes',
    '        passes: true',
    '      - when: no',
    `        go: ${start}`,
  ];
}

function inspectionSteps(parts: Parts): string[] {
  const { answers, faults } = parts;
  const safe = makeSafe(parts);
  const isOff = answers['first_test'] === 'resistance';
  const tests = faults.map((fault, index) => {
    const bad = [`        raises: ${fault.name}`];
    return [
      '',
      ...(index === 0 ? firstTest(parts, [], bad) : question(fault, [], bad)),
      ...(index === 0 && isOff ? ['', ...turned(parts, 'switch_on', 'on', false)] : []),
    ];
  });
  return [
    ...[...safe, ...(isOff ? turned(parts, 'switch_off', 'off', safe.length > 0) : []), ...tests.flat()].slice(
      safe.length === 0 && !isOff ? 1 : 0,
    ),
    '',
    '  - step: finish',
    '    ask: Is every defect written down?',
    '    results:',
    '      - when: yes',
    '        passes: true',
    '      - when: no',
    '        refer: Write every defect down before the machine is used.',
  ];
}

/** The first test: a reading where one was asked for, else a question. `good` and `bad` are the lines below each `when`. */
function firstTest(parts: Parts, good: readonly string[], bad: readonly string[]): string[] {
  const { answers, faults, instrument } = parts;
  const [fault] = faults;
  const quantity = answers['first_test'];
  if (fault === undefined || quantity === undefined || quantity === 'look')
    return fault === undefined ? [] : question(fault, good, bad);
  const limit = answers['limit'] ?? '';
  return [
    `  - step: ${fault.step}`,
    `    measure: ${quantity}`,
    ...(answers['nominal'] === undefined ? [] : ['    circuit: supply']),
    ...(instrument === undefined ? [] : [`    with: ${instrument}`]),
    `    at: ${probes(quantity)}`,
    '    results:',
    `      - when: ${lineText(bandInWords(limit) ?? limit)}`,
    ...good,
    '      - when: otherwise',
    ...bad,
  ];
}

function question(
  fault: { readonly title: string; readonly step: string },
  good: readonly string[],
  bad: readonly string[],
): string[] {
  return [
    `  - step: ${fault.step}`,
    `    ask: ${lineText(`Is this so? ${sentence(fault.title)}`)}`,
    '    results:',
    '      - when: yes',
    ...bad,
    '      - when: no',
    ...good,
  ];
}

function probes(quantity: string): string {
  if (quantity === 'dc_voltage' || quantity === 'resistance') return '{red: first test point, black: second test point}';
  if (quantity === 'dc_current') return '{clamp: lead of the circuit}';
  return quantity === 'pressure' ? '{port: test port}' : '{point: test point}';
}

/** The step that makes the machine safe, by the states that the shop knows. */
function makeSafe({ answers, scope }: Parts): string[] {
  const wanted: Readonly<
    Record<string, { readonly actions: readonly string[]; readonly states: readonly (readonly [string, string, string])[] }>
  > = {
    vehicle: {
      actions: ['Park on level ground.'],
      states: [
        ['parking_brake', 'applied', 'Apply the parking brake.'],
        ['ignition', 'off', 'Turn the ignition off.'],
      ],
    },
    trailer: { actions: ['Park on level ground.'], states: [['wheels', 'chocked', 'Chock a wheel on both sides.']] },
    plant: { actions: ['Tell the people at the machine that it is worked on.'], states: [] },
  };
  const machine = wanted[answers['machine'] ?? ''];
  if (machine === undefined) return [];
  const known = machine.states.filter(
    ([state, value]) => scope?.states.get(state)?.item.values.some((one) => one.value === value) === true,
  );
  const actions = machine.states.flatMap(([state, value, plain]) =>
    known.some(([name]) => name === state) ? changeOf(scope, state, value, plain) : [plain],
  );
  return [
    '  - step: prepare',
    '    do:',
    ...[...machine.actions, ...actions].map((action) => `      - ${lineText(action)}`),
    ...(known.length === 0 ? [] : [`    sets: {${known.map(([state, value]) => `${state}: ${value}`).join(', ')}}`]),
  ];
}

/** The isolator turned off or on, as the shop does it. */
function turned({ scope }: Parts, step: string, value: 'off' | 'on', blankBefore: boolean): string[] {
  return [
    ...(blankBefore ? [''] : []),
    `  - step: ${step}`,
    '    do:',
    ...changeOf(scope, 'isolator', value, `Turn the isolator ${value}.`).map((action) => `      - ${lineText(action)}`),
    `    sets: {isolator: ${value}}`,
  ];
}

function changeOf(scope: Scope | undefined, state: string, value: string, plain: string): string[] {
  const change = scope?.states.get(state)?.item.changes.find((one) => one.to.value === value);
  return change && change.do.length > 0 ? change.do.map((action) => action.value) : [plain];
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
