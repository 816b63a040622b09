/** Whether a value is an event of a run, before anything is made of it. */
import type { RunEvent } from './events.ts';

/** Fields that an event of each kind must have; those with a question mark may be left out. */
const SHAPES: Readonly<Record<RunEvent['kind'], Readonly<Record<string, 'text' | 'text?' | 'texts' | 'words' | 'number' | 'truth' | 'truth?' | 'calibrations?'>>>> = {
  started: { procedure: 'text', revision: 'text?', contentHash: 'text', asset: 'text?', facts: 'words', instruments: 'calibrations?', salt: 'text?' },
  acknowledged: { cautions: 'texts' },
  states_confirmed: { states: 'words' },
  fact: { fact: 'text', typed: 'text' },
  answer: { step: 'text?', point: 'text?', typed: 'text' },
  reading: { step: 'text?', point: 'text?', typed: 'text' },
  done: { step: 'text?' },
  remedy: { carriedOut: 'truth', text: 'text?' },
  correction: { of: 'number', typed: 'text?', reason: 'text?' },
  note: { text: 'text' },
  photo: { name: 'text', digest: 'text?', caption: 'text?', removed: 'truth?' },
  instrument: { instrument: 'text', id: 'text', calibratedUntil: 'text?' },
  wait_started: { step: 'text?', already: 'truth?' },
  paused: {},
  resumed: {},
  helper: { who: 'text' },
  handed_over: { to: 'text' },
  stopped: { reason: 'text' },
  finished: {},
  carried_over: { was: 'text', contentHash: 'text', wasRevision: 'text?', revision: 'text?' },
};

/** Events come from files and pages too: what is none is refused before anything is made of it. */
export function problemOfShape(event: RunEvent): string | undefined {
  const unknown = 'This is no event of a run.';
  if (typeof event !== 'object' || event === null || !Object.hasOwn(SHAPES, event.kind)) return unknown;
  const fields = event as unknown as Readonly<Record<string, unknown>>;
  const shapes = SHAPES[event.kind];
  for (const [name, shape] of [...Object.entries(shapes), ['at', 'text'] as const, ['person', 'text?'] as const]) {
    if (!fits(Object.hasOwn(fields, name) ? fields[name] : undefined, shape)) return `${unknown} Its field ${name} is not as it should be.`;
  }
  // What no event has would stand in the record for good, and the record would be none by its schema.
  const stranger = Object.keys(fields).find((name) => fields[name] !== undefined && !Object.hasOwn(shapes, name) && !['kind', 'at', 'person'].includes(name));
  if (stranger !== undefined) return `${unknown} It has a field that is none of its own.`;
  return event.person?.trim() === '' ? `${unknown} The name of the person is empty.` : undefined;
}

function fits(value: unknown, shape: string): boolean {
  switch (shape) {
    case 'text':
      return typeof value === 'string';
    case 'text?':
      return value === undefined || typeof value === 'string';
    case 'number':
      return typeof value === 'number' && Number.isInteger(value) && value >= 0;
    case 'truth':
      return typeof value === 'boolean';
    case 'truth?':
      return value === undefined || typeof value === 'boolean';
    case 'calibrations?':
      return value === undefined || (Array.isArray(value) && value.every(isCalibration));
    case 'texts':
      return Array.isArray(value) && value.every((one) => typeof one === 'string');
    default:
      return typeof value === 'object' && value !== null && !Array.isArray(value) && Object.values(value).every((one) => typeof one === 'string');
  }
}

function isCalibration(value: unknown): boolean {
  if (typeof value !== 'object' || value === null) return false;
  const { instrument, id, calibratedUntil } = value as Readonly<Record<string, unknown>>;
  return typeof instrument === 'string' && (id === undefined || typeof id === 'string') && typeof calibratedUntil === 'string'
    && /^\d{4}-\d{2}-\d{2}$/.test(calibratedUntil);
}
