/**
 * What is expected next inside a band or an expression, while it is typed: the parameter of a function, or the limit of a comparison. It reads
 * the text before the cursor, so that half of an expression is enough.
 */
import type { Analysis } from '../analysis/analysis.ts';
import type { Step } from '../procedure/model.ts';
import { describeQuantityWord, quantityPhrase, quantityWord } from '../quantity/quantity-words.ts';
import { cursorAt } from './cursor.ts';
import { expectedAt } from './expected.ts';
import { functionSignature, unitsInWords } from './function-signatures.ts';
import { stepAt } from './symbols.ts';
import { ENGLISH, type FeatureWords } from './words-english.ts';

export interface SignatureHelp {
  readonly label: string;
  /** Markdown. */
  readonly says: string;
  readonly parameters: readonly {
    /** In the label. */
    readonly start: number;
    readonly end: number;
    readonly says: string;
  }[];
  /** Index of the parameter at the cursor. */
  readonly active: number;
}

/** Undefined where nothing is being asked for. */
export function signatureAt(analysis: Analysis, offset: number, words: FeatureWords = ENGLISH): SignatureHelp | undefined {
  const cursor = cursorAt(analysis.text, offset);
  if (cursor?.kind !== 'value') return undefined;
  const expected = expectedAt(analysis.kind, cursor.path)?.expected;
  if (expected?.kind !== 'value') return undefined;
  const step = stepAt(analysis, cursor.replace.start);
  const { shape } = expected.shape;
  const isBand = shape === 'band' || (shape === 'when' && (step?.kind === 'measure' || step?.kind === 'decide'));
  if (!isBand && shape !== 'expression') return undefined;
  const typed = cursor.typed.replace(/^["']/, '');
  return callAt(typed) ?? (isBand ? comparisonAt(analysis, typed, step, words) : undefined);
}

/** The innermost call that is not closed yet. */
function callAt(typed: string): SignatureHelp | undefined {
  const open: { readonly name: string; arguments: number }[] = [];
  for (let at = 0; at < typed.length; at++) {
    const character = typed[at];
    if (character === '(') open.push({ name: /([a-z_][a-z0-9_]*)\s*$/i.exec(typed.slice(0, at))?.[1] ?? '', arguments: 0 });
    else if (character === ')') open.pop();
    else if ((character === ',' || character === ';') && open.length > 0) (open.at(-1) as { arguments: number }).arguments++;
  }
  for (const call of open.reverse()) {
    const found = functionSignature(call.name);
    if (!found) continue;
    const last = found.parameters.length - 1;
    return {
      label: found.label, says: found.says, parameters: placed(found.label, found.parameters),
      active: found.variadic ? Math.min(call.arguments, last) : call.arguments,
    };
  }
  return undefined;
}

/** The comparisons of a band; what each is met by stands among the words. */
const COMPARISONS: Readonly<Record<string, string>> = {
  'at least': 'at least LIMIT', 'at most': 'at most LIMIT', above: 'above LIMIT', below: 'below LIMIT', 'equal to': 'equal to LIMIT', between: 'between LOW and HIGH',
};
const SIGNS: Readonly<Record<string, string>> = { '>=': 'at least', '<=': 'at most', '>': 'above', '<': 'below', '=': 'equal to' };

/** The comparison whose limit is being typed. */
function comparisonAt(analysis: Analysis, typed: string, step: Step | undefined, { hover }: FeatureWords): SignatureHelp | undefined {
  const begun = [...typed.matchAll(/(?:^|\band\s+)(at least|at most|above|below|equal to|between|>=|<=|>|<|=)(?=\s|\d)/g)].at(-1);
  if (!begun) return undefined;
  const word = begun[1] ?? '';
  const comparison = SIGNS[word] ?? word;
  const label = COMPARISONS[comparison];
  if (label === undefined) return undefined;
  const rest = typed.slice(begun.index + begun[0].length);
  // What follows a limit is no part of it: another condition, or the point that it is for.
  if (/\bat\s/.test(rest) || (word !== 'between' && /\band\s/.test(rest)) || /\band\b.*\band\s/.test(rest)) return undefined;
  const says = limitSays(analysis, step);
  const names = word === 'between' ? ['LOW', 'HIGH'] : ['LIMIT'];
  return {
    label, says: hover.comparison[comparison] ?? '',
    parameters: placed(label, names.map((name) => ({ name, says }))),
    active: word === 'between' && /\band\s/.test(rest) ? 1 : 0,
  };
}

/** What a limit of this step may be. */
function limitSays({ scope }: Analysis, step: Step | undefined): string {
  const word = step?.kind === 'measure' && step.quantity ? quantityWord(step.quantity.value) : undefined;
  if (!word || !step) return 'A quantity, or an expression over readings, facts and values of the shop.';
  const { usualUnits } = describeQuantityWord(word);
  const instrument = scope?.instruments.get(step.instrument?.value ?? '')?.item;
  const reads = instrument?.measures.find(({ quantity }) => quantity.value === word);
  const title = instrument?.title?.value ?? step.instrument?.value ?? '';
  const nominal = scope?.circuits.get(step.circuit?.value ?? '')?.item.nominal?.value.text;
  return [
    `A ${quantityPhrase(word)}${usualUnits.length > 0 ? `, in ${unitsInWords(usualUnits)}` : ''}; or an expression over readings, facts and values of the shop.`,
    reads?.upTo && `${title} reads up to ${reads.upTo.value.text}${reads.resolution ? ` and shows ${reads.resolution.value.text}` : ''}.`,
    nominal !== undefined && `The circuit is nominally ${nominal}.`,
  ].filter(Boolean).join(' ');
}

function placed(label: string, parameters: readonly { readonly name: string; readonly says: string }[]): SignatureHelp['parameters'] {
  let from = label.indexOf('(') + 1;
  return parameters.map(({ name, says }) => {
    const start = label.indexOf(name, from);
    from = start + name.length;
    return { start, end: from, says };
  });
}
