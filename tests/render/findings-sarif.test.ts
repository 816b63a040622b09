import Ajv2020 from 'ajv/dist/2020.js';
import addFormats from 'ajv-formats';
import { expect, test } from 'vitest';
import { renderFindingsSarif, sarifLog } from '../../server/src/render/findings-sarif.ts';
import type { SarifRule } from '../../server/src/render/findings-sarif.ts';
import { FINDINGS, LIFT, outcomeOf } from './outcome-fixture.ts';
import { SARIF_SCHEMA } from './sarif-schema.ts';

const RULES: readonly SarifRule[] = [
  { name: 'live-resistance-test', severity: 'error', group: 'safety', proves: 'No resistance is read from a live circuit.', why: 'Voltage damages the meter.', source: 'common practice, no source' },
  { name: 'dead-end', severity: 'warning', group: 'flow', proves: 'Every result leads on.' },
];

function validator() {
  const ajv = new Ajv2020({ allErrors: true, strict: false });
  addFormats.default(ajv);
  return ajv.compile(SARIF_SCHEMA);
}

test('the log keeps to the schema, and the schema refuses what is wrong', () => {
  const validate = validator();
  const log = JSON.parse(renderFindingsSarif(outcomeOf(FINDINGS), RULES, '0.1.0')) as { version: string; runs: Record<string, unknown>[] };
  expect(validate(log), JSON.stringify(validate.errors)).toBe(true);
  expect(validate({ ...log, version: '2.0.0' })).toBe(false);
  expect(validate({ ...log, runs: [{ ...log.runs[0], finding: [] }] })).toBe(false);
  expect(validate({ ...log, runs: [{ ...log.runs[0], results: [{ message: {} }] }] })).toBe(false);
});

test('every result points at its rule', () => {
  const [run] = sarifLog(outcomeOf(FINDINGS), RULES, '0.1.0').runs;
  const rules = run?.tool.driver.rules ?? [];
  for (const result of run?.results ?? []) expect(rules[result.ruleIndex ?? -1]?.id).toBe(result.ruleId);
  // Checks that no rule describes are there all the same.
  expect(rules.map(({ id }) => id)).toEqual(['dead-end', 'live-resistance-test', 'long-instruction', 'vague-word']);
});

test('severity, walk, related places, fix and suppression', () => {
  const results = sarifLog(outcomeOf(FINDINGS), RULES, '0.1.0').runs[0]?.results ?? [];
  expect(results.map(({ level }) => level)).toEqual(['error', 'warning', 'note', 'note']);
  expect(results[0]?.codeFlows?.[0]?.threadFlows[0]?.locations.map(({ location }) => location?.message?.text)).toEqual(['listen: silent', 'coil']);
  expect(results[0]?.relatedLocations?.[0]?.physicalLocation?.artifactLocation?.uri).toBe('shop.yaml');
  const replacement = results[0]?.fixes?.[0]?.artifactChanges[0]?.replacements[0];
  expect(replacement?.insertedContent?.text).toBe('  - step: isolate\n');
  expect(LIFT.split('\n')[(replacement?.deletedRegion.startLine ?? 0) - 1]).toBe('  - step: coil');
  expect(results[3]?.suppressions).toEqual([{ kind: 'inSource', status: 'accepted', justification: "The phrase is the maker's own. (Reviewer B)" }]);
  expect(results[0]?.suppressions).toBeUndefined();
});

test.each([
  ['/depot/ein Ordner/ü#1.procedure.yaml', 'ein%20Ordner/%C3%BC%231.procedure.yaml'],
  ['/elsewhere/a b.procedure.yaml', 'file:///elsewhere/a%20b.procedure.yaml'],
  ['C:/depot/a b.procedure.yaml', 'file:///C:/depot/a%20b.procedure.yaml'],
])('the path %s is the URI %s', (file, uri) => {
  const log = sarifLog(outcomeOf([{ check: 'x', severity: 'error', file, span: { start: 0, end: 0 }, message: 'm' }]), [], '0.1.0');
  expect(log.runs[0]?.results?.[0]?.locations?.[0]?.physicalLocation?.artifactLocation?.uri).toBe(uri);
});
