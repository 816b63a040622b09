/** What the word at a place means: a key of the format, a name, or a quantity in other units. */
import type { Analysis } from '../analysis/analysis.ts';
import { STEP_KINDS } from '../procedure/keys.ts';
import { describeQuantityWord, quantityWord } from '../quantity/quantity-words.ts';
import { spanHolds } from '../text/span.ts';
import type { Span } from '../text/span.ts';
import { describeSymbol } from './describe.ts';
import { possibleAtSteps } from './diagnosis-possible.ts';
import { expectedAt, keyAt } from './expected.ts';
import { inOtherUnits, quantitiesIn } from './quantities.ts';
import { symbolAt } from './symbols.ts';
import type { Library, Symbol } from './symbols.ts';
import { spanInScalar, treePathAt } from './tree-path.ts';

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
  const more =
    here.symbol.kind === 'step' && here.symbol.file === analysis.file ? stillPossible(analysis, here.symbol) : undefined;
  return { markdown: more === undefined ? markdown : `${markdown}\n\n${more}`, span: here.span };
}

function hoverKeyOrValue(analysis: Analysis, offset: number): Hover | undefined {
  const at = treePathAt(analysis.tree, offset);
  if (!at) return undefined;
  if (at.onKey) {
    const key = keyAt(analysis.kind, at.path);
    if (!key) return undefined;
    const kind =
      key.objectName === 'step' && (STEP_KINDS as readonly string[]).includes(key.name)
        ? ' (one of the five kinds of step)'
        : key.info.required
          ? ' (required)'
          : '';
    return { markdown: `**${key.name}**${kind}\n\n${key.info.says}`, span: at.scalar.span };
  }
  const expected = expectedAt(analysis.kind, at.path)?.expected;
  if (expected?.kind === 'value' && expected.shape.shape === 'name' && expected.shape.of === 'quantity') {
    const word = quantityWord(at.scalar.text);
    if (word === undefined) return undefined;
    const { title, usualUnits } = describeQuantityWord(word);
    return {
      markdown: `**${title}**${usualUnits.length > 0 ? `\n\nUsual units: ${usualUnits.join(', ')}` : ''}`,
      span: at.scalar.span,
    };
  }
  for (const { quantity, span } of quantitiesIn(at.scalar.text)) {
    const inFile = spanInScalar(at.scalar, span);
    if (!spanHolds(inFile, offset)) continue;
    const others = inOtherUnits(quantity);
    if (others.length > 0)
      return { markdown: `**${quantity.text}**\n\n${others.map((one) => `= ${one}`).join('\n\n')}`, span: inFile };
  }
  return undefined;
}

/** The faults that some walk has not excluded on arrival at a step. */
function stillPossible(analysis: Analysis, symbol: Symbol): string | undefined {
  const { program } = analysis;
  const step = program?.steps.find((one) => one.name === symbol.name);
  const faults = step && possibleAtSteps(analysis).get(step.index);
  if (!program || faults === undefined) return undefined;
  const names = faults.map((fault) => `\`${program.faults[fault] ?? ''}\``);
  return names.length === program.faults.length
    ? `Still possible here: all ${names.length} faults`
    : `Still possible here: ${names.join(', ') || 'no fault'}`;
}
