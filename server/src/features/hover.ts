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
import { COMPARISONS } from './signature.ts';
import { stepAt, symbolAt } from './symbols.ts';
import type { Library } from './symbols.ts';
import { spanInScalar, treePathAt } from './tree-path.ts';
import { arrivalsAt, arrivalWords, shortestWalkTo, stepIndex } from './walks-here.ts';

export interface Hover {
  readonly markdown: string;
  readonly span: Span;
}

export function hoverAt(library: Library, analysis: Analysis, offset: number): Hover | undefined {
  return hoverSymbol(library, analysis, offset) ?? hoverKeyOrValue(analysis, offset);
}

function hoverSymbol(library: Library, analysis: Analysis, offset: number): Hover | undefined {
  const here = symbolAt(library, analysis, offset);
  const markdown = here && describeSymbol(library, analysis, here.symbol);
  if (!here || markdown === undefined) return undefined;
  const more = here.symbol.kind === 'step' && here.symbol.file === analysis.file ? onArrival(analysis, here.symbol.name) : [];
  return { markdown: [markdown, ...more].join('\n\n'), span: here.span };
}

function hoverKeyOrValue(analysis: Analysis, offset: number): Hover | undefined {
  const at = treePathAt(analysis.tree, offset);
  if (!at) return undefined;
  if (at.onKey) {
    const key = keyAt(analysis.kind, at.path);
    if (!key) {
      const holder = expectedAt(analysis.kind, at.path.slice(0, -1))?.expected;
      if (holder?.kind !== 'names') return undefined;
      return holder.of === 'quantity' ? hoverQuantityWord(at.scalar) : holder.of === 'check' ? hoverCheck(at.scalar) : undefined;
    }
    const kind =
      key.objectName === 'step' && (STEP_KINDS as readonly string[]).includes(key.name)
        ? ' (one of the five kinds of step)'
        : key.info.required
          ? ' (required)'
          : '';
    return { markdown: `**${key.name}**${kind}\n\n${key.info.says}`, span: at.scalar.span };
  }
  const place = expectedAt(analysis.kind, at.path);
  const expected = place?.expected;
  if (expected?.kind === 'value') {
    const { shape } = expected;
    if (shape.shape === 'name' && shape.of === 'quantity') return hoverQuantityWord(at.scalar);
    if (shape.shape === 'name' && shape.of === 'check') return hoverCheck(at.scalar);
    if (shape.shape === 'choice' && place?.key && shape.choices.includes(at.scalar.text))
      return { markdown: `**${at.scalar.text}**, a value of \`${place.key.name}\`\n\n${place.key.info.says}`, span: at.scalar.span };
    const called = /^(?:when|band|expression)$/.test(shape.shape) ? hoverFunction(at.scalar, offset) : undefined;
    if (called) return called;
  }
  const quantity = quantityHover(analysis, offset);
  if (quantity) return quantity;
  return isBand(analysis, expected, offset) ? hoverComparison(at.scalar, offset) : undefined;
}

/** Where a comparison is one: not in an answer that happens to be worded so. */
function isBand(analysis: Analysis, expected: Expected | undefined, offset: number): boolean {
  if (expected?.kind !== 'value') return false;
  const { shape } = expected.shape;
  const kind = stepAt(analysis, offset)?.kind;
  return shape === 'band' || (shape === 'when' && (kind === 'measure' || kind === 'decide'));
}

function hoverComparison(scalar: ScalarNode, offset: number): Hover | undefined {
  for (const match of scalar.text.matchAll(/\b(?:at least|at most|above|below|equal to|between)\b/g)) {
    const span = spanInScalar(scalar, { start: match.index, end: match.index + match[0].length });
    const comparison = COMPARISONS[match[0]];
    if (comparison && spanHolds(span, offset)) return { markdown: `**${match[0]}**\n\n${comparison.says}`, span };
  }
  return undefined;
}

function hoverQuantityWord({ text, span }: ScalarNode): Hover | undefined {
  const word = quantityWord(text);
  if (word === undefined) return undefined;
  const { title, usualUnits } = describeQuantityWord(word);
  return { markdown: `**${title}**${usualUnits.length > 0 ? `\n\nUsual units: ${usualUnits.join(', ')}` : ''}`, span };
}

function hoverCheck({ text, span }: ScalarNode): Hover | undefined {
  const check = checkNamed(text);
  return check && { markdown: `**${check.name}**, check (${check.severity})\n\n${prose(check.proves)}\n\n${prose(check.why)}`, span };
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
function onArrival(analysis: Analysis, name: string): string[] {
  const index = stepIndex(analysis, name);
  if (index === undefined) return [];
  const walk = shortestWalkTo(analysis, index);
  const from = arrivalWords(analysis, arrivalsAt(analysis, index));
  const minutes = minutesSoFar(analysis).get(index);
  const possible = stillPossible(analysis, index);
  return [
    ...(walk ? [] : ['No walk comes here.']),
    ...(from === undefined ? [] : [`Reached from ${prose(from)}.`]),
    ...(walk && walk.length > 2 ? [`Shortest walk here: ${walkText(walk)}`] : []),
    ...(minutes && index > 0 ? [`Time so far: ${minutesText(minutes)}`] : []),
    ...(possible === undefined ? [] : [possible]),
  ];
}

/** Walks longer than this are shown by their beginning and their end. */
const LONGEST_WALK = 9;

function walkText(walk: readonly WitnessStep[]): string {
  const shown = ({ step, result }: WitnessStep): string => `\`${step.replaceAll('`', '')}\`${result === undefined ? '' : ` (${prose(result)})`}`;
  if (walk.length <= LONGEST_WALK) return walk.map(shown).join(' → ');
  const [head, tail] = [walk.slice(0, 2), walk.slice(-5)];
  return [...head.map(shown), `… ${walk.length - head.length - tail.length} steps …`, ...tail.map(shown)].join(' → ');
}

/** The faults that some walk has not excluded on arrival at a step. */
function stillPossible(analysis: Analysis, index: number): string | undefined {
  const { program } = analysis;
  const faults = possibleAtSteps(analysis).get(index);
  if (!program || faults === undefined) return undefined;
  const names = faults.map((fault) => `\`${program.faults[fault] ?? ''}\``);
  if (names.length === program.faults.length) return `Still possible here: all ${names.length} faults`;
  return names.length > MOST_FAULTS
    ? `Still possible here: ${names.slice(0, MOST_FAULTS).join(', ')} and ${names.length - MOST_FAULTS} more`
    : `Still possible here: ${names.join(', ') || 'no fault'}`;
}

const MOST_FAULTS = 12;
