/**
 * Digests of plain JSON values. A value is written in one canonical form (keys sorted by code unit, no white space) and hashed as
 * UTF-8 with SHA-256 (FIPS 180-4), so that equal content has an equal digest wherever it is computed. A chain of digests makes a
 * list whose every item vouches for all before it. It shows what was altered, lost or moved; it is no signature: someone
 * who recomputes the whole chain leaves no trace in it.
 */
import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex, utf8ToBytes } from '@noble/hashes/utils.js';

/** SHA-256 of a text as UTF-8, in lower-case hex. */
export function textDigest(text: string): string {
  return bytesToHex(sha256(utf8ToBytes(text)));
}

/** SHA-256 of a file's bytes, in lower-case hex. */
export function fileDigest(bytes: Uint8Array): string {
  return bytesToHex(sha256(bytes));
}

/** SHA-256 of bytes given as base64, in lower-case hex; undefined where the text is no base64. */
export function bytesDigest(base64: unknown): string | undefined {
  if (typeof base64 !== 'string') return undefined;
  try {
    return fileDigest(Uint8Array.from(atob(base64), (character) => character.charCodeAt(0)));
  } catch {
    return undefined;
  }
}

/** SHA-256 of a plain JSON value in canonical form, in lower-case hex. */
export function valueDigest(value: unknown): string {
  return textDigest(canonicalJson(value));
}

/** The digest of a link: the one before it and its own value. */
export function linkDigest(before: string, value: unknown): string {
  return textDigest(`${before}\n${canonicalJson(value)}`);
}

/**
 * JSON with sorted keys and no white space. Fields that hold `undefined` are left out, as JSON.stringify does. Throws on what
 * JSON cannot hold (bigint, circles).
 */
export function canonicalJson(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map((item) => canonicalJson(item ?? null)).join(',')}]`;
  if (typeof value === 'object' && value !== null) {
    const fields = value as Record<string, unknown>;
    const parts: string[] = [];
    for (const key of Object.keys(fields).sort()) {
      if (fields[key] !== undefined) parts.push(`${JSON.stringify(key)}:${canonicalJson(fields[key])}`);
    }
    return `{${parts.join(',')}}`;
  }
  return JSON.stringify(value) ?? 'null';
}
