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
import { ENGLISH, type FeatureWords } from './words-english.ts';

/** Undefined where the name is declared nowhere. */
export function describeSymbol(library: Library, analysis: Analysis, symbol: Symbol, words: FeatureWords = ENGLISH): string | undefined {
  const { symbol: said } = words;
  const scope = analysis.scope;
  const { kind, name, of = '' } = symbol;
  const home =
    symbol.file === analysis.file ? analysis : library.files().includes(symbol.file) ? library.analyse(symbol.file) : analysis;
  switch (kind) {
    case 'procedure': {
      const procedure = library.files().includes(symbol.file) ? library.analyse(symbol.file).procedure : undefined;
      return lines(
        `**${name}**, ${said.procedure}`,
        procedure?.title && prose(procedure.title.value),
        procedure?.complaint && prose(procedure.complaint.value),
        procedure &&
          [said.steps(procedure.steps.length), procedure.status?.value, procedure.revision && said.revision(procedure.revision.value)].filter(Boolean).join(', '),
      );
    }
    case 'step': {
      const step = home.procedure && allSteps(home.procedure).find((one) => one.name?.value === name);
      return step && describeStep(name, step, words);
    }
    case 'fault':
      return from(
        home.procedure?.faults.find((fault) => fault.name.value === name),
        (fault) => describeFault(name, fault, words),
      );
    case 'fact':
      return lines(from(scope?.facts.get(name)?.item, (fact) => describeFact(name, fact, words)) ?? `**${name}**, ${said.factOfAssets}`, valuesInAssets(analysis, name, words));
    case 'choice':
      return `**${name}**, ${said.choice(`\`${of}\``)}`;
    case 'state':
      return from(scope?.states.get(name)?.item, (state) => describeState(name, state, words));
    case 'state_value':
      return from(scope?.states.get(of)?.item, (state) => describeStateValue(name, of, state, words));
    case 'circuit':
      return from(scope?.circuits.get(name)?.item, (circuit) => describeCircuit(name, circuit, words));
    case 'caution':
      return from(scope?.cautions.get(name)?.item, (caution) => describeCaution(caution, words));
    case 'hazard':
      return from(scope?.hazards.get(name)?.item, (hazard) => describeHazard(name, hazard, words));
    case 'instrument':
      return from(scope?.instruments.get(name)?.item, (instrument) => describeInstrument(name, instrument, words));
    case 'qualification':
      return from(scope?.qualifications.get(name)?.item, (one) =>
        lines(`**${name}**, ${said.qualification}`, one.title && prose(one.title.value), source(one.from?.value, words)),
      );
    case 'value':
      return from(scope?.values.get(name)?.item, (value) => describeValue(name, value, words));
    case 'point': {
      const step = home.procedure && allSteps(home.procedure).find((one) => one.name?.value === of);
      const point = step?.atEach.find((one) => one.name.value === name);
      return (
        point &&
        lines(
          `**${name}**, ${said.point(`\`${of}\``)}`,
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
            `**${prose(name)}**, ${said.reference}`,
            reference.title && prose(reference.title.value),
            reference.sheet && said.sheet(prose(reference.sheet.value)),
          ),
      );
    case 'asset':
      return from(
        home.assets?.assets.find((asset) => asset.id.value === name),
        (asset) =>
          lines(
            `**${prose(name)}**, ${said.asset}`,
            asset.facts.map((fact) => `- ${fact.name.value}: ${prose(fact.value.value)}`).join('\n'),
          ),
      );
  }
}

/** As it is printed before its step: signal word, hazard, consequence, how to avoid it. */
function describeCaution(caution: Caution, words: FeatureWords): string {
  const { symbol: said } = words;
  const signal = caution.signal?.value ?? said.noSignalWord;
  return lines(
    `**${prose(signal.toUpperCase())}**`,
    caution.hazard && `**${prose(caution.hazard.value)}**`,
    caution.consequence && prose(caution.consequence.value),
    caution.avoid && prose(caution.avoid.value),
    caution.wear.length > 0 && said.wear(caution.wear.map((one) => plain(one.value)).join(', ')),
    caution.covers.length > 0 && said.covers(codes(caution.covers.map((one) => one.value), words.and)),
    source(caution.from?.value, words),
  );
}

function describeStep(name: string, step: Step, words: FeatureWords): string {
  const { symbol: said } = words;
  const does =
    step.question?.value ??
    (step.quantity ? said.reads(quantityText(step.quantity.value, words)) : undefined) ??
    (step.run ? said.runs(step.run.value) : undefined) ??
    step.decide?.text;
  return lines(
    `**${name}**, ${step.section === 'after_repair' ? said.stepAfterRepair(step.kind ?? '') : said.step(step.kind ?? '')}`,
    step.title && prose(step.title.value),
    does && prose(does),
    step.actions.map((action) => `- ${prose(action.value)}`).join('\n'),
    step.why && prose(step.why.value),
    step.results.length > 0 && said.results(step.results.map((result) => prose(result.when?.text ?? said.withoutWhen)).join(' · ')),
  );
}

function describeFault(name: string, fault: Fault, { symbol: said }: FeatureWords): string {
  return lines(
    `**${name}**, ${said.fault}`,
    fault.title && prose(fault.title.value),
    fault.remedy && said.remedy(prose(fault.remedy.value)),
    [
      fault.weight && said.weight(String(fault.weight.value)),
      fault.time && prose(fault.time.value.text),
      fault.grade && plain(fault.grade.value),
    ]
      .filter(Boolean)
      .join(', '),
  );
}

function describeFact(name: string, fact: Fact, words: FeatureWords): string {
  const { symbol: said } = words;
  return lines(
    `**${name}**, ${said.fact}`,
    fact.title && prose(fact.title.value),
    fact.choices ? said.oneOf(codes(fact.choices.map((choice) => choice.value), words.and)) : fact.quantity && quantityText(fact.quantity.value, words),
    source(fact.from?.value, words),
  );
}

/** Which assets have which value, the commonest first. */
function valuesInAssets({ scope }: Analysis, fact: string, { symbol: said }: FeatureWords): string | undefined {
  const assets = new Map<string, string[]>();
  for (const { item } of scope?.assets ?? []) {
    const value = item.facts.find(({ name }) => name.value === fact)?.value.value;
    if (value === undefined) continue;
    const known = assets.get(value);
    if (known) known.push(item.id.value);
    else assets.set(value, [item.id.value]);
  }
  const rows = [...assets].sort((a, b) => b[1].length - a[1].length).slice(0, MOST_VALUES);
  const named = (ids: readonly string[]): string => (ids.length > MOST_IDS ? said.more(ids.slice(0, MOST_IDS).join(', '), ids.length - MOST_IDS) : ids.join(', '));
  return rows.length === 0 ? undefined : `${said.inAssets}\n\n${rows.map(([value, ids]) => `- ${prose(value)}: ${prose(named(ids))}`).join('\n')}`;
}

const MOST_VALUES = 8;
const MOST_IDS = 4;

function describeState(name: string, state: State, words: FeatureWords): string {
  const { symbol: said } = words;
  const valuesOf = (values: readonly { readonly value: string }[], last: string): string => codes(values.map(({ value }) => value), last);
  return lines(
    `**${name}**, ${said.state}`,
    state.title && prose(state.title.value),
    said.values(valuesOf(state.values, words.and)),
    state.atStart ? said.atStart(`\`${state.atStart.value}\``) : said.atStartAny,
    state.atEnd && said.atEnd(valuesOf(state.atEnd, words.or)),
    state.held.length > 0 && said.held(valuesOf(state.held, words.or)),
  );
}

function describeStateValue(value: string, name: string, state: State, { symbol: said }: FeatureWords): string {
  const change = state.changes.find((one) => one.to.value === value);
  return lines(
    `**${value}**, ${said.stateValue(`\`${name}\``)}`,
    state.held.some((one) => one.value === value) && said.heldValue,
    change && `${change.do.map((action) => `- ${prose(action.value)}`).join('\n')}`,
  );
}

function describeCircuit(name: string, circuit: Circuit, words: FeatureWords): string {
  const { symbol: said } = words;
  return lines(
    `**${name}**, ${said.circuit}`,
    circuit.title && prose(circuit.title.value),
    circuit.nominal && said.nominal(prose(circuit.nominal.value.text)),
    circuit.deadWhen ? said.deadWhen(alternatives(circuit.deadWhen, words)) : said.neverDead,
    circuit.liveWhen && said.liveWhen(alternatives(circuit.liveWhen, words)),
    circuit.dischargeWait && said.storedEnergy(prose(circuit.dischargeWait.value.text)),
    circuit.category && prose(circuit.category.value),
    source(circuit.from?.value, words),
  );
}

function describeHazard(name: string, hazard: Hazard, words: FeatureWords): string {
  const { symbol: said } = words;
  return lines(
    `**${name}**, ${said.hazard}`,
    hazard.title && prose(hazard.title.value),
    hazard.repeat === 'every_step' ? said.cautionEachTime : said.cautionOnce,
    hazard.qualified && said.qualified(`\`${hazard.qualified.value}\``),
    source(hazard.from?.value, words),
  );
}

function describeInstrument(name: string, instrument: Instrument, words: FeatureWords): string {
  const { symbol: said } = words;
  return lines(
    `**${name}**, ${said.instrument}`,
    instrument.title && prose(instrument.title.value),
    instrument.category && prose(instrument.category.value),
    [
      ...instrument.measures.map(
        ({ quantity, upTo, resolution, accuracy }) =>
          `- ${[
            quantityText(quantity.value, words),
            ...(upTo ? [said.upTo(prose(upTo.value.text))] : []),
            ...(resolution ? [said.shows(prose(resolution.value.text))] : []),
            ...(accuracy ? [`±(${prose(accuracy.value)})`] : []),
          ].join(', ')}`,
      ),
      ...instrument.shows.map(({ quantity, words: shown }) => `- ${quantityText(quantity.value, words)}: ${codes(shown.map((word) => word.value), words.or)}`),
    ].join('\n'),
    instrument.calibrated &&
      said.calibrated(instrument.calibrated.map(({ number, until }) => prose(number ? `${until.value} (${number.value})` : until.value)).join(', ')),
  );
}

function describeValue(name: string, value: ShopValue, words: FeatureWords): string {
  return lines(`**${name}** = ${prose(value.is?.value.text ?? '?')}`, source(value.from?.value, words));
}

function alternatives(conditions: readonly (readonly StateCondition[])[], words: FeatureWords): string {
  const one = ({ state, values }: StateCondition): string => words.symbol.is(`\`${state.value}\``, codes(values.map((value) => value.value), words.or));
  return conditions.map((all) => all.map(one).join(` ${words.and} `)).join(`, ${words.or} `);
}

function codes(names: readonly string[], last: string): string {
  const shown = names.map((name) => `\`${name.replaceAll('`', '')}\``);
  return shown.length < 2 ? shown.join('') : `${shown.slice(0, -1).join(', ')} ${last} ${shown.at(-1)}`;
}

function source(from: string | undefined, { symbol }: FeatureWords): string | undefined {
  return from === undefined ? undefined : `*${symbol.from(prose(from))}*`;
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
function quantityText(word: string, { hover }: FeatureWords): string {
  const known = quantityWord(word);
  return known ? hover.quantity(quantityPhrase(known)) : plain(word);
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
