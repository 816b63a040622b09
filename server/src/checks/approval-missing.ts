import type { Check } from './check.ts';

export const approvalMissing: Check = {
  name: 'approval-missing',
  severity: 'error',
  group: 'document',
  proves: 'Every released procedure says who approved it and on which day, and which revision that was.',
  why: 'Without it nobody can tell an approved sheet from one that somebody printed.',
  source: 'ISO 9001:2015, 7.5.2: identification, review and approval (from memory)',
  bad: `procedure: lamp
title: Lamp dark
revision: 3
status: released
steps:
  - step: look
    ask: Is the lamp lit?
    results:
      - when: yes
        passes: true
      - when: no
        refer: Replace the lamp.
`,
  good: `procedure: lamp
title: Lamp dark
revision: 3
status: released
approved: {by: Workshop standards group, on: 2026-10-30}
steps:
  - step: look
    ask: Is the lamp lit?
    results:
      - when: yes
        passes: true
      - when: no
        refer: Replace the lamp.
`,
  *run({ procedure }) {
    const { status, approved, revision } = procedure;
    if (status?.value !== 'released') return;
    if (approved === undefined) {
      yield {
        span: status.span,
        message: 'The procedure is released, and nobody has approved it.',
        help: 'Write `approved: {by: …, on: 2026-10-30}`, or `status: in_review` until it is.',
      };
    } else if (approved.on !== undefined && !isDay(approved.on.value)) {
      yield {
        span: approved.on.span,
        message: `'${approved.on.value}' is no day of approval.`,
        help: 'Write year, month and day: 2026-10-30.',
      };
    }
    if (revision === undefined) {
      yield {
        span: status.span,
        message: 'The procedure is released without a revision.',
        help: 'Write `revision: 1`, and raise it with every released change.',
      };
    }
  },
};

/** A day of the calendar as ISO 8601 writes it. */
function isDay(text: string): boolean {
  const match = /^(\d{4})-(\d{2})-(\d{2})$/u.exec(text.trim());
  if (!match) return false;
  const [year, month, day] = match.slice(1).map(Number) as [number, number, number];
  const date = new Date(Date.UTC(year, month - 1, day));
  return date.getUTCMonth() === month - 1 && date.getUTCDate() === day;
}
