/** The one bound whose kind depends on the reading: `300 K` is a temperature where a temperature is read. */
import type { Expression } from './expression.ts';

export function isPointLiteral(bound: Expression, readingDimension: string): boolean {
  return readingDimension === 'temperature' && bound.kind === 'quantity' && bound.quantity.unit?.symbol === 'K';
}
