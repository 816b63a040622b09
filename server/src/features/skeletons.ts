/**
 * Whole steps, results and files as text with places to fill. A skeleton asks for what its kind needs and for nothing else; where names are
 * known, the place is a choice of them. Its lines are indented to stand at the cursor as they are.
 */
import type { Analysis } from '../analysis/analysis.ts';
import type { Circuit, Step } from '../procedure/model.ts';
import { QUANTITY_WORDS } from '../quantity/quantity-words.ts';
import { rationalToNumber } from '../quantity/rational.ts';
import { choice, inOrder } from './completion-item.ts';
import type { Completion } from './completion-item.ts';

/** Steps, to be written after the dash; `column` is where their keys stand. */
export function stepSkeletons(analysis: Analysis, column: number): Completion[] {
  const { scope, procedure } = analysis;
  const lines = (...text: (string | false)[]): string => text.filter((line) => line !== false).join(`\n${' '.repeat(column)}`);
  const circuits = [...(scope?.circuits.keys() ?? [])];
  const faults = procedure?.faults.map((fault) => fault.name.value) ?? [];
  const finds = (place: number): string => `${procedure?.purpose === 'inspection' ? 'raises' : 'finds'}: ${choice(place, faults, 'fault')}`;
  const rulesOut = (place: number): string => `rules_out: [${choice(place, faults, 'fault')}]`;
  const reads = (quantity: number, circuit: number, instrument: number): (string | false)[] => [
    `measure: ${choice(quantity, QUANTITY_WORDS, 'dc_voltage')}`,
    circuits.length > 0 && `circuit: ${choice(circuit, circuits, 'circuit')}`,
    `with: ${choice(instrument, instrumentsOf(analysis), 'multimeter')}`,
  ];
  const hazardous = circuits.filter((name) => isHazardous(scope?.circuits.get(name)?.item));
  return asListed([
    skeleton('do step', 'instructions', lines('step: ${1:name}', 'do:', '  - ${2:Do one thing.}', '$0')),
    skeleton('ask step', 'a question, answered by looking, listening, trying', lines(
      'step: ${1:name}',
      'ask: ${2:What do you see?}',
      'results:',
      '  - when: ${3:yes}',
      `    ${finds(4)}`,
      '  - when: ${5:no}',
      `    ${rulesOut(6)}`,
      '$0',
    )),
    skeleton('measure step', 'a reading with limits', lines(
      'step: ${1:name}',
      ...reads(2, 3, 4),
      'at: {red: ${5:place}, black: ${6:place}}',
      'results:',
      '  - when: at least ${7:12.4 V}',
      `    ${rulesOut(8)}`,
      '  - when: below ${7:12.4 V}',
      `    ${finds(9)}`,
      '$0',
    )),
    skeleton('measure step at several points', 'one reading a point, judged together', lines(
      'step: ${1:name}',
      ...reads(2, 3, 4),
      'at_each:',
      '  ${5:first_point}: {at: {red: ${6:place}, black: ${7:place}}}',
      '  ${8:second_point}: {at: {red: ${9:place}, black: ${10:place}}}',
      'judge: ${11|highest,lowest,mean,spread|}',
      'results:',
      '  - when: at most ${12:0.4 V}',
      `    ${rulesOut(13)}`,
      '  - when: above ${12:0.4 V}',
      `    ${finds(14)}`,
      '$0',
    )),
    ...(hazardous.length === 0 ? [] : [
      skeleton('measure step that proves dead', 'before work on a circuit with a hazardous voltage', lines(
        'step: ${1:prove_dead}',
        'measure: ${2|dc_voltage,ac_voltage|}',
        `circuit: ${choice(3, hazardous, 'circuit')}`,
        `proves_dead: ${choice(4, hazardous, 'circuit')}`,
        `with: ${choice(5, instrumentsOf(analysis), 'voltage_tester')}`,
        'at: {red: ${6:place}, black: ${7:place}}',
        'results:',
        '  - when: below ${8:30 V}',
        '    says: ${9:The circuit is dead.}',
        '  - when: otherwise',
        '    refer: ${10:The circuit is still live. Stop, and find out why.}',
        '$0',
      )),
    ]),
    skeleton('decide step', 'an expression or a fact; nobody is asked', lines(
      'step: ${1:name}',
      `decide: ${choice(2, procedure?.facts.map((fact) => fact.name.value) ?? [], 'fact')}`,
      'results:',
      '  - when: ${3:choice}',
      `    ${goes(analysis, 4)}`,
      '  - when: otherwise',
      `    ${goes(analysis, 5)}`,
      '$0',
    )),
    skeleton('run step', 'another procedure', lines(
      'step: ${1:name}',
      'run: ${2:procedure}',
      'results:',
      '  - when: passed',
      `    ${rulesOut(3)}`,
      '  - when: otherwise',
      '    refer: ${4:What to do then.}',
      '$0',
    )),
  ]);
}

/** Results, to be written after the dash; `column` is where their keys stand. */
export function resultSkeletons(analysis: Analysis, step: Step | undefined, column: number): Completion[] {
  const faults = analysis.procedure?.faults.map((fault) => fault.name.value) ?? [];
  const when = step?.kind === 'measure' ? 'when: at least ${1:limit}' : 'when: ${1:answer}';
  const lines = (first: string, second: string): string => `${first}\n${' '.repeat(column)}${second}`;
  const named = choice(2, faults, 'fault');
  return asListed([
    skeleton('result that goes on', 'when, go', lines(when, goes(analysis, 2))),
    ...(analysis.procedure?.purpose === 'inspection'
      ? [skeleton('result that raises a defect', 'when, raises', lines(when, `raises: ${named}`))]
      : [
          skeleton('result that finds a fault', 'when, finds', lines(when, `finds: ${named}`)),
          skeleton('result that rules out', 'when, rules_out', lines(when, `rules_out: [${named}]`)),
        ]),
    skeleton('otherwise', 'whatever else; comes last', lines('when: otherwise', 'refer: ${1:What to do then.}')),
  ]);
}

/** A file that is still empty. */
export function fileSkeletons(kind: Analysis['kind']): Completion[] {
  switch (kind) {
    case 'procedure':
      return [skeleton('new procedure', 'a procedure with one fault and one step', [
        'procedure: ${1:name}',
        'title: ${2:What is wrong, in a few words}',
        'revision: 1',
        'status: draft',
        'complaint: ${3:What the operator reports.}',
        '',
        'faults:',
        '  ${4:fault}: {title: ${5:What is wrong}, weight: 1, remedy: ${6:What puts it right.}, time: ${7:10 min}}',
        '',
        'steps:',
        '  - step: ${8:look}',
        '    ask: ${9:What do you see?}',
        '    time: ${10:1 min}',
        '    results:',
        '      - when: ${11:yes}',
        '        finds: ${4:fault}',
        '      - when: otherwise',
        '        refer: ${12:What to do then.}',
        '$0',
      ].join('\n'))];
    case 'shop':
      return [skeleton('new shop file', 'the name of the shop', 'shop: ${1:Name of the shop}\nformat: 1\n$0')];
    case 'assets':
      return [skeleton('new assets file', 'the equipment of the shop', 'assets:\n  ${1:AB-01}: {equipment: ${2:kind}, voltage: ${3:24 V}}\n$0')];
    case 'other':
      return [];
  }
}

/** Above the limits of ISO 6469-3 and UN R100: 60 V DC, 30 V AC rms. */
function isHazardous(circuit: Circuit | undefined): boolean {
  const nominal = circuit?.nominal?.value;
  return nominal !== undefined && rationalToNumber(nominal.base) > (circuit?.current === 'ac' ? 30 : 60);
}

function goes({ procedure }: Analysis, place: number): string {
  const names = [...(procedure?.steps ?? [])].flatMap((step) => step.name?.value ?? []);
  return `go: ${choice(place, names.length > MOST_STEPS ? [] : names, 'step')}`;
}

/** More than these are no choice that anyone reads through. */
const MOST_STEPS = 30;

/** Those of the shop, where it has any. */
function instrumentsOf({ scope }: Analysis): string[] {
  const all = [...(scope?.instruments ?? [])];
  const own = all.filter(([, { origin }]) => origin !== 'catalogue');
  return (own.length > 0 ? own : all).map(([name]) => name);
}

export function skeleton(label: string, detail: string, insert: string): Completion {
  return { label, kind: 'skeleton', detail, insert, snippet: true, order: `!${label}` };
}

/** Shown in the order in which they are listed. */
function asListed(items: readonly Completion[]): Completion[] {
  return items.map((item, index) => ({ ...item, order: `!${inOrder(index)}` }));
}
