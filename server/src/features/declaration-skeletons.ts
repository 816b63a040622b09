/** What a file may declare as text with places to fill: faults, states, cautions, assets and the rest. Steps and results stand in skeletons.ts. */
import type { Analysis } from '../analysis/analysis.ts';
import { GRADES, SIGNAL_WORDS } from '../procedure/keys.ts';
import { parseQuantity } from '../quantity/parse-quantity.ts';
import { describeQuantityWord, QUANTITY_WORDS } from '../quantity/quantity-words.ts';
import { quantityDimension } from '../quantity/quantity.ts';
import { choice } from './completion-item.ts';
import type { Completion } from './completion-item.ts';
import { skeleton } from './skeletons.ts';

/** What a map of names may declare, or a list may hold, that is neither step nor result. `column` is where its first line begins. */
export function declarationSkeletons(analysis: Analysis, object: string, column: number): Completion[] {
  const lines = (...text: string[]): string => text.join(`\n${' '.repeat(column)}`);
  switch (object) {
    case 'fault':
      return [skeleton('new fault', 'title, weight, remedy, time', analysis.procedure?.purpose === 'inspection'
        ? lines('${1:name}:', '  title: ${2:What is wrong}', `  grade: ${choice(3, GRADES, 'major')}`, '  remedy: ${4:What puts it right.}')
        : lines('${1:name}:', '  title: ${2:What is wrong}', '  weight: ${3:10}', '  remedy: ${4:What puts it right.}', '  time: ${5:30 min}'))];
    case 'state':
      return [skeleton('new state', 'values, start, how it is changed', lines(
        '${1:name}:',
        '  title: ${2:What it is}',
        '  values: [${3:on}, ${4:off}]',
        '  at_start: ${3:on}',
        '  changes:',
        '    - {to: ${4:off}, do: [${5:Turn it off.}], time: ${6:1 min}}',
        '    - {to: ${3:on}, do: [${7:Turn it on.}], time: ${8:1 min}}',
      ))];
    case 'circuit':
      return [skeleton('new circuit', 'nominal voltage, when it is dead', lines(
        '${1:name}:',
        '  title: ${2:What it feeds}',
        '  nominal: ${3:24 V}',
        `  dead_when: {${choice(4, [...(analysis.scope?.states.keys() ?? [])].slice(0, 20), 'isolator')}: \${5:off}}`,
        '  from: ${6:The diagram}',
      ))];
    case 'fact':
      return [
        ...factsOfAssets(analysis),
        skeleton('new fact with choices', 'one of several words', '${1:name}: {choices: [${2:fitted}, ${3:not_fitted}], from: ${4:The diagram}}'),
        skeleton('new fact with a quantity', 'a number from the data sheet',
          `\${1:name}: {quantity: ${choice(2, QUANTITY_WORDS, 'resistance')}, from: \${3:The data sheet}}`),
      ];
    case 'caution':
      return [skeleton('new caution', 'signal word, hazard, consequence, avoidance', lines(
        '${1:name}:',
        `  signal: ${choice(2, SIGNAL_WORDS, 'warning')}`,
        '  hazard: ${3:What can hurt.}',
        '  consequence: ${4:What happens to a person who does not avoid it.}',
        '  avoid: ${5:How to avoid it.}',
        '  covers: [${6:hazard}]',
      ))];
    case 'hazard':
      return [skeleton('new hazard', 'what it is, from what it arises', lines(
        '${1:name}:',
        '  title: ${2:What it is}',
        '  arises_from: {during: {${3:state}: ${4:value}}}',
        '  repeat: ${5|every_step,once_before|}',
      ))];
    case 'instrument':
      return [skeleton('new instrument', 'what it reads, how finely', lines(
        '${1:name}:',
        '  title: ${2:What it is}',
        '  category: ${3:CAT III 600 V}',
        '  measures:',
        `    ${choice(4, QUANTITY_WORDS, 'dc_voltage')}: {up_to: \${5:600 V}, resolution: \${6:0.01 V}, accuracy: \${7:0.5 % + 2 counts}}`,
      ))];
    case 'instrument_function':
      return QUANTITY_WORDS.map((quantity): Completion => {
        const { title, usualUnits: [symbol] } = describeQuantityWord(quantity);
        const unit = symbol === undefined ? '' : ` ${symbol}`;
        return {
          label: quantity, kind: 'quantity', detail: title, snippet: true,
          insert: `${quantity}: {up_to: \${1:100}${unit}, resolution: \${2:0.1}${unit}, accuracy: \${3:0.5 % + 2 counts}}`,
        };
      });
    case 'value':
      return [skeleton('new value', 'a quantity with a name', '${1:name}: {is: ${2:25.3 V}, from: ${3:The handbook}}')];
    case 'qualification':
      return [skeleton('new qualification', 'what a person must hold', '${1:name}: {title: ${2:What it is called}, from: ${3:Who grants it}}')];
    case 'asset':
      return assetSkeletons(analysis);
    case 'reference':
      return [skeleton('new reference', 'a diagram or document', '{id: ${1:WD-1}, title: ${2:What it is called}, sheet: ${3:1}}')];
    case 'change':
      return [skeleton('new change', 'how to bring the state to a value', '{to: ${1:value}, do: [${2:Do one thing.}], time: ${3:1 min}}')];
    case 'accepted_deviation':
      return [skeleton('new accepted deviation', 'check, place, reason, person',
        '{check: ${1:check}, at: ${2:step}, because: ${3:Why it is right as it is.}, by: ${4:Who accepts it}}')];
    default:
      return [];
  }
}

/** Facts that the assets have and the procedure does not declare yet: words as choices, numbers as the quantity that they are. */
function factsOfAssets({ scope, procedure }: Analysis): Completion[] {
  const given = new Map<string, Set<string>>();
  for (const { item } of scope?.assets ?? []) {
    for (const { name, value } of item.facts) {
      const values = given.get(name.value);
      if (values) values.add(value.value);
      else given.set(name.value, new Set([value.value]));
    }
  }
  const declared = new Set([...(procedure?.facts ?? []).map((fact) => fact.name.value), ...(procedure?.appliesTo ?? []).map(({ fact }) => fact.value)]);
  return [...given].filter(([name]) => !declared.has(name)).map(([name, values]): Completion => {
    const dimension = dimensionOfTexts(values);
    const quantities = QUANTITY_WORDS.filter((one) => describeQuantityWord(one).dimension === dimension);
    const words = [...values].filter((value) => /^[a-z][a-z0-9_]*$/.test(value));
    const says = quantities.length > 0 ? `quantity: ${choice(1, quantities, 'resistance')}` : `choices: [${words.join(', ')}]`;
    const detail = `of the assets: ${[...values].slice(0, 3).join(', ')}`;
    return { label: name, kind: 'name', detail, insert: `${name}: {${says}, from: \${2:The data sheet}}`, snippet: true };
  });
}

function dimensionOfTexts(texts: Iterable<string>): string | undefined {
  for (const text of texts) {
    const { quantity } = parseQuantity(text);
    if (quantity?.unit) return quantityDimension(quantity);
  }
  return undefined;
}

/** One for each kind of equipment, with the facts of the last asset of that kind. */
function assetSkeletons({ assets }: Analysis): Completion[] {
  const byKind = new Map((assets?.assets ?? []).map((asset) => [asset.facts.find(({ name }) => name.value === 'equipment')?.value.value ?? '', asset]));
  const plain = skeleton('new asset', 'its number and what it is', '${1:AB-01}: {equipment: ${2:kind}}');
  return [plain, ...[...byKind].filter(([kind]) => kind !== '').map(([kind, { id, facts }]) => {
    let place = 2;
    const asked = (text: string): string => `\${${place++}:${text.replace(/[\\$}]/g, '\\$&')}}`;
    const shown = facts.map(({ name, value }) => (name.value === 'equipment' ? `equipment: ${kind}` : `${name.value}: ${asked(value.value)}`));
    return skeleton(`new ${kind}`, `with the facts of ${id.value}`, `\${1:AB-01}: {${shown.join(', ')}}`);
  })];
}
