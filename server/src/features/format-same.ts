/** Whether two texts say the same: their models compared, places and spelling of values left out. What the formatter answers to. */
import type { FileKind } from '../analysis/analysis.ts';
import { buildAssets } from '../procedure/build-assets.ts';
import { buildProcedure } from '../procedure/build-procedure.ts';
import { buildShop } from '../procedure/build-shop.ts';
import type { Band, Expression } from '../quantity/expression.ts';
import type { Quantity } from '../quantity/quantity.ts';

/** Whether two texts of one kind of file are read as the same model, with the same problems. */
export function readTheSame(kind: FileKind, first: string, second: string): boolean {
  return modelText(kind, first) === modelText(kind, second);
}

export function quantitiesAreSame(first: Quantity, second: Quantity): boolean {
  return plain(first) === plain(second);
}

export function bandsAreSame(first: Band, second: Band): boolean {
  return plain(first) === plain(second);
}

export function expressionsAreSame(first: Expression, second: Expression): boolean {
  return plain(first) === plain(second);
}

function modelText(kind: FileKind, text: string): string {
  switch (kind) {
    case 'procedure':
      return plain(withProblems(buildProcedure('', text).procedure));
    case 'shop':
      return plain(withProblems(buildShop('', text).shop));
    case 'assets':
      return plain(withProblems(buildAssets('', text).assets));
    case 'other':
      return text;
  }
}

/** Problems by check and step, in any order: their words hold what was written. */
function withProblems<M extends { readonly problems: readonly { readonly check: string; readonly step?: string }[] }>(model: M): object {
  return { ...model, problems: model.problems.map(({ check, step }) => `${check} ${step ?? ''}`).sort() };
}

/** The model as a text without places, and of a value what it is, not how it was written. */
function plain(model: unknown): string {
  return JSON.stringify(model, (key, value: unknown) => {
    if (typeof value === 'bigint') return value.toString();
    if (key === 'node' || key === 'span' || key === 'nameSpan' || /Span$/.test(key)) return undefined;
    if (value === null || typeof value !== 'object') return value;
    if (isQuantity(value)) {
      const { base, unit, decimals } = value;
      return { base: [base.numerator.toString(), base.denominator.toString()], unit: unit && [unit.symbol, unit.supply], decimals };
    }
    // What was understood of a band or an expression stands beside its text.
    if (('band' in value && value.band !== undefined) || ('expression' in value && value.expression !== undefined)) return { ...value, text: undefined };
    return value;
  });
}

function isQuantity(value: object): value is Quantity {
  return 'base' in value && 'decimals' in value && 'text' in value;
}
