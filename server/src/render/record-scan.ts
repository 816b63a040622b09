/**
 * A record as a text short enough for a code to scan: the run's events and what binds them to a procedure. Everything else in a
 * record is computed from those; whoever reads the text needs the checklist with the same content hash, and compares the digest.
 * The text is `FAULTWRIGHT RECORD 1 ` and then, in base45 (RFC 9285), JSON compressed with raw deflate (RFC 1951): letters of the
 * code's alphanumeric mode alone.
 */
import type { RunEvent } from '../run/events.ts';
import type { RunRecord } from '../run/record-shape.ts';

export interface ScannedRecord {
  readonly run: string;
  readonly procedure: string;
  readonly contentHash: string;
  /** The digest of the whole record, without attachments where `attachments` is true. */
  readonly digest: string;
  readonly events: readonly RunEvent[];
}

const PREFIX = 'FAULTWRIGHT RECORD 1 ';
/** Longer ones make a code that a phone does not read from a screen: about 140 modules a side. */
const LONGEST = 2_600;
/** No record that was written fits in more: a text that unpacks to more is none of ours. */
const LONGEST_UNPACKED = 1_000_000;

/** The record as a text to scan; undefined where it is too long for that, or where this machine cannot compress. */
export async function recordScanText(record: RunRecord): Promise<string | undefined> {
  if (typeof CompressionStream === 'undefined') return undefined;
  const scanned: ScannedRecord = {
    run: record.run, procedure: record.procedure.name, contentHash: record.contentHash, digest: record.digest,
    events: record.events.map((link) => link.event),
  };
  const packed = await through(new TextEncoder().encode(JSON.stringify(scanned)), new CompressionStream('deflate-raw'), LONGEST);
  const text = packed && PREFIX + base45(packed);
  return text !== undefined && text.length <= LONGEST ? text : undefined;
}

/** Reads such a text. Throws an Error with a message for a person where it is none, or is damaged. */
export async function readRecordScan(text: string): Promise<ScannedRecord> {
  const trimmed = text.replace(/^\s+|[\r\n]+$/g, '');
  if (!trimmed.startsWith(PREFIX)) throw new Error(`This is no scanned record: it does not begin with '${PREFIX.trim()}'.`);
  const damaged = 'The scanned record is damaged: scan it again.';
  let value: unknown;
  try {
    const bytes = fromBase45(trimmed.slice(PREFIX.length));
    const unpacked = await through(bytes, new DecompressionStream('deflate-raw'), LONGEST_UNPACKED);
    if (unpacked === undefined) throw new Error(damaged);
    value = JSON.parse(new TextDecoder('utf-8', { fatal: true }).decode(unpacked));
  } catch {
    throw new Error(damaged);
  }
  if (!looksScanned(value)) throw new Error(damaged);
  return value;
}

function looksScanned(value: unknown): value is ScannedRecord {
  if (typeof value !== 'object' || value === null) return false;
  const { run, procedure, contentHash, digest, events } = value as Partial<Record<keyof ScannedRecord, unknown>>;
  return [run, procedure, contentHash, digest].every((part) => typeof part === 'string') && Array.isArray(events);
}

/** The bytes after the stream; undefined where there are more than `most`. */
async function through(bytes: Uint8Array, stream: CompressionStream | DecompressionStream, most: number): Promise<Uint8Array | undefined> {
  const writer = stream.writable.getWriter();
  // What goes wrong shows where it is read.
  writer.write(bytes as Uint8Array<ArrayBuffer>).then(() => writer.close()).catch(() => undefined);
  const reader = (stream.readable as ReadableStream<Uint8Array>).getReader();
  const parts: Uint8Array[] = [];
  let length = 0;
  for (;;) {
    const { done, value } = await reader.read();
    if (done) break;
    parts.push(value);
    length += value.length;
    if (length > most) {
      await reader.cancel().catch(() => undefined);
      return undefined;
    }
  }
  const all = new Uint8Array(length);
  let at = 0;
  for (const part of parts) {
    all.set(part, at);
    at += part.length;
  }
  return all;
}

const ALPHABET = '0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:';

/** RFC 9285: two bytes as three letters, a last single byte as two. */
export function base45(bytes: Uint8Array): string {
  let text = '';
  for (let at = 0; at < bytes.length; at += 2) {
    const pair = at + 1 < bytes.length;
    let value = pair ? (bytes[at] ?? 0) * 256 + (bytes[at + 1] ?? 0) : (bytes[at] ?? 0);
    for (let count = 0; count < (pair ? 3 : 2); count++) {
      text += ALPHABET[value % 45];
      value = Math.floor(value / 45);
    }
  }
  return text;
}

/** Throws a RangeError where the text is no base45. */
export function fromBase45(text: string): Uint8Array {
  if (text.length % 3 === 1) throw new RangeError('A letter is missing.');
  const bytes: number[] = [];
  for (let at = 0; at < text.length; at += 3) {
    const digits = [...text.slice(at, at + 3)].map((letter) => ALPHABET.indexOf(letter));
    if (digits.includes(-1)) throw new RangeError('A letter is none of base45.');
    const value = digits.reduceRight((sum, digit) => sum * 45 + digit, 0);
    if (value > (digits.length === 3 ? 0xffff : 0xff)) throw new RangeError('Letters stand for more than they may.');
    if (digits.length === 3) bytes.push(value >> 8);
    bytes.push(value & 0xff);
  }
  return Uint8Array.from(bytes);
}
