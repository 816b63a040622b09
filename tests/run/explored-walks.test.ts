/**
 * Every walk that the checker knows can be run: for each way out of each step that it explored, the runner is led along the shortest walk there,
 * takes that result, comes to the ending that the checker says, and gives a record that validates and follows from its events. Where the result
 * of a step follows from earlier readings (a computed limit, a decision), the checker counts ways that no reading leads to; those alone may fail.
 * FAULTWRIGHT_WALKS (100 and more) leads it to every one; without it, to the endings and a few ways of each procedure.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { describe, expect, it } from 'vitest';
import type { Analysis } from '../../server/src/analysis/analysis.ts';
import { Workspace } from '../../server/src/analysis/workspace.ts';
import { walkTo, type Exploration, type FlowEdge } from '../../server/src/flow/explore.ts';
import { bandNames } from '../../server/src/run/limit-words.ts';
import { parseBand } from '../../server/src/quantity/parse-band.ts';
import { buildChecklist, type ChecklistDocument } from '../../server/src/run/checklist.ts';
import { applyEvent, currentView, type FieldView, type Run, type RunEvent } from '../../server/src/run/engine.ts';
import { buildRecord, checkRecord } from '../../server/src/run/record.ts';
import { YARD_NO_LIFT, YARD_ROUND, YARD_SHOP } from './every-kind.ts';
import { AT, begin } from './fixtures.ts';

const schema = JSON.parse(readFileSync(new URL('../../schemas/record.schema.json', import.meta.url), 'utf8')) as object;
const validate = new Ajv2020({ strict: true }).compile(schema);
const ALL = Number(process.env['FAULTWRIGHT_WALKS'] ?? 0) >= 100;
/** Events that may be tried on the way to one result of one step. */
const MOST_TRIES = ALL ? 8_000 : 1_200;

class Budget {
  left = MOST_TRIES;
}

const READINGS = ['0', '1', '0.05', '0.3', '2', '3', '4', '6', '9', '11.8', '12.4', '12.6', '13.8', '15', '24', '25.1', '29', '60', '85', '100', '180', '400', '550', '1000', '100000', 'OL', '-1', '0.0001'];

/** What could be entered now, the likeliest first: values at and around the limits, each answer, each choice. */
function entries(run: Run, field: FieldView): RunEvent[] {
  switch (field.kind) {
    case 'acknowledge':
      return [{ kind: 'acknowledged', cautions: field.cautions, at: AT }];
    case 'confirm_states':
      return field.states.reduce<Record<string, string>[]>((all, state) => all.flatMap((some) => state.values.map((value) => ({ ...some, [state.state]: value }))), [{}])
        .map((states) => ({ kind: 'states_confirmed', states, at: AT }));
    case 'fact':
      return (field.choices.length > 0 ? field.choices : ['10', '60', '100', '1', '400', '0.5', '20', '5']).map((typed) => ({ kind: 'fact', fact: field.fact, typed, at: AT }));
    case 'answer':
      return [...field.choices.map((choice) => choice.value), ...(field.free ? ['something else'] : [])].map((typed) => ({ kind: 'answer', typed, at: AT }));
    case 'reading':
      return readings(run, field.shows).map((typed) => ({ kind: 'reading', typed, at: AT }));
    case 'done':
      return [{ kind: 'done', at: AT }];
    case 'remedy':
      return [{ kind: 'remedy', carriedOut: true, at: AT }];
    case 'finish':
      return [{ kind: 'finished', at: AT }];
    case 'resume':
      return [{ kind: 'resumed', at: AT }];
  }
}

/** At the second point and after it, first what was read at the one before: else there would be more ways than anyone can try. */
function readings(run: Run, shows: readonly string[]): readonly string[] {
  if (shows.length > 0) return shows;
  const before = run.walk.frames.at(-1)?.partial.at(-1)?.typed;
  const all = [...nearLimits(run), ...READINGS];
  return before === undefined ? all : [before, ...all.filter((typed) => typed !== before).slice(0, 4)];
}

/** Numbers in the limits as they are shown, a little below and above each. */
function nearLimits(run: Run): string[] {
  const words = (currentView(run).step?.limits ?? []).map((limit) => limit.words.replace(/\u202f/g, ' ').replace(/\u2212/g, '-'));
  return [...new Set(words.flatMap((text) => [...text.matchAll(/(-?\d+(?:\.\d+)?) ?([^\s();,]*)/g)]).flatMap(([, number = '0', unit = '']) =>
    [Number(number), Number(number) * 0.98, Number(number) * 1.02, Number(number) - 1, Number(number) + 1].map((value) => `${Number(value.toFixed(6))} ${unit}`)))].slice(0, 40);
}

/** Lines of the main procedure's own steps. */
function ownSteps(run: Run): readonly { readonly step: string; readonly kind: string; readonly results: readonly string[] }[] {
  return run.walk.lines.filter((line) => line.path.length === 0 && !['fact', 'states', 'remedy'].includes(line.kind));
}

/** Whether the walk so far is a beginning of the edges; the number of edges it has done, or undefined. */
function doneOf(run: Run, edges: readonly FlowEdge[]): number | undefined {
  const lines = ownSteps(run);
  const { steps } = run.document.procedure;
  for (const [at, edge] of edges.entries()) {
    const line = lines[at];
    if (line === undefined) return at;
    const sheet = steps[edge.step];
    if (line.step !== sheet?.name || (line.kind === 'passed_over') !== edge.passedOver) return undefined;
    if (!edge.passedOver && edge.result !== undefined && !line.results.includes(sheet.results[edge.result]?.written ?? '')) return undefined;
  }
  return edges.length;
}

/** The run led along the edges, by trying what can be entered, the deepest first; undefined where no way was found. */
function led(run: Run, edges: readonly FlowEdge[], budget: Budget, depth = 0): Run | undefined {
  const done = doneOf(run, edges);
  if (done === undefined) return undefined;
  if (done === edges.length) return run;
  const { field } = currentView(run);
  if (field === undefined || field.kind === 'finish' || depth > 400) return undefined;
  for (const event of entries(run, field)) {
    if (--budget.left < 0) return undefined;
    const next = applyEvent(run, event);
    if (next.problem !== undefined) continue;
    const came = doneOf(next, edges);
    if (came === undefined) continue;
    // A step that is done as wanted starts anew with trying.
    if (came > done) budget.left = Math.max(budget.left, MOST_TRIES / 4);
    const found = led(next, edges, budget, depth + 1);
    if (found !== undefined) return found;
  }
  return undefined;
}

/** The run to its end: whatever is asked for last. */
function ended(run: Run): Run {
  let now = run;
  for (let count = 0; count < 20; count++) {
    const { field, stage } = currentView(now);
    if (stage === 'finished' || field === undefined) return now;
    const wanted: RunEvent | undefined = stage === 'remedy' ? { kind: 'remedy', carriedOut: false, at: AT } : stage === 'ended' ? entries(now, field)[0] : { kind: 'stopped', reason: 'There.', at: AT };
    now = applyEvent(now, wanted as RunEvent);
    if (now.walk.stage === 'stopped') return now;
  }
  return now;
}

/** Whether a result on the walk follows from something that was read before. */
function dependsOnReadings(document: ChecklistDocument, edges: readonly FlowEdge[]): boolean {
  const facts = new Set(document.procedure.facts.map((fact) => fact.name));
  const values = new Set(document.procedure.values.map((value) => value.name));
  return edges.some((edge) => {
    const sheet = document.procedure.steps[edge.step];
    if (sheet === undefined || edge.passedOver) return false;
    if (sheet.kind === 'run') return true;
    if (sheet.kind === 'decide') return document.procedure.program.steps[edge.step]?.decidesFact === undefined;
    return sheet.results.some((result) => {
      const { band } = parseBand(result.written);
      return band !== undefined && bandNames(band).some((name) => !facts.has(name) && !values.has(name));
    });
  });
}

const ENDINGS: Readonly<Record<string, readonly string[]>> = { passes: ['passed', 'repaired'], refer: ['referred'], finds: ['found'], nowhere: ['no_way_on'] };

function leadsEverywhere(analysis: Analysis, document: ChecklistDocument): { led: number; excused: number } {
  const exploration = analysis.exploration as Exploration;
  const counts = { led: 0, excused: 0 };
  const ways = new Map<string, FlowEdge>();
  for (const edge of exploration.edges) {
    const ending = exploration.nodes[edge.to]?.ending;
    const key = ending !== undefined && !ALL ? `${ending.kind} ${ending.fault ?? ''}` : `${edge.step} ${edge.result ?? ''} ${edge.passedOver ? 'over' : ''} ${ending?.kind ?? ''}`;
    if (!ways.has(key)) ways.set(key, edge);
  }
  const chosen = [...ways.values()].filter((edge, at) => ALL || exploration.nodes[edge.to]?.ending !== undefined || at % 7 === 0);
  for (const edge of chosen) {
    const edges = [...walkTo(exploration, edge.from), edge];
    const run = led(begin(document), edges, new Budget());
    const words = edges.map((one) => `${document.procedure.steps[one.step]?.name ?? ''}${one.passedOver ? ' passed over' : ` ${document.procedure.steps[one.step]?.results[one.result ?? -1]?.written ?? ''}`}`).join(' → ');
    if (run === undefined) {
      expect(exploration.approximate || dependsOnReadings(document, edges), words).toBe(true);
      counts.excused++;
      continue;
    }
    counts.led++;
    const over = ended(run);
    expect(['finished', 'stopped'], words).toContain(over.walk.stage);
    const ending = exploration.nodes[edge.to]?.ending;
    if (ending !== undefined) expect(ENDINGS[ending.kind], words).toContain(over.walk.outcome?.kind);
    const record = JSON.parse(JSON.stringify(buildRecord(over, 'run-1'))) as unknown;
    expect(validate(record), `${words}: ${JSON.stringify(validate.errors)}`).toBe(true);
    expect(checkRecord(record, document), words).toEqual([]);
  }
  return counts;
}

/** The files of a folder, and the procedures among them. */
function folderOf(folder: URL): { workspace: Workspace; procedures: string[] } {
  const workspace = new Workspace();
  const names = readdirSync(folder).filter((name) => name.endsWith('.yaml'));
  for (const name of names) workspace.setFile(`/d/${name}`, readFileSync(new URL(name, folder), 'utf8'));
  return { workspace, procedures: names.filter((name) => name.endsWith('.procedure.yaml')) };
}

function everywhere(workspace: Workspace, name: string): void {
  const analysis = workspace.analyse(`/d/${name}`);
  const { led: found, excused } = leadsEverywhere(analysis, buildChecklist(analysis, undefined, workspace));
  // Most of what is explored can be walked; else the test would excuse whatever went wrong.
  expect(found, `${found} led, ${excused} not`).toBeGreaterThan(excused);
}

describe('every way that is explored can be run', () => {
  it.each(['round', 'lift'])('of the yard tractor: %s', (name) => {
    const workspace = new Workspace();
    workspace.setFile('/d/shop.yaml', YARD_SHOP);
    workspace.setFile('/d/round.procedure.yaml', YARD_ROUND);
    workspace.setFile('/d/lift.procedure.yaml', YARD_NO_LIFT);
    everywhere(workspace, `${name}.procedure.yaml`);
  });

  const library = folderOf(new URL('../../procedures/', import.meta.url));
  it.each(library.procedures)('of the library: %s', (name) => everywhere(library.workspace, name), 600_000);

  const corpus = new URL('../corpus/clean/', import.meta.url);
  for (const shop of readdirSync(corpus)) {
    const { workspace, procedures } = folderOf(new URL(`${shop}/`, corpus));
    it.each(ALL ? procedures : procedures.slice(0, 2))(`of the corpus, ${shop}: %s`, (name) => everywhere(workspace, name), 600_000);
  }
});
