/** Names that may stand at a place, each with what it stands for; those that fit best come first. */
import type { Analysis } from '../analysis/analysis.ts';
import { ALL_CHECKS } from '../checks/all.ts';
import { hazardsOfStepAlone } from '../flow/hazards.ts';
import type { NamedKind } from '../procedure/keys.ts';
import type { Step } from '../procedure/model.ts';
import type { Names } from '../procedure/scope.ts';
import { describeQuantityWord, QUANTITY_WORDS } from '../quantity/quantity-words.ts';
import { inOrder, word } from './completion-item.ts';
import type { Completion } from './completion-item.ts';
import { describeSymbol } from './describe.ts';
import { allSteps } from './symbols.ts';
import type { Library, Symbol, SymbolKind } from './symbols.ts';

/** What the place tells about the name that is wanted. */
export interface NamePlace {
  /** The step that holds it. */
  readonly step?: Step;
  /** The key whose value it is, and the object that holds that key. */
  readonly key?: string;
  readonly object?: string;
  /** The name of the state, where a value of one is wanted. */
  readonly state?: string;
}

/** Names of a kind that can be used here, with what they stand for. */
export function namesOf(library: Library, analysis: Analysis, of: NamedKind, place: NamePlace = {}): Completion[] {
  const { scope, procedure, file } = analysis;
  const symbol = (kind: SymbolKind, name: string, home: string, detail?: string): Completion => ({
    label: name,
    kind: 'name',
    ...(detail === undefined ? {} : { detail }),
    insert: name,
    documentation: describer(library, analysis, { kind, name, file: home }),
  });
  const declared = (kind: SymbolKind, names: Names<{ readonly title?: { readonly value: string } }> | Names<unknown> | undefined): Completion[] =>
    [...(names ?? [])].map(([name, { item, origin, file: home }]) => ({
      ...symbol(kind, name, home, (item as { title?: { value: string } }).title?.value),
      // One's own names before those of the shop, and these before what ships with the tool.
      order: `${5 + ['procedure', 'shop', 'catalogue'].indexOf(origin)}${name}`,
    }));
  switch (of) {
    case 'step':
      return procedure ? stepNames(analysis, place, symbol) : [];
    case 'fault':
      return declared('fault', scope?.faults);
    case 'state':
      return declared('state', scope?.states);
    case 'state_value':
      return (scope?.states.get(place.state ?? '')?.item.values ?? []).map((value, index): Completion => ({
        label: value.value, kind: 'value', insert: value.value, order: inOrder(index),
        documentation: describer(library, analysis, { kind: 'state_value', name: value.value, of: place.state ?? '', file: scope?.states.get(place.state ?? '')?.file ?? file }),
      }));
    case 'fact': {
      const own = declared('fact', scope?.facts);
      const ofAssets = new Map<string, number>();
      for (const { item } of scope?.assets ?? []) for (const { name } of item.facts) ofAssets.set(name.value, (ofAssets.get(name.value) ?? 0) + 1);
      return [
        ...own,
        // What most assets have comes first.
        ...[...ofAssets].filter(([name]) => !scope?.facts.has(name)).map(([name, count]): Completion => ({
          ...symbol('fact', name, file, `of ${count === 1 ? 'one asset' : `${count} assets`}`), order: `7${inOrder(99_999 - count)}${name}`,
        })),
      ];
    }
    case 'circuit':
      return declared('circuit', scope?.circuits);
    case 'caution':
      return cautionNames(analysis, place.step, declared('caution', scope?.cautions));
    case 'hazard':
      return declared('hazard', scope?.hazards);
    case 'instrument':
    case 'tool':
      return instrumentNames(analysis, place.step, declared('instrument', scope?.instruments));
    case 'qualification':
      return declared('qualification', scope?.qualifications);
    case 'value':
      return declared('value', scope?.values);
    case 'procedure':
      return library.procedures().filter((one) => one.file !== file).map((one) =>
        symbol('procedure', one.name, one.file, library.procedureIn(one.file)?.title?.value));
    case 'protection':
      return [...new Set([...(scope?.cautions ?? [])].flatMap(([, { item }]) => item.wear.map((one) => one.value)))].map((one) => word(one));
    case 'quantity':
      return quantityNames();
    case 'check':
      return checkNames(analysis);
    case 'reference':
      return (procedure?.references ?? []).map((reference) => symbol('reference', reference.id.value, file, reference.title?.value));
    case 'point':
      return [];
  }
}

/** Values of a state, choices of a fact, and what other assets have for it. */
export function valuesOf(library: Library, analysis: Analysis, name: string, of: 'state' | 'fact' | 'fact_or_state'): Completion[] {
  const { scope } = analysis;
  const named = (kind: SymbolKind, value: string, file: string): Completion => ({
    label: value,
    kind: 'value',
    insert: value,
    documentation: describer(library, analysis, { kind, name: value, of: name, file }),
  });
  const state = of === 'fact' ? undefined : scope?.states.get(name);
  const fact = of === 'state' ? undefined : scope?.facts.get(name);
  const given = of === 'fact'
    ? (scope?.assets ?? []).flatMap(({ item }) => item.facts.filter((one) => one.name.value === name).map((one) => one.value.value))
    : [];
  const choices = fact?.item.choices?.map((one) => one.value) ?? [];
  return [
    ...(state?.item.values ?? []).map((value) => named('state_value', value.value, state?.file ?? '')),
    ...[...new Set([...choices, ...given])].map((value) => named('choice', value, fact?.file ?? '')),
  ];
}

/** What is measured, by the words of the format. */
export function quantityNames(): Completion[] {
  // In the order of the format reference: what is measured most comes first.
  return QUANTITY_WORDS.map((one, index): Completion => {
    const { title, usualUnits } = describeQuantityWord(one);
    return { label: one, kind: 'quantity', insert: one, order: inOrder(index), detail: usualUnits.slice(0, 3).join(', '), documentation: () => title };
  });
}

type MakeSymbol = (kind: SymbolKind, name: string, home: string, detail?: string) => Completion;

/** Those that come after the step at hand, then those before it, as the text has them; a fault's proof begins in `after_repair`. */
function stepNames({ procedure, file }: Analysis, place: NamePlace, symbol: MakeSymbol): Completion[] {
  const all = procedure ? allSteps(procedure) : [];
  const steps = place.object === 'fault' ? (procedure?.afterRepair ?? []) : all;
  const own = place.step ? all.findIndex((step) => step.name !== undefined && step.name.value === place.step?.name?.value) : -1;
  return steps.flatMap((step, index): Completion[] => {
    if (!step.name) return [];
    const behind = own >= 0 && index <= own ? 1 : 0;
    return [{ ...symbol('step', step.name.value, file, step.title?.value ?? stepDetail(step)), order: `${behind}${inOrder(index)}` }];
  });
}

function stepDetail(step: Step): string | undefined {
  return step.question?.value ?? step.quantity?.value ?? step.run?.value ?? step.actions[0]?.value ?? step.kind;
}

/** Those that cover a hazard of the step come first. */
function cautionNames({ scope }: Analysis, step: Step | undefined, items: readonly Completion[]): Completion[] {
  if (!scope || !step) return [...items];
  // Each is told as its name, a bar, and its cause.
  const arising = new Set(hazardsOfStepAlone(step, scope).map((hazard) => hazard.split('|')[0] ?? ''));
  return items.map((item) => {
    const covered = (scope.cautions.get(item.label)?.item.covers ?? []).filter(({ value }) => arising.has(value));
    return covered.length === 0 ? item : { ...item, detail: `covers ${covered.map(({ value }) => value).join(', ')}, which arises here`, order: `0${item.label}` };
  });
}

/** Those that read what the step measures come first. */
function instrumentNames({ scope }: Analysis, step: Step | undefined, items: readonly Completion[]): Completion[] {
  const quantity = step?.kind === 'measure' ? step.quantity?.value : undefined;
  if (quantity === undefined) return [...items];
  return items.map((item) => {
    const instrument = scope?.instruments.get(item.label)?.item;
    const reads = instrument?.measures.find((one) => one.quantity.value === quantity);
    const shows = instrument?.shows.find((one) => one.quantity.value === quantity);
    if (!reads && !shows) return item;
    const detail = reads ? `reads it${reads.upTo ? ` up to ${reads.upTo.value.text}` : ''}` : `shows ${(shows?.words ?? []).map((one) => one.value).join(' or ')}`;
    return { ...item, detail, order: `0${item.order ?? item.label}` };
  });
}

/** Those that found something in this file come first. */
function checkNames({ findings }: Analysis): Completion[] {
  const found = new Set(findings.map((finding) => finding.check));
  return ALL_CHECKS.map((check): Completion => ({
    ...word(check.name, found.has(check.name) ? 'found in this file' : check.group),
    order: `${found.has(check.name) ? 0 : 1}${check.name}`,
    documentation: () => `${check.proves}\n\n${check.why}`,
  }));
}

function describer(library: Library, analysis: Analysis, of: Symbol): NonNullable<Completion['documentation']> {
  return (words) => describeSymbol(library, analysis, of, words);
}
