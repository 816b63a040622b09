/**
 * A step that stands at another place than where it was built, as all steps below an edit do. What is in it is moved when someone
 * looks: most edits are followed by a look at few steps.
 */
import type { ScalarNode } from '../syntax/tree.ts';
import type { Step } from './model.ts';

/** Every key of a step: the type makes sure that none is forgotten. */
const KEYS = Object.keys({
  span: 0, section: 0, name: 0, kind: 0, kindSpan: 0, title: 0, actions: 0, question: 0, quantity: 0, decide: 0, run: 0, text: 0, why: 0, note: 0,
  needs: 0, during: 0, sets: 0, onlyIf: 0, cautions: 0, cautionsSpan: 0, hazards: 0, instrument: 0, tools: 0, people: 0, time: 0, wait: 0,
  maxTime: 0, rest: 0, circuit: 0, range: 0, at: 0, atEach: 0, judge: 0, judgeUnread: 0, seek: 0, provesDead: 0, repeatAtMost: 0, keepFirst: 0, qualified: 0, photo: 0,
  figure: 0, go: 0, results: 0, resultsSpan: 0,
} satisfies Record<keyof Required<Step>, 0>) as readonly (keyof Step)[];

/** Their places count within the text of an expression or a quantity, not in the file; names and words have none. */
const WITHOUT_PLACES = new Set<string>(['band', 'expression', 'value', 'text', 'kind', 'section', 'ending']);

/** The step `by` further on, or nearer by a negative number. */
export function movedStep(step: Step, by: number): Step {
  const original = originalStep(step);
  const sum = by + (step instanceof MovedStep ? step.by : 0);
  return sum === 0 ? original : (new MovedStep(original, sum) as unknown as Step);
}

/** The step as it was first built: the same object as long as nothing in its text changes. Its places may be out of date. */
export function originalStep(step: Step): Step {
  return step instanceof MovedStep ? step.original : step;
}

/** How far the places of a step have moved since it was first built. */
export function distanceMoved(step: Step): number {
  return step instanceof MovedStep ? step.by : 0;
}

class MovedStep {
  #moved: Map<keyof Step, unknown> | undefined;

  constructor(
    readonly original: Step,
    readonly by: number,
  ) {}

  /** A key's value at its place; no step has a key of this name. */
  lookUp(key: keyof Step): unknown {
    const before = this.original[key];
    if (before === null || typeof before !== 'object') return before;
    this.#moved ??= new Map();
    let known = this.#moved.get(key);
    if (known === undefined) this.#moved.set(key, (known = movedValue(before, this.by)));
    return known;
  }
}

for (const key of KEYS) {
  Object.defineProperty(MovedStep.prototype, key, {
    enumerable: true,
    get(this: MovedStep) {
      return this.lookUp(key);
    },
  });
}

function movedValue(value: unknown, by: number): unknown {
  if (value === null || typeof value !== 'object') return value;
  if (Array.isArray(value)) return value.length === 0 ? value : value.map((item) => movedValue(item, by));
  if (isSpan(value)) return { start: value.start + by, end: value.end + by };
  if (isScalarNode(value)) {
    return {
      kind: 'scalar', text: value.text, span: movedValue(value.span, by), style: value.style, offsetAt: (index: number) => value.offsetAt(index) + by,
    } satisfies Record<keyof ScalarNode, unknown>;
  }
  const copy: Record<string, unknown> = {};
  for (const [key, inside] of Object.entries(value)) copy[key] = WITHOUT_PLACES.has(key) && !isProse(inside) ? inside : movedValue(inside, by);
  return copy;
}

function isSpan(value: object): value is { start: number; end: number } {
  return 'start' in value && 'end' in value && typeof value.start === 'number';
}

function isScalarNode(value: object): value is ScalarNode {
  return 'offsetAt' in value;
}

/** A `text` may be what a `refer` says, with its place. */
function isProse(value: unknown): boolean {
  return value !== null && typeof value === 'object' && 'span' in value && 'value' in value;
}
