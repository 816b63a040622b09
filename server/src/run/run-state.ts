/** A run as a value: its events, and the walk that those of them make that still count. */
import type { ChecklistDocument } from './checklist-document.ts';
import type { RunEvent } from './events.ts';
import type { Walk } from './walk-state.ts';

export interface Run {
  readonly document: ChecklistDocument;
  /** All events that were taken, in order. */
  readonly events: readonly RunEvent[];
  /** The events that make the walk, as corrected. */
  readonly counted: readonly CountedEvent[];
  readonly walk: Walk;
  /** Why the last event was refused; undefined when it was taken. */
  readonly problem: string | undefined;
}

export type CountedEvent =
  | {
    readonly kind: 'event';
    /** Index among the run's events. */
    readonly index: number;
    /** What counts in place of what was typed. */
    readonly typed: string | undefined;
    /** Where in the walk it was taken: it counts only there. */
    readonly place: string;
  }
  /** After a correction that takes entries back, states set meanwhile are uncertain: state → the values it had come to. */
  | { readonly kind: 'uncertain'; readonly index: number; readonly states: ReadonlyMap<string, readonly string[]> };

/** Indexes of the events that a correction may name, with whether another value may be given. */
export function correctable(run: Run): ReadonlyMap<number, { readonly retype: boolean }> {
  const found = new Map<number, { retype: boolean }>();
  if (run.walk.stage === 'finished' || run.walk.stage === 'stopped') return found;
  for (const counted of run.counted) {
    const event = run.events[counted.index];
    if (counted.kind !== 'event' || event === undefined) continue;
    if (event.kind === 'answer' || event.kind === 'reading' || event.kind === 'fact') found.set(counted.index, { retype: true });
    if (event.kind === 'done' || event.kind === 'remedy' || event.kind === 'states_confirmed') found.set(counted.index, { retype: false });
  }
  return found;
}
