/** Runs made by chance, for properties that hold of every run. */
import type { ChecklistDocument } from '../../server/src/run/checklist.ts';
import { applyEvent, correctable, currentView, type FieldView, type Run, type RunEvent } from '../../server/src/run/engine.ts';
import { AT, begin } from './fixtures.ts';

/** A number source that a counterexample can be shrunk by. */
export class Choices {
  readonly #numbers: readonly number[];
  #at = 0;

  constructor(numbers: readonly number[]) {
    this.#numbers = numbers;
  }

  below(limit: number): number {
    const number = this.#numbers[this.#at++ % Math.max(1, this.#numbers.length)] ?? 0;
    return limit <= 0 ? 0 : (number + Math.floor(this.#at / Math.max(1, this.#numbers.length)) * 7) % limit;
  }

  of<T>(items: readonly T[]): T {
    return items[this.below(items.length)] as T;
  }
}

const READINGS = ['0', '0.05', '0.3', '1', '4', '9,6', '11.8', '12.4', '12.6 V', '24', '25.1', '60', '180', '400', '1000', 'OL', 'lit', 'dark', '-1', 'x', '450 mV', '2 min', '20 Mohm', '85 %', '310 N·m', '8 bar', '90 °C'];

function eventFor(field: FieldView | undefined, choices: Choices, typed: number): RunEvent | undefined {
  switch (field?.kind) {
    case 'acknowledge':
      return { kind: 'acknowledged', cautions: field.cautions, at: AT };
    case 'confirm_states':
      return { kind: 'states_confirmed', states: Object.fromEntries(field.states.map((state) => [state.state, choices.of(state.values)])), at: AT };
    case 'fact':
      return { kind: 'fact', fact: field.fact, typed: field.choices.length > 0 ? choices.of(field.choices) : `${choices.of(READINGS)}`, at: AT };
    case 'answer':
      return { kind: 'answer', typed: field.choices.length > 0 ? choices.of(field.choices).value : 'something', at: AT };
    case 'reading':
      return { kind: 'reading', typed: field.shows.length > 0 ? choices.of(field.shows) : (READINGS[(choices.below(READINGS.length) + typed) % READINGS.length] ?? '1'), at: AT };
    case 'done':
      return { kind: 'done', at: AT };
    case 'remedy':
      return { kind: 'remedy', carriedOut: choices.below(3) > 0, at: AT };
    case 'finish':
      return { kind: 'finished', at: AT };
    case 'resume':
      return { kind: 'resumed', at: AT };
    case undefined:
      return undefined;
  }
}

/** Things beside the entries: notes, a second person, an instrument, a picture, a wait begun, a fact given early, another hand. */
function besideEvent(run: Run, choices: Choices, at: string): RunEvent {
  const view = currentView(run);
  const fact = choices.of(run.walk.frames.flatMap((frame) => frame.sheet.facts));
  const events: RunEvent[] = [
    { kind: 'note', text: choices.of(['Wet.', '<b>', '=1+1', '\u202e']), at }, { kind: 'helper', who: choices.of(['Technician 7', 'Technician 8', '']), at },
    { kind: 'handed_over', to: choices.of(['Technician 7', 'Technician 9']), at }, { kind: 'photo', name: `p${choices.below(3)}.jpg`, at, ...(choices.below(3) === 0 ? { removed: true } : {}) },
    { kind: 'instrument', instrument: view.step?.instrument?.name ?? 'multimeter', id: choices.of(['M-12', 'G-1', 'G-2']), at },
    { kind: 'wait_started', at, ...(choices.below(2) === 0 ? { already: true } : {}) }, { kind: 'paused', at },
    ...(fact === undefined ? [] : [{ kind: 'fact' as const, fact: fact.name, typed: choices.of([...fact.choices, '10', '60 bar']), at }]),
  ];
  return choices.of(events);
}

/** Some time later; now and then much later, or on a clock that was set back. */
function later(at: string, choices: Choices): string {
  const seconds = choices.of([1, 5, 40, 200, 4_000, 90_000, -30, -86_400]);
  return new Date(Date.parse(at) + seconds * 1000).toISOString().replace('.000Z', 'Z');
}

/** Walks by chance, now and then correcting or pausing, until the run is over; past `most` events it is stopped. */
export function walkByChance(document: ChecklistDocument, choices: Choices, options: { most: number; corrections: boolean; beside?: boolean }): Run {
  let run = begin(document);
  let at = AT;
  for (let count = 0; count < options.most; count++) {
    const view = currentView(run);
    if (view.stage === 'finished' || view.stage === 'stopped') return run;
    if (options.beside === true) {
      at = later(at, choices);
      if (choices.below(4) === 0) {
        const next = applyEvent(run, besideEvent(run, choices, at));
        if (next.problem === undefined) run = next;
        continue;
      }
    }
    if (options.corrections && choices.below(11) === 0) {
      const entries = [...correctable(run)];
      if (entries.length > 0) {
        const [of, { retype }] = choices.of(entries);
        const next = applyEvent(run, { kind: 'correction', of, at, ...(retype && choices.below(2) === 0 ? { typed: choices.of([...READINGS, 'yes', 'no']) } : {}) });
        if (next.problem === undefined) run = next;
        continue;
      }
    }
    if (choices.below(17) === 0 && !view.paused) {
      run = applyEvent(run, { kind: 'paused', at });
      continue;
    }
    let next: Run | undefined;
    for (let attempt = 0; attempt < READINGS.length; attempt++) {
      const asked = eventFor(view.field, choices, attempt);
      const event = asked && { ...asked, at };
      if (event === undefined) throw new Error(`Nothing can be entered: ${JSON.stringify(view)}`);
      next = applyEvent(run, event);
      if (next.problem === undefined) break;
    }
    if (next === undefined || next.problem !== undefined) break;
    run = next;
  }
  const view = currentView(run);
  if (view.stage === 'finished' || view.stage === 'stopped') return run;
  return applyEvent(run, { kind: 'stopped', reason: 'Long enough.', at });
}
