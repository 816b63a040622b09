/**
 * Edits that spoil a clean procedure, each as a person slips: by the text, in the writer's own layout. Every edit gives all the
 * places where it can be made, with the text that comes out.
 */
import type { Analysis } from '../../server/src/analysis/analysis.ts';
import { hazardsOf } from '../../server/src/flow/hazards.ts';
import { namesUsed } from '../../server/src/flow/readings.ts';
import type { Result, Step } from '../../server/src/procedure/model.ts';

export interface Spoilt {
  /** What was done where: 'coil_signal: max_time'. */
  readonly where: string;
  readonly text: string;
  /** Set where the edit does no harm that the text could show: why. Such edits are counted apart. */
  readonly harmless?: string | undefined;
}

export interface SpoilingEdit {
  readonly name: string;
  /** Why it does harm, or what a check could know of it. */
  readonly harm: string;
  readonly apply: (analysis: Analysis) => Iterable<Spoilt>;
}

export const SPOILING_EDITS: readonly SpoilingEdit[] = [
  {
    name: 'drop a caution', harm: 'nobody is warned',
    * apply(analysis) {
      for (const step of stepsOf(analysis)) for (const use of step.cautions) {
        if (use.kind !== 'named') continue;
        yield { where: `${nameOf(step)}: ${use.name.value}`, text: withoutListItem(analysis.text, use.name.span), harmless: courtesy(analysis, step, use.name.value) };
      }
    },
  },
  {
    name: 'move a caution after its step', harm: 'the warning comes too late',
    * apply(analysis) {
      const steps = stepsOf(analysis);
      for (const [index, step] of steps.entries()) for (const use of step.cautions) {
        const next = steps[index + 1];
        if (use.kind !== 'named' || !next || next.section !== step.section || next.cautions.length > 0) continue;
        const later = insertKey(analysis.text, next, `cautions: [${use.name.value}]`);
        yield { where: `${nameOf(step)}: ${use.name.value}`, text: withoutListItem(later, use.name.span), harmless: courtesy(analysis, step, use.name.value) };
      }
    },
  },
  {
    name: 'drop a result', harm: 'a reading or answer leads nowhere, or a fault is never found',
    * apply(analysis) {
      for (const step of stepsOf(analysis)) for (const result of step.results) {
        if (step.kind === 'ask' || step.results.length < 2) continue;
        yield { where: `${nameOf(step)}: ${whenOf(result)}`, text: withoutBlock(analysis.text, result.span.start), harmless: takenByOthers(analysis, step, result) };
      }
    },
  },
  {
    name: 'move a limit that two results share', harm: 'readings between the two limits have no result, or two',
    * apply(analysis) {
      for (const step of stepsOf(analysis)) for (const result of step.results) {
        const bound = result.when?.kind === 'band' ? boundIn(result.when.text) : undefined;
        const shared = bound && step.results.some((other) => other !== result && other.when?.kind === 'band' && other.when.text.includes(bound));
        if (!bound || !shared || !result.when) continue;
        const moved = bound.replace(/[\d.]+/u, (number) => String(Number((Number(number) * 1.08 + 0.01).toPrecision(4))));
        const harmless = hasOtherwise(step) ? 'an `otherwise` takes what the moved limit leaves' : undefined;
        yield { where: `${nameOf(step)}: ${whenOf(result)}`, text: replaced(analysis.text, result.when.span, (text) => text.replace(bound, moved)), harmless };
      }
    },
  },
  {
    name: 'slip a prefix', harm: 'a limit a thousand times too large or too small',
    * apply(analysis) {
      for (const step of stepsOf(analysis)) for (const result of step.results) {
        if (result.when?.kind !== 'band') continue;
        const text = replaced(analysis.text, result.when.span, (when) => when.replace(/(\d)\s*V\b/u, '$1 mV').replace(/(\d)\s*bar\b/u, '$1 mbar').replace(/(\d)\s*ohm\b/u, '$1 kohm'));
        if (text !== analysis.text) yield { where: `${nameOf(step)}: ${whenOf(result)}`, text };
      }
    },
  },
  {
    name: 'change a unit', harm: 'the limit is of another quantity than the reading',
    * apply(analysis) {
      for (const step of stepsOf(analysis)) for (const result of step.results) {
        if (result.when?.kind !== 'band') continue;
        const text = replaced(analysis.text, result.when.span, (when) =>
          when.replace(/(\d)\s*(V|mV|ohm|bar|psi|N·m|mm|°C)(?![\p{L}])/u, (_, digit: string, unit: string) => `${digit} ${unit === 'V' || unit === 'mV' ? 'ohm' : unit === 'bar' || unit === 'psi' ? '°C' : 'V'}`));
        if (text !== analysis.text) yield { where: `${nameOf(step)}: ${whenOf(result)}`, text };
      }
    },
  },
  {
    name: 'leave a unit out', harm: 'nobody knows what the number means',
    * apply(analysis) {
      for (const step of stepsOf(analysis)) for (const result of step.results) {
        if (result.when?.kind !== 'band') continue;
        const text = replaced(analysis.text, result.when.span, (when) => when.replace(/(\d) ?(V|mV|ohm|bar|psi|N·m|mm|°C|min|s)(?![\p{L}])/gu, '$1'));
        if (text !== analysis.text) yield { where: `${nameOf(step)}: ${whenOf(result)}`, text };
      }
    },
  },
  {
    name: 'delete a step that brings states about', harm: 'the machine is not in the state that the next step assumes, or is left so',
    * apply(analysis) {
      for (const step of stepsOf(analysis)) {
        if (step.sets.length > 0) yield { where: nameOf(step), text: withoutBlock(analysis.text, step.span.start), harmless: unneededStates(analysis, step) };
      }
    },
  },
  {
    name: 'delete a test', harm: 'a fault is never found, or never excluded',
    * apply(analysis) {
      for (const step of stepsOf(analysis)) {
        const proves = step.results.some((result) => result.rulesOut.length > 0 || result.leaves || result.way.kind === 'finds' || result.way.kind === 'by_elimination');
        if (proves) yield { where: nameOf(step), text: withoutBlock(analysis.text, step.span.start) };
      }
    },
  },
  {
    name: 'retarget a branch', harm: 'a result leads to the wrong step',
    * apply(analysis) {
      const steps = stepsOf(analysis);
      for (const step of steps) for (const result of step.results) {
        const { way } = result;
        if (way.kind !== 'go') continue;
        const targets = steps.filter((other) => other.section === step.section && other.name && other.name.value !== way.step.value);
        const target = targets[(way.step.span.start * 7) % Math.max(1, targets.length)];
        if (target?.name) yield { where: `${nameOf(step)}: ${whenOf(result)} → ${nameOf(target)}`, text: replaced(analysis.text, way.step.span, () => nameOf(target)) };
      }
    },
  },
  {
    name: 'drop `sets`', harm: 'the machine is not where the procedure believes it is',
    * apply(analysis) {
      for (const step of stepsOf(analysis)) {
        if (step.sets.length > 0) yield { where: nameOf(step), text: withoutKey(analysis.text, step, 'sets'), harmless: unneededStates(analysis, step) };
      }
    },
  },
  {
    name: 'set the opposite', harm: 'a step says it brings about the opposite of what it does',
    * apply(analysis) {
      for (const step of stepsOf(analysis)) for (const set of step.sets) {
        const state = analysis.scope?.states.get(set.state.value)?.item;
        const value = set.values[0];
        const other = state?.values.find((candidate) => candidate.value !== value?.value);
        const harmless = isNeededState(analysis, set.state.value) ? undefined : UNNEEDED;
        if (value && other) yield { where: `${nameOf(step)}: ${set.state.value} ${other.value}`, text: replaced(analysis.text, value.span, () => other.value), harmless };
      }
    },
  },
  {
    name: 'swap two steps', harm: 'the order that made it safe or conclusive is lost',
    * apply(analysis) {
      const steps = stepsOf(analysis);
      for (const [index, step] of steps.entries()) {
        const next = steps[index + 1];
        if (!next || next.section !== step.section) continue;
        const [first, second] = [blockOf(analysis.text, step.span.start), blockOf(analysis.text, next.span.start)];
        const { text } = analysis;
        yield { where: `${nameOf(step)} and ${nameOf(next)}`, harmless: independent(analysis, step, next), text: text.slice(0, first.start) + text.slice(second.start, second.end) + text.slice(first.start, first.end) + text.slice(second.end) };
      }
    },
  },
  {
    name: 'drop `proves_dead`', harm: 'work goes on at a hazardous circuit that nobody proved dead',
    * apply(analysis) {
      for (const step of stepsOf(analysis)) if (step.provesDead) yield { where: nameOf(step), text: withoutKey(analysis.text, step, 'proves_dead') };
    },
  },
  {
    name: 'drop the discharge wait', harm: 'capacitors are still charged',
    * apply(analysis) {
      const waits = [...(analysis.scope?.circuits.values() ?? [])].some(({ item }) => item.dischargeWait && stepsOf(analysis).some((step) => step.provesDead?.value === item.name.value));
      for (const step of stepsOf(analysis)) if (waits && step.wait) yield { where: nameOf(step), text: withoutKey(analysis.text, step, 'wait') };
    },
  },
  {
    name: 'exclude a fault wrongly', harm: 'a fault found later on the same walk was excluded',
    * apply(analysis) {
      for (const step of stepsOf(analysis)) for (const result of step.results) {
        const first = result.rulesOut[0];
        if (!first || result.way.kind !== 'next') continue;
        const known = new Set(result.rulesOut.map((name) => name.value));
        for (const fault of analysis.procedure?.faults ?? []) {
          const harmless = foundAfter(analysis, step, fault.name.value) ? undefined : 'no step after it finds that fault';
          if (!known.has(fault.name.value)) yield { where: `${nameOf(step)}: ${whenOf(result)}: ${fault.name.value}`, text: replaced(analysis.text, first.span, (name) => `${fault.name.value}, ${name}`), harmless };
        }
      }
    },
  },
  {
    name: 'find another fault', harm: 'the wrong part is replaced, and the right one never',
    * apply(analysis) {
      for (const step of stepsOf(analysis)) for (const result of step.results) {
        const { way } = result;
        if (way.kind !== 'finds' && way.kind !== 'by_elimination') continue;
        const others = (analysis.procedure?.faults ?? []).filter((fault) => fault.name.value !== way.fault.value);
        const other = others[way.fault.span.start % Math.max(1, others.length)];
        const elsewhere = stepsOf(analysis).some((place) => place.results.some((one) => one !== result && (one.way.kind === 'finds' || one.way.kind === 'by_elimination') && one.way.fault.value === way.fault.value));
        const harmless = elsewhere ? 'another result finds the fault too: only the machine can say which is right' : undefined;
        if (other) yield { where: `${nameOf(step)}: ${way.fault.value} → ${other.name.value}`, text: replaced(analysis.text, way.fault.span, () => other.name.value), harmless };
      }
    },
  },
  {
    name: 'drop `max_time` of a held control', harm: 'a motor or solenoid overheats',
    * apply(analysis) {
      for (const step of stepsOf(analysis)) if (step.maxTime && holds(analysis, step)) yield { where: nameOf(step), text: withoutKey(analysis.text, step, 'max_time') };
    },
  },
  {
    name: 'leave one person to hold and read', harm: 'nobody watches the machine',
    * apply(analysis) {
      for (const step of stepsOf(analysis)) if (step.people && step.kind === 'measure' && holds(analysis, step)) yield { where: nameOf(step), text: withoutKey(analysis.text, step, 'people') };
    },
  },
  {
    name: 'drop `during` of a reading', harm: 'the reading is taken from a circuit without current',
    * apply(analysis) {
      for (const step of stepsOf(analysis)) if (step.kind === 'measure' && step.during.length > 0 && step.circuit) yield { where: nameOf(step), text: withoutKey(analysis.text, step, 'during') };
    },
  },
  {
    name: 'read resistance in place of voltage', harm: 'an ohmmeter on a live circuit',
    * apply(analysis) {
      for (const step of stepsOf(analysis)) {
        if (step.quantity?.value === 'dc_voltage' && step.circuit) yield { where: nameOf(step), text: replaced(analysis.text, step.quantity.span, () => 'resistance') };
      }
    },
  },
  {
    name: 'read voltage in place of resistance', harm: 'a voltmeter on a dead circuit shows nothing, whatever the fault',
    * apply(analysis) {
      for (const step of stepsOf(analysis)) {
        if (step.quantity?.value === 'resistance') yield { where: nameOf(step), text: replaced(analysis.text, step.quantity.span, () => 'dc_voltage') };
      }
    },
  },
  {
    name: 'drop the way on of a result', harm: 'the walk falls into the next step, or nowhere',
    * apply(analysis) {
      for (const step of stepsOf(analysis)) for (const result of step.results) {
        if (result.way.kind === 'next') continue;
        const text = withoutLine(analysis.text, result.way.span.start);
        yield { where: `${nameOf(step)}: ${whenOf(result)}`, text, harmless: leadsOnAnyway(analysis, step, result) };
      }
    },
  },
  {
    name: 'misspell a name', harm: 'what it named has no effect',
    * apply(analysis) {
      for (const step of stepsOf(analysis)) for (const result of step.results) {
        if (result.way.kind === 'go') yield { where: `${nameOf(step)}: ${result.way.step.value}`, text: replaced(analysis.text, result.way.step.span, slipped) };
        if (result.way.kind === 'finds') yield { where: `${nameOf(step)}: ${result.way.fault.value}`, text: replaced(analysis.text, result.way.fault.span, slipped) };
      }
    },
  },
  {
    name: 'drop the qualification', harm: 'someone without it begins the work',
    * apply(analysis) {
      const whole = (analysis.procedure?.qualified.length ?? 0) > 0;
      const steps = stepsOf(analysis).filter((step) => step.qualified.length > 0);
      const twice = whole && steps.length > 0 ? 'it stands at the procedure and at its steps' : undefined;
      if (whole) yield { where: 'the procedure', text: analysis.text.replace(/^qualified:.*\n/mu, ''), harmless: twice };
      for (const step of steps) yield { where: nameOf(step), text: withoutKey(analysis.text, step, 'qualified'), harmless: twice };
    },
  },
  {
    name: 'drop what makes a circuit dead', harm: 'the checker can no longer know when it is safe to touch',
    * apply(analysis) {
      for (const circuit of analysis.procedure?.circuits ?? []) {
        if (!circuit.deadWhen || !stepsOf(analysis).some((step) => step.circuit?.value === circuit.name.value && step.kind === 'measure' && /resistance|continuity/u.test(step.quantity?.value ?? ''))) continue;
        const line = lineOf(analysis.text, circuit.name.span.start);
        const text = analysis.text.slice(0, line.start) + analysis.text.slice(line.start, line.end).replace(/, dead_when: (\{[^{}]*\}|\[[^[\]]*\])/u, '') + analysis.text.slice(line.end);
        if (text !== analysis.text) yield { where: circuit.name.value, text };
      }
    },
  },
];

function stepsOf(analysis: Analysis): readonly Step[] {
  return [...(analysis.procedure?.steps ?? []), ...(analysis.procedure?.afterRepair ?? [])];
}

function nameOf(step: Step): string {
  return step.name?.value ?? '';
}

function whenOf(result: Result): string {
  return result.when?.text ?? '';
}

const UNNEEDED = 'nothing in the procedure says that it needs the state';

/** Why dropping the caution goes unnoticed by the text: no hazard it covers is named at this step, or another caution covers it too. */
function courtesy(analysis: Analysis, step: Step, caution: string): string | undefined {
  const { procedure, scope, exploration } = analysis;
  if (!procedure || !scope || !exploration) return undefined;
  const index = stepsOf(analysis).indexOf(step);
  const covers = new Set(scope.cautions.get(caution)?.item.covers.map((name) => name.value));
  const here = hazardsOf(procedure, scope, exploration).filter((at) => at.step === index && covers.has(at.hazard.name.value));
  if (here.length === 0) return 'no hazard that it covers arises from what the step says or does: it is given out of courtesy';
  const others = new Set(step.cautions.flatMap((use) =>
    use.kind === 'named' && use.name.value !== caution ? (scope.cautions.get(use.name.value)?.item.covers ?? []).map((name) => name.value) : []));
  if (here.every((at) => others.has(at.hazard.name.value))) return 'another caution of the step covers the hazard';
  const earlier = stepsOf(analysis).slice(0, index).some((before) => before.cautions.some((use) => use.kind === 'named' && use.name.value === caution));
  return earlier && here.every((at) => at.hazard.repeat === 'once_before') ? 'its hazard asks for it once, and it was given before' : undefined;
}

function hasOtherwise(step: Step): boolean {
  return step.results.some((result) => result.when?.kind === 'otherwise');
}

/** Why a dropped result is not missed: another result of the step takes what it took, and finds the same. */
function takenByOthers(analysis: Analysis, step: Step, result: Result): string | undefined {
  if (result.when?.kind === 'band' && result.when.text.trim() === 'open') return 'overload is taken by the band that has no upper end';
  if (!hasOtherwise(step) || result.when?.kind === 'otherwise') return undefined;
  const fault = result.way.kind === 'finds' || result.way.kind === 'by_elimination' ? result.way.fault.value : undefined;
  const elsewhere = fault === undefined || stepsOf(analysis).some((place) => place.results.some((one) =>
    one !== result && (one.way.kind === 'finds' || one.way.kind === 'by_elimination') && one.way.fault.value === fault));
  return elsewhere && result.rulesOut.length === 0 ? 'an `otherwise` takes it, and its fault is found elsewhere too' : undefined;
}

/** Whether some step says that it needs the state, a circuit in use depends on it, or the end demands it. */
function isNeededState(analysis: Analysis, state: string): boolean {
  const steps = stepsOf(analysis);
  const speaks = (conditions: readonly { readonly state: { readonly value: string } }[]): boolean => conditions.some((condition) => condition.state.value === state);
  if (steps.some((step) => speaks(step.needs) || speaks(step.onlyIf))) return true;
  if (analysis.scope?.states.get(state)?.item.atEnd) return true;
  return steps.some((step) => {
    const circuit = analysis.scope?.circuits.get(step.circuit?.value ?? '')?.item;
    return [...(circuit?.deadWhen ?? []), ...(circuit?.liveWhen ?? [])].some(speaks);
  });
}

function unneededStates(analysis: Analysis, step: Step): string | undefined {
  const start = (name: string): string | undefined => analysis.scope?.states.get(name)?.item.atStart?.value;
  if (step.sets.every((set) => !isNeededState(analysis, set.state.value))) return UNNEEDED;
  if (step.sets.every((set) => set.values[0]?.value === start(set.state.value) && stepsOf(analysis).indexOf(step) === 0)) return 'the states are so at the start';
  return undefined;
}

/** Why two neighbours may be done in either order: neither brings about what the other needs, reads what it uses, or proves it safe. */
function independent(analysis: Analysis, first: Step, second: Step): string | undefined {
  const sets = new Set([...first.sets, ...first.results.flatMap((result) => result.sets)].map((set) => set.state.value));
  const circuit = analysis.scope?.circuits.get(second.circuit?.value ?? '')?.item;
  const wants = [...second.needs, ...[...(circuit?.deadWhen ?? []), ...(circuit?.liveWhen ?? [])].flat()];
  const depends = wants.some((want) => sets.has(want.state.value) && analysis.scope?.states.get(want.state.value)?.item.atStart?.value !== want.values[0]?.value);
  const reads = namesUsed(second).some(({ name }) => name.split('.')[0] === first.name?.value);
  const proves = first.provesDead !== undefined && second.circuit?.value === first.provesDead.value;
  if (depends || reads || proves) return undefined;
  return 'the two steps do not depend on each other';
}

/** Whether a step later in the list finds the fault. */
function foundAfter(analysis: Analysis, step: Step, fault: string): boolean {
  const steps = analysis.procedure?.steps ?? [];
  const at = steps.indexOf(step);
  return at >= 0 && steps.slice(at + 1).some((later) => later.results.some((result) => (result.way.kind === 'finds' || result.way.kind === 'by_elimination') && result.way.fault.value === fault));
}

/** Why a result without its way on still makes sense: the next step is where it led, or nothing is lost by going on. */
function leadsOnAnyway(analysis: Analysis, step: Step, result: Result): string | undefined {
  const steps = stepsOf(analysis);
  const next = steps[steps.indexOf(step) + 1];
  const { way } = result;
  if (way.kind === 'go') return next?.name?.value === way.step.value ? 'the next step is where it led' : undefined;
  if (way.kind === 'refer') return step.provesDead ? undefined : 'it goes on with the next test in place of asking for help: only the machine can say which is right';
  return undefined;
}

function holds(analysis: Analysis, step: Step): boolean {
  return step.during.some((condition) => {
    const held = analysis.scope?.states.get(condition.state.value)?.item.held ?? [];
    return condition.values.some((value) => held.some((other) => other.value === value.value));
  });
}

function slipped(name: string): string {
  return name.length > 3 ? `${name.slice(0, -2)}${name.slice(-1)}${name.slice(-2, -1)}x` : `${name}x`;
}

function boundIn(when: string): string | undefined {
  return /[\d.]+ ?[\p{L}Ω°·%]+/u.exec(when)?.[0];
}

interface Range {
  readonly start: number;
  readonly end: number;
}

function replaced(text: string, span: Range, change: (old: string) => string): string {
  return text.slice(0, span.start) + change(text.slice(span.start, span.end)) + text.slice(span.end);
}

function lineOf(text: string, offset: number): Range {
  const start = text.lastIndexOf('\n', offset - 1) + 1;
  const end = text.indexOf('\n', offset);
  return { start, end: end < 0 ? text.length : end + 1 };
}

/** The list item around an offset: from its dash's line to the line before the next of no greater indentation. */
function blockOf(text: string, offset: number): Range {
  let { start, end } = lineOf(text, offset);
  while (start > 0 && !/^\s*- /u.test(text.slice(start, end))) ({ start, end } = lineOf(text, start - 1));
  const indent = /^\s*/u.exec(text.slice(start, end))?.[0].length ?? 0;
  return { start, end: endOfBlock(text, end, indent) };
}

function endOfBlock(text: string, from: number, indent: number): number {
  let end = from;
  for (let at = from; at < text.length; ) {
    const line = lineOf(text, at);
    const content = text.slice(line.start, line.end);
    if (content.trim() !== '') {
      if ((/^\s*/u.exec(content)?.[0].length ?? 0) <= indent) break;
      end = line.end;
    }
    at = line.end;
  }
  // Blank lines after the block go with it.
  while (end < text.length && text.slice(end, lineOf(text, end).end).trim() === '') end = lineOf(text, end).end;
  return end;
}

function withoutBlock(text: string, offset: number): string {
  const block = blockOf(text, offset);
  return text.slice(0, block.start) + text.slice(block.end);
}

function withoutLine(text: string, offset: number): string {
  const line = lineOf(text, offset);
  const content = text.slice(line.start, line.end);
  if (!/^\s*(go|finds|by_elimination|refer|passes):/u.test(content)) return text;
  return text.slice(0, line.start) + text.slice(line.end);
}

function withoutKey(text: string, step: Step, key: string): string {
  const block = blockOf(text, step.name?.span.start ?? step.span.start);
  const indent = (/^\s*/u.exec(text.slice(block.start))?.[0].length ?? 0) + 2;
  for (let at = block.start; at < block.end; ) {
    const line = lineOf(text, at);
    if (text.slice(line.start, line.end).startsWith(`${' '.repeat(indent)}${key}:`)) {
      let end = line.end;
      for (let next = end; next < block.end; ) {
        const following = lineOf(text, next);
        const content = text.slice(following.start, following.end);
        if (content.trim() === '' || (/^\s*/u.exec(content)?.[0].length ?? 0) <= indent) break;
        end = following.end;
        next = end;
      }
      return text.slice(0, line.start) + text.slice(end);
    }
    at = line.end;
  }
  return text;
}

function insertKey(text: string, step: Step, line: string): string {
  const at = step.name?.span.end ?? 0;
  const { start, end } = lineOf(text, at);
  const indent = (/^\s*/u.exec(text.slice(start, end))?.[0].length ?? 0) + 2;
  return `${text.slice(0, end)}${' '.repeat(indent)}${line}\n${text.slice(end)}`;
}

/** A name out of a list in brackets, with its comma; the whole line where it was the only one. */
function withoutListItem(text: string, span: Range): string {
  const line = lineOf(text, span.start);
  const content = text.slice(line.start, line.end);
  if (/^\s*- \S+\s*$/u.test(content)) return text.slice(0, line.start) + text.slice(line.end);
  const before = text.slice(line.start, span.start);
  const after = text.slice(span.end, line.end);
  if (/\[\s*$/u.test(before) && /^\s*\]/u.test(after)) return text.slice(0, line.start) + text.slice(line.end);
  if (/^\s*,\s*/u.test(after)) return text.slice(0, span.start) + text.slice(span.end).replace(/^\s*,\s*/u, '');
  return text.slice(0, line.start) + before.replace(/,\s*$/u, '') + text.slice(span.end);
}
