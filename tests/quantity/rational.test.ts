/** Exact fractions: the laws of arithmetic, rounding, and reading of decimals. */
import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import {
  addRational, ceilingRational, compareRational, divideRational, equalRational, exactDecimals, floorRational, multiplyRational,
    negateRational, orderOfMagnitude, parseDecimal, rational, rationalToDecimal,
  rationalToNumber, rationalToText, subtractRational,
} from '../../server/src/quantity/rational.ts';

const fraction = fc.tuple(fc.bigInt({ min: -(10n ** 12n), max: 10n ** 12n }), fc.bigInt({ min: 1n, max: 10n ** 9n })).map(([n,
  d]) => rational(n, d));

describe('rational', () => {
  it('keeps fractions in lowest terms with a positive denominator', () => {
    expect(rational(6, -4)).toEqual({ numerator: -3n, denominator: 2n });
    expect(rational(0, -7)).toEqual({ numerator: 0n, denominator: 1n });
    expect(rational(0.1)).toEqual({ numerator: 1n, denominator: 10n });
    expect(rational(1e-7)).toEqual({ numerator: 1n, denominator: 10_000_000n });
    expect(() => rational(1, 0)).toThrow(RangeError);
    expect(() => rational(Number.NaN)).toThrow(RangeError);
  });

  it('adds, subtracts, multiplies and divides without loss', () => {
    fc.assert(fc.property(fraction, fraction, fraction, (a, b, c) => {
      expect(equalRational(subtractRational(addRational(a, b), b), a)).toBe(true);
      expect(equalRational(multiplyRational(a, addRational(b, c)), addRational(multiplyRational(a, b), multiplyRational(a,
        c)))).toBe(true);
      if (b.numerator !== 0n) expect(equalRational(multiplyRational(divideRational(a, b), b), a)).toBe(true);
      expect(compareRational(a, b)).toBe(-compareRational(b, a) + 0 || 0);
    }));
  });

  it('compares as numbers do, where numbers can tell', () => {
    fc.assert(fc.property(fc.integer(), fc.integer({ min: 1 }), fc.integer(), fc.integer({ min: 1 }), (a, b, c, d) => {
      expect(compareRational(rational(a, b), rational(c,
        d))).toBe(Math.sign(Number(BigInt(a) * BigInt(d) - BigInt(c) * BigInt(b))));
    }));
  });

  it('reads what it writes', () => {
    fc.assert(fc.property(fc.bigInt({ min: -(10n ** 15n), max: 10n ** 15n }), fc.integer({ min: 0, max: 12 }), (digits,
      decimals) => {
      const value = rational(digits, 10n ** BigInt(decimals));
      expect(parseDecimal(rationalToDecimal(value, { decimals }))).toEqual(value);
      expect(parseDecimal(rationalToText(value))).toEqual(value);
    }));
  });

  it('floors and ceils on both sides of zero', () => {
    expect([rational(7, 2), rational(-7, 2), rational(4), rational(-4)].map(floorRational)).toEqual([3n, -4n, 4n, -4n]);
    expect([rational(7, 2), rational(-7, 2), rational(4)].map(ceilingRational)).toEqual([4n, -3n, 4n]);
  });

  it('knows its order of magnitude', () => {
    fc.assert(fc.property(fraction.filter((each) => each.numerator !== 0n), (value) => {
      const order = orderOfMagnitude(value);
      const size = Math.abs(rationalToNumber(value));
      expect(size).toBeGreaterThanOrEqual(10 ** order * (1 - 1e-9));
      expect(size).toBeLessThan(10 ** (order + 1) * (1 + 1e-9));
    }));
  });

  it('writes to significant figures', () => {
    const write = (n: number, d: number, significant: number) => rationalToDecimal(rational(n, d), { significant });
    expect([write(999, 100, 2), write(1, 3, 3), write(123_456, 1, 2), write(5, 1000, 2), write(0, 1, 3)]).toEqual(['10', '0.333',
      '120000', '0.0050', '0.00']);
  });

  it('says when a decimal is exact', () => {
    expect([rational(1, 8), rational(1, 3), rational(7, 16), rational(12)].map(exactDecimals)).toEqual([3, undefined, 4, 0]);
    expect(rationalToText(rational(1, 3))).toBe('0.3333333');
  });

  it.each(['', '.', '-', '1.2.3', '1e', 'e5', '1e999', '0x10', ' 1', '1 ', '1,5', '9'.repeat(41),
    `1e${'9'.repeat(50)}`])('refuses %j', (text) => {
    expect(parseDecimal(text)).toBeUndefined();
  });

  it.each([['.5', '0.5'], ['5.', '5'], ['-0.50', '-0.5'], ['1.2e3', '1200'], ['1E-2', '0.01'],
    ['+3', '3']])('reads %s as %s', (text, plain) => {
    expect(rationalToText(parseDecimal(text) ?? rational(99))).toBe(plain);
  });

  it('turns very large and very small fractions into numbers', () => {
    expect(rationalToNumber(rational(10n ** 400n, 10n ** 399n))).toBeCloseTo(10, 6);
    expect(rationalToNumber(negateRational(rational(1n, 3n)))).toBeCloseTo(-1 / 3, 12);
  });
});
