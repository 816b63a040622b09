import { buildProcedure } from '../procedure/build-procedure.ts';
import type { Procedure } from '../procedure/model.ts';
import { parseTree } from '../syntax/parse-tree.ts';
import type { TreeNode } from '../syntax/tree.ts';
import type { Check } from './check.ts';

export const revisionNotRaised: Check = {
  name: 'revision-not-raised',
  severity: 'error',
  group: 'document',
  proves: 'Where the last released revision is known: what differs from it has another revision.',
  why: 'Two sheets with one number and different limits: nobody can tell which one a record was made with.',
  source: 'ISO 9001:2015, 7.5.3: control of changes (from memory)',
  released: `procedure: supply
title: Supply low
revision: 3
status: released
approved: {by: Workshop standards group, on: 2026-08-03}
steps:
  - step: supply
    measure: dc_voltage
    results:
      - when: at least 12.2 V
        passes: true
      - when: below 12.2 V
        refer: Fetch a charged battery.
`,
  bad: `procedure: supply
title: Supply low
revision: 3
status: released
approved: {by: Workshop standards group, on: 2026-10-30}
steps:
  - step: supply
    measure: dc_voltage
    results:
      - when: at least 12.4 V
        passes: true
      - when: below 12.4 V
        refer: Fetch a charged battery.
`,
  good: `procedure: supply
title: Supply low
revision: 4
status: released
approved: {by: Workshop standards group, on: 2026-10-30}
steps:
  - step: supply
    measure: dc_voltage
    results:
      - when: at least 12.4 V
        passes: true
      - when: below 12.4 V
        refer: Fetch a charged battery.
`,
  texts: 'whole',
  *run({ procedure, releasedText, text, file }) {
    const { revision, status } = procedure;
    // A draft keeps the old number until its writer is done.
    if (releasedText === undefined || (status?.value !== 'released' && status?.value !== 'in_review')) return;
    const before: Procedure = buildProcedure(file, releasedText).procedure;
    if (before.revision === undefined || before.revision.value !== revision?.value) return;
    if (contentOf(text) === contentOf(releasedText)) return;
    const next = nextRevision(revision.value);
    yield {
      span: revision.span,
      message: `Revision ${revision.value} was released before, with other content.`,
      help: next === undefined ? 'Give it a new revision.' : `Write \`revision: ${next}\`.`,
      ...(next === undefined ? {} : { fixes: [{ title: `Raise the revision to ${next}`, edits: [{ file, span: revision.span, newText: next }], altersMeaning: true }] }),
    };
  },
};

/** Keys that change when a procedure is released, and are no content of it. */
const NO_CONTENT = ['status', 'revision', 'approved'];

/** What a procedure says, without its layout, comments and order of keys. */
function contentOf(text: string): string {
  const { root } = parseTree(text);
  if (root?.kind !== 'map') return text;
  return JSON.stringify(root.entries.filter((entry) => !NO_CONTENT.includes(entry.key.text)).map((entry) => [entry.key.text, plain(entry.value)]).sort(byKey));
}

type Plain = string | null | Plain[];

function plain(node: TreeNode | undefined): Plain {
  if (node === undefined) return null;
  if (node.kind === 'scalar') return node.text.trim();
  if (node.kind === 'list') return ['list', ...node.items.map(plain)];
  return ['map', ...node.entries.map((entry): Plain => [entry.key.text, plain(entry.value)]).sort(byKey)];
}

function byKey(a: Plain, b: Plain): number {
  return String(a?.[0]).localeCompare(String(b?.[0]));
}

/** 4 → 5, 1.9 → 1.10, C → D; undefined where the writer's way of counting is not plain. */
function nextRevision(revision: string): string | undefined {
  const number = /^(.*?)(\d+)$/u.exec(revision);
  if (number) return `${number[1] ?? ''}${Number(number[2]) + 1}`;
  return /^[A-Ya-y]$/u.test(revision) ? String.fromCharCode(revision.charCodeAt(0) + 1) : undefined;
}
