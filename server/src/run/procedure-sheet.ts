/** One procedure of a checklist: the model's texts in the order in which they are read, with names resolved. Knows no runs. */
import type { Analysis } from '../analysis/analysis.ts';
import type {
  Caution, CautionUse, Fault, Instrument, Name, Point, Probe, Procedure, Prose, Result, State, StateCondition, Step,
} from '../procedure/model.ts';
import type { Scope } from '../procedure/scope.ts';
import { judgeOfProof } from '../flow/isolation.ts';
import type { Program, Way } from '../flow/program.ts';
import { expressionsOf, namesIn, type Expression } from '../quantity/expression.ts';
import { formatBand } from '../quantity/format-band.ts';
import { parseBand } from '../quantity/parse-band.ts';
import { describeQuantityWord, quantityWord, unitFits } from '../quantity/quantity-words.ts';
import { rationalToNumber } from '../quantity/rational.ts';
import type { Quantity } from '../quantity/quantity.ts';
import type {
  CautionSheet, CircuitSheet, Duration, FactSheet, FaultSheet, InstrumentSheet, MeasureSheet, PointSheet, ProbeSheet, ProcedureSheet,
  QualificationSheet, ResultSheet, StateChangeSheet, StateLine, StateSheet, StepSheet, WaySheet,
} from './checklist-document.ts';
import { textDigest } from './digest.ts';
import { capitalised, orList, plainWords } from './texts.ts';

/** The sheet of an analysed procedure; undefined where the analysis is of none. `titleOf` gives the title of a procedure by name. */
export function procedureSheet(analysis: Analysis, titleOf: (name: string) => string): ProcedureSheet | undefined {
  const { procedure, scope, program } = analysis;
  if (procedure === undefined || scope === undefined || program === undefined) return undefined;
  const maker = new SheetMaker(procedure, scope, program, titleOf);
  return {
    name: procedure.name?.value ?? '',
    title: procedure.title?.value ?? titled(procedure.name?.value ?? 'Procedure'),
    ...optional('revision', procedure.revision?.value), ...optional('status', procedure.status?.value),
    purpose: procedure.purpose,
    ...optional('complaint', procedure.complaint?.value),
    ...(procedure.approved === undefined ? {} : {
      approved: { ...optional('by', procedure.approved.by?.value), ...optional('on', procedure.approved.on?.value) },
    }),
    appliesTo: procedure.appliesTo.map((one) => ({ fact: one.fact.value, values: one.values.map((value) => value.value) })),
    ...optional('interval', procedure.interval?.value),
    references: procedure.references.map((one) => ({
      id: one.id.value, ...optional('title', one.title?.value), ...optional('sheet', one.sheet?.value),
    })),
    qualified: maker.qualifications(procedure.qualified),
    textHash: textDigest(analysis.text),
    // What is undefined in the program is left out, as it is when the document has been through JSON.
    program: JSON.parse(JSON.stringify(program)) as Program,
    steps: [...procedure.steps, ...procedure.afterRepair].map((step, index) => maker.step(step, index)),
    faults: procedure.faults.map((fault) => maker.fault(fault)),
    facts: procedure.facts.map((fact): FactSheet => {
      const word = quantityWord(fact.quantity?.value ?? '');
      return {
        name: fact.name.value, title: fact.title?.value ?? titled(fact.name.value), choices: (fact.choices ?? []).map((choice) => choice.value),
        ...optional('quantity', fact.quantity?.value), ...optional('unit', word && describeQuantityWord(word).usualUnits[0]),
        ...optional('from', fact.from?.value),
      };
    }),
    states: program.states.map((state) => maker.state(state.name)),
    circuits: program.circuits.map((circuit) => maker.circuit(circuit.name)),
    values: [...scope.values].flatMap(([name, { item }]) => (item.is === undefined ? [] : [{ name, is: item.is.value.text, ...optional('from', item.from?.value) }])),
  };
}

/** Holds what all parts of one sheet need. */
class SheetMaker {
  readonly #procedure: Procedure;
  readonly #scope: Scope;
  readonly #program: Program;
  readonly #titleOf: (name: string) => string;

  constructor(procedure: Procedure, scope: Scope, program: Program, titleOf: (name: string) => string) {
    this.#procedure = procedure;
    this.#scope = scope;
    this.#program = program;
    this.#titleOf = titleOf;
  }

  step(step: Step, index: number): StepSheet {
    const own = this.#program.steps[index];
    const name = own?.name ?? step.name?.value ?? `step ${index + 1}`;
    return {
      index, name, title: this.#stepTitle(index), titled: step.title !== undefined, number: index + 1, section: step.section,
      ...optional('kind', step.kind),
      actions: step.actions.map((action) => action.value),
      ...optional('question', step.question?.value), ...optional('measures', this.#measures(step)), ...optional('decide', step.decide?.text.trim()),
      ...(step.kind === 'run' && step.run ? { run: { name: step.run.value, title: this.#titleOf(step.run.value) } } : {}),
      ...optional('text', step.text?.value), ...optional('why', step.why?.value), ...optional('note', step.note?.value),
      needs: step.needs.map((line) => this.#line(line)), during: step.during.map((line) => this.#line(line)), sets: step.sets.map((line) => this.#line(line)),
      onlyIf: step.onlyIf.map((line) => `${this.#factOrState(line.state.value)}: ${orList(line.values.map((value) => plainWords(value.value)))}`),
      cautions: this.#cautions(step.cautions, name),
      ...optional('instrument', step.instrument && this.#instrument(step.instrument, step.quantity?.value)),
      tools: step.tools.map((tool) => this.#scope.instruments.get(tool.value)?.item.title?.value ?? plainWords(tool.value)),
      people: Math.max(1, Math.floor(step.people?.value ?? 1)),
      ...optional('time', duration(step.time)), ...optional('wait', duration(step.wait)), ...optional('maxTime', duration(step.maxTime)),
      ...optional('rest', duration(step.rest)),
      ...optional('circuit', step.circuit && this.circuit(step.circuit.value)), ...optional('range', step.range?.value.text),
      probes: step.at.map(probeSheet),
      points: step.atEach.map(pointSheet),
      ...optional('judge', step.provesDead ? judgeOfProof(step.judge?.value) : step.judge?.value), ...optional('seek', step.seek?.text.trim()),
      ...optional('provesDead', step.provesDead && this.circuit(step.provesDead.value)),
      ...optional('repeatAtMost', step.repeatAtMost?.value),
      qualified: this.qualifications(step.qualified),
      ...optional('photo', step.photo?.value), ...optional('figure', step.figure?.value),
      results: step.results.map((result, at) => this.#result(result, own?.results[at]?.way ?? { kind: 'nowhere' })),
      way: this.#way(own?.way ?? { kind: 'nowhere' }, undefined, step.go !== undefined),
    };
  }

  fault(fault: Fault): FaultSheet {
    return {
      name: fault.name.value, title: fault.title?.value ?? titled(fault.name.value), ...optional('remedy', fault.remedy?.value),
      ...(fault.cautions ? { cautions: this.#cautions(fault.cautions, `remedy_${fault.name.value}`) } : {}),
      ...(fault.qualified ? { qualified: this.qualifications(fault.qualified) } : {}),
      ...optional('time', duration(fault.time)), ...optional('grade', fault.grade?.value), ...optional('procedure', fault.procedure?.value),
      ...optional('weight', fault.weight?.value),
    };
  }

  state(name: string): StateSheet {
    const state = this.#scope.states.get(name)?.item;
    const values = this.#program.states.find((one) => one.name === name)?.values ?? state?.values.map((value) => value.value) ?? [];
    return {
      name, title: state?.title?.value ?? titled(name), values, held: (state?.held ?? []).map((value) => value.value),
      changes: this.#changes(state),
    };
  }

  circuit(name: string): CircuitSheet {
    const circuit = this.#scope.circuits.get(name)?.item;
    return {
      name, title: circuit?.title?.value ?? titled(name), ...optional('nominal', circuit?.nominal?.value.text),
      ...optional('category', circuit?.category?.value), ...optional('dischargeWait', duration(circuit?.dischargeWait)),
    };
  }

  qualifications(names: readonly Name[]): QualificationSheet[] {
    return names.map((name) => ({
      name: name.value, title: this.#scope.qualifications.get(name.value)?.item.title?.value ?? titled(name.value),
    }));
  }

  #stepTitle(index: number): string {
    const step = [...this.#procedure.steps, ...this.#procedure.afterRepair][index];
    return step?.title?.value ?? titled(step?.name?.value ?? `step ${index + 1}`);
  }

  #result(result: Result, way: Way): ResultSheet {
    const { when } = result;
    const written = when?.text.trim() ?? '';
    const band = when?.kind === 'band' ? when.band : undefined;
    const refers = result.way.kind === 'refer' ? result.way.text : undefined;
    return {
      when: band === undefined ? written : formatBand(band), written, ...optional('says', result.says?.value),
      rulesOut: result.rulesOut.map((fault) => fault.value), ...optional('leaves', result.leaves?.map((fault) => fault.value)),
      sets: result.sets.map((line) => this.#line(line)), ...optional('raises', result.raises?.value),
      way: this.#way(way, refers, result.way.kind === 'go'),
    };
  }

  #way(way: Way, refers: Prose | undefined, written: boolean): WaySheet {
    switch (way.kind) {
      case 'step':
        return { kind: 'step', step: way.step, name: this.#program.steps[way.step]?.name ?? '', number: way.step + 1, title: this.#stepTitle(way.step), written };
      case 'finds': {
        const name = this.#program.faults[way.fault] ?? '';
        const title = this.#procedure.faults.find((fault) => fault.name.value === name)?.title?.value ?? titled(name);
        return { kind: 'finds', fault: name, title, byElimination: way.byElimination };
      }
      case 'refer':
        return { kind: 'refer', text: refers?.value ?? '' };
      case 'passes':
        return { kind: 'passes' };
      case 'nowhere':
        return { kind: 'nowhere' };
    }
  }

  #line(condition: StateCondition): StateLine {
    const name = condition.state.value;
    const state = this.#scope.states.get(name)?.item;
    const values = condition.values.map((value) => value.value);
    return {
      state: name, values, words: `${state?.title?.value ?? titled(name)}: ${orList(values.map(plainWords))}`,
      changes: this.#changes(state).filter((change) => values.includes(change.to)),
    };
  }

  #changes(state: State | undefined): StateChangeSheet[] {
    return (state?.changes ?? []).map((change) => ({
      to: change.to.value, do: change.do.map((one) => one.value), ...optional('time', duration(change.time)),
      cautions: this.#cautions(change.cautions, `${state?.name.value ?? ''}_${change.to.value}`),
    }));
  }

  #cautions(uses: readonly CautionUse[], at: string): CautionSheet[] {
    const sheets = uses.map((use, index): CautionSheet => {
      if (use.kind === 'written') return this.#caution(use.caution, `${at}/${index + 1}`);
      const declared = this.#scope.cautions.get(use.name.value)?.item;
      return declared === undefined
        ? { name: use.name.value, signal: 'warning', hazard: `${titled(use.name.value)}.`, wear: [], acknowledge: 'once' }
        : this.#caution(declared, use.name.value);
    });
    return sheets.sort((a, b) => signalRank(a.signal) - signalRank(b.signal));
  }

  #caution(caution: Caution, name: string): CautionSheet {
    const signal = caution.signal?.value ?? 'warning';
    const everyStep = caution.covers.some((hazard) => this.#scope.hazards.get(hazard.value)?.item.repeat === 'every_step');
    const grave = signalRank(signal) <= signalRank('warning');
    return {
      name, signal, ...optional('hazard', caution.hazard?.value), ...optional('consequence', caution.consequence?.value),
      ...optional('avoid', caution.avoid?.value), wear: caution.wear.map((one) => plainWords(one.value)), ...optional('from', caution.from?.value),
      acknowledge: everyStep ? 'every_time' : grave ? 'once' : 'shown',
    };
  }

  #instrument(name: Name, quantity: string | undefined): InstrumentSheet {
    const instrument = this.#scope.instruments.get(name.value)?.item;
    const ability = instrument?.measures.find((one) => one.quantity.value === quantity);
    return {
      name: name.value, title: instrument?.title?.value ?? titled(name.value), ...optional('category', instrument?.category?.value),
      ...optional('upTo', ability?.upTo?.value.text), ...optional('resolution', ability?.resolution?.value.text),
      ...optional('accuracy', ability?.accuracy?.value),
    };
  }

  #measures(step: Step): MeasureSheet | undefined {
    if (step.kind !== 'measure') return undefined;
    const written = step.quantity?.value ?? '';
    const word = quantityWord(written);
    const shows = wordsShown(step.instrument && this.#scope.instruments.get(step.instrument.value)?.item, written);
    if (word === undefined) return { word: written, title: titled(written), unit: '', units: [], shows };
    const info = describeQuantityWord(word);
    // A limit of 60 psi that has a name is one in psi all the same: nobody is to convert at the machine.
    const named = limitNames(step).map((name) => this.#scope.values.get(name)?.item.is?.value).filter((quantity) => quantity !== undefined);
    const used = [...limitsOf(step), ...named, ...(step.range ? [step.range.value] : [])].map((quantity) => quantity.unit)
      .filter((unit) => unit !== undefined && unitFits(unit, word)).map((unit) => unit?.symbol ?? '');
    const units = [...new Set([...used.slice(0, 1), ...info.usualUnits, ...used])];
    return { word, title: info.title, unit: units[0] ?? '', units, shows };
  }

  #factOrState(name: string): string {
    const fact = this.#procedure.facts.find((one) => one.name.value === name);
    return fact?.title?.value ?? this.#scope.states.get(name)?.item.title?.value ?? titled(name);
  }
}

/** Quantities written out in the limits of a step, in order. */
function limitsOf(step: Step): Quantity[] {
  return boundsIn(step).flatMap(quantitiesIn);
}

/** Names used in the limits of a step, in order. */
function limitNames(step: Step): string[] {
  return boundsIn(step).flatMap((bound) => namesIn(bound).map(({ name }) => name));
}

function boundsIn(step: Step): Expression[] {
  const bands = step.results.map((result) => (result.when?.kind === 'band' ? result.when.band : undefined));
  const sought = step.seek === undefined ? undefined : (step.seek.band ?? parseBand(step.seek.text).band);
  return [...bands, sought].flatMap((band) => (band === undefined ? [] : expressionsOf(band)));
}

function quantitiesIn(expression: Expression): Quantity[] {
  switch (expression.kind) {
    case 'quantity':
      return [expression.quantity];
    case 'name':
      return [];
    case 'negative':
      return quantitiesIn(expression.of);
    case 'call':
      return expression.arguments.flatMap(quantitiesIn);
    default:
      return [...quantitiesIn(expression.left), ...quantitiesIn(expression.right)];
  }
}

/** The words that an instrument shows for a quantity in place of a number. */
function wordsShown(instrument: Instrument | undefined, quantity: string): string[] {
  if (instrument === undefined || instrument.measures.some((one) => one.quantity.value === quantity)) return [];
  return (instrument.shows.find((one) => one.quantity.value === quantity)?.words ?? []).map((word) => word.value);
}

function probeSheet(probe: Probe): ProbeSheet {
  return { probe: probe.probe.value, place: probe.place.value };
}

function pointSheet(point: Point): PointSheet {
  return { name: point.name.value, title: point.title?.value ?? titled(point.name.value), probes: point.at.map(probeSheet) };
}

function duration(written: { readonly value: Quantity } | undefined): Duration | undefined {
  return written === undefined ? undefined : { text: written.value.text, seconds: rationalToNumber(written.value.base) };
}

const SIGNALS = ['danger', 'warning', 'caution', 'notice'];

/** The worst first; an unknown signal word is taken for a warning. */
function signalRank(signal: string): number {
  const rank = SIGNALS.indexOf(signal.toLowerCase());
  return rank < 0 ? 1 : rank;
}

function titled(name: string): string {
  return capitalised(plainWords(name));
}

function optional<K extends string, V>(key: K, value: V | undefined): Partial<Record<K, V>> {
  return value === undefined ? {} : ({ [key]: value } as Record<K, V>);
}
