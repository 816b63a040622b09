import type { Finding } from '../findings/finding.ts';
import type { Check } from './check.ts';
import { listed } from './edits.ts';

export const releasedWithFindings: Check = {
  name: 'released-with-findings',
  severity: 'warning',
  group: 'document',
  proves: 'No released procedure has errors or warnings that nobody accepted.',
  why: 'Released means that the technician may rely on every line of it.',
  source: 'ISO 9001:2015, 7.5.2: review and approval for suitability (from memory)',
  bad: `procedure: belt
title: Belt squeals
revision: 2
status: released
approved: {by: Workshop standards group, on: 2026-09-14}
steps:
  - step: tension
    do: [Tighten the belt as necessary.]
  - step: listen
    ask: Does the belt squeal at idle?
    results:
      - when: yes
        refer: Replace the belt.
      - when: no
        passes: true
`,
  good: `procedure: belt
title: Belt squeals
revision: 2
status: released
approved: {by: Workshop standards group, on: 2026-09-14}
steps:
  - step: tension
    do: [Tighten the belt until the mark on the tensioner stands at the notch.]
  - step: listen
    ask: Does the belt squeal at idle?
    results:
      - when: yes
        refer: Replace the belt.
      - when: no
        passes: true
`,
  *runLast({ procedure, file }, open) {
    const { status, revision } = procedure;
    if (status?.value !== 'released') return;
    const grave = open.filter((finding) => finding.severity !== 'hint' && !OF_THE_RELEASE.includes(finding.check));
    const first = grave.find((finding) => finding.severity === 'error') ?? grave[0];
    if (first === undefined) return;
    yield {
      span: status.span,
      message: `${revision ? `Revision ${revision.value}` : 'The procedure'} is released with ${countsOf(grave)}.`,
      help: 'Put them right, accept them with a reason under `accept`, or write `status: in_review`.',
      fixes: [{ title: 'Set the status to in_review', edits: [{ file, span: status.span, newText: 'in_review' }], altersMeaning: true }],
      related: [{ file, span: first.span, message: grave.length > 1 ? `The first of them is here: ${first.message}` : `It is here: ${first.message}` }],
    };
  },
};

/** Findings that speak of the release itself are not counted again. */
const OF_THE_RELEASE: readonly string[] = ['approval-missing', 'revision-not-raised', 'released-with-findings'];

function countsOf(findings: readonly Finding[]): string {
  const count = (severity: Finding['severity']): string[] => {
    const number = findings.filter((finding) => finding.severity === severity).length;
    return number === 0 ? [] : [`${number} ${severity}${number === 1 ? '' : 's'}`];
  };
  return listed([...count('error'), ...count('warning')]);
}
