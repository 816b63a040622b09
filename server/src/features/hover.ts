/** What the word at a place means: a key of the format, a name, or a quantity in other units. */
import type { Analysis } from '../analysis/analysis.ts';
import type { WitnessStep } from '../findings/finding.ts';
import { checkNamed } from '../checks/all.ts';
import { STEP_KINDS } from '../procedure/keys.ts';
import { describeQuantityWord, quantityWord } from '../quantity/quantity-words.ts';
import type { ScalarNode } from '../syntax/tree.ts';
import { spanHolds } from '../text/span.ts';
import type { Span } from '../text/span.ts';
import { describeSymbol, prose } from './describe.ts';
import { possibleAtSteps } from './diagnosis-possible.ts';
import { expectedAt, keyAt } from './expected.ts';
import type { Expected } from './expected.ts';
import { functionSignature } from './function-signatures.ts';
import { minutesText } from './inlay-hints.ts';
import { minutesSoFar } from './minutes-so-far.ts';
import { quantityHover } from './quantity-hover.ts';
import { stepAt, symbolAt } from './symbols.ts';
import type { Library } from './symbols.ts';
import { spanInScalar, treePathAt } from './tree-path.ts';
import { arrivalsAt, arrivalWords, shortestWalkTo, stepIndex } from './walks-here.ts';
import { ENGLISH, type FeatureWords } from './words-english.ts';

export interface Hover {
  readonly markdown: string;
  readonly span: Span;
}

export function hoverAt(library: Library, analysis: Analysis, offset: number, words: FeatureWords = ENGLISH): Hover | undefined {
  return hoverSymbol(library, analysis, offset, words) ?? hoverKeyOrValue(analysis, offset, words);
}

function hoverSymbol(library: Library, analysis: Analysis, offset: number, words: FeatureWords): Hover | undefined {
  const here = symbolAt(library, analysis, offset);
  const markdown = here && describeSymbol(library, analysis, here.symbol, words);
  if (!here || markdown === undefined) return undefined;
  const more = here.symbol.kind === 'step' && here.symbol.file === analysis.file ? onArrival(analysis, here.symbol.name, words) : [];
  return { markdown: [markdown, ...more].join('\n\n'), span: here.span };
}

function hoverKeyOrValue(analysis: Analysis, offset: number, words: FeatureWords): Hover | undefined {
  const at = treePathAt(analysis.tree, offset);
  if (!at) return undefined;
  if (at.onKey) {
    const key = keyAt(analysis.kind, at.path);
    if (!key) {
      const holder = expectedAt(analysis.kind, at.path.slice(0, -1))?.expected;
      if (holder?.kind !== 'names') return undefined;
      return holder.of === 'quantity' ? hoverQuantityWord(at.scalar, words) : holder.of === 'check' ? hoverCheck(at.scalar, words) : undefined;
    }
    const kind =
      key.objectName === 'step' && (STEP_KINDS as readonly string[]).includes(key.name)
        ? ` (${words.hover.kindOfStep})`
        : key.info.required
          ? ` (${words.hover.required})`
          : '';
    return { markdown: `**${key.name}**${kind}\n\n${key.info.says}`, span: at.scalar.span };
  }
  const place = expectedAt(analysis.kind, at.path);
  const expected = place?.expected;
  if (expected?.kind === 'value') {
    const { shape } = expected;
    if (shape.shape === 'name' && shape.of === 'quantity') return hoverQuantityWord(at.scalar, words);
    if (shape.shape === 'name' && shape.of === 'check') return hoverCheck(at.scalar, words);
    if (shape.shape === 'choice' && place?.key && shape.choices.includes(at.scalar.text))
      return { markdown: `**${at.scalar.text}**, ${words.hover.valueOf(`\`${place.key.name}\``)}\n\n${place.key.info.says}`, span: at.scalar.span };
    const called = /^(?:when|band|expression)$/.test(shape.shape) ? hoverFunction(at.scalar, offset) : undefined;
    if (called) return called;
  }
  const quantity = quantityHover(analysis, offset, words);
  if (quantity) return quantity;
  return isBand(analysis, expected, offset) ? hoverComparison(at.scalar, offset, words) : undefined;
}

/** Where a comparison is one: not in an answer that happens to be worded so. */
function isBand(analysis: Analysis, expected: Expected | undefined, offset: number): boolean {
  if (expected?.kind !== 'value') return false;
  const { shape } = expected.shape;
  const kind = stepAt(analysis, offset)?.kind;
  return shape === 'band' || (shape === 'when' && (kind === 'measure' || kind === 'decide'));
}

function hoverComparison(scalar: ScalarNode, offset: number, { hover }: FeatureWords): Hover | undefined {
  for (const match of scalar.text.matchAll(/\b(?:at least|at most|above|below|equal to|between)\b/g)) {
    const span = spanInScalar(scalar, { start: match.index, end: match.index + match[0].length });
    const says = hover.comparison[match[0]];
    if (says !== undefined && spanHolds(span, offset)) return { markdown: `**${match[0]}**\n\n${says}`, span };
  }
  return undefined;
}

function hoverQuantityWord({ text, span }: ScalarNode, { hover }: FeatureWords): Hover | undefined {
  const word = quantityWord(text);
  if (word === undefined) return undefined;
  const { title, usualUnits } = describeQuantityWord(word);
  return { markdown: `**${hover.quantity(title)}**${usualUnits.length > 0 ? `\n\n${hover.usualUnits(usualUnits.join(', '))}` : ''}`, span };
}

function hoverCheck({ text, span }: ScalarNode, { hover }: FeatureWords): Hover | undefined {
  const check = checkNamed(text);
  return check && { markdown: `**${check.name}**, ${hover.check} (${hover.severity(check.severity)})\n\n${prose(check.proves)}\n\n${prose(check.why)}`, span };
}

/** The name of a function before its bracket. */
function hoverFunction(scalar: ScalarNode, offset: number): Hover | undefined {
  for (const match of scalar.text.matchAll(/[a-z_][a-z0-9_]*(?=\s*\()/gi)) {
    const span = spanInScalar(scalar, { start: match.index, end: match.index + match[0].length });
    const signature = spanHolds(span, offset) ? functionSignature(match[0]) : undefined;
    if (!signature) continue;
    const parameters = signature.parameters.map(({ name, says }) => `- \`${name}\`: ${says}`);
    return { markdown: [`\`${signature.label}\``, ...parameters, signature.says].join('\n\n'), span };
  }
  return undefined;
}

/** How walks come to a step, how long that takes, and what is still possible then. */
function onArrival(analysis: Analysis, name: string, words: FeatureWords): string[] {
  const { hover } = words;
  const index = stepIndex(analysis, name);
  if (index === undefined) return [];
  const walk = shortestWalkTo(analysis, index);
  const from = arrivalWords(analysis, arrivalsAt(analysis, index), words);
  const minutes = minutesSoFar(analysis).get(index);
  const possible = stillPossible(analysis, index, words);
  return [
    ...(walk ? [] : [hover.noWalk]),
    ...(from === undefined ? [] : [hover.reached(prose(from))]),
    ...(walk && walk.length > 2 ? [hover.walk(walkText(walk, words))] : []),
    ...(minutes && index > 0 ? [hover.timeSoFar(minutesText(minutes, words))] : []),
    ...(possible === undefined ? [] : [possible]),
  ];
}

/** Walks longer than this are shown by their beginning and their end. */
const LONGEST_WALK = 9;

function walkText(walk: readonly WitnessStep[], { hover }: FeatureWords): string {
  const shown = ({ step, result }: WitnessStep): string => `\`${step.replaceAll('`', '')}\`${result === undefined ? '' : ` (${prose(result)})`}`;
  if (walk.length <= LONGEST_WALK) return walk.map(shown).join(' → ');
  const [head, tail] = [walk.slice(0, 2), walk.slice(-5)];
  return [...head.map(shown), hover.stepsBetween(walk.length - head.length - tail.length), ...tail.map(shown)].join(' → ');
}

/** The faults that some walk has not excluded on arrival at a step. */
function stillPossible(analysis: Analysis, index: number, { possible }: FeatureWords): string | undefined {
  const { program } = analysis;
  const faults = possibleAtSteps(analysis).get(index);
  if (!program || faults === undefined) return undefined;
  const names = faults.map((fault) => `\`${program.faults[fault] ?? ''}\``);
  if (names.length === program.faults.length) return possible.all(names.length);
  return names.length > MOST_FAULTS
    ? possible.more(names.slice(0, MOST_FAULTS).join(', '), names.length - MOST_FAULTS)
    : possible.names(names.join(', ') || possible.none);
}

const MOST_FAULTS = 12;
