/**
 * What stands between a browser and the page server: which addresses it answers under, the key that a tablet on the local network
 * shows, how much a request may send, and the headers of every answer. It knows no procedures and no runs.
 */
import { createHash, timingSafeEqual } from 'node:crypto';
import type { IncomingMessage, ServerResponse } from 'node:http';
import { isIP } from 'node:net';
import { networkInterfaces } from 'node:os';

/** An answer that is no success, with its status and a sentence. */
export class HttpProblem extends Error {
  readonly status: number;

  constructor(status: number, message: string) {
    super(message);
    this.status = status;
  }
}

/** Most bytes that a request may send. */
export const MOST_BYTES = 256 * 1024;

/**
 * Refuses a request that names another address than this server's, as a page elsewhere does that has its own name lead here (DNS
 * rebinding), and one that another site's page sends.
 */
export function checkAddress(request: IncomingMessage, port: number, lan: boolean): void {
  const host = (request.headers.host ?? '').toLowerCase();
  // On the port of HTTP itself, browsers leave the number out.
  const allowed = ownAddresses(lan).map((address) => (isIP(address) === 6 ? `[${address}]` : address)).flatMap((address) => [`${address}:${port}`, ...(port === 80 ? [address] : [])]);
  if (!allowed.includes(host)) throw new HttpProblem(421, 'This server does not answer under that address. Use the address that it printed when it was started.');
  const { origin } = request.headers;
  if (origin !== undefined && origin !== `http://${host}`) throw new HttpProblem(403, 'This server answers its own pages alone.');
  const site = request.headers['sec-fetch-site'];
  if (request.method === 'POST' && site !== undefined && site !== 'same-origin') throw new HttpProblem(403, 'This server answers its own pages alone.');
}

/** Addresses by which this machine is reached; without `lan` only by itself. */
export function ownAddresses(lan: boolean): string[] {
  return ['127.0.0.1', 'localhost', '::1', ...(lan ? lanAddresses() : [])];
}

/** IPv4 addresses of this machine on networks, the private ones first. */
export function lanAddresses(): string[] {
  const found = Object.values(networkInterfaces()).flatMap((list) => list ?? []).filter((one) => one.family === 'IPv4' && !one.internal).map((one) => one.address);
  const rank = (address: string): number => (/^(10\.|192\.168\.|172\.(1[6-9]|2\d|3[01])\.)/.test(address) ? 0 : 1);
  return [...new Set(found)].sort((a, b) => rank(a) - rank(b));
}

/** The language that a page is to speak: as its address says, else as the browser prefers it. */
export function languageOf(request: IncomingMessage, url: URL): { readonly language: 'en' | 'de'; readonly asked: boolean } {
  const asked = url.searchParams.get('language');
  if (asked === 'en' || asked === 'de') return { language: asked, asked: true };
  const wanted = (request.headers['accept-language'] ?? '').slice(0, 200).split(',').map((part) => {
    const [tag = '', ...weights] = part.trim().toLowerCase().split(';');
    const weight = Number(weights.find((one) => one.trim().startsWith('q='))?.trim().slice(2) ?? 1);
    return { tag: tag.split('-')[0] ?? '', weight: Number.isFinite(weight) ? weight : 0 };
  }).filter((one) => one.weight > 0 && (one.tag === 'en' || one.tag === 'de'));
  return { language: wanted.reduce((best, one) => (one.weight > best.weight ? one : best), { tag: 'en', weight: 0 }).tag === 'de' ? 'de' : 'en', asked: false };
}

/** Whether the request shows the key: in its cookie, or once in its address. */
export function showsKey(request: IncomingMessage, key: string, cookie: string): boolean {
  const cookies = (request.headers.cookie ?? '').split(';').map((one) => one.trim());
  const shown = cookies.find((one) => one.startsWith(`${cookie}=`))?.slice(cookie.length + 1);
  return shown !== undefined && sameKey(shown, key);
}

/** Compares without telling by its time how much was right. */
export function sameKey(one: string, other: string): boolean {
  const digest = (text: string): Buffer => createHash('sha256').update(text).digest();
  return timingSafeEqual(digest(one), digest(other));
}

/** The JSON that a request sends, of at most `most` bytes. Throws HttpProblem where it is more, no JSON, or no object. */
export async function readJson(request: IncomingMessage, most = MOST_BYTES): Promise<Readonly<Record<string, unknown>>> {
  const type = (request.headers['content-type'] ?? '').split(';')[0]?.trim().toLowerCase();
  if (type !== 'application/json') throw new HttpProblem(415, 'The request must be JSON.');
  const declared = Number(request.headers['content-length'] ?? 0);
  if (declared > most) throw new HttpProblem(413, 'The request is too large.');
  const parts: Buffer[] = [];
  let size = 0;
  for await (const part of request as AsyncIterable<Buffer>) {
    size += part.length;
    if (size > most) throw new HttpProblem(413, 'The request is too large.');
    parts.push(part);
  }
  let value: unknown;
  try {
    value = JSON.parse(new TextDecoder('utf-8', { fatal: true }).decode(Buffer.concat(parts)));
  } catch {
    throw new HttpProblem(400, 'The request is no JSON text.');
  }
  if (typeof value !== 'object' || value === null || Array.isArray(value)) throw new HttpProblem(400, 'The request is no JSON object.');
  return value as Record<string, unknown>;
}

/** Headers of every answer. Nothing is kept by the browser, framed by another page, or sent elsewhere. */
export function secure(response: ServerResponse): void {
  response.setHeader('cache-control', 'no-store');
  response.setHeader('x-content-type-options', 'nosniff');
  response.setHeader('referrer-policy', 'no-referrer');
  response.setHeader('cross-origin-opener-policy', 'same-origin');
  response.setHeader('cross-origin-resource-policy', 'same-origin');
  response.setHeader('x-frame-options', 'DENY');
}
