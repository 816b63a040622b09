/** Checklists for the tests of runs, made as the product makes them: text → workspace → checklist. */
import { readFileSync } from 'node:fs';
import { Workspace } from '../../server/src/analysis/workspace.ts';
import { buildChecklist, type ChecklistDocument } from '../../server/src/run/checklist.ts';
import { applyEvent, currentView, startRun, type FieldView, type Run, type RunEvent } from '../../server/src/run/engine.ts';

export const AT = '2026-11-25T09:30:00+01:00';

export function fixture(name: string): string {
  return readFileSync(new URL(`./fixtures/${name}`, import.meta.url), 'utf8');
}

const made = new Map<string, ChecklistDocument>();

/** A checklist of `text`, with the shop of this folder, or of other files, around it. */
export function checklistOf(text: string, options: { asset?: string; shop?: string; assets?: string; others?: Record<string, string> } = {}): ChecklistDocument {
  const key = JSON.stringify([text, options]);
  const before = made.get(key);
  if (before) return before;
  const workspace = new Workspace();
  workspace.setFile('/depot/shop.yaml', options.shop ?? fixture('shop.yaml'));
  workspace.setFile('/depot/assets.yaml', options.assets ?? fixture('assets.yaml'));
  for (const [name, other] of Object.entries(options.others ?? {})) workspace.setFile(`/depot/${name}`, other);
  workspace.setFile('/depot/main.procedure.yaml', text);
  const document = buildChecklist(workspace.analyse('/depot/main.procedure.yaml'), options.asset, workspace);
  made.set(key, document);
  return document;
}

/** The example of the format's page, with the asset it is for. */
export function tailLift(asset: string | undefined = 'TL-07'): ChecklistDocument {
  return checklistOf(fixture('tail_lift_no_raise.procedure.yaml'), {
    ...(asset === undefined ? {} : { asset }),
    others: { 'battery_condition.procedure.yaml': fixture('battery_condition.procedure.yaml') },
  });
}

/** Minutes past 09:30, as the time of an event. */
export function minutes(past: number): string {
  const whole = 30 + past;
  return `2026-11-25T${String(9 + Math.floor(whole / 60)).padStart(2, '0')}:${String(whole % 60).padStart(2, '0')}:00+01:00`;
}

/** Takes events in order; fails with the problem where one is refused. */
export function take(run: Run, ...events: RunEvent[]): Run {
  let now = run;
  for (const event of events) {
    const next = applyEvent(now, event);
    if (next.problem !== undefined) throw new Error(`${JSON.stringify(event)} was refused: ${next.problem}`);
    now = next;
  }
  return now;
}

export function begin(document: ChecklistDocument): Run {
  const run = startRun(document, { at: AT, person: 'Technician 4' });
  if (run.problem !== undefined) throw new Error(run.problem);
  return run;
}

/** Acknowledges and confirms whatever stands before the next entry, as someone who does all that is asked. */
export function ready(run: Run, at = AT): Run {
  let now = run;
  for (let count = 0; count < 20; count++) {
    const event = preparation(currentView(now).field, at);
    if (event === undefined) return now;
    now = take(now, event);
  }
  throw new Error('The run asks for preparation without end.');
}

/** Enters a text at whatever is asked for now, and gets ready for the next. */
export function enter(run: Run, typed: string, at = AT): Run {
  const before = ready(run, at);
  return ready(take(before, entry(currentView(before).field, typed, at)), at);
}

export function entry(field: FieldView | undefined, typed: string, at = AT): RunEvent {
  switch (field?.kind) {
    case 'done':
      return { kind: 'done', step: field.step, at };
    case 'answer':
    case 'reading':
      return { kind: field.kind, step: field.step, typed, at, ...(field.point === undefined ? {} : { point: field.point }) };
    case 'fact':
      return { kind: 'fact', fact: field.fact, typed, at };
    case 'remedy':
      return { kind: 'remedy', carriedOut: typed !== 'left', at, ...(typed === '' ? {} : { text: typed }) };
    case 'finish':
      return { kind: 'finished', at };
    default:
      throw new Error(`Nothing can be entered at ${JSON.stringify(field)}.`);
  }
}

function preparation(field: FieldView | undefined, at: string): RunEvent | undefined {
  if (field?.kind === 'acknowledge') return { kind: 'acknowledged', cautions: field.cautions, at };
  if (field?.kind === 'confirm_states') {
    return { kind: 'states_confirmed', states: Object.fromEntries(field.states.map((state) => [state.state, state.values[0] ?? ''])), at };
  }
  return undefined;
}
