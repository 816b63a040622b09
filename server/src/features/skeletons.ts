/** Whole steps and results as text with places to fill. A skeleton asks for what its kind needs and for nothing else. */
import type { Analysis } from '../analysis/analysis.ts';
import type { Step } from '../procedure/model.ts';
import type { Completion } from './completion.ts';

/** Steps, to be written after the dash; `column` is where their keys stand. */
export function stepSkeletons(analysis: Analysis, column: number): Completion[] {
  const hasCircuits = (analysis.scope?.circuits.size ?? 0) > 0;
  const lines = (...text: string[]): string => text.join(`\n${' '.repeat(column)}`);
  return [
    skeleton('do step', 'instructions', lines('step: ${1:name}', 'do:', '  - ${2:Do one thing.}', '$0')),
    skeleton(
      'ask step',
      'a question, answered by looking, listening, trying',
      lines(
        'step: ${1:name}',
        'ask: ${2:What do you see?}',
        'results:',
        '  - when: ${3:yes}',
        '    ${4:go: next_step}',
        '  - when: ${5:no}',
        '    ${6:finds: fault}',
        '$0',
      ),
    ),
    skeleton(
      'measure step',
      'a reading with limits',
      lines(
        'step: ${1:name}',
        'measure: ${2:dc_voltage}',
        ...(hasCircuits ? ['circuit: ${3:circuit}'] : []),
        'with: ${4:multimeter}',
        'at: {red: ${5:place}, black: ${6:place}}',
        'results:',
        '  - when: at least ${7:12.4 V}',
        '    ${8:go: next_step}',
        '  - when: below ${7:12.4 V}',
        '    ${9:finds: fault}',
        '$0',
      ),
    ),
    skeleton(
      'decide step',
      'an expression or a fact; nobody is asked',
      lines(
        'step: ${1:name}',
        'decide: ${2:fact}',
        'results:',
        '  - when: ${3:choice}',
        '    go: ${4:step}',
        '  - when: otherwise',
        '    go: ${5:step}',
        '$0',
      ),
    ),
    skeleton(
      'run step',
      'another procedure',
      lines(
        'step: ${1:name}',
        'run: ${2:procedure}',
        'results:',
        '  - when: passed',
        '    ${3:go: next_step}',
        '  - when: otherwise',
        '    refer: ${4:What to do then.}',
        '$0',
      ),
    ),
  ];
}

/** Results, to be written after the dash. */
export function resultSkeletons(step: Step | undefined): Completion[] {
  const when = step?.kind === 'measure' ? 'at least ${1:limit}' : '${1:answer}';
  return [
    skeleton('result that goes on', 'when, go', `when: ${when}\n  go: \${2:step}`),
    skeleton('result that finds a fault', 'when, finds', `when: ${when}\n  finds: \${2:fault}`),
    skeleton('result that rules out', 'when, rules_out', `when: ${when}\n  rules_out: [\${2:fault}]`),
    skeleton('otherwise', 'whatever else; comes last', 'when: otherwise\n  refer: ${1:What to do then.}'),
  ];
}

function skeleton(label: string, detail: string, insert: string): Completion {
  return { label, kind: 'skeleton', detail, insert, snippet: true, order: `!${label}` };
}
