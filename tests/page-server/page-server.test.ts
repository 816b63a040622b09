import { cpSync, existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, utimesSync, writeFileSync } from 'node:fs';
import { connect } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { startPageServer, type PageServer } from '../../server/src/edge/page-server.ts';
import { journalPath, readRecords, unfinishedRuns } from '../../server/src/edge/record-files.ts';
import { readJournal } from '../../server/src/edge/journal.ts';
import { servedLibrary } from '../../server/src/edge/served-library.ts';
import { applyEvent, type Run } from '../../server/src/run/engine.ts';
import { AT, minutes } from '../run/fixtures.ts';
import { begun, call, nextEvent, pageOf, send, type Opened } from './tablet.ts';

const FIXTURES = fileURLToPath(new URL('../run/fixtures/', import.meta.url));
let depot = '';
let records = '';
let server: PageServer;
let port = 0;

async function start(more: Partial<Parameters<typeof startPageServer>[0]> = {}): Promise<void> {
  server = await startPageServer({ library: servedLibrary(depot, undefined, 0), port: 0, page: { script: 'void 0;', styles: 'p{}' }, patience: 600, ...more });
  port = server.port;
}

beforeEach(async () => {
  depot = mkdtempSync(join(tmpdir(), 'faultwright-served-'));
  cpSync(FIXTURES, depot, { recursive: true });
  records = join(depot, 'records');
  await start();
});
afterEach(async () => {
  await server.close();
  rmSync(depot, { recursive: true, force: true });
});

const LIFT = 'Tail lift platform does not rise';

async function walkOn(base: string, runId: string, run: Run, most: number): Promise<Run> {
  let now = run;
  for (let count = 0; count < most && now.walk.stage !== 'finished'; count++) {
    const event = nextEvent(now);
    const answer = await call(port, base, 'append', { runId, index: now.events.length, event });
    expect(answer, JSON.stringify(event)).toMatchObject({ status: 200, result: now.events.length + 1 });
    now = applyEvent(now, event);
  }
  return now;
}

describe('the page server', () => {
  it('lists the procedures with their assets and standing', async () => {
    const { status, text, headers } = await send(port, '/');
    expect(status).toBe(200);
    expect(text).toContain(LIFT);
    expect(text).toMatch(/\/run\/[0-9a-f]{16}\?asset=TL-07/);
    expect(headers['content-security-policy']).toMatch(/^default-src 'none'; style-src 'sha256-/);
    expect(text).not.toContain('<script');
  });

  it('serves the checklist page for an asset, with a policy that lets it talk to this server alone', async () => {
    const base = await pageOf(port, LIFT);
    const { status, text, headers } = await send(port, `${base}?asset=TL-07`);
    expect(status).toBe(200);
    expect(text).toContain(`connect-src 'self'`);
    expect(text).toContain(base);
    expect(headers).toMatchObject({ 'cache-control': 'no-store', 'x-content-type-options': 'nosniff', 'x-frame-options': 'DENY', 'content-security-policy': `frame-ancestors 'none'` });
    expect((await send(port, `${base}?asset=TL-99`)).status).toBe(404);
  });

  it('takes a run from its first event to its record, and every acknowledged event is on the disk', async () => {
    const base = await pageOf(port, LIFT);
    const { opened, run } = await begun(port, base, 'TL-07');
    const half = await walkOn(base, opened.runId, run, 3);
    expect(readJournal(journalPath(records, opened.runId)).events).toEqual(half.events);
    const whole = await walkOn(base, opened.runId, half, 60);
    expect(whole.walk.stage).toBe('finished');
    const filed = await call<{ where: string; content: string }>(port, base, 'finish', { runId: opened.runId });
    expect(filed.result?.where).toMatch(/^records\/2026\/2026-11-25T0930_tail_lift_no_raise_TL-07_/);
    const { records: files, problems } = readRecords(records);
    expect(problems).toEqual([]);
    expect(files).toHaveLength(1);
    expect(JSON.parse(filed.result?.content ?? '')).toEqual(files[0]?.record);
    // Asked again, as after a lost answer, it is the same record, once.
    expect((await call(port, base, 'finish', { runId: opened.runId })).result).toEqual(filed.result);
    expect(readRecords(records).records).toHaveLength(1);
    expect(await call(port, base, 'append', { runId: opened.runId, index: 5, event: nextEvent(run) })).toMatchObject({ status: 410 });
  });

  it('acknowledges an event that is sent again and writes it once; another in its place is refused', async () => {
    const base = await pageOf(port, LIFT);
    const { opened, run } = await begun(port, base, 'TL-07');
    const event = nextEvent(run);
    const first = await call(port, base, 'append', { runId: opened.runId, index: 1, event });
    const again = await call(port, base, 'append', { runId: opened.runId, index: 1, event });
    expect([first.result, again.result]).toEqual([2, 2]);
    expect(readJournal(journalPath(records, opened.runId)).events).toHaveLength(2);
    const other = await call(port, base, 'append', { runId: opened.runId, index: 1, event: { kind: 'note', text: 'x', at: AT } });
    expect(other).toMatchObject({ status: 409, error: 'This run was gone on with elsewhere. The entry was not taken. Open the run again to see where it stands.' });
    const early = await call(port, base, 'append', { runId: opened.runId, index: 7, event: { kind: 'note', text: 'x', at: AT } });
    expect(early.status).toBe(409);
  });

  it('resumes after it was stopped and started again', async () => {
    const base = await pageOf(port, LIFT);
    const { opened, run } = await begun(port, base, 'TL-07');
    const half = await walkOn(base, opened.runId, run, 2);
    await server.close();
    await start();
    const look = await call<{ unfinished: unknown[] }>(port, base, 'look', { asset: 'TL-07' });
    expect(look.result?.unfinished).toMatchObject([{ runId: opened.runId, asset: 'TL-07', events: 3 }]);
    const again = await call<Opened>(port, base, 'open', { runId: opened.runId });
    expect(again.result?.events).toEqual(half.events);
    await walkOn(base, opened.runId, half, 2);
  });

  it('begins no second run on an asset that is being worked on, and says what to do', async () => {
    const base = await pageOf(port, LIFT);
    const { opened, run } = await begun(port, base, 'TL-07', 'Technician 4');
    const other = await pageOf(port, 'Battery condition');
    const refused = await call(port, base, 'open', { asset: 'TL-07' });
    expect(refused.status).toBe(422);
    expect(refused.error).toMatch(/^TL-07 is being worked on: Tail lift platform does not rise, begun by Technician 4 at 09:30, last entry \d+ s ago\. .* pause or stop it there first\.$/);
    expect((await call(port, other, 'open', { asset: 'TL-07' })).status).toBe(422);
    // Both tablets opened before either began: the second to begin is refused.
    await call(port, base, 'append', { runId: opened.runId, index: run.events.length, event: { kind: 'paused', at: AT } });
    const [one, two] = await Promise.all([call<Opened>(port, base, 'open', { asset: 'TL-07' }), call<Opened>(port, base, 'open', { asset: 'TL-07' })]);
    const first = { kind: 'started', at: AT, procedure: 'tail_lift_no_raise', contentHash: one.result?.document.contentHash, asset: 'TL-07', facts: {} };
    expect((await call(port, base, 'append', { runId: one.result?.runId, index: 0, event: first })).status).toBe(200);
    expect((await call(port, base, 'append', { runId: two.result?.runId, index: 0, event: first })).status).toBe(422);
    // What nobody has touched for an hour keeps nobody from beginning.
    const hourAgo = new Date(Date.now() - 3_600_000);
    for (const left of unfinishedRuns(records).runs) utimesSync(left.path, hourAgo, hourAgo);
    expect((await call(port, base, 'open', { asset: 'TL-07' })).status).toBe(200);
  });

  it('does not go on with a run whose procedure has been changed', async () => {
    const base = await pageOf(port, LIFT);
    const { opened } = await begun(port, base, 'TL-07');
    const file = join(depot, 'tail_lift_no_raise.procedure.yaml');
    writeFileSync(file, readFileSync(file, 'utf8').replace('revision: 4', 'revision: 5').replace('at most 0.4 V', 'at most 0.3 V').replace('above 0.4 V', 'above 0.3 V'));
    const refused = await call(port, base, 'open', { runId: opened.runId });
    expect(refused).toMatchObject({ status: 422 });
    expect(refused.error).toContain('which has been changed since (now revision 5)');
  });

  it('gives up a run, and keeps its journal', async () => {
    const base = await pageOf(port, LIFT);
    const { opened } = await begun(port, base, 'TL-07');
    expect((await call(port, base, 'discard', { runId: opened.runId })).status).toBe(200);
    expect(unfinishedRuns(records).runs).toEqual([]);
    expect(readdirSync(join(records, 'discarded'))).toEqual([`${opened.runId}.jsonl`]);
  });

  it('takes a clock that was set back, and the record says so', async () => {
    const base = await pageOf(port, LIFT);
    const { opened } = await begun(port, base, 'TL-07');
    await call(port, base, 'append', { runId: opened.runId, index: 1, event: { kind: 'note', text: 'later', at: minutes(5) } });
    await call(port, base, 'append', { runId: opened.runId, index: 2, event: { kind: 'note', text: 'before', at: minutes(2) } });
    await call(port, base, 'append', { runId: opened.runId, index: 3, event: { kind: 'stopped', reason: 'Rain.', at: minutes(6) } });
    await call(port, base, 'finish', { runId: opened.runId });
    expect(readRecords(records).records[0]?.record.clock).toEqual(['Event 3 is dated 180 s before the one it follows: a clock was set back.']);
  });
});

describe('what cannot be written is said, and nothing acknowledged is lost', () => {
  it('where the records folder is a file', async () => {
    writeFileSync(records, 'in the way');
    const base = await pageOf(port, LIFT);
    await expect(begun(port, base, 'TL-07')).rejects.toThrow(/cannot be made: something of that name is in the way\. Choose another records folder\./);
  });

  it('where another program has the run open', async () => {
    const base = await pageOf(port, LIFT);
    const { opened } = await begun(port, base, 'TL-07');
    await server.close();
    writeFileSync(`${journalPath(records, opened.runId)}.lock`, JSON.stringify({ process: 1, host: 'another-machine' }));
    await start();
    const refused = await call(port, base, 'open', { runId: opened.runId });
    expect(refused).toMatchObject({ status: 409 });
    expect(refused.error).toMatch(/^This run is open elsewhere \(process 1 on another-machine\)/);
  });

  it('where the tail of the journal is damaged: what was acknowledged is there', async () => {
    const base = await pageOf(port, LIFT);
    const { opened, run } = await begun(port, base, 'TL-07');
    const half = await walkOn(base, opened.runId, run, 2);
    await server.close();
    const path = journalPath(records, opened.runId);
    writeFileSync(path, `${readFileSync(path, 'utf8')}{"number":4,"ev`);
    await start();
    expect((await call<Opened>(port, base, 'open', { runId: opened.runId })).result?.events).toEqual(half.events);
    await walkOn(base, opened.runId, half, 1);
    await server.close();
    writeFileSync(path, readFileSync(path, 'utf8').replace('09:30', '09:31'));
    await start();
    expect(await call(port, base, 'open', { runId: opened.runId })).toMatchObject({ status: 500, error: expect.stringContaining('was altered') as string });
  });

  it('where another program wrote to the journal', async () => {
    const base = await pageOf(port, LIFT);
    const { opened } = await begun(port, base, 'TL-07');
    const path = journalPath(records, opened.runId);
    writeFileSync(path, `${readFileSync(path, 'utf8')}{}\n`);
    expect(await call(port, base, 'append', { runId: opened.runId, index: 1, event: { kind: 'note', text: 'x', at: AT } })).toMatchObject({ status: 409 });
  });
});

describe('the gate', () => {
  it('answers under its own addresses alone', async () => {
    for (const host of ['evil.example', `evil.example:${port}`, `127.0.0.1:${port + 1}`, '', `localhost.evil.example:${port}`, `192.168.1.1:${port}`]) {
      expect((await send(port, '/', { host })).status, host).toBe(421);
    }
    expect((await send(port, '/', { host: `LOCALHOST:${port}` })).status).toBe(200);
  });

  it('takes nothing from another site\'s page', async () => {
    const base = await pageOf(port, LIFT);
    const body = JSON.stringify({ asset: 'TL-07' });
    const json = { 'content-type': 'application/json' };
    expect((await send(port, `${base}/open`, { method: 'POST', body, headers: { ...json, origin: 'http://evil.example' } })).status).toBe(403);
    expect((await send(port, `${base}/open`, { method: 'POST', body, headers: { ...json, 'sec-fetch-site': 'cross-site' } })).status).toBe(403);
    expect((await send(port, `${base}/open`, { method: 'POST', body, headers: { 'content-type': 'text/plain' } })).status).toBe(415);
    expect((await send(port, `${base}/open`, { method: 'POST', body, headers: { ...json, origin: `http://127.0.0.1:${port}`, 'sec-fetch-site': 'same-origin' } })).status).toBe(200);
  });

  it('lets no address and no id out of the records folder', async () => {
    const base = await pageOf(port, LIFT);
    for (const path of ['/../../etc/passwd', '/..%2f..%2fetc/passwd', '/run/../../shop.yaml', '/run/..%5c..', '//evil.example/', '/run/%00', '/shop.yaml', `${base}/../../records`, '/run/constructor', '/run/__proto__', `${base}/look`, '/%']) {
      expect([400, 404], path).toContain((await send(port, path)).status);
    }
    for (const runId of ['../../shop', '..', '/etc/passwd', 'a/b', '..\\..\\x', 'x\u0000y', '', '%2e%2e', 'constructor', `${'a'.repeat(90)}`]) {
      for (const method of ['open', 'append', 'finish', 'discard']) {
        const answer = await call(port, base, method, { runId, index: 0, event: { kind: 'note', text: 'x', at: AT } });
        expect(answer.status, `${method} ${JSON.stringify(runId)}`).toBeGreaterThanOrEqual(400);
        expect(answer.status).toBeLessThan(500);
      }
    }
    expect(existsSync(join(depot, '..', 'shop.jsonl'))).toBe(false);
    expect(existsSync(records)).toBe(false);
  });

  it('writes a record of a hostile asset inside its folder', async () => {
    const base = await pageOf(port, LIFT);
    const asset = '../../../<img src=x onerror=alert(1)>\u202e\u0000';
    const { opened } = await begun(port, base, asset);
    await call(port, base, 'append', { runId: opened.runId, index: 1, event: { kind: 'stopped', reason: '</script><script>alert(1)</script>', at: AT } });
    const filed = await call<{ where: string }>(port, base, 'finish', { runId: opened.runId });
    expect(filed.result?.where).toMatch(/^records\/2026\/[A-Za-z0-9_-]+\.json$/);
    expect(readRecords(records).records[0]?.record.asset).toBe(asset);
  });

  it('refuses what is no event, and what the run could not take', async () => {
    const base = await pageOf(port, LIFT);
    const { opened, run } = await begun(port, base, 'TL-07');
    for (const event of [{}, { kind: 'nothing', at: AT }, { kind: '__proto__', at: AT }, { kind: 'note', text: 5, at: AT }, { kind: 'note', text: 'x', at: 'yesterday' }, [], { kind: 'finished', at: AT }, { kind: 'note', text: 'x'.repeat(20_000), at: AT }]) {
      expect((await call(port, base, 'append', { runId: opened.runId, index: 1, event })).status, JSON.stringify(event).slice(0, 60)).toBe(422);
    }
    for (const index of [-1, 0.5, '1', null, 1e300]) {
      expect((await call(port, base, 'append', { runId: opened.runId, index, event: nextEvent(run) })).status).toBe(400);
    }
    expect(readJournal(journalPath(records, opened.runId)).events).toHaveLength(1);
  });

  it('bounds what is sent, and answers what is malformed', async () => {
    const base = await pageOf(port, LIFT);
    const json = { 'content-type': 'application/json' };
    expect((await send(port, `${base}/look`, { method: 'POST', body: `{"asset":"${'x'.repeat(300_000)}"}`, headers: json }).catch(() => ({ status: 413 }))).status).toBe(413);
    for (const body of ['', '{', '[]', 'null', '"x"', '{"asset":5}', '\u0000']) expect((await send(port, `${base}/look`, { method: 'POST', body, headers: json })).status, body).toBe(400);
    expect((await send(port, `/?${'x'.repeat(3_000)}`)).status).toBe(400);
    expect((await send(port, '/', { method: 'DELETE' })).status).toBe(405);
    expect((await send(port, '/', { headers: { long: 'x'.repeat(20_000) } })).status).toBe(431);
    expect(await raw('NONSENSE\r\n\r\n')).toMatch(/^HTTP\/1\.1 400 /);
    expect(await raw('GET / HTTP/1.1\r\n\r\n')).toMatch(/^HTTP\/1\.1 400 /);
    expect((await send(port, '/')).status).toBe(200);
  });

  it('does not wait for ever for a slow client', async () => {
    const began = Date.now();
    expect(await raw('GET / HTTP/1.1\r\nhost: 127')).toMatch(/^(HTTP\/1\.1 408 |$)/);
    expect(await raw(`POST /run/0123456789abcdef/look HTTP/1.1\r\nhost: 127.0.0.1:${port}\r\ncontent-type: application/json\r\ncontent-length: 100\r\n\r\n{`)).toMatch(/^(HTTP\/1\.1 40\d |$)/);
    expect(Date.now() - began).toBeLessThan(20_000);
    expect((await send(port, '/')).status).toBe(200);
  });

  it('asks for its key on the local network, once, and takes it out of the address', async () => {
    await server.close();
    const lanKey = 'c0ffee00c0ffee00c0ffee00c0ffee00';
    await start({ lanKey });
    expect((await send(port, '/')).status).toBe(401);
    expect((await send(port, `/?key=${'0'.repeat(32)}`)).status).toBe(401);
    const admitted = await send(port, `/run/abc?asset=TL-07&key=${lanKey}`);
    expect(admitted).toMatchObject({ status: 303, headers: { location: '/run/abc?asset=TL-07' } });
    const cookie = String(admitted.headers['set-cookie']);
    expect(cookie).toMatch(/HttpOnly; SameSite=Lax; Path=\//);
    const headers = { cookie: cookie.split(';')[0] ?? '' };
    expect((await send(port, '/', { headers })).status).toBe(200);
    expect((await send(port, '/', { headers, host: `evil.example:${port}` })).status).toBe(421);
    expect((await send(port, `/?key=${lanKey}`, { host: 'evil.example' })).status).toBe(421);
    expect((await send(port, `//evil.example/?key=${lanKey}`)).status).toBe(400);
  });

  it('listens to this machine alone unless it is asked', async () => {
    await expect(new Promise((resolve, reject) => {
      const socket = connect({ host: '127.0.0.2', port }, () => resolve('connected'));
      socket.on('error', reject);
    })).rejects.toThrow();
  });
});

/** Sends bytes and returns what comes back until the other side closes. */
function raw(text: string): Promise<string> {
  return new Promise((resolve) => {
    const socket = connect({ host: '127.0.0.1', port });
    let said = '';
    socket.on('data', (part: Buffer) => (said += part.toString()));
    socket.on('error', () => undefined);
    socket.on('close', () => resolve(said));
    socket.write(text);
  });
}
