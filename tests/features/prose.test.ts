/**
 * Drafts from documents: a dozen lists of the depot, each written in another way. Every word of a document stands in its draft,
 * the draft is read without structural errors, and what it says can be reviewed in the snapshot beside it.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, it, test } from 'vitest';
import { Workspace } from '../../server/src/analysis/workspace.ts';
import { formatFile, readForFormatting } from '../../server/src/features/format.ts';
import { draftFromProse } from '../../server/src/features/prose-steps.ts';

const FOLDER = join(import.meta.dirname, 'prose');
const DOCUMENTS = readdirSync(FOLDER)
  .filter((name) => name.endsWith('.txt'))
  .sort()
  .map((name) => ({ name, prose: readFileSync(join(FOLDER, name), 'utf8') }));
const ROOT = join(import.meta.dirname, '../../procedures');
const INSTRUMENTS = [
  { name: 'multimeter', title: 'Digital multimeter' },
  { name: 'hydraulic_gauge', title: 'Hydraulic gauge' },
  { name: 'stopwatch', title: 'Stopwatch' },
];

/** Words and numbers, in small letters; marks of lists and of emphasis are none. */
function words(text: string): string[] {
  return text
    .toLowerCase()
    .split(/[^\p{L}\p{N}]+/u)
    .filter((word) => word !== '' && !/^\p{L}$/u.test(word));
}

/** The words of the document that its draft lacks. A word parted at the end of a line may be whole again. */
function lost(prose: string, draft: string): string[] {
  const left = new Map<string, number>();
  for (const word of words(draft)) left.set(word, (left.get(word) ?? 0) + 1);
  const take = (word: string): boolean => {
    const count = left.get(word) ?? 0;
    if (count > 0) left.set(word, count - 1);
    return count > 0;
  };
  const joined = [...prose.matchAll(/([\p{L}\p{N}]+)-\r?\n\s*([\p{L}\p{N}]+)/gu)].map(([, first = '', second = '']) =>
    [first, second].map((word) => word.toLowerCase()),
  );
  return words(prose).filter((word) => {
    if (take(word)) return false;
    const whole = joined.find((parts) => parts.includes(word));
    return whole === undefined || !(whole[1] === word ? true : take(whole.join('')));
  });
}

function findingsOf(text: string): { check: string; message: string }[] {
  const workspace = new Workspace();
  for (const name of ['shop.yaml', 'assets.yaml']) workspace.setFile(name, readFileSync(join(ROOT, name), 'utf8'));
  workspace.setFile('draft.procedure.yaml', text);
  return workspace
    .analyse('draft.procedure.yaml')
    .findings.filter(({ severity }) => severity !== 'hint')
    .map(({ check, message }) => ({ check, message }));
}

describe.each(DOCUMENTS)('$name', ({ name, prose }) => {
  const { text, steps } = draftFromProse(prose, { instruments: INSTRUMENTS });

  it('loses no word', () => expect(lost(prose, text), text).toEqual([]));

  it('is read as it is meant', () => {
    const broken = findingsOf(text).filter(({ check }) =>
      ['yaml-syntax', 'text-cut-off', 'unknown-key', 'duplicate-name'].includes(check),
    );
    expect(broken, text).toEqual([]);
    expect(steps).toBeGreaterThan(0);
    expect(formatFile(readForFormatting('x.procedure.yaml', text))).toEqual([]);
  });

  it('says', async () => {
    const findings = findingsOf(text).map(({ check, message }) => `${check}: ${message}`);
    await expect(`${text}\n# To resolve:\n${findings.map((line) => `# ${line}`).join('\n')}\n`).toMatchFileSnapshot(
      join(FOLDER, `${name.replace('.txt', '')}.draft.yaml`),
    );
  });
});

test('there are at least a dozen documents', () => expect(DOCUMENTS.length).toBeGreaterThanOrEqual(12));

describe('what a document may be', () => {
  test('nothing, a title, a line', () => {
    for (const prose of [
      '',
      '\n\n',
      'Lamp',
      'Check the lamp.',
      '1.',
      '1. ',
      '- ',
      '|',
      '| a | b |\n| c | d |',
      'WARNING',
      'If',
      'Yes:',
      '1. If it is dark, go to step 9.',
    ]) {
      const { text } = draftFromProse(prose);
      expect(lost(prose, text), `${JSON.stringify(prose)}\n${text}`).toEqual([]);
      expect(
        findingsOf(text).filter(({ check }) => check === 'yaml-syntax' || check === 'text-cut-off'),
        text,
      ).toEqual([]);
    }
  });

  test('what is done before a reading stays before it', () => {
    const { text } = draftFromProse('1. Press "lower". Measure the voltage at the coil plug: at least 22 V?\n   a) Yes: the valve is stuck. Replace it.\n   b) No: repair the cable.');
    expect(text).toContain('    text: |\n      Press "lower".\n      Measure the voltage at the coil plug: at least 22 V?\n');
    expect(text).toContain('- step: measure_voltage_coil_plug\n');
  });

  test.each(['Done.', 'End', 'OK.', 'Finished.', 'Fertig.'])('%s alone is no step; whoever is sent there is at the end', (word) => {
    const prose = `1. Look at the fuse. If it is blown, go to step 3. If not, continue with step 2.\n2. Fit the cover.\n3. ${word}`;
    const { text, steps } = draftFromProse(prose);
    expect(steps).toBe(2);
    expect(text).not.toMatch(/- Go on\.|step_3/u);
    expect(text).toMatch(/go: finish/u);
    expect(text).toContain(`# 3. ${word}`);
    expect(lost(prose, text)).toEqual([]);
    expect(findingsOf(text).filter(({ check }) => check === 'unknown-name' || check === 'dead-end')).toEqual([]);
  });

  test('a step that there is not keeps its number and is a finding', () => {
    const { text } = draftFromProse('1. Look. If dark, go to step 12.\n2. Stop.');
    expect(text).toContain('go: step_12');
    expect(findingsOf(text).map(({ message }) => message)).toContain("No step is called 'step_12'.");
  });

  test("a name that is taken is not taken again; a title of one's own", () => {
    expect(draftFromProse('1. Look.', { title: 'Lamp dark', taken: new Set(['lamp_dark']) })).toMatchObject({
      name: 'lamp_dark_2',
    });
  });

  it('loses no word of lines in any order, and is always readable', () => {
    const line = fc.oneof(
      fc.constantFrom(...DOCUMENTS.flatMap(({ prose }) => prose.split('\n'))),
      fc.string({ maxLength: 30 }).map((text) => text.replace(/[\r\n\u2028\u2029\u0085]/g, ' ')),
    );
    fc.assert(
      fc.property(fc.array(line, { maxLength: 14 }), (lines) => {
        const prose = lines.join('\n');
        const { text } = draftFromProse(prose);
        expect(lost(prose, text), `${JSON.stringify(prose)}\n${text}`).toEqual([]);
        expect(
          readForFormatting('x.procedure.yaml', text).procedure?.problems.filter(
            ({ check }) => check === 'yaml-syntax' || check === 'text-cut-off',
          ),
          text,
        ).toEqual([]);
      }),
      { numRuns: Number(process.env['FAULTWRIGHT_DRAFTS'] ?? 300) },
    );
  });

  test('a long document is read in good time, and cut off in the open', () => {
    const long = Array.from(
      { length: 400 },
      (_, index) => `${index + 1}. Measure the voltage at pin ${index}. If below 12 V, go to step ${index + 2}.`,
    ).join('\n');
    const { steps, text } = draftFromProse(long);
    expect(steps).toBe(400);
    expect(lost(long, text)).toEqual([]);
    expect(draftFromProse(`1. ${'Look at it. '.repeat(50_000)}`).text).toContain('longer than this tool reads');
  });
});
