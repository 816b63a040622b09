/** What `isolation-not-proved` asks of a proof: that it can prove, that a live circuit ends it, that the wait was kept and the isolation locked. */
import type { FlowEdge } from '../flow/explore.ts';
import { alternatingOf, flawOfProof, followProof, pointsLeftOpen, proofStepOf, provesDead } from '../flow/isolation.ts';
import { circuitDead, conditionHolds } from '../flow/meaning.ts';
import { reachWithMemory } from '../flow/walks.ts';
import { placeAskedFor } from '../flow/words.ts';
import { compareRational, ZERO } from '../quantity/rational.ts';
import { quantityPhrase, quantityWord } from '../quantity/quantity-words.ts';
import type { Circuit, Step } from '../procedure/model.ts';
import { allSteps, type CheckContext } from './check.ts';
import { listed, words } from './edits.ts';
import { asWitness, nameOf, placeOf, walkToNode } from './walk-of.ts';

/** A `proves_dead` step none of whose results can prove it. */
export function* proofWithoutLimit(context: CheckContext, index: number, circuit: Circuit) {
  for (const [at, step] of allSteps(context.procedure).entries()) {
    if (context.program.steps[at]?.provesDead !== index || step.results.some((_, result) => provesDead(step, result, circuit))) continue;
    const flaw = whyNot(step, circuit);
    yield {
      span: flaw.key?.span ?? step.provesDead?.span ?? placeOf(step),
      step: nameOf(step),
      subject: circuit.name.value,
      message: `No result of '${nameOf(step)}' shows that ${words(circuit.name.value)} is dead.`,
      note: flaw.note,
      help: flaw.help,
    };
  }
}

/** Why no result of a step proves the circuit dead, and the key that is at fault where it is not the results. */
function whyNot(step: Step, circuit: Circuit): { readonly note: string; readonly help: string; readonly key?: { readonly span: Step['span'] } | undefined } {
  const proof = proofStepOf(step);
  const alternating = alternatingOf(circuit);
  const voltage = alternating === undefined ? 'voltage' : alternating ? '`ac_voltage`' : '`dc_voltage`';
  const flaw = flawOfProof(proof, alternating);
  const phrase = (): string => {
    const word = quantityWord(proof.quantity ?? '');
    return word ? quantityPhrase(word) : 'another quantity';
  };
  if (flaw === 'no voltage') return { note: `It reads ${phrase()}, and only a voltage shows that nothing is there.`, help: `Measure ${voltage}.` };
  if (flaw === 'other current') {
    const kind = alternating ? 'AC' : 'DC';
    return {
      key: step.quantity, note: `It reads ${phrase()}, and the circuit is one of ${kind} (${circuit.nominal?.value.text ?? ''}).`,
      help: `Measure ${voltage}, or correct the circuit's \`nominal\`.`,
    };
  }
  if (flaw === 'seeks') return { key: step.seek, note: 'It stops at the first point without voltage, and the others may be live.', help: 'Read every point: `judge: highest` instead of `seek`.' };
  if (flaw === 'judge') {
    return { key: step.judge, note: `It is judged by the ${proof.judge ?? ''} of its points, and another point may be live.`, help: 'Judge it by the highest: `judge: highest`.' };
  }
  const open = step.results.flatMap(({ when }) => (when?.kind === 'band' && when.band ? [pointsLeftOpen(proof, when.band)] : [])).find((points) => points.length > 0 && points.length < proof.points.length);
  if (open) {
    return {
      note: `The band says nothing of ${listed(open.map((point) => `'${point}'`))}, which may be live.`, help: 'Give it `judge: highest`, or a bound at every point, joined with `and`.',
      key: step.results.find(({ when }) => when?.kind === 'band')?.when,
    };
  }
  return { note: 'A proof needs a result whose band stays at or below 60 V DC or 30 V AC.', help: 'Give it a result such as `when: below 5 V`, and another for everything else.' };
}

/** A result that shows voltage and leads where the proof leads: the work goes on as if the circuit were dead. */
export function* liveGoesOn(context: CheckContext, index: number, circuit: Circuit) {
  for (const [at, step] of allSteps(context.procedure).entries()) {
    const programStep = context.program.steps[at];
    if (programStep?.provesDead !== index) continue;
    const proving = programStep.results.filter((_, result) => provesDead(step, result, circuit)).map((result) => JSON.stringify(result.way));
    for (const [number, result] of programStep.results.entries()) {
      const written = step.results[number];
      if (provesDead(step, number, circuit) || !proving.includes(JSON.stringify(result.way)) || result.way.kind === 'nowhere') continue;
      yield {
        span: written?.when?.span ?? placeOf(step),
        step: nameOf(step),
        subject: circuit.name.value,
        message: `The result '${written?.when?.text ?? ''}' of '${nameOf(step)}' does not show that ${words(circuit.name.value)} is dead, and leads on as if it did.`,
        help: 'Stop there: `refer` to a qualified person, or go back to the isolation.',
      };
    }
  }
}

/** The discharge wait, from the step that isolates to the proof. */
export function* waitNotKept(context: CheckContext, index: number, circuit: Circuit) {
  const wanted = circuit.dischargeWait;
  if (wanted === undefined) return;
  const { exploration, program } = context;
  const known = program.circuits[index];
  const steps = allSteps(context.procedure);
  if (known === undefined) return;
  const reported = new Set<number>();
  const dead = (states: readonly number[]): boolean => circuitDead(known, states) === 'yes';
  const proof = followProof(exploration, context.procedure, index, context.scope.circuits);
  // Memory: 0 not isolated, 1 isolated and the wait not kept, 2 isolated and kept, 3 proved.
  const along = (memory: number, edge: FlowEdge): number => {
    const after = exploration.nodes[edge.to]?.states ?? [];
    if (!dead(after)) return 0;
    const step = steps[edge.step];
    const from = exploration.nodes[edge.from];
    const wasDead = from !== undefined && dead(from.states);
    let next = wasDead ? memory : 1;
    const kept = waitsEnough(step, wanted.value.base) || (step?.kind === 'run' && calledWaits(context, step, edge.result, wanted.value.base));
    if (!edge.passedOver && kept) next = Math.max(next, 2);
    return proof(0, edge) === 1 ? 3 : next;
  };
  for (const { node, memory, walk } of reachWithMemory(exploration, { start: 0, along })) {
    const step = node.step === undefined || node.passedOver ? undefined : steps[node.step];
    if (step === undefined || memory !== 1 || node.step === undefined || reported.has(node.step)) continue;
    if (program.steps[node.step]?.provesDead !== index || waitsEnough(step, wanted.value.base)) continue;
    reported.add(node.step);
    yield {
      span: step.provesDead?.span ?? placeOf(step),
      step: nameOf(step),
      subject: circuit.name.value,
      message: `'${nameOf(step)}' tests ${words(circuit.name.value)} before its discharge wait of ${wanted.value.text} is over.`,
      note: 'No step since the isolation has a `wait` that long.',
      help: `Give \`wait: ${wanted.value.text}\` to this step or to the one that isolates.`,
      ...asWitness(context, walk(), node.step),
    };
  }
}

function waitsEnough(step: Step | undefined, wanted: Parameters<typeof compareRational>[0]): boolean {
  return compareRational(step?.wait?.value.base ?? ZERO, wanted) >= 0;
}

/** Whether every walk of the procedure run to the ending taken has kept the wait. */
function calledWaits(context: CheckContext, step: Step, result: number | undefined, wanted: Parameters<typeof compareRational>[0]): boolean {
  const called = step.run && context.procedureNamed(step.run.value);
  if (!called) return false;
  const when = result === undefined ? undefined : step.results[result]?.when;
  const ending = when?.kind === 'ending' ? { passed: 'passes', referred: 'refer', finds: 'finds', raised: 'passes' }[when.ending] : undefined;
  const steps = allSteps(called.procedure);
  const along = (memory: number, edge: FlowEdge): number | undefined =>
    !edge.passedOver && waitsEnough(steps[edge.step], wanted) ? undefined : memory;
  let arrives = false;
  for (const { node } of reachWithMemory(called.exploration, { start: 0, along })) {
    if (node.ending !== undefined && (ending === undefined || node.ending.kind === ending)) arrives = true;
  }
  return !arrives;
}

/** The proof is taken while nothing keeps others from switching the circuit on again: no lock is on, and no instruction on the way asks for one. */
export function* lockMissing(context: CheckContext, index: number, circuit: Circuit) {
  const { exploration, program, procedure } = context;
  const known = program.circuits[index];
  const steps = allSteps(procedure);
  if (known === undefined || !known.deadWhen.some((alternative) => alternative.some(({ state, values }) => values.some((value) => isSwitched(program.states[state]?.values[value]))))) return;
  const lockout = program.states.findIndex(({ name }) => name === 'lockout');
  const applied = program.states[lockout]?.values.indexOf('applied') ?? -1;
  const isLocked = (states: readonly number[]): boolean => applied >= 0 && conditionHolds({ state: lockout, values: [applied] }, states) === 'yes';
  // Memory: 1 once an instruction on the walk has asked for a lock, or a procedure run there has isolated it: how, is asked there.
  const isDead = (node: number): boolean => circuitDead(known, exploration.nodes[node]?.states ?? []) === 'yes';
  const along = (memory: number, edge: FlowEdge): number => {
    const step = steps[edge.step];
    if (memory === 1 || edge.passedOver || step === undefined) return memory;
    return asksForLock(step) || (step.kind === 'run' && !isDead(edge.from) && isDead(edge.to)) ? 1 : 0;
  };
  for (const { node, memory } of reachWithMemory(exploration, { start: 0, along })) {
    if (node.step === undefined || node.passedOver || memory === 1 || program.steps[node.step]?.provesDead !== index || isLocked(node.begun)) continue;
    const step = steps[node.step];
    if (step === undefined || circuitDead(known, node.begun) !== 'yes') continue;
    yield {
      span: step.provesDead?.span ?? placeOf(step),
      step: nameOf(step),
      subject: circuit.name.value,
      message: `'${nameOf(step)}' is to prove ${words(circuit.name.value)} dead, and nothing has locked its isolation.`,
      note: 'Anyone may switch it on again while hands are at it.',
      help: 'Say in the step that isolates it: `Fit your lock and tag.`, with `sets: {lockout: applied}`.',
      ...walkToNode(context, node),
    };
    return;
  }
}

/** What a lock can hold. A plug pulled, or a lead on the bench, stays in the hand of who works there: 29 CFR 1910.147(a)(2)(iii)(A) (from memory). */
function isSwitched(value: string | undefined): boolean {
  return value === 'off' || value === 'open' || value === 'removed' || value === 'opened' || value === 'switched_off';
}

const LOCKS = [
  'lock it', 'lock|lock_out|lock_off|padlock|secure … isolator|breaker|disconnect|switch|fuse|supply|plug|valve', 'fit|apply|attach|hang|put|place … lock|padlock|lock-out|lockout',
  'lock and tag it|out|them', 'lock and tag the', 'lock out', 'lock off', 'lock against', 'lock them',
];

/** Whether an instruction of the step asks for a lock. */
export function asksForLock(step: Step): boolean {
  let asks = locksKnown.get(step);
  if (asks === undefined) {
    const texts = [...step.actions, step.text, step.title].flatMap((text) => (text ? [text.value] : []));
    locksKnown.set(step, (asks = texts.some((text) => LOCKS.some((phrase) => placeAskedFor(text, phrase) !== undefined))));
  }
  return asks;
}

const locksKnown = new WeakMap<Step, boolean>();
