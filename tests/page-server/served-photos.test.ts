/** Pictures that a tablet sends to the page server: kept before they are named, never exchanged, never anything but a picture in its place. */
import { cpSync, existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { startPageServer, type PageServer } from '../../server/src/edge/page-server.ts';
import { unfinishedRuns } from '../../server/src/edge/record-files.ts';
import { servedLibrary } from '../../server/src/edge/served-library.ts';
import { fileDigest } from '../../server/src/run/digest.ts';
import { applyEvent } from '../../server/src/run/engine.ts';
import { AT } from '../run/fixtures.ts';
import { begun, call, nextEvent, pageOf, type Opened } from './tablet.ts';

const LIFT = 'Tail lift platform does not rise';
let depot = '';
let records = '';
let server: PageServer;
let port = 0;

beforeEach(async () => {
  depot = mkdtempSync(join(tmpdir(), 'faultwright-photos-'));
  cpSync(fileURLToPath(new URL('../run/fixtures/', import.meta.url)), depot, { recursive: true });
  records = join(depot, 'records');
  server = await startPageServer({ library: servedLibrary(depot, undefined, 0), port: 0, page: { script: 'void 0;', styles: 'p{}' }, patience: 2_000 });
  port = server.port;
});
afterEach(async () => {
  await server.close();
  rmSync(depot, { recursive: true, force: true });
});

/** Begins as JPEG files begin (ISO/IEC 10918-1: SOI, then a marker). */
const jpeg = (text: string, size = 100): Buffer => Buffer.concat([Buffer.from([0xff, 0xd8, 0xff, 0xe0]), Buffer.from(text), Buffer.alloc(size)]);

async function aRun(): Promise<{ base: string; runId: string; keep: (name: string, bytes: Buffer | string) => ReturnType<typeof call>; name: (name: string, digest: string) => ReturnType<typeof call> }> {
  const base = await pageOf(port, LIFT);
  const { opened } = await begun(port, base, 'TL-07');
  const { runId } = opened;
  return {
    base, runId,
    keep: (name, bytes) => call(port, base, 'keepPhoto', { runId, name, data: typeof bytes === 'string' ? bytes : bytes.toString('base64') }),
    name: (name, digest) => call(port, base, 'append', { runId, index: 1, event: { kind: 'photo', name, digest, at: AT } }),
  };
}

describe('a picture', () => {
  it('is on the disk, beside the records, before the entry that names it is taken', async () => {
    const { base, runId, keep, name } = await aRun();
    const bytes = jpeg('the marked-off area');
    expect(await name('photo-01.jpg', fileDigest(bytes))).toMatchObject({ status: 422, error: expect.stringMatching(/not kept here as it was taken/) as string });
    expect(await keep('photo-01.jpg', bytes)).toMatchObject({ status: 200 });
    expect(readFileSync(join(records, 'photos', runId, 'photo-01.jpg')).equals(bytes)).toBe(true);
    expect(await name('photo-01.jpg', '0'.repeat(64))).toMatchObject({ status: 422 });
    expect(await name('photo-01.jpg', fileDigest(bytes))).toMatchObject({ status: 200, result: 2 });
    expect(await call(port, base, 'photo', { runId, name: 'photo-01.jpg' })).toMatchObject({ result: bytes.toString('base64') });
    expect(await call(port, base, 'photo', { runId, name: 'photo-02.jpg' })).toMatchObject({ status: 200, result: null });
  });

  it('that an entry names is never exchanged for another; one that no entry names can be sent again', async () => {
    const { keep, name, runId } = await aRun();
    expect(await keep('photo-01.jpg', jpeg('blurred'))).toMatchObject({ status: 200 });
    const sharp = jpeg('sharp');
    expect(await keep('photo-01.jpg', sharp)).toMatchObject({ status: 200 });
    await name('photo-01.jpg', fileDigest(sharp));
    expect(await keep('photo-01.jpg', jpeg('another'))).toMatchObject({ status: 409 });
    expect(readFileSync(join(records, 'photos', runId, 'photo-01.jpg')).equals(sharp)).toBe(true);
  });

  it.each(['../photo.jpg', '..%2fphoto.jpg', '/etc/photo.jpg', 'a/b.jpg', 'a\\b.jpg', '.jpg', 'photo.html', 'photo.jpg.html', 'photo\u0000.jpg', '', 'x'.repeat(300)])('named %j is refused', async (name) => {
    const { keep } = await aRun();
    expect((await keep(name, jpeg('x'))).status).toBeGreaterThanOrEqual(400);
    expect(existsSync(join(records, 'photos'))).toBe(false);
  });

  it('is refused where it is none, or too large, or of a run that is not under way here', async () => {
    const { base, keep } = await aRun();
    for (const bytes of [Buffer.from('<script>alert(1)</script>'), Buffer.alloc(0), 'no base64!', Buffer.from('\x89PNG\r\n')]) expect(await keep('photo-01.jpg', bytes)).toMatchObject({ status: 422 });
    expect(await keep('photo-01.jpg', jpeg('large', 4 * 1024 * 1024))).toMatchObject({ status: 422, error: 'The picture is too large. Take one of at most 4 megabytes.' });
    // Far too large a request is not read to its end: the server hangs up.
    expect(await keep('photo-01.jpg', jpeg('larger', 9 * 1024 * 1024)).then((answer) => answer.status, () => 413)).toBe(413);
    expect(await keep('photo-01.jpg', jpeg('as large as it may be', 3_900_000))).toMatchObject({ status: 200 });
    for (const runId of ['20261125T0930Z-aaaaaaaa', '../unfinished', '']) {
      expect((await call(port, base, 'keepPhoto', { runId, name: 'photo-01.jpg', data: jpeg('x').toString('base64') })).status).toBeGreaterThanOrEqual(400);
    }
    expect(readdirSync(join(records, 'photos')).length).toBe(1);
  });

  it('leaves other requests as small as they were', async () => {
    const { base, runId } = await aRun();
    const answer = await call(port, base, 'append', { runId, index: 1, event: { kind: 'note', text: 'x'.repeat(300_000), at: AT } }).catch(() => ({ status: 413 }));
    expect(answer.status).toBe(413);
  });
});

describe('a run of a text that was changed since', () => {
  const change = (from: string | RegExp, to: string): void => {
    const file = join(depot, 'tail_lift_no_raise.procedure.yaml');
    writeFileSync(file, readFileSync(file, 'utf8').replace('revision: 4', 'revision: 5').replace(from, to));
  };

  it('goes on by the new one where the steps done are the same; the journal is exchanged whole', async () => {
    const base = await pageOf(port, LIFT);
    const { opened, run } = await begun(port, base, 'TL-07');
    const { runId } = opened;
    expect(await call(port, base, 'append', { runId, index: 1, event: nextEvent(run) })).toMatchObject({ status: 200 });
    change('below the mark', 'under the mark');
    expect(await call(port, base, 'open', { runId })).toMatchObject({ status: 422, error: expect.stringMatching(/has been changed since/) as string });
    const carried = await call<Opened>(port, base, 'carryOver', { runId, at: AT, person: 'Technician 9' });
    expect(carried).toMatchObject({ status: 200, result: { runId, document: { procedure: { revision: '5' } } } });
    expect(carried.result?.events.at(-1)).toMatchObject({ kind: 'carried_over', wasRevision: '4', revision: '5', person: 'Technician 9' });
    expect(unfinishedRuns(records).runs).toMatchObject([{ runId, revision: '5', events: 3 }]);
    expect(await call(port, base, 'append', { runId, index: 3, event: { kind: 'note', text: 'on it goes', at: AT } })).toMatchObject({ status: 200, result: 4 });
    // A page that does not know of it yet is told.
    expect(await call(port, base, 'append', { runId, index: 2, event: { kind: 'note', text: 'late', at: AT } })).toMatchObject({ status: 409 });
  });

  it('does not where a step that was done has changed, says why, and can be opened to be stopped', async () => {
    const base = await pageOf(port, LIFT);
    const { opened, run: first } = await begun(port, base, 'TL-07');
    const { runId } = opened;
    // The cautions of the first step, then the step itself.
    let run = first;
    for (let index = 1; index < 3; index++) {
      const event = nextEvent(run);
      expect(await call(port, base, 'append', { runId, index, event })).toMatchObject({ status: 200 });
      run = applyEvent(run, event);
    }
    expect(run.walk.lines).toHaveLength(1);
    change('apply the parking brake', 'chock the wheels');
    expect(await call(port, base, 'carryOver', { runId, at: AT })).toMatchObject({ status: 422, error: expect.stringMatching(/^Step 1, Make safe, was done and has been changed since: its instructions\.$/) as string });
    expect(await call(port, base, 'carryOver', { runId, at: 'yesterday' })).toMatchObject({ status: 422 });
    const toStop = await call<Opened>(port, base, 'open', { runId, toStop: true });
    expect(toStop).toMatchObject({ status: 200, result: { document: { procedure: { revision: '4' } } } });
    expect(await call(port, base, 'append', { runId, index: 3, event: { kind: 'stopped', reason: 'Changed.', at: AT } })).toMatchObject({ status: 200 });
    expect(await call(port, base, 'finish', { runId })).toMatchObject({ status: 200 });
  });
});
