/**
 * A file system that fails where a test wants it: the calls of node:fs are counted, and one of them, or all from one on, fail as a full,
 * read-only or broken disk makes them fail, write half, or stop the program for good.
 */
import fs from 'node:fs';
import { syncBuiltinESMExports } from 'node:module';

export type Fault =
  /** The call fails with this code; from it on all calls that change something, where `lasting`. */
  | { readonly kind: 'error'; readonly code: string; readonly lasting?: boolean }
  /** A write puts half of its bytes on the disk and then fails with ENOSPC. */
  | { readonly kind: 'half' }
  /** Nothing happens any more, as after a power cut. */
  | { readonly kind: 'stop' };

/** Thrown by every call once the program has been stopped. */
export class PowerCut extends Error {}

const CHANGING = ['openSync', 'writeSync', 'writeFileSync', 'fsyncSync', 'ftruncateSync', 'truncateSync', 'renameSync', 'linkSync', 'mkdirSync', 'rmSync', 'unlinkSync'] as const;
const READING = ['readFileSync', 'readSync', 'readdirSync', 'statSync', 'fstatSync', 'closeSync', 'realpathSync'] as const;
type Name = (typeof CHANGING)[number] | (typeof READING)[number];

export interface FaultyDisk {
  /** From now on counts calls anew and brings about `fault` at call number `at`, from 0. */
  failAt(at: number, fault: Fault): void;
  /** Nothing fails any more. */
  repair(): void;
  /** Calls since `failAt` or `repair`. */
  readonly calls: number;
  /** Whether the fault has come about. */
  readonly failed: boolean;
  /** Puts node:fs back as it was. */
  restore(): void;
}

/** Only calls with a path under `folder`, or on files opened there, are counted. */
export function faultyDisk(folder: string): FaultyDisk {
  const real = Object.fromEntries([...CHANGING, ...READING].map((name) => [name, fs[name]])) as Record<Name, (...given: unknown[]) => unknown>;
  const opened = new Set<number>();
  let at = Number.POSITIVE_INFINITY;
  let fault: Fault = { kind: 'stop' };
  const disk = { calls: 0, failed: false };

  const counted = (first: unknown): boolean => (typeof first === 'number' ? opened.has(first) : typeof first === 'string' && first.startsWith(folder));
  const failing = (name: Name): boolean => {
    const number = disk.calls++;
    if (number < at) return false;
    if (number === at) disk.failed = true;
    if (fault.kind === 'stop') return true;
    if (number > at) return fault.kind === 'error' && fault.lasting === true && (CHANGING as readonly string[]).includes(name);
    return true;
  };

  for (const name of [...CHANGING, ...READING]) {
    const replaced = (...given: unknown[]): unknown => {
      const call = (): unknown => {
        const result = real[name](...given);
        if (name === 'openSync') opened.add(result as number);
        if (name === 'closeSync') opened.delete(given[0] as number);
        return result;
      };
      if (!counted(given[0]) || !failing(name)) return call();
      if (fault.kind === 'stop') throw new PowerCut('The power is cut.');
      if (fault.kind === 'half') {
        const bytes = given[1];
        if (name !== 'writeSync' || !(bytes instanceof Uint8Array)) return call();
        real.writeSync(given[0], bytes.subarray(0, bytes.length >> 1));
      }
      const code = fault.kind === 'half' ? 'ENOSPC' : fault.code;
      throw Object.assign(new Error(`${code}: ${name}`), { code });
    };
    (fs as unknown as Record<string, unknown>)[name] = Object.assign(replaced, real[name]);
  }
  syncBuiltinESMExports();
  return {
    failAt(number, wanted) {
      at = number;
      fault = wanted;
      disk.calls = 0;
      disk.failed = false;
    },
    repair() {
      at = Number.POSITIVE_INFINITY;
      disk.calls = 0;
    },
    get calls() {
      return disk.calls;
    },
    get failed() {
      return disk.failed;
    },
    restore() {
      Object.assign(fs, real);
      syncBuiltinESMExports();
    },
  };
}
