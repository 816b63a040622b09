/** The Brackwater depot library: clean under every check, and its drafts show just what they are there to show. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { Workspace } from '../../server/src/analysis/workspace.ts';
import { formatFile } from '../../server/src/features/format.ts';
import type { Finding } from '../../server/src/findings/finding.ts';

const folder = join(import.meta.dirname, '../../procedures');
const released = readdirSync(folder).filter((name) => name.endsWith('.procedure.yaml')).sort();
const drafts = readdirSync(join(folder, 'drafts')).filter((name) => name.endsWith('.procedure.yaml')).sort();

const workspace = new Workspace();
for (const name of ['shop.yaml', 'assets.yaml', ...released]) workspace.setFile(`procedures/${name}`, readFileSync(join(folder, name), 'utf8'));
for (const name of drafts) workspace.setFile(`procedures/drafts/${name}`, readFileSync(join(folder, 'drafts', name), 'utf8'));

/** Findings that count, as a person would read them. */
function lines(findings: readonly Finding[]): string[] {
  return findings
    .filter((finding) => finding.severity !== 'hint' && finding.accepted === undefined)
    .map((finding) => `${finding.check}: ${finding.message}`);
}

describe('the library', () => {
  it('has at least ten procedures and twenty assets', () => {
    expect(released.length).toBeGreaterThanOrEqual(10);
    expect(workspace.analyse('procedures/assets.yaml').assets?.assets.length).toBeGreaterThanOrEqual(20);
  });

  it.each(['shop.yaml', 'assets.yaml', ...released])('%s has no error and no warning', (name) => {
    expect(lines(workspace.analyse(`procedures/${name}`).findings)).toEqual([]);
  });

  it.each(released)('%s is released, approved by a group, and is explored exactly', (name) => {
    const { procedure, exploration } = workspace.analyse(`procedures/${name}`);
    expect(procedure?.status?.value).toBe('released');
    expect(procedure?.approved?.by?.value).toMatch(/group$/u);
    expect(procedure?.appliesTo.length).toBeGreaterThan(0);
    expect(exploration?.approximate).toBe(false);
    expect(`${procedure?.name?.value}.procedure.yaml`).toBe(name);
  });

  it.each(released)('%s mentions each reference that it lists', (name) => {
    const { procedure, text } = workspace.analyse(`procedures/${name}`);
    for (const reference of procedure?.references ?? []) {
      expect(text.split(reference.id.value).length, reference.id.value).toBeGreaterThan(2);
    }
  });

  it.each(released)('%s accepts a deviation only with a name and a reason', (name) => {
    for (const deviation of workspace.analyse(`procedures/${name}`).procedure?.accept ?? []) {
      expect(deviation.by?.value).toBeTruthy();
      expect(deviation.because?.value).toBeTruthy();
    }
  });

  it('applies each procedure to at least one asset', () => {
    const assets = workspace.analyse('procedures/assets.yaml').assets?.assets ?? [];
    for (const name of released) {
      const wanted = workspace.analyse(`procedures/${name}`).procedure?.appliesTo ?? [];
      const fitting = assets.filter((asset) =>
        wanted.every(({ fact, values }) => {
          const has = asset.facts.find((one) => one.name.value === fact.value)?.value.value;
          return values.some((value) => value.value === has);
        }),
      );
      expect(fitting.length, name).toBeGreaterThan(0);
    }
  });

  it('names no person, and approves by groups', () => {
    for (const name of released) expect(workspace.textOf(`procedures/${name}`)).not.toMatch(/\b(Mr|Mrs|Ms)\b/u);
  });
});

describe('the drafts', () => {
  /** What each draft is there to show, in the order of the file. */
  const shows: Record<string, readonly string[]> = {
    'broom_does_not_turn.procedure.yaml': ['live-resistance-test', 'dead-voltage-test'],
    'cab_stays_cold.procedure.yaml': ['wrong-kind', 'text-cut-off', 'text-cut-off', 'unknown-key', 'unknown-key'],
    'flat_over_weekend.procedure.yaml': ['late-caution', 'reading-gap', 'resolution-too-coarse', 'left-unsafe'],
    'hopper_sinks.procedure.yaml': ['late-caution', 'left-unsafe', 'left-unsafe'],
    'lift_creeps_down.procedure.yaml': [
      'paired-units-disagree', 'vague-word', 'alone', 'state-not-met', 'held-too-long', 'reading-overlap', 'held-too-long',
    ],
    'quick_charge_check.procedure.yaml': ['unit-mismatch', 'scale-slip'],
    'spreader_stands_still.procedure.yaml': ['fault-never-found', 'finds-ruled-out', 'not-isolated'],
    'work_lamp_dark.procedure.yaml': ['fault-never-found', 'unknown-name', 'dead-end'],
  };

  it('are the ones described here', () => {
    expect(drafts).toEqual(Object.keys(shows).sort());
  });

  it.each(Object.entries(shows))('%s', (name, expected) => {
    const findings = workspace.analyse(`procedures/drafts/${name}`).findings.filter((finding) => finding.severity !== 'hint');
    expect(findings.map((finding) => finding.check)).toEqual(expected);
  });
});

describe('the layout', () => {
  it.each(['shop.yaml', 'assets.yaml', ...released])('%s is formatted', (name) => {
    expect(formatFile(workspace.analyse(`procedures/${name}`))).toEqual([]);
  });
});
