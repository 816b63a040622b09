/**
 * What a name stands for, as a few lines of Markdown: for hover and for the text beside a completion. A caution reads here as it
 * will be printed.
 */
import type { Analysis } from '../analysis/analysis.ts';
import type {
  Caution,
  Circuit,
  Fact,
  Fault,
  Hazard,
  Instrument,
  ShopValue,
  State,
  StateCondition,
  Step,
} from '../procedure/model.ts';
import { quantityPhrase, quantityWord } from '../quantity/quantity-words.ts';
import type { Library, Symbol } from './symbols.ts';
import { allSteps } from './symbols.ts';

/** Undefined where the name is declared nowhere. */
export function describeSymbol(library: Library, analysis: Analysis, symbol: Symbol): string | undefined {
  const scope = analysis.scope;
  const { kind, name, of = '' } = symbol;
  const home =
    symbol.file === analysis.file ? analysis : library.files().includes(symbol.file) ? library.analyse(symbol.file) : analysis;
  switch (kind) {
    case 'procedure': {
      const procedure = library.files().includes(symbol.file) ? library.analyse(symbol.file).procedure : undefined;
      return lines(
        `**${name}**, procedure`,
        procedure?.title && prose(procedure.title.value),
        procedure?.complaint && prose(procedure.complaint.value),
        procedure &&
          `${procedure.steps.length} steps${procedure.status ? `, ${procedure.status.value}` : ''}${procedure.revision ? `, revision ${procedure.revision.value}` : ''}`,
      );
    }
    case 'step': {
      const step = home.procedure && allSteps(home.procedure).find((one) => one.name?.value === name);
      return step && describeStep(name, step);
    }
    case 'fault':
      return from(
        home.procedure?.faults.find((fault) => fault.name.value === name),
        (fault) => describeFault(name, fault),
      );
    case 'fact':
      return lines(from(scope?.facts.get(name)?.item, (fact) => describeFact(name, fact)) ?? `**${name}**, fact of the assets`, valuesInAssets(analysis, name));
    case 'choice':
      return `**${name}**, a choice of the fact \`${of}\``;
    case 'state':
      return from(scope?.states.get(name)?.item, (state) => describeState(name, state));
    case 'state_value':
      return from(scope?.states.get(of)?.item, (state) => describeStateValue(name, of, state));
    case 'circuit':
      return from(scope?.circuits.get(name)?.item, (circuit) => describeCircuit(name, circuit));
    case 'caution':
      return from(scope?.cautions.get(name)?.item, (caution) => describeCaution(caution));
    case 'hazard':
      return from(scope?.hazards.get(name)?.item, (hazard) => describeHazard(name, hazard));
    case 'instrument':
      return from(scope?.instruments.get(name)?.item, (instrument) => describeInstrument(name, instrument));
    case 'qualification':
      return from(scope?.qualifications.get(name)?.item, (one) =>
        lines(`**${name}**, qualification`, one.title && prose(one.title.value), source(one.from?.value)),
      );
    case 'value':
      return from(scope?.values.get(name)?.item, (value) => describeValue(name, value));
    case 'point': {
      const step = home.procedure && allSteps(home.procedure).find((one) => one.name?.value === of);
      const point = step?.atEach.find((one) => one.name.value === name);
      return (
        point &&
        lines(
          `**${name}**, a point of \`${of}\``,
          point.title && prose(point.title.value),
          ...point.at.map(({ probe, place }) => `- ${prose(probe.value)}: ${prose(place.value)}`),
        )
      );
    }
    case 'reference':
      return from(
        home.procedure?.references.find((one) => one.id.value === name),
        (reference) =>
          lines(
            `**${prose(name)}**, reference`,
            reference.title && prose(reference.title.value),
            reference.sheet && `Sheet ${prose(reference.sheet.value)}`,
          ),
      );
    case 'asset':
      return from(
        home.assets?.assets.find((asset) => asset.id.value === name),
        (asset) =>
          lines(
            `**${prose(name)}**, asset`,
            asset.facts.map((fact) => `- ${fact.name.value}: ${prose(fact.value.value)}`).join('\n'),
          ),
      );
  }
}

/** As it is printed before its step: signal word, hazard, consequence, how to avoid it. */
export function describeCaution(caution: Caution): string {
  const signal = caution.signal?.value ?? 'no signal word';
  return lines(
    `**${prose(signal.toUpperCase())}**`,
    caution.hazard && `**${prose(caution.hazard.value)}**`,
    caution.consequence && prose(caution.consequence.value),
    caution.avoid && prose(caution.avoid.value),
    caution.wear.length > 0 && `Wear: ${caution.wear.map((one) => plain(one.value)).join(', ')}.`,
    caution.covers.length > 0 && `Covers ${codes(caution.covers.map((one) => one.value))}`,
    source(caution.from?.value),
  );
}

function describeStep(name: string, step: Step): string {
  const does =
    step.question?.value ??
    (step.quantity ? `Read ${quantityText(step.quantity.value)}` : undefined) ??
    (step.run ? `Run the procedure ${step.run.value}` : undefined) ??
    step.decide?.text;
  return lines(
    `**${name}**, ${step.kind ?? ''} step${step.section === 'after_repair' ? ' after the repair' : ''}`,
    step.title && prose(step.title.value),
    does && prose(does),
    step.actions.map((action) => `- ${prose(action.value)}`).join('\n'),
    step.why && prose(step.why.value),
    step.results.length > 0 && `Results: ${step.results.map((result) => prose(result.when?.text ?? 'without when')).join(' · ')}`,
  );
}

function describeFault(name: string, fault: Fault): string {
  return lines(
    `**${name}**, fault`,
    fault.title && prose(fault.title.value),
    fault.remedy && `Remedy: ${prose(fault.remedy.value)}`,
    [
      fault.weight && `weight ${fault.weight.value}`,
      fault.time && prose(fault.time.value.text),
      fault.grade && plain(fault.grade.value),
    ]
      .filter(Boolean)
      .join(', '),
  );
}

function describeFact(name: string, fact: Fact): string {
  return lines(
    `**${name}**, fact`,
    fact.title && prose(fact.title.value),
    fact.choices ? `One of ${codes(fact.choices.map((choice) => choice.value))}` : fact.quantity && quantityText(fact.quantity.value),
    source(fact.from?.value),
  );
}

/** Which assets have which value, the commonest first. */
function valuesInAssets({ scope }: Analysis, fact: string): string | undefined {
  const assets = new Map<string, string[]>();
  for (const { item } of scope?.assets ?? []) {
    const value = item.facts.find(({ name }) => name.value === fact)?.value.value;
    if (value === undefined) continue;
    const known = assets.get(value);
    if (known) known.push(item.id.value);
    else assets.set(value, [item.id.value]);
  }
  const rows = [...assets].sort((a, b) => b[1].length - a[1].length).slice(0, MOST_VALUES);
  const named = (ids: readonly string[]): string => (ids.length > MOST_IDS ? `${ids.slice(0, MOST_IDS).join(', ')} and ${ids.length - MOST_IDS} more` : ids.join(', '));
  return rows.length === 0 ? undefined : `In the assets:\n\n${rows.map(([value, ids]) => `- ${prose(value)}: ${prose(named(ids))}`).join('\n')}`;
}

const MOST_VALUES = 8;
const MOST_IDS = 4;

function describeState(name: string, state: State): string {
  return lines(
    `**${name}**, state`,
    state.title && prose(state.title.value),
    `Values: ${codes(state.values.map((value) => value.value))}`,
    state.atStart ? `At the start: \`${state.atStart.value}\`` : 'At the start: any of them',
    state.atEnd &&
      `Every ending must leave ${codes(
        state.atEnd.map((value) => value.value),
        'or',
      )}`,
    state.held.length > 0 &&
      `Someone must hold it for ${codes(
        state.held.map((value) => value.value),
        'or',
      )}`,
  );
}

function describeStateValue(value: string, name: string, state: State): string {
  const change = state.changes.find((one) => one.to.value === value);
  return lines(
    `**${value}**, a value of the state \`${name}\``,
    state.held.some((one) => one.value === value) && 'Someone must hold it, and only briefly.',
    change && `${change.do.map((action) => `- ${prose(action.value)}`).join('\n')}`,
  );
}

function describeCircuit(name: string, circuit: Circuit): string {
  return lines(
    `**${name}**, circuit`,
    circuit.title && prose(circuit.title.value),
    circuit.nominal && `Nominal ${prose(circuit.nominal.value.text)}`,
    circuit.deadWhen ? `Dead when ${alternatives(circuit.deadWhen)}` : 'Never dead',
    circuit.liveWhen && `Live when ${alternatives(circuit.liveWhen)}`,
    circuit.dischargeWait && `Stored energy: wait ${prose(circuit.dischargeWait.value.text)} once isolated`,
    circuit.category && prose(circuit.category.value),
    source(circuit.from?.value),
  );
}

function describeHazard(name: string, hazard: Hazard): string {
  return lines(
    `**${name}**, hazard`,
    hazard.title && prose(hazard.title.value),
    hazard.repeat === 'every_step'
      ? 'A caution that covers it stands at every step where it arises.'
      : 'A caution that covers it stands once, before it arises.',
    hazard.qualified && `Only for a person with \`${hazard.qualified.value}\`.`,
    source(hazard.from?.value),
  );
}

function describeInstrument(name: string, instrument: Instrument): string {
  return lines(
    `**${name}**, instrument`,
    instrument.title && prose(instrument.title.value),
    instrument.category && prose(instrument.category.value),
    [
      ...instrument.measures.map(
        ({ quantity, upTo, resolution, accuracy }) =>
          `- ${quantityText(quantity.value)}${upTo ? `, up to ${prose(upTo.value.text)}` : ''}${
            resolution ? `, shows ${prose(resolution.value.text)}` : ''
          }${accuracy ? `, ±(${prose(accuracy.value)})` : ''}`,
      ),
      ...instrument.shows.map(
        ({ quantity, words }) =>
          `- ${quantityText(quantity.value)}: ${codes(
            words.map((word) => word.value),
            'or',
          )}`,
      ),
    ].join('\n'),
    instrument.calibrated &&
      `Calibrated until ${instrument.calibrated.map(({ number, until }) => prose(number ? `${until.value} (${number.value})` : until.value)).join(', ')}`,
  );
}

function describeValue(name: string, value: ShopValue): string {
  return lines(`**${name}** = ${prose(value.is?.value.text ?? '?')}`, source(value.from?.value));
}

function alternatives(conditions: readonly (readonly StateCondition[])[]): string {
  return conditions
    .map((all) =>
      all
        .map(
          ({ state, values }) =>
            `\`${state.value}\` is ${codes(
              values.map((value) => value.value),
              'or',
            )}`,
        )
        .join(' and '),
    )
    .join(', or ');
}

function codes(words: readonly string[], last = 'and'): string {
  const shown = words.map((word) => `\`${word.replaceAll('`', '')}\``);
  return shown.length < 2 ? shown.join('') : `${shown.slice(0, -1).join(', ')} ${last} ${shown.at(-1)}`;
}

function source(from: string | undefined): string | undefined {
  return from === undefined ? undefined : `*From: ${prose(from)}*`;
}

/** A writer's text as Markdown that shows it as it is. */
export function prose(text: string): string {
  return text
    .replace(/[\\`*_[\]<>&]/g, '\\$&')
    // What would begin a list, a heading, a rule or a block of code.
    .replace(/^(\s*)(?=[#+=~-])/gm, '$1\\')
    .replace(/^(\s*\d+)(?=[.)](?:\s|$))/gm, '$1\\')
    .replaceAll('\n', '  \n');
}

/** Its name inside a sentence: `DC voltage`. */
function quantityText(word: string): string {
  const known = quantityWord(word);
  return known ? quantityPhrase(known) : plain(word);
}

function plain(name: string): string {
  return prose(name.replaceAll('_', ' '));
}

function from<T>(item: T | undefined, describe: (item: T) => string): string | undefined {
  return item === undefined ? undefined : describe(item);
}

function lines(...parts: readonly (string | false | undefined | null)[]): string {
  return parts.filter(Boolean).join('\n\n');
}
