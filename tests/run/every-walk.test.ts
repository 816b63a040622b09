/** Whatever is answered, a walk ends, its record validates, and the same events give the same record again. */
import { readdirSync, readFileSync } from 'node:fs';
import { Ajv2020 } from 'ajv/dist/2020.js';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Workspace } from '../../server/src/analysis/workspace.ts';
import { buildChecklist, type ChecklistDocument } from '../../server/src/run/checklist.ts';
import { replayRun } from '../../server/src/run/engine.ts';
import { buildRecord, checkRecord } from '../../server/src/run/record.ts';
import { Choices, walkByChance } from './chance.ts';
import { YARD_NO_LIFT, YARD_ROUND, YARD_SHOP } from './every-kind.ts';
import { tailLift } from './fixtures.ts';

const schema = JSON.parse(readFileSync(new URL('../../schemas/record.schema.json', import.meta.url), 'utf8')) as object;
const validate = new Ajv2020({ strict: true }).compile(schema);
const RUNS = Number(process.env['FAULTWRIGHT_WALKS'] ?? 8);

function holdsFor(document: ChecklistDocument, runs = RUNS): void {
  fc.assert(fc.property(fc.array(fc.nat({ max: 10_000 }), { minLength: 5, maxLength: 60 }), (numbers) => {
    const run = walkByChance(document, new Choices(numbers), { most: 60, corrections: true, beside: numbers[0] !== undefined && numbers[0] % 2 === 0 });
    expect(['finished', 'stopped']).toContain(run.walk.stage);
    const record = JSON.parse(JSON.stringify(buildRecord(run, 'run-1'))) as unknown;
    expect(validate(record), JSON.stringify(validate.errors)).toBe(true);
    expect(checkRecord(record, document)).toEqual([]);
    const again = replayRun(document, run.events);
    expect(again.refused).toEqual([]);
    expect(buildRecord(again.run, 'run-1')).toEqual(buildRecord(run, 'run-1'));
    // A document that has been through JSON, as a page or a journal gives it, is the same.
    expect(buildRecord(replayRun(JSON.parse(JSON.stringify(document)) as ChecklistDocument, run.events).run, 'run-1')).toEqual(buildRecord(run, 'run-1'));
  }), { numRuns: runs });
}

describe('every walk', () => {
  it('of the example of the format ends with a record that validates', () => holdsFor(tailLift()));
  it('of the same without an asset, too', () => holdsFor(tailLift('none')));
});

const LIBRARY = new URL('../../procedures/', import.meta.url);
const library = readdirSync(LIBRARY).filter((name) => name.endsWith('.yaml'));

describe('every walk of procedures that use every kind of step', () => {
  const workspace = new Workspace();
  workspace.setFile('/yard/shop.yaml', YARD_SHOP);
  workspace.setFile('/yard/round.procedure.yaml', YARD_ROUND);
  workspace.setFile('/yard/lift.procedure.yaml', YARD_NO_LIFT);
  it.each(['round', 'lift'])('%s ends with a record that validates', (name) => {
    holdsFor(buildChecklist(workspace.analyse(`/yard/${name}.procedure.yaml`), undefined, workspace), RUNS * 4);
  });
});

describe('every walk of the library', () => {
  const workspace = new Workspace();
  for (const name of library) workspace.setFile(`/library/${name}`, readFileSync(new URL(name, LIBRARY), 'utf8'));
  it.each(library.filter((name) => name.endsWith('.procedure.yaml')))('%s ends with a record that validates', (name) => {
    const analysis = workspace.analyse(`/library/${name}`);
    const plain = buildChecklist(analysis, undefined, workspace);
    holdsFor(plain, Math.ceil(RUNS / 2));
    const [asset] = plain.assets;
    if (asset !== undefined) holdsFor(buildChecklist(analysis, asset, workspace), Math.ceil(RUNS / 2));
  });
});

/** Clean drafts that were written apart from the checks and from the runner: every one can be run. */
const CORPUS = new URL('../corpus/clean/', import.meta.url);

describe('every walk of the clean corpus', () => {
  for (const shop of readdirSync(CORPUS)) {
    const names = readdirSync(new URL(`${shop}/`, CORPUS)).filter((name) => name.endsWith('.yaml'));
    const workspace = new Workspace();
    for (const name of names) workspace.setFile(`/corpus/${shop}/${name}`, readFileSync(new URL(`${shop}/${name}`, CORPUS), 'utf8'));
    it.each(names.filter((name) => name.endsWith('.procedure.yaml')))(`${shop}/%s ends with a record that validates`, (name) => {
      const analysis = workspace.analyse(`/corpus/${shop}/${name}`);
      const plain = buildChecklist(analysis, undefined, workspace);
      holdsFor(plain, Math.ceil(RUNS / 4));
      for (const asset of plain.assets.slice(0, 1)) holdsFor(buildChecklist(analysis, asset, workspace), Math.ceil(RUNS / 4));
    });
  }
});
