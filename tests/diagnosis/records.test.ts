/** From runs to weights, end to end: runs are walked and their records written to the disk as the editor does it, then `faultwright diagnose` reads them. */
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { runStore } from '../../server/src/edge/run-store.ts';
import { buildChecklist } from '../../server/src/run/checklist.ts';
import { applyEvent, currentView, startedEvent, startRun, type RunEvent } from '../../server/src/run/engine.ts';
import { command, folderWith } from '../command-line/command.ts';
import { alone } from './depot.ts';

const HORN = `procedure: horn
title: Horn silent
revision: 1
status: draft
faults:
  relay: {title: Relay failed, weight: 10, remedy: Replace it.}
  button: {title: Button worn, weight: 20, remedy: Replace it.}
  fuse: {title: Fuse open, weight: 70, remedy: Find the overload.}
steps:
  - step: look_at_fuse
    ask: Is the wire of the fuse whole?
    time: 2 min
    results:
      - {when: whole, rules_out: [fuse]}
      - {when: parted, finds: fuse}
  - step: swap_relay
    ask: Does it sound with another relay?
    time: 3 min
    results:
      - {when: yes, finds: relay}
      - {when: no, rules_out: [relay], by_elimination: button}
`;

/** Answers by step; the remedy is carried out in every second run. */
async function record(folder: string, answers: Readonly<Record<string, string>>, count: number): Promise<void> {
  const { workspace, path } = alone(HORN);
  const document = buildChecklist(workspace.analyse(path), undefined, workspace);
  const store = runStore();
  for (let number = 0; number < count; number++) {
    const at = `2026-11-${String(number % 28 + 1).padStart(2, '0')}T09:30:00+01:00`;
    const { runId } = await store.begin(folder, document);
    const begun = startedEvent(document, { at, person: 'Technician 4' });
    await store.append(folder, runId, begun);
    let run = startRun(document, { at, person: 'Technician 4' });
    for (;;) {
      const { field, stage } = currentView(run);
      if (stage === 'finished') break;
      const event: RunEvent = field?.kind === 'answer' ? { kind: 'answer', typed: answers[field.step] ?? '', at }
        : field?.kind === 'remedy' ? { kind: 'remedy', carriedOut: number % 2 === 0, at } : { kind: 'finished', at };
      const next = applyEvent(run, event);
      expect(next.problem).toBeUndefined();
      run = next;
      await store.append(folder, runId, event);
    }
    await store.finish(folder, runId);
  }
}

test('9 relays and 3 fuses found, against 10 % and 70 % as written: what the records say, worked by hand', async () => {
  const folder = folderWith({ 'horn.procedure.yaml': HORN });
  await record(folder, { look_at_fuse: 'whole', swap_relay: 'yes' }, 9);
  await record(folder, { look_at_fuse: 'parted' }, 3);
  const years = join(folder, 'records', readdirSync(join(folder, 'records')).find((name) => /^\d{4}$/.test(name)) ?? '');
  expect(readdirSync(years).filter((name) => name.endsWith('.json'))).toHaveLength(12);

  const { code, out, error } = await command(folder, 'diagnose', 'horn.procedure.yaml');
  const text = out.replaceAll('\u00a0', ' ').replace(/\s+/g, ' ');
  expect({ code, error }).toEqual({ code: 0, error: '' });
  expect(text).toContain('12 records find one of these faults.');
  // (1 + 9) / 22 and (7 + 3) / 22, each with the square root of .4545 × .5455 / 23 = .104 as its spread.
  expect(text).toContain("The order was written for 10 % 'Relay failed'; your records say 45 % ± 10 %.");
  expect(text).toContain("The order was written for 70 % 'Fuse open'; your records say 45 % ± 10 %.");
  // As written 2 + .3 × 3 minutes; by the records 2 + 12/22 × 3.
  expect(text).toContain('average 2.90');
  expect(text).toContain('With what the records say, the order as written takes 3.64 minutes on average');
  expect(readFileSync(join(folder, 'horn.procedure.yaml'), 'utf8')).toBe(HORN);

  const byRecords = JSON.parse((await command(folder, 'diagnose', 'horn.procedure.yaml', '--weights', 'records', '--format', 'json')).out) as { weights: string; written: { minutes: number }; faults: { name: string; share: number }[] };
  expect(byRecords.weights).toBe('records');
  expect(byRecords.written.minutes).toBeCloseTo(2 + (12 / 22) * 3, 5);
  expect(byRecords.faults.map(({ share }) => share)).toEqual([10, 2, 10].map((part) => expect.closeTo(part / 22, 5) as number));

  // A record that was altered counts for nothing, and that is said.
  const first = readdirSync(years).find((name) => readFileSync(join(years, name), 'utf8').includes('"relay"')) ?? '';
  writeFileSync(join(years, first), readFileSync(join(years, first), 'utf8').replaceAll('"relay"', '"button"'));
  const altered = await command(folder, 'diagnose', 'horn.procedure.yaml', '--records', 'records');
  expect(altered.out).toContain('11 records find one of these faults.');
  expect(altered.error).toContain(`Left out: ${join(years, first)}`);
});

test('without records that find its faults there are no other weights to go by', async () => {
  const folder = folderWith({ 'horn.procedure.yaml': HORN });
  const { code, error } = await command(folder, 'diagnose', 'horn.procedure.yaml', '--weights', 'records');
  expect(code).toBe(2);
  expect(error).toContain('there are no weights but those written');
});
