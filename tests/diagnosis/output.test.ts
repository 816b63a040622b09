/** What people and programs get: text, JSON, page, the command, and what records say. */
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { learnWeights } from '../../server/src/diagnosis/learned-weights.ts';
import { diagnosisOf, findingsIn } from '../../server/src/features/diagnosis.ts';
import { renderDiagnosisHtml } from '../../server/src/render/diagnosis-html.ts';
import { renderDiagnosisJson } from '../../server/src/render/diagnosis-json.ts';
import { renderDiagnosisText } from '../../server/src/render/diagnosis-text.ts';
import { displayWidth } from '../../server/src/render/harmless-text.ts';
import { command, folderWith, CLEAN } from '../command-line/command.ts';
import { alone, depot, fileOf, PROCEDURES } from './depot.ts';

const workspace = depot();
const withFaults = PROCEDURES.filter((name) => diagnosisOf(workspace, fileOf(name)) !== undefined);

describe('the text', () => {
  test.each(withFaults)('%s fits 100 columns, and 60', (name) => {
    const outcome = diagnosisOf(workspace, fileOf(name), { found: new Map([['low_battery', 3]]) });
    for (const width of [100, 60]) {
      const long = renderDiagnosisText(outcome!, { width }).split('\n').filter((line) => displayWidth(line) > width);
      expect(long).toEqual([]);
    }
  });

  test('of a procedure with more faults than fit is cut into tables', () => {
    const many = Array.from({ length: 40 }, (_, index) => index);
    const text = `procedure: many
title: Many
faults:
${many.map((index) => `  fault_${index}: {title: Fault ${index}, weight: 1, remedy: Repair it.}`).join('\n')}
steps:
${many.map((index) => `  - step: s${index}\n    ask: Is part ${index} good?\n    time: 1 min\n    results:\n      - {when: good, rules_out: [fault_${index}]${index === 39 ? ', refer: Ask the maker.' : ''}}\n      - {when: bad, finds: fault_${index}}`).join('\n')}
`;
    const { workspace: own, path } = alone(text);
    const shown = renderDiagnosisText(diagnosisOf(own, path)!);
    expect(Math.max(...shown.split('\n').map(displayWidth))).toBeLessThanOrEqual(100);
    expect(shown).toContain('AN');
  });
});

describe('records', () => {
  test('the Dirichlet posterior worked by hand: prior 2.5 of 10, 30 of 50 found', () => {
    const [battery] = learnWeights([{ fault: 'battery', weight: 25 }, { fault: 'other', weight: 75 }], new Map([['battery', 30], ['other', 20]]));
    expect(battery?.learned).toBeCloseTo(32.5 / 60, 10);
    expect(battery?.spread).toBeCloseTo(Math.sqrt(((32.5 / 60) * (27.5 / 60)) / 61), 10);
  });

  test('count what this procedure found, repaired or not, and nothing else', () => {
    const record = (name: string, kind: 'found' | 'repaired' | 'referred' | 'stopped', fault?: string) =>
      ({ procedure: { name }, outcome: { kind, ...(fault ? { fault } : {}) } }) as unknown as Parameters<typeof findingsIn>[0][number];
    expect([...findingsIn([record('a', 'found', 'x'), record('a', 'repaired', 'x'), record('a', 'referred'), record('b', 'found', 'x'), record('a', 'found', 'y')], 'a')]).toEqual([['x', 2], ['y', 1]]);
  });

  test('the sentence names what was written and what the records say, and the text is left alone', () => {
    const path = fileOf('no_crank');
    const before = workspace.textOf(path);
    const outcome = diagnosisOf(workspace, path, { found: new Map([['discharged_battery', 30], ['poor_ground', 14], ['a_fault_of_long_ago', 99]]) })!;
    const shown = renderDiagnosisText(outcome).replaceAll('\u00a0', ' ');
    expect(shown).toMatch(/44 records find one of these faults/);
    expect(shown).toMatch(/The order was written for 28 % 'Batteries discharged'; your records say \d\d % ± \d %\./);
    expect(workspace.textOf(path)).toBe(before);
  });
});

test('the JSON names faults and steps, and its numbers are those of the text', () => {
  const outcome = diagnosisOf(workspace, fileOf('tail_lift_no_raise'), { propose: true })!;
  const value = JSON.parse(renderDiagnosisJson(outcome)) as {
    written: { minutes: number }; best: { minutes: number; lowerBound: number; order: { test: string } }; tests: { name: string; results: { says: Record<string, string> }[] }[]; proposal: { text: string };
  };
  expect(value.written.minutes).toBeCloseTo(outcome.report.numbers.written.minutes, 5);
  expect(value.best.lowerBound).toBeLessThanOrEqual(value.best.minutes);
  expect(value.best.order.test).toBe('listen');
  expect(value.tests.find(({ name }) => name === 'fuse')?.results[0]?.says['open_fuse']).toBe('shows');
  expect(value.proposal.text).toBe(outcome.proposal?.text);
});

test('the page loads nothing, runs nothing, and shows what a writer wrote as text', () => {
  const { workspace: own, path } = alone(CLEAN.replace('Bulb burnt out', '"<script>alert(1)</script> & <b>bulb</b>"'));
  const html = renderDiagnosisHtml(diagnosisOf(own, path)!);
  expect(html).not.toMatch(/<script|<b>|javascript:|https?:/);
  expect(html).toContain('&lt;script&gt;alert(1)&lt;/script&gt; &amp; &lt;b&gt;bulb');
  expect(html).toMatch(/default-src 'none'; style-src 'sha256-[^']+'/);
});

describe('faultwright diagnose', () => {
  const SWAPPED = `procedure: horn
title: Horn silent
revision: 1
status: draft
faults:
  relay: {title: Relay failed, weight: 10, remedy: Replace it.}
  button: {title: Button worn, weight: 20, remedy: Replace it.}
  fuse: {title: Fuse open, weight: 70, remedy: Find the overload.}
steps:
  - step: swap_relay
    ask: Does it sound with another relay?
    time: 15 min
    results:
      - {when: yes, finds: relay}
      - {when: no, rules_out: [relay]}
  - step: look_at_fuse
    ask: Is the wire of the fuse whole?
    time: 2 min
    results:
      - {when: whole, rules_out: [fuse], by_elimination: button}
      - {when: parted, finds: fuse}
`;

  test('prints what the order costs, and writes page, JSON and proposal; the procedure is left as it is', async () => {
    const folder = folderWith({ 'horn.procedure.yaml': SWAPPED });
    const text = await command(folder, 'diagnose', 'horn.procedure.yaml');
    expect(text.code).toBe(0);
    expect(text.out).toContain('16.8');
    expect(text.out).toContain("Move 'swap_relay' behind 'look_at_fuse'");
    expect((await command(folder, 'diagnose', 'horn.procedure.yaml', '-o', 'out.html')).code).toBe(0);
    expect(readFileSync(join(folder, 'out.html'), 'utf8')).toContain('<!doctype html>');
    expect(JSON.parse((await command(folder, 'diagnose', 'horn.procedure.yaml', '--format', 'json')).out)).toMatchObject({ procedure: { name: 'horn' } });
    // In a folder of its own: beside the first it would be a second procedure of one name.
    const apart = folderWith({});
    expect((await command(folder, 'diagnose', 'horn.procedure.yaml', '--proposal', join(apart, 'better.procedure.yaml'))).code).toBe(0);
    expect((await command(apart, 'check', 'better.procedure.yaml')).code).toBe(0);
    expect((await command(apart, 'diagnose', 'better.procedure.yaml')).out).toContain('The order as written is as good as the best one found');
    expect(readFileSync(join(folder, 'horn.procedure.yaml'), 'utf8')).toBe(SWAPPED);
    expect((await command(folder, 'diagnose', 'horn.procedure.yaml', '--proposal', 'horn.procedure.yaml')).code).toBe(2);
  });

  test('says what it cannot do', async () => {
    const folder = folderWith({ 'horn.procedure.yaml': SWAPPED, 'empty.procedure.yaml': 'procedure: empty\ntitle: Empty\n' });
    expect(await command(folder, 'diagnose', 'empty.procedure.yaml')).toMatchObject({ code: 2, error: expect.stringContaining('no faults or no steps') as string });
    expect(await command(folder, 'diagnose', 'horn.procedure.yaml', '--records', 'nowhere')).toMatchObject({ code: 2, error: expect.stringContaining('There is no folder nowhere') as string });
    expect(await command(folder, 'diagnose', 'missing.procedure.yaml')).toMatchObject({ code: 2 });
  });

  test('leaves out what is no record, and says so', async () => {
    const folder = folderWith({ 'horn.procedure.yaml': SWAPPED });
    mkdirSync(join(folder, 'records', '2026'), { recursive: true });
    writeFileSync(join(folder, 'records', '2026', 'odd.json'), '{"format":1}');
    const { code, error } = await command(folder, 'diagnose', 'horn.procedure.yaml', '--records', 'records');
    expect(code).toBe(0);
    expect(error).toContain('odd.json');
    expect(existsSync(join(folder, 'records', '2026', 'odd.json'))).toBe(true);
  });
});
