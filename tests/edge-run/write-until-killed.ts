/** A program that writes a journal as fast as it can and says of each event that it is on the disk: write-until-killed RECORDS RUN. */
import { existsSync, writeSync } from 'node:fs';
import { beginRun, journalPath, resumeRun } from '../../server/src/edge/record-files.ts';
import type { ChecklistDocument } from '../../server/src/run/checklist.ts';

const [records = '', run = ''] = process.argv.slice(2);
const document = { format: 1, procedure: { name: 'x' }, contentHash: '0' } as unknown as ChecklistDocument;
const open = existsSync(journalPath(records, run)) ? resumeRun(records, run) : beginRun(records, document, run);
for (let number = open.journal.count() + 1; number < 1_000_000; number++) {
  const text = `${number} ${'x'.repeat(number % 3_000)}`;
  const count = open.journal.append({ kind: 'note', text, at: '2026-11-25T09:30:00+01:00' });
  writeSync(1, `${count}\n`);
}
