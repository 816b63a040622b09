/** Every fix that the examples of the checks offer, applied: its finding is gone, and nothing worse has come. */
import { describe, expect, test } from 'vitest';
import { Workspace } from '../../server/src/analysis/workspace.ts';
import { ALL_CHECKS } from '../../server/src/checks/all.ts';
import type { Check } from '../../server/src/checks/check.ts';
import type { Finding, Fix } from '../../server/src/findings/finding.ts';

const FILE = 'example/example.procedure.yaml';

describe('fixes', () => {
  for (const check of ALL_CHECKS) {
    const findings = analyse(check, check.bad).findings.filter((finding) => finding.check === check.name);
    for (const finding of findings) for (const fix of finding.fixes ?? []) {
      test(`${check.name}: ${fix.title}`, () => {
        const after = analyse(check, applied(check.bad, fix));
        const same = after.findings.filter((other) => other.check === check.name && other.message === finding.message);
        expect(same.length, same.map(textOf).join('\n')).toBe(findings.filter((other) => other.message === finding.message).length - 1);
        const before = new Set(analyse(check, check.bad).findings.map((other) => other.check));
        const worse = after.findings.filter((other) => other.severity === 'error' && !before.has(other.check));
        expect(worse.map(textOf)).toEqual([]);
      });
    }
  }

  test('the checks that a machine can mend do offer a fix', () => {
    const without = ['missing-caution', 'late-caution', 'state-not-met', 'left-unsafe', 'held-too-long', 'alone', 'reading-gap', 'unknown-name', 'unknown-key', 'text-cut-off']
      .filter((name) => {
        const check = ALL_CHECKS.find((one) => one.name === name) as Check;
        return !analyse(check, check.bad).findings.some((finding) => finding.check === name && (finding.fixes ?? []).length > 0);
      });
    expect(without).toEqual([]);
  });
});

function analyse(check: Check, text: string) {
  const workspace = new Workspace();
  if (check.shop) workspace.setFile('example/shop.yaml', check.shop);
  for (const [name, content] of Object.entries(check.files ?? {})) workspace.setFile(`example/${name}`, content);
  workspace.setFile(FILE, text);
  return workspace.analyse(FILE);
}

function applied(text: string, fix: Fix): string {
  return [...fix.edits]
    .sort((a, b) => b.span.start - a.span.start)
    .reduce((so, edit) => so.slice(0, edit.span.start) + edit.newText + so.slice(edit.span.end), text);
}

function textOf(finding: Finding): string {
  return `${finding.check}: ${finding.message}`;
}
