/** The generated parts of schemas/format.md: tables of keys, the quantities, the functions. */
import { objectInfo, type Shape } from '../../server/src/procedure/keys.ts';
import { COMPUTATIONS, computationSignature } from '../../server/src/quantity/computations.ts';
import { QUANTITY_WORDS } from '../../server/src/quantity/quantity-words.ts';

/** The page with its generated parts written anew. */
export function withTables(page: string): string {
  return page
    .replace(/<!-- keys:(\w+) -->\n[^]*?<!-- end -->/g, (_, name: string) => `<!-- keys:${name} -->\n${tableOf(name)}\n<!-- end -->`)
    .replace(/<!-- quantities -->.*/, `<!-- quantities --> ${QUANTITY_WORDS.map((word) => `\`${word}\``).join(', ')}.`)
    .replace(/<!-- functions -->.*/, `<!-- functions --> ${['min(a, b, …)', 'max(a, b, …)', 'abs(a)', ...COMPUTATIONS.map(computationSignature)].map((call) => `\`${call}\``).join(', ')}.`);
}

function tableOf(name: string): string {
  const info = objectInfo(name);
  if (info === undefined) throw new Error(`no object '${name}'`);
  const rows = Object.entries(info.keys).map(([key, entry]) =>
    `| \`${key}\`${entry.required === true ? ' (needed)' : ''} | ${shapeWords(entry.value)} | ${entry.says} |`);
  return ['| key | value | meaning |', '| --- | --- | --- |', ...rows].join('\n');
}

function shapeWords(shape: Shape): string {
  switch (shape.shape) {
    case 'text': return 'text';
    case 'texts': return 'text or list of texts';
    case 'name': return shape.declares === true ? 'its name' : `name of ${article(shape.of)}`;
    case 'names': return shape.declares === true ? 'list of words' : `names of ${plural(shape.of)}`;
    case 'quantity': return `${shape.dimension}, as \`${shape.example}\``;
    case 'number': return shape.whole ? `whole number, ${shape.least} or more` : `number, ${shape.least} or more`;
    case 'true': return '`true`';
    case 'choice': return shape.choices.map((choice) => `\`${choice}\``).join(' · ');
    case 'states': return 'map: state → value or list of values';
    case 'assignments': return 'map: state → value';
    case 'state_alternatives': return 'map of states, or list of such maps';
    case 'when': return 'answer, band, choice or ending';
    case 'band': return 'band';
    case 'expression': return 'expression, or name of a fact';
    case 'probes': return 'map: probe → place';
    case 'points': return 'list of names, or map: point → title, or its keys';
    case 'caution_uses': return 'names of cautions, or cautions written out';
    case 'fact_values': return 'map: fact → value or list of values';
    case 'shown_words': return 'map: quantity → list of words';
    case 'terms': return 'map: term → list of spellings';
    case 'named_texts': return 'map: short form → text';
    case 'check_settings': return 'map: check → `error` · `warning` · `hint` · `off`';
    case 'object': return `keys of ${objectInfo(shape.object)?.title ?? shape.object}`;
    case 'list': return `list: ${objectInfo(shape.object)?.title ?? shape.object} each`;
    case 'named': return shape.of === 'asset' ? 'map: asset number → its facts' : `map: ${shape.of === 'quantity' ? 'quantity' : 'name'} → ${objectInfo(shape.object)?.title ?? shape.object}`;
  }
}

function article(kind: string): string {
  return `${/^[aeiou]/.test(kind) ? 'an' : 'a'} ${kind.replace('_', ' ')}`;
}

function plural(kind: string): string {
  return kind === 'quantity' ? 'quantities' : kind === 'protection' ? 'protective equipment' : `${kind.replace('_', ' ')}s`;
}
