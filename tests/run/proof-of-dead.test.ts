/** A run goes on from a proof that a circuit is dead only where the checker takes it for one: no point passes as dead because another one is. */
import { describe, expect, it } from 'vitest';
import { Workspace } from '../../server/src/analysis/workspace.ts';
import { provesDead } from '../../server/src/flow/isolation.ts';
import { applyEvent, currentView, type Run } from '../../server/src/run/engine.ts';
import { sentenceInGerman } from '../../server/src/render/run-in-german-sentences.ts';
import { begin, checklistOf, enter, entry, ready } from './fixtures.ts';
import { HEAD } from './small.ts';

function procedure(points: string, results: string, quantity = 'dc_voltage', nominal = '400 V'): string {
  return `${HEAD}
circuits: {hv: {title: Traction circuit, nominal: ${nominal}, dead_when: {isolator: off}}}
steps:
  - step: off
    do: [Turn the isolator off.]
    sets: {isolator: off}
  - step: proof
    measure: ${quantity}
    circuit: hv
    with: multimeter
    proves_dead: hv
    ${points}
    results:
${results}
  - step: work
    ask: Is the terminal clean?
    results: [{when: yes, passes: true}, {when: no, refer: Clean it.}]
`;
}

const THREE = 'at_each: [plus_minus, plus_frame, minus_frame]';
const LIMITS = '      - {when: at most 5 V}\n      - {when: above 5 V, refer: It is live.}';

/** Readings at the three points, and where the run then stands. */
function after(text: string, readings: readonly string[]): { readonly at: string | undefined; readonly problem: string | undefined; readonly judgement: string | undefined } {
  let run: Run = enter(begin(checklistOf(text)), '');
  let problem: string | undefined;
  for (const typed of readings) {
    run = ready(run);
    const next = applyEvent(run, entry(currentView(run).field, typed));
    problem = next.problem;
    if (problem !== undefined) break;
    run = next;
  }
  const view = currentView(run);
  return { at: view.stage === 'ended' ? view.ending?.kind : view.step?.name, problem, judgement: view.judgement };
}

/** Whether the checker takes the first result of the step for a proof. */
function isProof(text: string): boolean {
  const workspace = new Workspace();
  workspace.setFile('/depot/main.procedure.yaml', text);
  const { procedure: made, scope } = workspace.analyse('/depot/main.procedure.yaml');
  const step = made?.steps.find((one) => one.name?.value === 'proof');
  return step !== undefined && provesDead(step, 0, scope?.circuits.get('hv')?.item);
}

describe('a proof at several points', () => {
  it.each(['highest', 'lowest', 'mean', 'spread', 'each'])('is judged by its highest magnitude, though the writer says %s', (judge) => {
    const text = procedure(`${THREE}\n    judge: ${judge}`, LIMITS);
    expect(isProof(text)).toBe(judge === 'highest' || judge === 'each');
    expect(after(text, ['0.1 V', '-380 V', '0 V'])).toMatchObject({ at: 'referred', judgement: expect.stringContaining('380') as unknown });
    expect(after(text, ['1 V', '-2 V', '0 V']).at).toBe('work');
  });

  it('does not go on by one dead point where another is live, though each has a way of its own', () => {
    // The way of a dead point is spelled out, that of a live one is the next step.
    const text = procedure(`${THREE}\n    judge: each`, '      - {when: at most 5 V, go: work}\n      - {when: above 5 V}').replace('  - step: work', '  - step: live\n    do: [Stop.]\n    go: off\n  - step: work');
    expect(after(text, ['0 V', '400 V', '0 V']).at).toBe('live');
    expect(after(text, ['0 V', '0 V', '0 V']).at).toBe('work');
  });

  it('does not go on where the band leaves a live point open', () => {
    const text = procedure(THREE, '      - {when: at most 5 V at plus_minus}\n      - {when: otherwise, refer: It is live.}');
    expect(isProof(text)).toBe(false);
    expect(after(text, ['0 V', '0 V', '400 V'])).toMatchObject({
      at: 'proof',
      problem: 'Minus frame: the reading shows voltage, and traction circuit is not proved dead. The procedure does not say what follows: stop, touch nothing, and tell who wrote it.',
    });
    expect(after(text, ['0 V', '1 V', '-1 V']).at).toBe('work');
    expect(after(text, ['400 V', '0 V', '0 V']).at).toBe('referred');
  });

  it('goes on where every point is bounded', () => {
    const text = procedure(THREE, '      - {when: at most 5 V at plus_minus and at most 5 V at plus_frame and at most 5 V at minus_frame}\n      - {when: otherwise, refer: It is live.}');
    expect(isProof(text)).toBe(true);
    expect(after(text, ['0 V', '0 V', '400 V']).at).toBe('referred');
    expect(after(text, ['0 V', '0 V', '0 V']).at).toBe('work');
  });

  it('does not end at the first point without voltage', () => {
    const text = procedure(`${THREE}\n    seek: at most 5 V`, '      - {when: found}\n      - {when: not_found, refer: It is live.}');
    expect(isProof(text)).toBe(false);
    expect(after(text, ['0 V'])).toMatchObject({
      at: 'proof', problem: 'One point without voltage does not show that traction circuit is dead. Stop, touch nothing, and tell who wrote the procedure.',
    });
  });
});

describe('a reading that can prove nothing', () => {
  const warnings = (text: string): readonly string[] => currentView(enter(begin(checklistOf(text)), '')).step?.warnings ?? [];

  it('is said to be none before it is taken', () => {
    const text = procedure('at: {red: plus, black: frame}', LIMITS, 'ac_voltage');
    expect(isProof(text)).toBe(false);
    expect(warnings(text)).toContain(
      'AC voltage cannot show that traction circuit is dead. It is a circuit of DC. Do not go on as if it were dead, and tell who wrote the procedure.',
    );
    expect(warnings(procedure('at: {red: plus, black: frame}', LIMITS, 'ac_voltage', '400 V AC'))).toEqual([]);
    expect(warnings(procedure('at: {red: plus, black: frame}', LIMITS))).toEqual([]);
  });
});

describe('what a run says of it', () => {
  it.each([
    'AC voltage cannot show that traction circuit is dead. It is a circuit of DC. Do not go on as if it were dead, and tell who wrote the procedure.',
    'Temperature cannot show that traction circuit is dead. Only a voltage can. Do not go on as if it were dead, and tell who wrote the procedure.',
    'Minus frame: the reading shows voltage, and traction circuit is not proved dead. The procedure does not say what follows: stop, touch nothing, and tell who wrote it.',
    'One point without voltage does not show that traction circuit is dead. Stop, touch nothing, and tell who wrote the procedure.',
  ])('is said in German too: %s', (sentence) => {
    expect(sentenceInGerman(sentence)).toMatch(/spannungsfrei/u);
  });
});

describe('a circuit of which it cannot be told what makes it dead', () => {
  it.each(['{isolator: [on, off]}', '{}', '{isolator: OFF}'])('is not dead by %s as a run sees it', (deadWhen) => {
    const text = `${HEAD}
circuits: {lamps: {nominal: 24 V, dead_when: ${deadWhen}}}
steps:
  - step: wire_end
    measure: resistance
    circuit: lamps
    with: multimeter
    results: [{when: below 5 ohm, passes: true}, {when: otherwise, finds: wire}]
`;
    expect(currentView(begin(checklistOf(text))).step?.circuit?.condition).not.toBe('dead');
  });
});
