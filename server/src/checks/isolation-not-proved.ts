import type { FlowEdge, FlowNode } from '../flow/explore.ts';
import { followProof, isHazardous, nodesUnproved, provesDead } from '../flow/isolation.ts';
import { circuitDead, statesDuring } from '../flow/meaning.ts';
import { reachWithMemory } from '../flow/walks.ts';
import { compareRational, ZERO } from '../quantity/rational.ts';
import type { Circuit, Step } from '../procedure/model.ts';
import { allSteps, type Check, type CheckContext } from './check.ts';
import { words } from './edits.ts';
import { NEEDS_LIVE } from './circuit-tests.ts';
import { asWitness, nameOf, placeOf } from './walk-of.ts';

export const isolationNotProved: Check = {
  name: 'isolation-not-proved',
  severity: 'error',
  group: 'safety',
  proves: 'No walk works on an isolated circuit of hazardous voltage before a reading has proved it dead, after the discharge wait.',
  why: 'A switch that reads off, a welded contact or a charged capacitor kills as surely as a live cable.',
  source: '29 CFR 1910.147(d)(6) (from memory) and 1910.333(b)(2)(iv)(B) (from memory); class B voltage of ISO 6469-3 and UN R100 (from memory)',
  bad: `procedure: heater
title: Heater element
qualified: electrical
states:
  breaker: {values: [on, off], at_start: on}
circuits:
  heater: {nominal: 400 V AC, dead_when: {breaker: off}}
steps:
  - step: off
    do: [Switch the breaker off and lock it.]
    sets: {breaker: off}
  - step: element
    measure: resistance
    circuit: heater
    cautions: [mains_voltage]
    results:
      - when: between 20 ohm and 30 ohm
        passes: true
      - when: otherwise
        refer: Replace the element.
`,
  good: `procedure: heater
title: Heater element
qualified: electrical
states:
  breaker: {values: [on, off], at_start: on}
circuits:
  heater: {nominal: 400 V AC, dead_when: {breaker: off}}
steps:
  - step: off
    do: [Switch the breaker off and lock it.]
    sets: {breaker: off}
  - step: prove
    measure: ac_voltage
    circuit: heater
    proves_dead: heater
    cautions: [mains_voltage]
    results:
      - when: below 5 V
        says: Dead.
      - when: otherwise
        refer: The circuit is live. Find out why.
  - step: element
    measure: resistance
    circuit: heater
    cautions: [mains_voltage]
    results:
      - when: between 20 ohm and 30 ohm
        passes: true
      - when: otherwise
        refer: Replace the element.
`,
  *run(context) {
    const { program, scope } = context;
    for (const [index, circuit] of program.circuits.entries()) {
      const declared = scope.circuits.get(circuit.name)?.item;
      if (declared === undefined || !isHazardous(declared)) continue;
      yield* workUnproved(context, index, declared);
      yield* proofWithoutLimit(context, index, declared);
      yield* liveGoesOn(context, index, declared);
      yield* waitNotKept(context, index, declared);
    }
  },
};

/** Steps that work on the circuit while it is taken as dead, and on some walk nothing has proved it. */
function* workUnproved(context: CheckContext, index: number, circuit: Circuit) {
  const { exploration, program, scope, procedure } = context;
  const steps = allSteps(procedure);
  const name = circuit.name.value;
  const reported = new Set<number>();
  const unproved = nodesUnproved(exploration, procedure, index, scope.circuits);
  for (const [id, walk] of unproved) {
    const node = exploration.nodes[id] as FlowNode;
    const step = node.step === undefined || node.passedOver ? undefined : steps[node.step];
    const programStep = node.step === undefined ? undefined : program.steps[node.step];
    const known = program.circuits[index];
    if (step === undefined || programStep === undefined || known === undefined || reported.has(node.step ?? -1)) continue;
    if (programStep.circuit !== index || programStep.provesDead === index) continue;
    if (NEEDS_LIVE.has(step.quantity?.value ?? '') || circuitDead(known, statesDuring(programStep, node.begun)) !== 'yes') continue;
    reported.add(node.step ?? -1);
    yield {
      span: step.circuit?.span ?? placeOf(step),
      step: nameOf(step),
      subject: name,
      message: `'${nameOf(step)}' works on ${words(name)} (${circuit.nominal?.value.text ?? ''}) before a reading has proved it dead.`,
      note: 'It was isolated on this walk, and no reading since then shows that it is dead.',
      help: `Put a voltage reading with \`proves_dead: ${name}\` and a result at or below the limit between the isolation and this step.`,
      ...asWitness(context, walk, node.step),
    };
  }
}

/** A `proves_dead` step none of whose results can prove it. */
function* proofWithoutLimit(context: CheckContext, index: number, circuit: Circuit) {
  for (const [at, step] of allSteps(context.procedure).entries()) {
    if (context.program.steps[at]?.provesDead !== index || step.results.some((_, result) => provesDead(step, result, circuit))) continue;
    yield {
      span: step.provesDead?.span ?? placeOf(step),
      step: nameOf(step),
      subject: circuit.name.value,
      message: `No result of '${nameOf(step)}' shows that ${words(circuit.name.value)} is dead.`,
      note: 'A proof needs a result whose band stays at or below 60 V DC or 30 V AC.',
      help: 'Give it a result such as `when: below 5 V`, and another for everything else.',
    };
  }
}

/** A result that shows voltage and leads where the proof leads: the work goes on as if the circuit were dead. */
function* liveGoesOn(context: CheckContext, index: number, circuit: Circuit) {
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
function* waitNotKept(context: CheckContext, index: number, circuit: Circuit) {
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
