/** Runs commands in this process, in a folder of their own, and hands back what they printed. */
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterEach } from 'vitest';
import { runCommandLine } from '../../server/src/edge/command-line.ts';

const made: string[] = [];
afterEach(() => {
  for (const folder of made.splice(0)) rmSync(folder, { recursive: true, force: true });
});

/** A new folder with these files; removed after the test. */
export function folderWith(files: Readonly<Record<string, string | Uint8Array>>): string {
  const folder = mkdtempSync(join(tmpdir(), 'faultwright-test-'));
  made.push(folder);
  for (const [name, content] of Object.entries(files)) {
    mkdirSync(dirname(join(folder, name)), { recursive: true });
    writeFileSync(join(folder, name), content);
  }
  return folder;
}

export interface Outcome {
  readonly code: number | undefined;
  readonly out: string;
  readonly error: string;
}

export async function command(cwd: string, ...words: string[]): Promise<Outcome> {
  let out = '';
  let error = '';
  const code = await runCommandLine(words, {
    cwd,
    out: (text) => { out += text; },
    error: (text) => { error += text; },
    columns: undefined,
    colours: false,
  });
  return { code, out, error };
}

export const CLEAN = `procedure: lamp
title: Marker lamp dark
revision: 1
status: draft
complaint: The marker lamp of the trailer is dark.
faults:
  bulb: {title: Bulb burnt out, weight: 60, remedy: Replace the bulb., time: 5 min}
  socket: {title: Socket corroded, weight: 40, remedy: Replace the socket., time: 20 min}
steps:
  - step: swap
    ask: Is the lamp lit with a bulb that is known to be good?
    time: 5 min
    results:
      - {when: yes, finds: bulb}
      - {when: no, finds: socket}
after_repair:
  - step: prove
    ask: Is the lamp lit?
    time: 1 min
    results:
      - {when: yes, passes: true}
      - {when: no, go: swap}
`;

/** The same with a way that leads to a step that is not there. */
export const BROKEN = CLEAN.replace('go: swap', 'go: swop');
