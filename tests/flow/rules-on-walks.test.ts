/**
 * Whole checks against naive walks: small random procedures are written out as YAML, read and checked, and each rule is judged again by
 * following single walks. No finding without a real walk; no walk that breaks a rule without a finding.
 */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { Workspace } from '../../server/src/analysis/workspace.ts';
import type { Program, Way } from '../../server/src/flow/program.ts';
import { randomProgram } from './random-program.ts';

const SHOP = `shop: Random
hazards:
  spark: {title: Sparks, arises_from: {words: [strike the flint]}, repeat: once_before}
cautions:
  sparks: {signal: warning, hazard: Sparks fly., consequence: They can burn eyes., avoid: Wear goggles., covers: [spark]}
`;

interface Draft {
  readonly program: Program;
  /** Steps that raise the hazard, and steps that show the caution. */
  readonly strikes: readonly boolean[];
  readonly shows: readonly boolean[];
  /** at_end of the first state. */
  readonly atEnd: number | undefined;
}

const drafts: fc.Arbitrary<Draft> = randomProgram().chain((program) => fc.record({
  program: fc.constant(program),
  strikes: fc.array(fc.boolean(), { minLength: program.steps.length, maxLength: program.steps.length }),
  shows: fc.array(fc.boolean(), { minLength: program.steps.length, maxLength: program.steps.length }),
  atEnd: fc.option(fc.nat(1), { nil: undefined }),
}));

describe('rules on walks', () => {
  test('checks report a step or result exactly where a single walk breaks the rule', () => {
    fc.assert(fc.property(drafts, (draft) => {
      const workspace = new Workspace();
      workspace.setFile('r/shop.yaml', SHOP);
      workspace.setFile('r/random.procedure.yaml', yamlOf(draft));
      const { findings, procedure } = workspace.analyse('r/random.procedure.yaml');
      expect(procedure?.problems.map((problem) => problem.message)).toEqual([]);
      const found = (check: string): string[] => [...new Set(findings.filter((finding) => finding.check === check)
        .map((finding) => `${finding.step ?? ''}${finding.subject ? ` ${finding.subject}` : ''}`))].sort();
      const naive = naiveRules(draft);
      expect(found('state-not-met')).toEqual([...naive.stateNotMet].sort());
      expect(found('left-unsafe')).toEqual([...naive.leftUnsafe].sort());
      expect(found('finds-ruled-out')).toEqual([...naive.findsRuledOut].sort());
      expect(found('not-isolated')).toEqual([...naive.notIsolated].sort());
      // Whether a walk can still pass is judged for a whole set of facts and unknown states at once, so where these differ it may stay silent.
      expect([...naive.nothingLeft]).toEqual(expect.arrayContaining(found('nothing-left')));
      const single = draft.program.states.every((state) => state.atStart !== undefined) && draft.program.steps.every((step) => step.onlyIf.length === 0);
      if (single) expect(found('nothing-left')).toEqual([...naive.nothingLeft].sort());
      expect([...found('missing-caution'), ...found('late-caution')].sort()).toEqual([...naive.missingCaution].sort());
    }), { numRuns: 600 });
  });

  test('every witness is a walk of the procedure', () => {
    fc.assert(fc.property(drafts, (draft) => {
      const workspace = new Workspace();
      workspace.setFile('r/shop.yaml', SHOP);
      workspace.setFile('r/random.procedure.yaml', yamlOf(draft));
      const { findings } = workspace.analyse('r/random.procedure.yaml');
      for (const { check, witness } of findings) {
        if (witness === undefined || witness.length === 0) continue;
        expect(witness[0]?.step, check).toBe('s0');
        for (const [at, { step, result }] of witness.slice(0, -1).entries()) {
          expect(followers(draft.program, step, result), `${check}: ${step} ${result}`).toContain(witness[at + 1]?.step);
        }
      }
    }), { numRuns: 300 });
  });
});

function yamlOf({ program, strikes, shows, atEnd }: Draft): string {
  const state = program.states.map((one, index) => `  ${one.name}: {values: [${one.values.join(', ')}]` +
    `${one.atStart === undefined ? '' : `, at_start: ${one.values[one.atStart]}`}${index === 0 && atEnd !== undefined ? `, at_end: ${one.values[atEnd]}` : ''}}`);
  const wayOf = (way: Way): string[] => way.kind === 'step' ? [`go: s${way.step}`]
    : way.kind === 'finds' ? [`${way.byElimination ? 'by_elimination' : 'finds'}: ${program.faults[way.fault]}`]
    : way.kind === 'refer' ? ['refer: See the diagram.'] : way.kind === 'passes' ? ['passes: true'] : [];
  const map = (list: readonly { state: number; values?: readonly number[]; value?: number }[]): string =>
    `{${list.map(({ state: index, values, value }) => {
      const one = program.states[index];
      return `${one?.name}: ${values ? `[${values.map((v) => one?.values[v]).join(', ')}]` : one?.values[value ?? 0]}`;
    }).join(', ')}}`;
  const steps = program.steps.map((step) => {
    const lines = [`  - step: ${step.name}`];
    const text = strikes[step.index] ? 'Strike the flint.' : 'Look at the machine.';
    lines.push(step.results.length > 0 ? `    ask: ${text}` : `    do: [${text}]`);
    if (shows[step.index]) lines.push('    cautions: [sparks]');
    if (step.needs.length > 0) lines.push(`    needs: ${map(step.needs)}`);
    if (step.sets.length > 0) lines.push(`    sets: ${map(step.sets)}`);
    for (const guard of step.onlyIf) {
      lines.push(guard.kind === 'fact' ? `    only_if: {fact: ${program.facts[0]?.choices[guard.values[0] ?? 0]}}` : `    only_if: ${map([guard])}`);
    }
    if (step.repeatAtMost !== undefined) lines.push(`    repeat_at_most: ${step.repeatAtMost}`);
    if (step.results.length === 0) {
      if (step.way.kind === 'step') lines.push(`    go: s${step.way.step}`);
      return lines.join('\n');
    }
    lines.push('    results:');
    step.results.forEach((result, index) => {
      lines.push(`      - when: answer ${index}`);
      if (result.rulesOut.length > 0) lines.push(`        rules_out: [${result.rulesOut.map((fault) => program.faults[fault]).join(', ')}]`);
      if (result.sets.length > 0) lines.push(`        sets: ${map(result.sets)}`);
      for (const line of wayOf(result.way)) lines.push(`        ${line}`);
    });
    return lines.join('\n');
  });
  const main = steps.filter((_, index) => program.steps[index]?.section === 'steps');
  const repair = steps.filter((_, index) => program.steps[index]?.section === 'after_repair');
  const faults = program.faults.map((name, index) => {
    const proof = program.afterRepair[index];
    return `  ${name}: {title: Fault ${index}, remedy: Repair it.${proof === undefined ? '' : `, after_repair: s${proof}`}}`;
  });
  return [
    'procedure: random', 'title: Random', 'facts:', '  fact: {choices: [a, b]}', 'states:', ...state, 'faults:', ...faults,
    'steps:', ...main, ...(repair.length > 0 ? ['after_repair:', ...repair] : []), '',
  ].join('\n');
}

/** What a writer's text means where the random program has ways that cannot be written: a step without results cannot find. */
function wayOut(program: Program, index: number, result: number | undefined): Way {
  const step = program.steps[index];
  if (result !== undefined) return step?.results[result]?.way ?? { kind: 'nowhere' };
  return step?.way.kind === 'step' ? step.way : (step?.passOver ?? { kind: 'nowhere' });
}

function followers(program: Program, name: string, result: string | undefined): string[] {
  const index = program.steps.findIndex((step) => step.name === name);
  const way = result === 'passed over' ? program.steps[index]?.passOver : wayOut(program, index, result === undefined ? undefined : Number(result.split(' ')[1]));
  if (way?.kind === 'step') return [`s${way.step}`];
  if (way?.kind === 'finds') return [`s${program.afterRepair[way.fault]}`];
  return [];
}

function naiveRules({ program, strikes, shows, atEnd }: Draft) {
  const rules = {
    stateNotMet: new Set<string>(), leftUnsafe: new Set<string>(), findsRuledOut: new Set<string>(), notIsolated: new Set<string>(),
    nothingLeft: new Set<string>(), missingCaution: new Set<string>(),
  };
  const seen = new Set<string>();
  const every = program.faults.map((_, index) => index);
  /** `faults` is undefined where diagnosis no longer counts: after a repair, or once nothing was left. */
  const visit = (at: number, values: number[], fact: number, done: number[], repaired: boolean, shown: boolean, faults: number[] | undefined, assumed: boolean): void => {
    const key = JSON.stringify([at, values, fact, done, repaired, shown, faults, assumed]);
    if (seen.has(key)) return;
    seen.add(key);
    const step = program.steps[at];
    if (step === undefined) return;
    const follow = (way: Way, states: number[], counts: number[], caution: boolean, left: number[] | undefined, place: string, taken: boolean): void => {
      if (way.kind === 'step') return visit(way.step, states, fact, counts, repaired, caution, left, taken);
      const proof = way.kind === 'finds' ? program.afterRepair[way.fault] : undefined;
      if (proof !== undefined) return visit(proof, states, fact, counts.map(() => 0), true, caution, undefined, taken);
      if (way.kind !== 'nowhere' && atEnd !== undefined && states[0] !== atEnd && !taken) rules.leftUnsafe.add(`${place} state0`);
    };
    const allowed = step.onlyIf.every((guard) => guard.kind === 'fact' ? guard.values.includes(fact) : guard.values.includes(values[guard.state] ?? -1));
    if (!allowed || (step.repeatAtMost !== undefined && (done[at] ?? 0) >= step.repeatAtMost)) {
      return follow(step.passOver, values, done, shown, faults, step.name, assumed);
    }
    const counts = done.map((count, index) => (index === at && step.repeatAtMost !== undefined ? count + 1 : count));
    let vectors = [values];
    // The first state is so only because its need was taken as met; until a step sets it, no ending is blamed for it.
    let taken = assumed;
    for (const need of step.needs) {
      if (need.values.includes(values[need.state] ?? -1)) continue;
      if (need.state === 0) taken = true;
      rules.stateNotMet.add(`${step.name} ${program.states[need.state]?.name}`);
      vectors = vectors.flatMap((vector) => need.values.map((value) => vector.map((old, index) => (index === need.state ? value : old))));
    }
    const caution = shown || (shows[at] ?? false);
    if (strikes[at] && !caution) rules.missingCaution.add(`${step.name} spark`);
    // Reported once on a walk: from here it goes on as if the caution had been shown.
    const afterwards = caution || (strikes[at] ?? false);
    for (const vector of vectors) {
      const put = (states: number[], list: readonly { state: number; value: number }[]): number[] =>
        list.reduce((so, { state, value }) => so.map((old, index) => (index === state ? value : old)), states);
      const after = put(vector, step.sets);
      const setsIt = (list: readonly { state: number }[]): boolean => list.some(({ state }) => state === 0);
      if (step.results.length === 0) follow(wayOut(program, at, undefined), after, counts, afterwards, faults, step.name, taken && !setsIt(step.sets));
      step.results.forEach((result) => {
        let left = faults;
        if (faults !== undefined) {
          left = faults.filter((fault) => !result.rulesOut.includes(fault));
          const { way } = result;
          if (way.kind === 'finds' && faults.length > 0 && !faults.includes(way.fault)) rules.findsRuledOut.add(`${step.name} ${program.faults[way.fault]}`);
          if (way.kind === 'finds' && way.byElimination && left.some((fault) => fault !== way.fault)) rules.notIsolated.add(`${step.name} ${program.faults[way.fault]}`);
          if (left.length === 0 && faults.length > 0) {
            const endings = endingsAfter(program, put(after, result.sets), fact, counts, result.way);
            if (endings.has('finds') || !endings.has('passes')) rules.nothingLeft.add(step.name);
            left = undefined;
          }
        }
        follow(result.way, put(after, result.sets), counts, afterwards, left, step.name, taken && !setsIt([...step.sets, ...result.sets]));
      });
    }
  };
  const starts = program.states.map((state) => (state.atStart === undefined ? state.values.map((_, value) => value) : [state.atStart]));
  for (const first of starts[0] ?? []) for (const second of starts[1] ?? []) for (const fact of [0, 1]) {
    visit(0, [first, second], fact, program.steps.map(() => 0), false, false, every, false);
  }
  return rules;
}

/** The kinds of ending that can follow a way on; a fault that is found ends the search. */
function endingsAfter(program: Program, values: number[], fact: number, done: number[], way: Way): Set<Way['kind']> {
  const seen = new Set<string>();
  const found = new Set<Way['kind']>();
  const follow = (next: Way, states: number[], counts: number[]): void => {
    if (next.kind !== 'step') {
      found.add(next.kind);
      return;
    }
    const key = JSON.stringify([next.step, states, counts]);
    const step = program.steps[next.step];
    if (seen.has(key) || step === undefined) return;
    seen.add(key);
    const allowed = step.onlyIf.every((guard) => guard.kind === 'fact' ? guard.values.includes(fact) : guard.values.includes(states[guard.state] ?? -1));
    if (!allowed || (step.repeatAtMost !== undefined && (counts[next.step] ?? 0) >= step.repeatAtMost)) return follow(step.passOver, states, counts);
    const more = counts.map((count, index) => (index === next.step && step.repeatAtMost !== undefined ? count + 1 : count));
    let vectors = [states];
    for (const need of step.needs) {
      if (need.values.includes(states[need.state] ?? -1)) continue;
      vectors = vectors.flatMap((vector) => need.values.map((value) => vector.map((old, index) => (index === need.state ? value : old))));
    }
    for (const vector of vectors) {
      const put = (so: number[], list: readonly { state: number; value: number }[]): number[] =>
        list.reduce((all, { state, value }) => all.map((old, index) => (index === state ? value : old)), so);
      const after = put(vector, step.sets);
      if (step.results.length === 0) follow(wayOut(program, next.step, undefined), after, more);
      for (const result of step.results) follow(result.way, put(after, result.sets), more);
    }
  };
  follow(way, values, done);
  return found;
}
