/** Every check is held to its own examples: the bad one raises it and no other error, the good one raises no error and not the check. */
import { describe, expect, test } from 'vitest';
import { ALL_CHECKS } from '../../server/src/checks/all.ts';
import type { Finding } from '../../server/src/findings/finding.ts';
import { analyseExample } from '../../server/scripts/example-workspace.ts';

const said = (findings: readonly Finding[]): string[] => findings.map(({ severity, check, message }) => `${severity} ${check}: ${message}`);

describe.each(ALL_CHECKS.map((check) => [check.name, check] as const))('%s', (name, check) => {
  test('its bad example raises it, and no other error', () => {
    const { findings } = analyseExample(check, 'bad');
    expect(findings.filter((finding) => finding.check === name), said(findings).join('\n')).not.toEqual([]);
    expect(said(findings.filter((finding) => finding.check !== name && finding.severity === 'error'))).toEqual([]);
  });

  test('its good example raises no error, and not the check', () => {
    const { findings } = analyseExample(check, 'good');
    expect(said(findings.filter((finding) => finding.severity === 'error' || finding.check === name))).toEqual([]);
  });

  test('its finding reads well', () => {
    const { findings, text } = analyseExample(check, 'bad');
    for (const finding of findings.filter((each) => each.check === name)) {
      expect(finding.span.start).toBeLessThanOrEqual(finding.span.end);
      expect(finding.span.end).toBeLessThanOrEqual(text.length);
      expect(finding.message).toMatch(/^['"A-Z0-9`\p{Lu}{].*[.!?'"…]$/u);
      expect(sentences(finding.message) + sentences(finding.note ?? ''), `${finding.message} ${finding.note ?? ''}`).toBeLessThanOrEqual(3);
      expect(finding.help ?? '', 'what to do').not.toBe('');
      for (const { edits } of finding.fixes ?? []) for (const edit of edits) expect(edit.span.end).toBeLessThanOrEqual(text.length);
    }
  });
});

describe('all checks', () => {
  test('have names of their own in kebab-case', () => {
    const names = ALL_CHECKS.map((check) => check.name);
    expect(new Set(names).size).toBe(names.length);
    for (const name of names) expect(name).toMatch(/^[a-z]+(-[a-z]+)*$/);
  });

  test('say what they prove and why it matters', () => {
    for (const check of ALL_CHECKS) {
      expect(check.proves, check.name).toMatch(/^[A-Z].*\.\)?$/u);
      expect(check.why, check.name).toMatch(/\.$/u);
    }
  });
});

function sentences(text: string): number {
  return text === '' ? 0 : text.split(/[.!?](?:\s|$)/u).filter((part) => part.trim() !== '').length;
}
