/**
 * What a name at a place stands for, where that is declared, and where else it is used, over all files of a library. Two uses are of
 * one symbol when they lead to the same declaration. It decides nothing about how that is shown.
 */
import type { Analysis } from '../analysis/analysis.ts';
import type { Name, Procedure, Step } from '../procedure/model.ts';
import { nameUses, shopNameUses } from '../procedure/names.ts';
import type { NameUse } from '../procedure/names.ts';
import type { Declared, Names } from '../procedure/scope.ts';
import { spanHolds } from '../text/span.ts';
import type { Place, Span } from '../text/span.ts';

/** The files that a feature may look into; a Workspace is one. */
export interface Library {
  files(): readonly string[];
  analyse(file: string): Analysis;
  textOf(file: string): string | undefined;
  /** The model of a procedure file, without findings: much cheaper than its analysis. */
  procedureIn(file: string): Procedure | undefined;
  fileOfProcedure(name: string, from: string): string | undefined;
  procedures(): readonly { readonly name: string; readonly file: string }[];
}

export type SymbolKind =
  | 'procedure'
  | 'step'
  | 'fault'
  | 'state'
  | 'state_value'
  | 'fact'
  | 'choice'
  | 'circuit'
  | 'caution'
  | 'hazard'
  | 'instrument'
  | 'qualification'
  | 'value'
  | 'point'
  | 'reference'
  | 'asset';

export interface Symbol {
  readonly kind: SymbolKind;
  readonly name: string;
  /** The state of a value, the fact of a choice, the step of a point. */
  readonly of?: string;
  /** The file that declares it; facts that an assets file gives live there; `catalogue:…` for what ships with the tool. */
  readonly file: string;
}

export interface Occurrence extends Place {
  readonly symbol: Symbol;
  readonly declares: boolean;
  /** The whole declaration. */
  readonly whole?: Span;
}

/** The symbol whose name stands at `offset`; the narrowest, should several. */
export function symbolAt(library: Library, analysis: Analysis, offset: number): Occurrence | undefined {
  let found: Occurrence | undefined;
  for (const occurrence of occurrencesIn(library, analysis, offset)) {
    if (!spanHolds(occurrence.span, offset)) continue;
    if (!found || length(occurrence.span) < length(found.span)) found = occurrence;
  }
  return found;
}

/** Every place that names the symbol, declarations included, file by file. Only files in whose text the name stands are looked into. */
export function occurrencesOf(library: Library, symbol: Symbol): Occurrence[] {
  const found: Occurrence[] = [];
  for (const file of library.files()) {
    if (!mayName(library.textOf(file) ?? '', symbol.name)) continue;
    for (const occurrence of occurrencesIn(library, library.analyse(file))) {
      if (sameSymbol(occurrence.symbol, symbol)) found.push(occurrence);
    }
  }
  return found;
}

/** Whether a text can hold a name: an escape could spell it in other letters, a line break part its words. */
export function mayName(text: string, name: string): boolean {
  return text.includes(name) || text.includes('\\') || /\s/.test(name);
}

export function sameSymbol(a: Symbol, b: Symbol): boolean {
  return a.kind === b.kind && a.name === b.name && a.of === b.of && a.file === b.file;
}

/**
 * All names in a file that can be resolved, declarations first. With `at`, an offset, the steps that do not hold it are passed over: a
 * long procedure is not gone through for one word.
 */
export function occurrencesIn(library: Library, analysis: Analysis, at?: number): Occurrence[] {
  const occurrences = declarationsIn(analysis, at);
  const { file, procedure, shop, assets } = analysis;
  const use = (symbol: Symbol | undefined, span: Span): void => {
    if (symbol) occurrences.push({ symbol, file, span, declares: false });
  };
  for (const one of procedure ? nameUses(procedure, at) : shop ? shopNameUses(shop) : [])
    use(resolveUse(library, analysis, one), one.span);
  for (const { fact, values } of procedure?.appliesTo ?? []) {
    use(factSymbol(analysis, fact.value), fact.span);
    for (const value of values) use(choiceSymbol(analysis, value.value, fact.value), value.span);
  }
  for (const asset of assets?.assets ?? []) {
    for (const { name, value } of asset.facts) {
      use({ kind: 'fact', name: name.value, file }, name.span);
      if (/^[a-z][a-z0-9_]*$/.test(value.value)) use({ kind: 'choice', name: value.value, of: name.value, file }, value.span);
    }
  }
  return occurrences;
}

/** What a file declares; with `at`, of the steps only the one that holds this offset. */
export function declarationsIn(analysis: Pick<Analysis, 'file' | 'procedure' | 'shop' | 'assets' | 'scope'>, at?: number): Occurrence[] {
  const { file, procedure, shop, assets } = analysis;
  const found: Occurrence[] = [];
  const add = (symbol: Symbol, name: Name, whole?: Span): void => {
    if (name.value !== '') found.push({ symbol, file, span: name.span, declares: true, whole });
  };
  const plain = (kind: SymbolKind, items: readonly { readonly name: Name; readonly span: Span }[]): void => {
    for (const { name, span } of items) add({ kind, name: name.value, file }, name, span);
  };
  if (procedure?.name) add({ kind: 'procedure', name: procedure.name.value, file }, procedure.name, procedure.span);
  const shared = procedure ?? shop;
  if (shared) {
    plain('state', shared.states);
    for (const state of shared.states) {
      for (const value of state.values) add({ kind: 'state_value', name: value.value, of: state.name.value, file }, value);
    }
    plain('circuit', shared.circuits);
    plain('instrument', shared.instruments);
    plain('hazard', shared.hazards);
    plain('caution', shared.cautions);
    plain('qualification', shared.qualifications);
    plain('value', shared.values);
  }
  if (procedure) {
    plain('fault', procedure.faults);
    for (const reference of procedure.references)
      add({ kind: 'reference', name: reference.id.value, file }, reference.id, reference.span);
    for (const fact of procedure.facts) {
      const symbol = factSymbol(analysis, fact.name.value);
      add(symbol, fact.name, fact.span);
      for (const choice of fact.choices ?? []) add(choiceSymbol(analysis, choice.value, fact.name.value), choice);
    }
    for (const step of allSteps(procedure)) {
      if ((at !== undefined && !spanHolds(step.span, at)) || !step.name) continue;
      add({ kind: 'step', name: step.name.value, file }, step.name, step.span);
      for (const point of step.atEach) add({ kind: 'point', name: point.name.value, of: step.name.value, file }, point.name);
    }
  }
  for (const { id, span } of assets?.assets ?? []) add({ kind: 'asset', name: id.value, file }, id, span);
  return found;
}

/** All steps of a procedure, those after the repair last. */
export function allSteps(procedure: Procedure): readonly Step[] {
  return [...procedure.steps, ...procedure.afterRepair];
}

/** The step whose text holds an offset, or in whose list the offset comes behind it and before the next: a half-typed line belongs to it. */
export function stepAt({ procedure }: Analysis, offset: number): Step | undefined {
  const last = (steps: readonly Step[]): Step | undefined => {
    let low = 0;
    let high = steps.length - 1;
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if ((steps[middle]?.span.start ?? 0) <= offset) low = middle;
      else high = middle - 1;
    }
    const found = steps[low];
    return found && found.span.start <= offset ? found : undefined;
  };
  const [main, after] = [last(procedure?.steps ?? []), last(procedure?.afterRepair ?? [])];
  return main && after ? (main.span.start > after.span.start ? main : after) : (main ?? after);
}

function resolveUse(library: Library, analysis: Analysis, use: NameUse): Symbol | undefined {
  const { file, scope, procedure } = analysis;
  const { name, of } = use;
  const shared = (kind: SymbolKind, names: Names<unknown> | undefined): Symbol | undefined => {
    const declared = names?.get(name);
    return declared && { kind, name, file: declared.file };
  };
  switch (use.kind) {
    case 'step':
      return { kind: 'step', name, file };
    case 'reading': {
      if (of === undefined) return { kind: 'step', name, file };
      const called = calledFile(library, procedure, of, file);
      return called === undefined ? undefined : { kind: 'step', name, file: called };
    }
    case 'fault': {
      const home = of === undefined ? file : calledFile(library, procedure, of, file);
      return home === undefined ? undefined : { kind: 'fault', name, file: home };
    }
    case 'point':
      return { kind: 'point', name, of, file };
    case 'procedure': {
      const home = library.fileOfProcedure(name, file);
      return home === undefined ? undefined : { kind: 'procedure', name, file: home };
    }
    case 'fact':
      return factSymbol(analysis, name);
    case 'choice':
      return of === undefined ? undefined : choiceSymbol(analysis, name, of);
    case 'state_value': {
      const state = of === undefined ? undefined : scope?.states.get(of);
      return state && { kind: 'state_value', name, of, file: state.file };
    }
    case 'reference':
      return { kind: 'reference', name, file };
    case 'state':
      return shared('state', scope?.states);
    case 'circuit':
      return shared('circuit', scope?.circuits);
    case 'caution':
      return shared('caution', scope?.cautions);
    case 'hazard':
      return shared('hazard', scope?.hazards);
    case 'instrument':
      return shared('instrument', scope?.instruments);
    case 'qualification':
      return shared('qualification', scope?.qualifications);
    case 'value':
      return shared('value', scope?.values);
  }
}

/** A fact that an asset of the shop gives is one and the same in every procedure of that shop. */
function factSymbol({ scope, file }: Pick<Analysis, 'scope' | 'file'>, name: string): Symbol {
  const given: Declared<unknown> | undefined = scope?.assets.find(({ item }) =>
    item.facts.some((fact) => fact.name.value === name),
  );
  return { kind: 'fact', name, file: given?.file ?? file };
}

function choiceSymbol(analysis: Pick<Analysis, 'scope' | 'file'>, name: string, fact: string): Symbol {
  return { kind: 'choice', name, of: fact, file: factSymbol(analysis, fact).file };
}

/** The file of the procedure that a step of `procedure` runs. */
function calledFile(library: Library, procedure: Procedure | undefined, stepName: string, from: string): string | undefined {
  const run = procedure && allSteps(procedure).find((step) => step.name?.value === stepName)?.run;
  return run && library.fileOfProcedure(run.value, from);
}

function length(span: Span): number {
  return span.end - span.start;
}
