/** Procedures made up by chance as a workshop writes them: checks behind a cover or with the engine running, readings judged later, ways spelled out. */
import fc from 'fast-check';

type Kind = 'look' | 'under_cover' | 'running' | 'reading' | 'note';

export interface MadeUp {
  readonly steps: readonly { readonly kind: Kind; readonly weight: number; readonly minutes: number; readonly explicit: boolean; readonly later: boolean }[];
  readonly closing: 'by_elimination' | 'refer' | 'passes';
  readonly putBack: boolean;
}

export const madeUp: fc.Arbitrary<MadeUp> = fc.record({
  steps: fc.array(fc.record({
    kind: fc.constantFrom<Kind>('look', 'look', 'under_cover', 'running', 'reading', 'reading', 'note'),
    weight: fc.integer({ min: 1, max: 40 }), minutes: fc.integer({ min: 1, max: 25 }), explicit: fc.boolean(), later: fc.boolean(),
  }), { minLength: 2, maxLength: 6 }),
  closing: fc.constantFrom('by_elimination' as const, 'refer' as const, 'passes' as const),
  putBack: fc.boolean(),
});

/** The text. States change by instructions in between; `later` puts the judgement of a reading behind all other steps. */
export function textOf({ steps, closing, putBack }: MadeUp): string {
  const written: { name: string; lines: string; ways: boolean }[] = [];
  const late: typeof written = [];
  let cover = 'closed';
  let engine = 'stopped';
  const instruct = (name: string, sets: string, minutes: number): void => {
    written.push({ name, ways: false, lines: `    do: [Do what ${name} says.]\n    sets: {${sets}}\n    time: ${minutes} min\n` });
  };
  steps.forEach(({ kind, minutes, later }, index) => {
    if (kind === 'under_cover' && cover === 'closed') {
      instruct(`open_${index}`, 'cover: open', 4);
      cover = 'open';
    }
    if (kind !== 'under_cover' && cover === 'open' && putBack) {
      instruct(`close_${index}`, 'cover: closed', 3);
      cover = 'closed';
    }
    if ((kind === 'running') !== (engine === 'running')) {
      engine = kind === 'running' ? 'running' : 'stopped';
      instruct(`turn_${index}`, `engine: ${engine}`, 2);
    }
    if (kind === 'note') written.push({ name: `n${index}`, ways: false, lines: `    do: [Note the number.]\n    time: ${minutes} min\n` });
    if (kind === 'note') return;
    const judged = { name: `s${index}`, ways: true, lines: '' };
    if (kind === 'reading') {
      written.push({ name: `r${index}`, ways: false, lines: `    measure: pressure\n    at: {port: port ${index}}\n    time: ${minutes} min\n` });
      (later ? late : written).push({ ...judged, lines: `    decide: r${index}\n    results:\n      - when: above 1 bar\n        rules_out: [f${index}]{way}\n      - when: at most 1 bar\n        finds: f${index}\n` });
    } else {
      const needs = kind === 'under_cover' ? '    needs: {cover: open}\n' : kind === 'running' ? '    needs: {engine: running}\n' : '';
      written.push({ ...judged, lines: `    ask: Is part ${index} good?\n${needs}    time: ${minutes} min\n    results:\n      - when: good\n        rules_out: [f${index}]{way}\n      - when: bad\n        finds: f${index}\n` });
    }
  });
  const all = [...written, ...late];
  const last = all.map(({ ways }) => ways).lastIndexOf(true);
  const kept = all.slice(0, last + 1);
  const body = kept.map(({ name, lines }, index) => {
    const closes = { by_elimination: '\n        by_elimination: rest', refer: '\n        refer: Ask the maker.', passes: '\n        passes: true' }[closing];
    const spelled = steps[Number(/\d+/.exec(name)?.[0])]?.explicit ? `\n        go: ${kept[index + 1]?.name ?? ''}` : '';
    return `  - step: ${name}\n${lines.replace('{way}', index === last ? closes : spelled)}`;
  }).join('');
  const faults = steps.flatMap(({ kind, weight }, index) => (kind === 'note' ? [] : [`  f${index}: {title: Fault ${index}, weight: ${weight}, remedy: Repair it., time: 5 min}`]));
  return `procedure: made_up
title: Made up
revision: 1
states:
  cover: {values: [open, closed], at_start: closed}
  engine: {values: [stopped, running], at_start: stopped}
faults:
${faults.join('\n')}
${closing === 'by_elimination' ? '  rest: {title: The rest, weight: 3, remedy: Repair it.}\n' : ''}steps:
${body}`;
}
