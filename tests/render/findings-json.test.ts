import Ajv2020 from 'ajv/dist/2020.js';
import { expect, test } from 'vitest';
import { renderFindingsJson } from '../../server/src/render/findings-json.ts';
import { FINDINGS, LIFT, outcomeOf } from './outcome-fixture.ts';

/** The contract with other programs, written down once more so that a change of the renderer alone is noticed. */
const CONTRACT = {
  type: 'object',
  required: ['findings', 'files', 'milliseconds'],
  additionalProperties: false,
  properties: {
    files: { type: 'integer', minimum: 0 },
    milliseconds: { type: 'number', minimum: 0 },
    findings: {
      type: 'array',
      items: {
        type: 'object',
        required: ['file', 'check', 'severity', 'line', 'column', 'endLine', 'endColumn', 'message', 'note', 'help', 'witness'],
        additionalProperties: false,
        properties: {
          file: { type: 'string' },
          check: { type: 'string', pattern: '^[a-z]+(-[a-z]+)*$' },
          severity: { enum: ['error', 'warning', 'hint'] },
          line: { type: 'integer', minimum: 1 },
          column: { type: 'integer', minimum: 1 },
          endLine: { type: 'integer', minimum: 1 },
          endColumn: { type: 'integer', minimum: 1 },
          message: { type: 'string', minLength: 1 },
          note: { type: 'string' },
          help: { type: 'string' },
          witness: { type: 'array', items: { type: 'string' } },
        },
      },
    },
  },
};

test('the JSON keeps its contract', () => {
  const validate = new Ajv2020({ allErrors: true }).compile(CONTRACT);
  const value: unknown = JSON.parse(renderFindingsJson(outcomeOf(FINDINGS)));
  expect(validate(value), JSON.stringify(validate.errors)).toBe(true);
  // The contract itself must be able to refuse.
  expect(validate({ findings: [{ file: 'a' }], files: 1, milliseconds: 1 })).toBe(false);
});

test('the first finding, whole', () => {
  expect(JSON.parse(renderFindingsJson(outcomeOf(FINDINGS)))).toMatchObject({
    files: 2,
    milliseconds: 12,
    findings: [
      {
        file: 'lift.procedure.yaml',
        check: 'live-resistance-test',
        severity: 'error',
        line: 9,
        column: 5,
        endLine: 9,
        endColumn: 24,
        message: "Step 'coil' reads resistance while circuit 'lift_control' can be live.",
        witness: ['listen', 'coil'],
      },
      { check: 'dead-end', note: '', help: '', witness: [] },
      { check: 'vague-word' },
    ],
  });
  expect(LIFT.split('\n')[8]?.slice(4, 23)).toBe('measure: resistance');
});

test('accepted deviations are not findings that count', () => {
  expect(renderFindingsJson(outcomeOf(FINDINGS))).not.toContain('long-instruction');
});

test('marks that could do harm are escapes, and the value is the same', () => {
  const message = 'a\u202eb\u001b[31mc\u009b';
  const text = renderFindingsJson(outcomeOf([{ check: 'unknown-name', severity: 'error', file: '/depot/x', span: { start: 0, end: 0 }, message }]));
  // eslint-disable-next-line no-control-regex
  expect(text).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u202e]/);
  expect((JSON.parse(text) as { findings: { message: string }[] }).findings[0]?.message).toBe(message);
});
