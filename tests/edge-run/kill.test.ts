/**
 * The process is killed at random moments. Whatever it had said was taken is there afterwards, in order, and nothing is there
 * twice. FAULTWRIGHT_KILLS sets how often (1000 for the long test); each of the two tests then has as many.
 */
import { spawn } from 'node:child_process';
import { existsSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { buildSync } from 'esbuild';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { journalPath, readRecords, resumeRun, unfinishedRuns } from '../../server/src/edge/record-files.ts';
import { readJournal } from '../../server/src/edge/journal.ts';
import { bundleRunner, TAIL_LIFT, type RunnerBundle } from './bundle-runner.ts';

const KILLS = Number(process.env['FAULTWRIGHT_KILLS'] ?? 40);
/** Starting a terminal's run takes far longer than writing a line: without being asked for many, it is done less often. */
const TERMINAL_KILLS = KILLS > 100 ? KILLS : Math.max(2, Math.floor(KILLS * 0.2));
let bundle: RunnerBundle;
beforeAll(async () => {
  bundle = await bundleRunner();
});
afterAll(() => bundle.remove());

/** Starts a program and kills it a moment after `begun` is seen in what it says. Returns all that it said. */
function killed(words: readonly string[], begun: string, moment: number): Promise<string> {
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, words, { stdio: ['ignore', 'pipe', 'inherit'] });
    let said = '';
    let timer: NodeJS.Timeout | undefined;
    child.stdout.on('data', (text: Buffer) => {
      said += text.toString();
      if (timer === undefined && said.includes(begun)) timer = setTimeout(() => child.kill('SIGKILL'), moment);
    });
    child.on('error', reject);
    child.on('close', (code, signal) => (signal === 'SIGKILL' || code === 0 ? resolve(said) : reject(new Error(`Ended with ${code}: ${said}`))));
  });
}

describe('killed at a random moment', () => {
  it('the journal has every event it had acknowledged, once and in order', async () => {
    const program = join(bundle.folder, 'write-until-killed.cjs');
    buildSync({
      entryPoints: [fileURLToPath(new URL('./write-until-killed.ts', import.meta.url))], outfile: program, bundle: true, platform: 'node',
      format: 'cjs', logLevel: 'error', define: { 'import.meta.url': 'bundleUrl' },
      banner: { js: 'const bundleUrl = require("node:url").pathToFileURL(__filename).href;' },
    });
    const records = join(bundle.folder, 'killed');
    let run = 'run-0000';
    for (let kill = 0; kill < KILLS; kill++) {
      if (kill % 10 === 0) run = `run-${String(kill).padStart(4, '0')}`;
      const said = await killed([program, records, run], '\n', Math.random() * 60);
      const acknowledged = Number(said.trim().split('\n').at(-1));
      const path = journalPath(records, run);
      const open = resumeRun(records, run);
      open.journal.close();
      const { events, remarks } = readJournal(path);
      expect(remarks).toEqual([]);
      expect(events.length).toBeGreaterThanOrEqual(acknowledged);
      // At most the one event that was being written when it was killed has not been acknowledged.
      expect(events.length).toBeLessThanOrEqual(acknowledged + 1);
      events.forEach((event, index) => expect(event.kind === 'note' && Number.parseInt(event.text, 10)).toBe(index + 1));
    }
  }, 3_600_000);

  it('a run on the terminal goes on where it was, and its record has everything once', async () => {
    const records = join(bundle.folder, 'records');
    const answers = join(bundle.folder, 'many.txt');
    const run = [bundle.program, TAIL_LIFT, records, '--asset', 'TL-07', '--person', 'T', '--answers', answers];
    const kills = TERMINAL_KILLS;
    for (let begun = 0; begun < kills; begun += 10) {
      let noted = 0;
      for (let kill = 0; kill < Math.min(10, kills - begun); kill++) {
        const notes = Array.from({ length: 3_000 }, (_, index) => `note ${noted + index + 1}`);
        writeFileSync(answers, [...(kill === 0 ? ['read', ''] : ['resume']), ...notes].join('\n'));
        const said = await killed(run, 'Noted.', Math.random() * 150);
        const acknowledged = said.split('Noted.').length - 1;
        const [unfinished] = unfinishedRuns(records).runs;
        const texts = readJournal(unfinished?.path ?? '').events.flatMap((event) => (event.kind === 'note' ? [event.text] : []));
        expect(texts).toEqual(texts.map((_, index) => String(index + 1)));
        expect(texts.length).toBeGreaterThanOrEqual(noted + acknowledged);
        noted = texts.length;
      }
      // Killed again and again between its stop, its record and the end of its journal.
      writeFileSync(answers, ['resume', 'stop Enough'].join('\n'));
      for (let moment = 1; moment < 12 && unfinishedRuns(records).runs.length > 0; moment++) await killed(run, moment < 10 ? 'unfinished' : 'never said', Math.random() * 3 * moment);
      const { records: files, problems } = readRecords(records);
      expect(problems).toEqual([]);
      expect(files).toHaveLength(1);
      expect(files[0]?.record.notes.map((note) => note.text)).toEqual(Array.from({ length: noted }, (_, index) => String(index + 1)));
      expect(existsSync(journalPath(records, files[0]?.record.run ?? ''))).toBe(false);
      rmSync(records, { recursive: true });
    }
  }, 3_600_000);
});
