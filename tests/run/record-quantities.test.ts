/**
 * Readings in a record for other programs: number and UCUM code, held against @lhncbc/ucum-lhc, a general-purpose UCUM library; and
 * records that earlier versions wrote without them.
 */
import { createRequire } from 'node:module';
import { readFileSync } from 'node:fs';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { describe, expect, it } from 'vitest';
import { describeQuantityWord, QUANTITY_WORDS } from '../../server/src/quantity/quantity-words.ts';
import { renderRecordText } from '../../server/src/render/record-text.ts';
import { applyEvent } from '../../server/src/run/engine.ts';
import { buildRecord, checkRecord, type RunRecord } from '../../server/src/run/record.ts';
import { AT, begin, checklistOf, minutes, take } from './fixtures.ts';
import { HEAD } from './small.ts';

const schema = JSON.parse(readFileSync(new URL('../../schemas/record.schema.json', import.meta.url), 'utf8')) as object;
const validate = new Ajv2020({ allErrors: true, strict: true }).compile(schema);

interface Ucum {
  validateUnitString(code: string): { readonly status: string };
  convertUnitTo(from: string, value: number, to: string): { readonly status: string; readonly toVal: number | null };
}
const { UcumLhcUtils } = createRequire(import.meta.url)('@lhncbc/ucum-lhc') as { UcumLhcUtils: { getInstance(): Ucum } };
const ucum = UcumLhcUtils.getInstance();

const document = (quantity: string, instrument = '') => checklistOf(`${HEAD}
steps:
  - {step: reading, measure: ${quantity}${instrument}}
  - {step: last, ask: Is it done?, results: [{when: yes, passes: true}, {when: no, finds: wire}]}
`);

/** A run with one reading, stopped after it; undefined where the reading is refused. */
function recordOf(quantity: string, typed: string, instrument?: string): RunRecord | undefined {
  const run = applyEvent(begin(document(quantity, instrument)), { kind: 'reading', typed, at: AT });
  if (run.problem !== undefined) return undefined;
  return JSON.parse(JSON.stringify(buildRecord(take(run, { kind: 'stopped', reason: 'Enough.', at: minutes(1) }), 'run-1'))) as RunRecord;
}

const entryOf = (record: RunRecord | undefined) => record?.walk[0]?.entries[0];

describe('a reading in a record', () => {
  it.each(QUANTITY_WORDS.map((word) => [word] as const))('of %s has a code that is UCUM, in every usual unit', (word) => {
    const { usualUnits } = describeQuantityWord(word);
    for (const unit of usualUnits.length > 0 ? usualUnits : ['']) {
      const record = recordOf(word, `3 ${unit}`.trim());
      expect(validate(record), JSON.stringify(validate.errors)).toBe(true);
      const quantity = entryOf(record)?.quantity ?? { value: NaN, ucum: '' };
      expect({ unit, value: quantity.value, status: ucum.validateUnitString(quantity.ucum).status }).toEqual({ unit, value: 3, status: 'valid' });
    }
  });

  it.each([
    ['dc_voltage', '12,6', 'V', 12.6],
    ['dc_voltage', '450 mV', 'V', 0.45],
    ['temperature', '50 °F', 'Cel', 10],
    ['temperature', '-40', '[degF]', -40],
    ['torque', '85 lb·ft', 'N.m', 115.2444],
    ['pressure', '29 psi', 'bar', 1.99948],
    ['resistance', '0.2 kohm', 'Ohm', 200],
    ['length', '0.5 in', 'mm', 12.7],
  ])('of %s, %s, is so much in %s', (word, typed, to, value) => {
    const quantity = entryOf(recordOf(word, typed))!.quantity!;
    const from = quantity.ucum.replace(/\{[^}]*\}/g, '');
    const { toVal } = ucum.convertUnitTo(from, quantity.value, to);
    expect(toVal).toBeCloseTo(value, 3);
  });

  it('of a lamp, and an overload, is no number', () => {
    expect(entryOf(recordOf('dc_voltage', 'lit', ', with: test_lamp'))).toMatchObject({ understood: 'lit' });
    expect(entryOf(recordOf('dc_voltage', 'lit', ', with: test_lamp'))).not.toHaveProperty('quantity');
    expect(entryOf(recordOf('resistance', 'OL'))).not.toHaveProperty('quantity');
  });

  it('is shown with its code', () => {
    expect(renderRecordText(recordOf('temperature', '70 °F')!, [], 100)).toContain('70 °F (UCUM [degF])');
  });
});

describe('a record of an earlier version', () => {
  const made = take(applyEvent(begin(document('dc_voltage')), { kind: 'reading', typed: '12.6', at: AT }), { kind: 'stopped', reason: 'Enough.', at: minutes(1) });
  const earlier = JSON.parse(JSON.stringify(buildRecord(made, 'run-1', [], { quantities: false }))) as RunRecord;

  it('has no such numbers, validates, and is whole', () => {
    expect(JSON.stringify(earlier)).not.toContain('ucum');
    expect(validate(earlier), JSON.stringify(validate.errors)).toBe(true);
    expect(checkRecord(earlier, document('dc_voltage'))).toEqual([]);
  });

  it('is told from one of today whose number was altered', () => {
    const today = JSON.parse(JSON.stringify(buildRecord(made, 'run-1'))) as { walk: { entries: { quantity?: { value: number } }[] }[] };
    expect(checkRecord(today, document('dc_voltage'))).toEqual([]);
    today.walk[0]!.entries[0]!.quantity!.value = 13.6;
    expect(checkRecord(today, document('dc_voltage'))).toMatchObject([{ kind: 'altered' }]);
  });
});
