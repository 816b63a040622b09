/**
 * The page server is killed at random moments while a tablet sends entries. Whatever it had acknowledged is there afterwards, in order,
 * and nothing twice, though the tablet sends again what it got no answer to. FAULTWRIGHT_KILLS sets how often (1000 for the long test).
 */
import { chmodSync, mkdirSync, rmSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { journalPath, readRecords } from '../../server/src/edge/record-files.ts';
import { readJournal } from '../../server/src/edge/journal.ts';
import type { RunEvent } from '../../server/src/run/engine.ts';
import { AT } from '../run/fixtures.ts';
import { servedDepot, type ServedDepot } from './server-process.ts';
import { begun, call, pageOf } from './tablet.ts';

const KILLS = Number(process.env['FAULTWRIGHT_KILLS'] ?? 20);
const LIFT = 'Tail lift platform does not rise';
let depot: ServedDepot;
beforeAll(async () => {
  depot = await servedDepot();
});
afterAll(() => depot.remove());

describe('killed at a random moment', () => {
  it('the journal has every event that was acknowledged, once and in order', async () => {
    let server = await depot.start();
    let base = await pageOf(server.port, LIFT);
    let { opened } = await begun(server.port, base, 'TL-07');
    const acknowledged: RunEvent[] = [];
    let sent = 0;
    let lost = 0;
    for (let kill = 0; kill < KILLS; kill++) {
      let dead = false;
      const killed = new Promise<void>((done) => setTimeout(() => void server.kill().then(() => {
        dead = true;
        done();
      }), Math.random() * 120));
      let waiting: RunEvent | undefined;
      while (!dead) {
        waiting = { kind: 'note', text: String(sent + 1), at: AT };
        const answer = await call<number>(server.port, base, 'append', { runId: opened.runId, index: sent + 1, event: waiting }).catch(() => undefined);
        if (answer?.status !== 200) break;
        sent++;
        acknowledged.push(waiting);
        waiting = undefined;
      }
      await killed;
      const { events, remarks } = readJournal(journalPath(depot.records, opened.runId));
      if (remarks.length === 0 && events.length > sent + 1) lost++;
      expect(events.slice(1, sent + 1)).toEqual(acknowledged);
      expect(events.length).toBeLessThanOrEqual(sent + 2);
      server = await depot.start();
      base = await pageOf(server.port, LIFT);
      // The tablet sends again what it got no answer to, whether it had been written or not.
      if (waiting !== undefined) {
        expect((await call(server.port, base, 'append', { runId: opened.runId, index: sent + 1, event: waiting })).status).toBe(200);
        sent++;
        acknowledged.push(waiting);
      }
      if (kill % 50 !== 49 && kill !== KILLS - 1) continue;
      await call(server.port, base, 'append', { runId: opened.runId, index: sent + 1, event: { kind: 'stopped', reason: 'Enough.', at: AT } });
      // Killed between the record and its answer, the record is asked for again.
      const finishing = call(server.port, base, 'finish', { runId: opened.runId }).catch(() => undefined);
      if (Math.random() < 0.5) {
        await new Promise((done) => setTimeout(done, Math.random() * 20));
        await server.kill();
        server = await depot.start();
        base = await pageOf(server.port, LIFT);
      }
      await finishing;
      const filed = await call<{ where: string }>(server.port, base, 'finish', { runId: opened.runId });
      expect(filed.status, filed.error).toBe(200);
      const record = readRecords(depot.records).records.filter((one) => one.record.run === opened.runId);
      expect(record).toHaveLength(1);
      expect(record[0]?.record.notes.map((note) => note.text)).toEqual(acknowledged.map((_, index) => String(index + 1)));
      if (kill === KILLS - 1) break;
      ({ opened } = await begun(server.port, base, 'TL-07'));
      acknowledged.length = 0;
      sent = 0;
    }
    expect(readRecords(depot.records).problems).toEqual([]);
    // Some event was written and its answer lost: otherwise the test has not met what it is for. Only a long one can ask that.
    if (KILLS >= 500) expect(lost).toBeGreaterThan(0);
    await server.kill();
  }, 3_600_000);

  it.skipIf(process.platform === 'win32')('a full disk is said, what was acknowledged stays, and the run goes on when there is room', async () => {
    // Writing past a file size limit is the full disk that any process can make for itself.
    let server = await depot.start('ulimit -f 500');
    let base = await pageOf(server.port, LIFT);
    const { opened } = await begun(server.port, base, 'TL-07');
    let count = 1;
    let refused: { status: number; error?: string } = { status: 0 };
    for (; count < 500; count++) {
      refused = await call(server.port, base, 'append', { runId: opened.runId, index: count, event: { kind: 'note', text: 'x'.repeat(5_000), at: AT } });
      if (refused.status !== 200) break;
    }
    expect(refused.status).toBe(507);
    expect(refused.error).toMatch(/^The disk is full: the last entry could not be written .* Everything before it is kept\. Free some space, then enter it again\.$/);
    expect(readJournal(journalPath(depot.records, opened.runId))).toMatchObject({ remarks: [], events: { length: count } });
    expect((await call(server.port, base, 'look', {})).status).toBe(200);
    await server.kill();
    server = await depot.start();
    base = await pageOf(server.port, LIFT);
    expect(await call(server.port, base, 'append', { runId: opened.runId, index: count, event: { kind: 'stopped', reason: 'Full.', at: AT } })).toMatchObject({ status: 200 });
    expect((await call(server.port, base, 'finish', { runId: opened.runId })).status).toBe(200);
    await server.kill();
  });

  it.skipIf(process.platform === 'win32')('a read-only folder is said', async () => {
    rmSync(depot.records, { recursive: true, force: true });
    mkdirSync(depot.records, { mode: 0o555 });
    chmodSync(depot.folder, 0o755);
    const server = await depot.start(undefined, true);
    const base = await pageOf(server.port, LIFT);
    await expect(begun(server.port, base, 'TL-07')).rejects.toThrow(/^Nothing can be written to .*: the folder or file is read-only\. Choose another records folder\.$/);
    expect((await call(server.port, base, 'look', {})).status).toBe(200);
    await server.kill();
    rmSync(depot.records, { recursive: true });
  });
});
