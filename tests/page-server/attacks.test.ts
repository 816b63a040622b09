/** What someone would try on the page server who means harm, and what a browser must never do with what it serves. */
import { appendFileSync, existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import type { IncomingMessage } from 'node:http';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { checkAddress, languageOf, sameKey } from '../../server/src/edge/page-server-guard.ts';
import { startPageServer, type PageServer } from '../../server/src/edge/page-server.ts';
import { readJournal } from '../../server/src/edge/journal.ts';
import { journalPath, readRecords } from '../../server/src/edge/record-files.ts';
import { checkedRecord } from '../../server/src/edge/records-command.ts';
import { servedLibrary } from '../../server/src/edge/served-library.ts';
import { AT } from '../run/fixtures.ts';
import { begun, call, pageOf, send } from './tablet.ts';

const HOSTILE = '"><script>alert(1)</script><img src=x onerror=alert(1)>\u202e\u0007\u001b[31m</style></title>{{7*7}}javascript:alert(1)';
let depot = '';
let records = '';
let server: PageServer;
let port = 0;
const reported: string[] = [];

beforeEach(async () => {
  depot = mkdtempSync(join(tmpdir(), 'faultwright-attacked-'));
  records = join(depot, 'records');
  writeFileSync(join(depot, 'assets.yaml'), `assets:\n  ${JSON.stringify(HOSTILE)}: {equipment: x}\n  __proto__: {equipment: x}\n  ../../../etc/passwd: {equipment: x}\n  TL-07: {equipment: x}\n`);
  writeFileSync(join(depot, 'hostile.procedure.yaml'), `procedure: hostile
title: ${JSON.stringify(HOSTILE)}
revision: ${JSON.stringify(HOSTILE)}
status: constructor
purpose: inspection
steps:
  - step: look
    ask: ${JSON.stringify(HOSTILE)}
    results: [{when: yes, passes: true}, {when: ${JSON.stringify(HOSTILE)}, refer: ${JSON.stringify(HOSTILE)}}]
`);
  writeFileSync(join(depot, 'plain.procedure.yaml'), 'procedure: plain\ntitle: Plain\nrevision: 1\nstatus: released\npurpose: inspection\nsteps: [{step: look, ask: Well?, results: [{when: yes, passes: true}]}]\n');
  reported.length = 0;
  await start();
});
afterEach(async () => {
  await server.close();
  rmSync(depot, { recursive: true, force: true });
});

async function start(): Promise<void> {
  server = await startPageServer({
    library: servedLibrary(depot, undefined, 0), port: 0, page: { script: 'void 0;', styles: 'p{}' }, patience: 2_000, report: (message) => reported.push(message),
  });
  port = server.port;
}

describe('hostile text', () => {
  it('in procedures and assets reaches no page as markup, in either language', async () => {
    for (const language of ['en', 'de']) {
      const { text, headers } = await send(port, `/?language=${language}`);
      expect(text).toContain(`<html lang="${language}">`);
      expect(text).not.toMatch(/<script|<img|onerror=a[^l]|\u202e|\u0007|\u001b/);
      expect(headers['content-security-policy']).toMatch(/^default-src 'none'; style-src 'sha256-[^']+'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'$/);
      const addresses = [...text.matchAll(/href="([^"]*)"/g)].map((match) => match[1] ?? '');
      expect(addresses.length).toBeGreaterThan(4);
      for (const address of addresses) expect(address).toMatch(/^\/(run\/[0-9a-f]{16}(\?asset=[^&"<>]+)?((\?|&amp;)language=(en|de))?|\?language=(en|de)|)$/);
      for (const address of addresses.filter((one) => one.startsWith('/run/'))) {
        const page = await send(port, address.replaceAll('&amp;', '&'));
        expect([200, 404], address).toContain(page.status);
        expect(page.text.match(/<script/g)?.length ?? 0).toBeLessThanOrEqual(4);
        expect(page.text).not.toMatch(/<img|<script>alert/);
      }
    }
  });

  it('in messages about what was asked for comes back as text', async () => {
    for (const path of [`/run/${encodeURIComponent(HOSTILE)}`, `/${encodeURIComponent(HOSTILE)}`, `/?language=${encodeURIComponent(HOSTILE)}`]) {
      const { text, status } = await send(port, path);
      expect([200, 404]).toContain(status);
      expect(text).not.toMatch(/<script|<img/);
    }
    const base = await pageOf(port, 'Plain');
    expect((await send(port, `${base}?asset=${encodeURIComponent(HOSTILE)}`)).text).not.toMatch(/<script>a|<img/);
  });

  it('as an asset, a person, a run or a reading stays in the records folder, and the record is whole', async () => {
    const base = await pageOf(port, 'Plain');
    const assets = ['../../../etc/passwd', HOSTILE, '__proto__', 'CON', '\u0000', 'x'.repeat(300), '..', '/'];
    for (const asset of assets) {
      const { opened } = await begun(port, base, asset, HOSTILE).catch((error: Error) => ({ opened: undefined, error }));
      if (opened === undefined) continue;
      for (const event of [{ kind: 'note', text: HOSTILE, at: AT }, { kind: 'stopped', reason: HOSTILE, at: AT }]) {
        const { events } = readJournal(journalPath(records, opened.runId));
        expect(await call(port, base, 'append', { runId: opened.runId, index: events.length, event })).toMatchObject({ status: 200 });
      }
      expect(await call(port, base, 'finish', { runId: opened.runId })).toMatchObject({ status: 200 });
    }
    const files = readRecords(records).records;
    expect(files.length).toBeGreaterThanOrEqual(5);
    for (const file of files) {
      expect(checkedRecord(file.path).problems).toEqual([]);
      expect(file.path.slice(records.length)).toMatch(/^[/\\]2026[/\\][A-Za-z0-9_-]+\.json$/);
    }
    expect(readdirSync(depot).sort()).toEqual(['assets.yaml', 'hostile.procedure.yaml', 'plain.procedure.yaml', 'records']);
  });
});

describe('events that are none', () => {
  it('are refused, whatever stands in them, and nothing of them is written', async () => {
    const base = await pageOf(port, 'Plain');
    const { opened } = await begun(port, base, 'TL-07');
    const deep = JSON.parse(`${'['.repeat(2_000)}${']'.repeat(2_000)}`) as unknown;
    const events: unknown[] = [
      { kind: 'note', text: 'x', at: AT, more: 1 }, { kind: 'note', text: 'x', at: AT, number: 7 }, { kind: 'note', text: 'x', at: AT, person: '' },
      JSON.parse(`{"kind":"note","text":"x","at":"${AT}","__proto__":{"a":1}}`), { kind: '__proto__', at: AT }, { kind: 'constructor', at: AT }, { kind: 'note', text: { toString: 1 }, at: AT },
      { kind: 'answer', typed: 'yes', at: AT, deep }, { kind: 'acknowledged', cautions: [[]], at: AT }, { kind: 'states_confirmed', states: { a: 1 }, at: AT }, { kind: 'note', text: 'x'.repeat(20_000), at: AT },
      { kind: 'note', text: 'x', at: '2026-11-25' }, { kind: 'note', text: 'x', at: '9999999-01-01T00:00:00Z' }, { kind: 'correction', of: 1e300, at: AT }, { kind: 'photo', name: '../x.jpg', at: AT },
      { kind: 'photo', name: 'a.jpg', digest: 'f'.repeat(64), at: AT }, { kind: 'carried_over', was: 'x', contentHash: 'y', at: AT }, { kind: 'started', procedure: 'plain', contentHash: 'x', facts: {}, at: AT },
      { kind: 'helper', who: 5, at: AT }, { kind: 'wait_started', at: AT },
    ];
    for (const event of events) {
      const { status } = await call(port, base, 'append', { runId: opened.runId, index: 1, event });
      expect([400, 422], JSON.stringify(event).slice(0, 80)).toContain(status);
    }
    expect(readJournal(journalPath(records, opened.runId)).events).toHaveLength(1);
    expect(reported).toEqual([]);
  });
});

describe('the gate', () => {
  const asked = (headers: Record<string, string>, method = 'GET'): IncomingMessage => ({ headers, method }) as unknown as IncomingMessage;

  it('knows its own address without a number on the port of HTTP, and nobody else\'s', () => {
    expect(() => checkAddress(asked({ host: '127.0.0.1' }), 80, false)).not.toThrow();
    expect(() => checkAddress(asked({ host: 'localhost' }), 80, false)).not.toThrow();
    for (const host of ['127.0.0.1', 'localhost']) expect(() => checkAddress(asked({ host }), 8731, false)).toThrow();
    for (const host of ['evil.example', '0.0.0.0:80', '127.0.0.1.evil.example', '127.1', '[::]:80', '127.0.0.1:80@evil.example', '127.0.0.1:080']) expect(() => checkAddress(asked({ host }), 80, false), host).toThrow();
    expect(() => checkAddress(asked({ host: 'localhost:8731', origin: 'null' }), 8731, false)).toThrow();
    expect(() => checkAddress(asked({ host: 'localhost:8731', origin: 'http://127.0.0.1:8731' }), 8731, false)).toThrow();
  });

  it('reads a language from whatever a browser says', () => {
    const of = (text: string, query = ''): string => languageOf(asked({ 'accept-language': text }), new URL(`http://x/${query}`)).language;
    expect(of('de-DE,de;q=0.9,en;q=0.8')).toBe('de');
    expect(of('en-GB,de;q=0.5')).toBe('en');
    expect(of('fr,de;q=0.3')).toBe('de');
    expect(of('de;q=0')).toBe('en');
    expect(of('')).toBe('en');
    expect(of(`${'x,'.repeat(100_000)}de`)).toBe('en');
    expect(of(';;q=;,=', '?language=de')).toBe('de');
    expect(of('de', '?language=en')).toBe('en');
    expect(of('de;q=NaN,en;q=Infinity')).toBe('en');
  });

  it('compares a key by its digest, whatever its length', () => {
    expect(sameKey('a', 'a')).toBe(true);
    for (const other of ['', 'b', 'aa', 'a\u0000', 'x'.repeat(100_000)]) expect(sameKey(other, 'a')).toBe(false);
  });

  it('sends every answer, right or wrong, with headers that keep it where it is', async () => {
    const base = await pageOf(port, 'Plain');
    const answers = [
      await send(port, '/'), await send(port, base), await send(port, '/none'), await send(port, '/', { host: 'evil.example' }), await send(port, '/', { method: 'PUT' }),
      await send(port, `${base}/look`, { method: 'POST', body: '{}', headers: { 'content-type': 'application/json' } }), await send(port, `${base}/look`, { method: 'POST', body: '' }),
    ];
    for (const { headers, status } of answers) {
      expect(headers, String(status)).toMatchObject({
        'cache-control': 'no-store', 'x-content-type-options': 'nosniff', 'referrer-policy': 'no-referrer', 'cross-origin-opener-policy': 'same-origin',
        'cross-origin-resource-policy': 'same-origin', 'x-frame-options': 'DENY',
      });
      expect(headers['content-type']).toMatch(/^(text\/html|application\/json); charset=utf-8$/);
      expect(headers['access-control-allow-origin']).toBeUndefined();
      expect(headers['set-cookie']).toBeUndefined();
    }
    // A page asks for no address but this server's own.
    for (const { text } of answers.slice(0, 3)) expect(text.replace(/xmlns="[^"]*"/g, '')).not.toMatch(/(?:src|href|action)="(?:[a-z]+:)?\/\//i);
  });

  it('answers a browser that asks first whether another site may send, with no', async () => {
    const base = await pageOf(port, 'Plain');
    const answer = await send(port, `${base}/open`, { method: 'OPTIONS', headers: { origin: 'http://evil.example', 'access-control-request-method': 'POST', 'access-control-request-headers': 'content-type' } });
    expect(answer.status).toBe(403);
    expect(answer.headers['access-control-allow-origin']).toBeUndefined();
  });
});

describe('the disk below it', () => {
  it('goes away: the journal is put back with everything, and whoever runs the server is told', async () => {
    const base = await pageOf(port, 'Plain');
    const { opened } = await begun(port, base, 'TL-07');
    rmSync(records, { recursive: true });
    expect(await call(port, base, 'append', { runId: opened.runId, index: 1, event: { kind: 'note', text: 'x', at: AT } })).toMatchObject({ status: 200, result: 2 });
    expect(reported).toEqual([expect.stringMatching(/had been removed or moved while the run was under way\. It was put back with everything entered\.$/)]);
    await call(port, base, 'append', { runId: opened.runId, index: 2, event: { kind: 'stopped', reason: 'x', at: AT } });
    rmSync(records, { recursive: true });
    expect(await call(port, base, 'finish', { runId: opened.runId })).toMatchObject({ status: 200 });
    expect(readRecords(records)).toMatchObject({ problems: [], records: [{ record: { count: 3 } }] });
  });

  it('is so slow that clients give up: what they send again is written once', async () => {
    const fs = (await import('node:fs')).default;
    const { syncBuiltinESMExports } = await import('node:module');
    const base = await pageOf(port, 'Plain');
    const { opened } = await begun(port, base, 'TL-07');
    const quick = fs.fsyncSync;
    fs.fsyncSync = (handle) => {
      Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 700);
      quick(handle);
    };
    syncBuiltinESMExports();
    try {
      const event = { kind: 'note', text: 'slow', at: AT };
      const sent = (): Promise<{ status: number }> => call(port, base, 'append', { runId: opened.runId, index: 1, event }).catch(() => ({ status: 0 }));
      const answers = await Promise.all([sent(), sent(), sent(), sent(), sent()]);
      expect(answers.some((answer) => answer.status === 200)).toBe(true);
      expect((await sent()).status).toBe(200);
    } finally {
      fs.fsyncSync = quick;
      syncBuiltinESMExports();
    }
    expect(readJournal(journalPath(records, opened.runId)).events).toHaveLength(2);
  });

  it('holds a half-written record of the run beside the journal: it is written whole, once', async () => {
    const base = await pageOf(port, 'Plain');
    const { opened } = await begun(port, base, 'TL-07');
    await call(port, base, 'append', { runId: opened.runId, index: 1, event: { kind: 'stopped', reason: 'x', at: AT } });
    const name = `2026-11-25T0930_plain_TL-07_${opened.runId.slice(-8)}.json`;
    mkdirSync(join(records, '2026'));
    writeFileSync(join(records, '2026', `${name}.1234567`), '{"format":1,"run":');
    writeFileSync(join(records, '2026', name), '{"format":1,"run":');
    expect(await call(port, base, 'finish', { runId: opened.runId })).toMatchObject({ status: 200 });
    expect(readdirSync(join(records, '2026'))).toEqual([name]);
    expect(readRecords(records)).toMatchObject({ problems: [], records: [{ record: { run: opened.runId } }] });
  });

  it('is looked at anew where a procedure changed, and only there', async () => {
    const library = servedLibrary(depot, undefined, 0);
    const before = await library.procedures();
    const again = await library.procedures();
    expect(again.map((one, index) => one === before[index])).toEqual([true, true]);
    appendFileSync(join(depot, 'plain.procedure.yaml'), 'note: More.\n');
    const after = await library.procedures();
    const same = (name: string): boolean => after.find((one) => one.name === name) === before.find((one) => one.name === name);
    expect([same('hostile'), same('plain')]).toEqual([true, false]);
    rmSync(join(depot, 'hostile.procedure.yaml'));
    expect((await library.procedures()).map((one) => one.name)).toEqual(['plain']);
    expect(await library.count()).toBe(1);
    // A run that is under way goes on by what was last read.
    expect((await library.procedure(before[0]?.id ?? '', true))?.name).toBeUndefined();
    expect(existsSync(records)).toBe(false);
    expect(readFileSync(join(depot, 'plain.procedure.yaml'), 'utf8')).toContain('More.');
  });
});
