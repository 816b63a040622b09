/** The checks on release, approval, revision, references, figures and the data of assets. */
import { describe, expect, test } from 'vitest';
import { fixed, said } from './said.ts';

const DOCUMENT = ['released-with-findings', 'approval-missing', 'revision-not-raised', 'reference-missing', 'figure-missing', 'fact-unknown', 'accepted-nothing'];

function procedure(head: string, { text = 'Replace the lamp.', step = '', limit = '12.4 V' } = {}): string {
  return `procedure: supply
title: Supply low
${head}steps:
  - step: supply
    measure: dc_voltage
${step}    results:
      - when: at least ${limit}
        passes: true
      - when: below ${limit}
        refer: ${text}
`;
}

const APPROVED = 'revision: 3\nstatus: released\napproved: {by: Workshop standards group, on: 2026-10-30}\n';

describe('release', () => {
  test('a released procedure with a warning, and the same accepted', () => {
    const text = procedure(APPROVED, { text: 'Replace the lamp as necessary.' });
    expect(said(text, DOCUMENT)).toEqual(['4 released-with-findings: Revision 3 is released with 1 warning.']);
    const accepted = `${text}accept:\n  - {check: vague-word, at: supply, because: The maker words it so., by: Reviewer B}\n`;
    expect(said(accepted, DOCUMENT)).toEqual([]);
    expect(said(text.replace('released', 'draft'), DOCUMENT)).toEqual([]);
  });

  test('the finding on the release can itself be accepted', () => {
    const text = `${procedure(APPROVED, { text: 'Replace the lamp as necessary.' })}accept:\n  - {check: released-with-findings, because: To be put right in revision 4., by: Reviewer B}\n`;
    expect(said(text, ['accepted-nothing'])).toEqual([]);
  });

  test('approval', () => {
    expect(said(procedure('revision: 3\nstatus: released\n'), DOCUMENT)).toEqual(['4 approval-missing: The procedure is released, and nobody has approved it.']);
    expect(said(procedure(APPROVED.replace('2026-10-30', 'next week')), DOCUMENT)).toEqual(["5 approval-missing: 'next week' is no day of approval."]);
    expect(said(procedure(APPROVED.replace('2026-10-30', '2026-02-30')), DOCUMENT)).toEqual(["5 approval-missing: '2026-02-30' is no day of approval."]);
    expect(said(procedure(APPROVED.replace('revision: 3\n', '')), DOCUMENT)).toEqual(['3 approval-missing: The procedure is released without a revision.']);
    expect(said(procedure('status: in_review\n'), DOCUMENT)).toEqual([]);
  });
});

describe('revision', () => {
  const released = procedure(APPROVED, { limit: '12.2 V' });

  test('another content under a released number', () => {
    expect(said(procedure(APPROVED), DOCUMENT, { released })).toEqual(['3 revision-not-raised: Revision 3 was released before, with other content.']);
    expect(fixed(procedure(APPROVED), 'revision-not-raised', { released })).toContain('revision: 4\n');
    expect(fixed(procedure(APPROVED.replace('3', '1.9')), 'revision-not-raised', { released: released.replace('revision: 3', 'revision: 1.9') })).toContain('revision: 1.10\n');
  });

  test('raised, a draft, or nothing known: no finding', () => {
    expect(said(procedure(APPROVED.replace('3', '4')), DOCUMENT, { released })).toEqual([]);
    expect(said(procedure(APPROVED.replace('released', 'draft')), DOCUMENT, { released })).toEqual([]);
    expect(said(procedure(APPROVED), DOCUMENT)).toEqual([]);
  });

  test('comments, layout, the order of keys and the approval are no content', () => {
    const same = `# A comment\n${released.replace("title: Supply low\n", '').replace('steps:', 'title: "Supply low"\nsteps:').replace('2026-10-30', '2026-11-02')}`;
    expect(said(same, DOCUMENT, { released })).toEqual([]);
  });
});

describe('references', () => {
  const REFERENCES = 'references:\n  - {id: WD-7, title: Wiring diagram}\n';

  test.each([
    ['Find the fault with diagram WD-7 and WD-9.', ["13 reference-missing: 'WD-9' is not among the references."]],
    ['Find the fault with manual SM-4.', ["13 reference-missing: 'SM-4' is not among the references."]],
    ['Find the fault with diagram WD7.', ["13 reference-missing: 'WD7' is not among the references."]],
    ['Find the fault with diagram WD-7. Look at pin X-12 and fuse F3.', []],
    ['Use the table below.', []],
    ['Fit a standard H7 bulb. Write on a sheet A4. Obey the drawing EN1756.', []],
  ])('%s', (text, messages) => {
    expect(said(procedure(REFERENCES, { text }).replace('    results:', '    note: Diagram WD-7.\n    results:'), DOCUMENT)).toEqual(messages);
  });

  test('where a value comes from', () => {
    const facts = 'facts:\n  low: {quantity: dc_voltage, from: WD-8}\n  high: {quantity: dc_voltage, from: ISO 6469-3}\n  other: {quantity: dc_voltage, from: Data sheet of the battery}\n';
    expect(said(procedure(REFERENCES + facts), DOCUMENT)).toEqual(["6 reference-missing: 'WD-8' is not among the references."]);
  });
});

describe('figures', () => {
  test('missing, there, and not a file beside the procedure', () => {
    const files = { 'pictures/fuse.svg': '' };
    expect(said(procedure('', { step: '    figure: pictures/fues.svg\n' }), DOCUMENT, { files })).toEqual(["6 figure-missing: The figure 'pictures/fues.svg' does not exist."]);
    expect(said(procedure('', { step: '    figure: pictures/fuse.svg\n' }), DOCUMENT, { files })).toEqual([]);
    expect(said(procedure('', { step: '    figure: https://pictures.example/fuse.svg\n' }), DOCUMENT, { files })).toHaveLength(1);
  });
});

describe('facts of assets', () => {
  const FACTS = 'applies_to: {equipment: tail_lift, voltage: 24 V}\nfacts:\n  lowest: {quantity: dc_voltage, from: Data plate}\n  sensor: {choices: [fitted, not_fitted], from: Data plate}\n';
  const text = procedure(FACTS, { limit: 'lowest' }).replace('    measure:', '    only_if: {sensor: fitted}\n    measure:');
  const assets = (rows: string): { files: Record<string, string> } => ({ files: { 'assets.yaml': `assets:\n${rows}` } });

  test('lacking, misspelt, of another kind, without a unit', () => {
    const rows = `  TL-01: {equipment: tail_lift, voltage: 24V, lowest: 22 V, sensor: fitted}
  TL-02: {equipment: tail_lift, voltage: 24 V, sensor: fited}
  TL-03: {equipment: tail_lift, voltage: 24 V, lowest: 22 A, sensor: fitted}
  TL-04: {equipment: tail_lift, voltage: 24 V, lowest: 22, sensor: fitted}
  TL-05: {equipment: tail_lift, voltage: 12 V}
  GR-01: {equipment: gritter, voltage: 24 V}
`;
    expect(said(text, DOCUMENT, assets(rows))).toEqual([
      '5 fact-unknown: TL-02 has no lowest, which this procedure needs.',
      "5 fact-unknown: The lowest of TL-03 is '22 A': a current, not a DC voltage.",
      "5 fact-unknown: The lowest of TL-04 is '22', without a unit.",
      "6 fact-unknown: The sensor of TL-02 is 'fited', which is none of its choices.",
    ]);
  });

  test('all known, or no asset it applies to: no finding', () => {
    expect(said(text, DOCUMENT, assets('  TL-01: {equipment: tail_lift, voltage: 24 V, lowest: 22 V, sensor: fitted}\n'))).toEqual([]);
    expect(said(text, DOCUMENT, assets('  GR-01: {equipment: gritter, voltage: 24 V}\n'))).toEqual([]);
    expect(said(text, DOCUMENT)).toEqual([]);
  });
});
