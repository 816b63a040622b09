import { formatQuantityPlain } from '../quantity/format-quantity.ts';
import { findQuantitiesInProse, quantitiesAgree } from '../quantity/prose-quantities.ts';
import { rationalToDecimal } from '../quantity/rational.ts';
import { fromBase } from '../quantity/quantity.ts';
import type { Span } from '../text/span.ts';
import type { Check } from './check.ts';
import { ownerOf, placeInProse, proseOf } from './prose-of.ts';

/** A mark that may pair a number with the one before it: most texts have none. */
const PERHAPS_PAIRED = /[([/=≈]/u;

export const pairedUnitsDisagree: Check = {
  name: 'paired-units-disagree',
  severity: 'error',
  group: 'quantities',
  proves: 'A value that a text gives in two units is one value, as far as both are rounded.',
  why: 'One shop reads the first number, the next shop the second, and one of the two bolts breaks.',
  source: 'NIST SP 811, appendix B: conversion factors and rounding (from memory)',
  bad: `procedure: nuts
title: Wheel nuts
steps:
  - step: tighten
    do: [Tighten the nuts to 35 N·m (36 lb·ft).]
  - step: look
    ask: Do all pointers stand in line?
    results:
      - when: yes
        passes: true
      - when: no
        refer: Tighten the nuts again.
`,
  good: `procedure: nuts
title: Wheel nuts
steps:
  - step: tighten
    do: [Tighten the nuts to 35 N·m (26 lb·ft).]
  - step: look
    ask: Do all pointers stand in line?
    results:
      - when: yes
        passes: true
      - when: no
        refer: Tighten the nuts again.
`,
  textsAlone: true,
  texts: 'each',
  *run(context) {
    const { file, text } = context;
    for (const at of proseOf(context)) {
      if (!PERHAPS_PAIRED.test(at.text)) continue;
      for (const { quantity, span, pairedWith } of findQuantitiesInProse(at.text)) {
        // Each pair is met twice; the second number is the one that was converted.
        if (pairedWith === undefined || pairedWith.span.start > span.start || quantitiesAgree(pairedWith.quantity, quantity) !== false) continue;
        const first = pairedWith.quantity;
        const { unit } = quantity;
        if (unit === undefined || !isConversion(at.text, pairedWith.span, span, unit.dimension)) continue;
        const decimals = Math.max(quantity.decimals, rationalToDecimal(fromBase(first.base, unit), { significant: 2 }).split('.')[1]?.length ?? 0);
        const right = formatQuantityPlain({ base: first.base, unit }, { decimals });
        const place = placeInProse(at.prose, span.start, span.end);
        const written = quantity.text.trim();
        const inOneLine = text.slice(place.start, place.end) === at.text.slice(span.start, span.end);
        yield {
          span: place,
          ...ownerOf(at),
          message: `${first.text.trim()} is ${right}, not ${written}.`,
          help: 'Find out which of the two is meant, and correct the other.',
          ...(inOneLine ? { fixes: [{ title: `Change ${written} to ${right}`, edits: [{ file, span: place, newText: right }], altersMeaning: true }] } : {}),
        };
      }
    }
  },
};

/** '1 h (30 min each)' and '20 A / 250 mA' are two things, no conversion. */
function isConversion(text: string, first: Span, second: Span, dimension: string): boolean {
  if (dimension === 'time') return false;
  const join = text.slice(first.end, second.start);
  // In brackets it stands alone, or as a range does: (26 lb·ft), (26–30 lb·ft).
  if (/[([]/u.test(join)) return /^\s*(?:(?:-|–|—|to|±|\+\/-)[^()[\]]*)?[)\]]/u.test(text.slice(second.end));
  return /[=≈]/u.test(join) || !RATINGS.includes(dimension);
}

/** What is written side by side as the ratings of a part. */
const RATINGS = ['voltage', 'current', 'resistance', 'power'];
