import { movedUse, shopNameUses, type NameUse, type NameUseKind } from '../procedure/names.ts';
import { nearest } from '../procedure/nearest.ts';
import type { Name, Procedure, Shop, Step } from '../procedure/model.ts';
import type { Names, Scope } from '../procedure/scope.ts';
import type { Report } from '../findings/finding.ts';
import { allSteps, type Check, type CheckContext } from './check.ts';
import { listed, words } from './edits.ts';
import { namesInSteps, namesOutsideSteps } from './names-used.ts';

export const unknownName: Check = {
  name: 'unknown-name',
  severity: 'error',
  group: 'structure',
  proves: 'Every name that is used is declared: in the procedure, in its shop files or in the built-in catalogue.',
  why: 'A name that nobody declared means nothing: the walk, the caution or the limit behind it is lost.',
  bad: `procedure: lamp
title: Lamp dark
steps:
  - step: look
    ask: Is the lamp lit?
    results:
      - when: yes
        passes: true
      - when: no
        go: fuze
  - step: fuse
    ask: Does a test lamp light on both sides of the fuse?
    results:
      - when: yes
        refer: Trace the wiring.
      - when: no
        refer: Replace the fuse.
`,
  good: `procedure: lamp
title: Lamp dark
steps:
  - step: look
    ask: Is the lamp lit?
    results:
      - when: yes
        passes: true
      - when: no
        go: fuse
  - step: fuse
    ask: Does a test lamp light on both sides of the fuse?
    results:
      - when: yes
        refer: Trace the wiring.
      - when: no
        refer: Replace the fuse.
`,
  *run(context) {
    const known = new KnownNames(context.scope, context.procedure, context);
    const accepted = new Set(context.procedure.accept.map((deviation) => deviation.at?.span.start));
    for (const { uses, by } of context.once(namesInSteps)) {
      for (const use of uses) if (!known.has(use)) yield unknown(by === 0 ? use : movedUse(use, by), known, context.file);
    }
    for (const use of context.once(namesOutsideSteps)) {
      // `at:` of an accepted deviation that meets nothing has a finding of its own.
      if (!known.has(use) && !accepted.has(use.span.start)) yield unknown(use, known, context.file);
    }
  },
};

/** The same for a shop file: its states, circuits, hazards and cautions name one another. */
export function* unknownNamesOfShop(shop: Shop, scope: Scope): Generator<Report> {
  const known = new KnownNames(scope, undefined, undefined);
  for (const use of shopNameUses(shop)) if (!known.has(use)) yield unknown(use, known, shop.file);
}

const TITLES: Readonly<Record<NameUseKind, string>> = {
  step: 'step', fault: 'fault', state: 'state', state_value: 'value', fact: 'fact', choice: 'choice', circuit: 'circuit', caution: 'caution',
  hazard: 'hazard', instrument: 'instrument', qualification: 'qualification', value: 'reading, fact or shop value', reading: 'reading',
  point: 'point', procedure: 'procedure', reference: 'reference',
};

function unknown(use: NameUse, known: KnownNames, file: string): Report {
  const candidates = known.candidates(use) ?? [];
  const near = nearest(use.name, candidates);
  const title = TITLES[use.kind];
  const of = use.of === undefined ? '' : ` of '${words(use.of)}'`;
  const short = candidates.length > 0 && candidates.length <= 6;
  return {
    span: use.span,
    ...(use.step === undefined ? {} : { step: use.step }),
    subject: use.name,
    message: `No ${title}${of} is called '${use.name}'.`,
    ...(near === undefined && short ? { note: `There ${candidates.length === 1 ? 'is' : 'are'} ${listed(candidates.map((name) => `'${name}'`))}.` } : {}),
    help: near === undefined ? declareHelp(use) : `Did you mean '${near}'?`,
    ...(near === undefined ? {} : {
      fixes: [{ title: `Spell it '${near}'`, edits: [{ file, span: use.span, newText: near }], altersMeaning: use.kind === 'step' || use.kind === 'fault' || use.kind === 'state_value' }],
    }),
  };
}

function declareHelp(use: NameUse): string {
  switch (use.kind) {
    case 'step':
      return 'Name a step of this procedure, or add it.';
    case 'fault':
      return use.of === undefined ? 'Declare it under `faults`.' : 'Name a fault of the procedure that is run there.';
    case 'state':
      return 'Declare it under `states`, here or in shop.yaml.';
    case 'state_value':
    case 'choice':
      return 'Use one that is declared, or declare it.';
    case 'fact':
      return 'Declare it under `facts`.';
    case 'procedure':
      return 'Name a procedure of this workspace, or write it.';
    case 'value':
    case 'reading':
      return 'Name a step that measures, a fact, or a value of shop.yaml.';
    case 'point':
      return 'Name a point of `at_each`.';
    case 'reference':
      return 'Add it under `references`.';
    default:
      return `Declare it in shop.yaml, or use one that is declared there or built in.`;
  }
}

class KnownNames {
  readonly #steps: readonly Step[];
  readonly #byName = new Map<string, Step>();
  /** Lists of names that many uses are held against, made once. */
  readonly #lists = new Map<string, readonly string[]>();
  readonly #valuesOf = new Map<readonly Name[], readonly string[]>();
  readonly #sets = new Map<readonly string[], ReadonlySet<string>>();
  readonly #scope: Scope;
  readonly #procedure: Procedure | undefined;
  readonly #context: CheckContext | undefined;

  constructor(scope: Scope, procedure: Procedure | undefined, context: CheckContext | undefined) {
    this.#scope = scope;
    this.#procedure = procedure;
    this.#context = context;
    this.#steps = procedure ? allSteps(procedure) : [];
    for (const step of this.#steps) if (step.name && !this.#byName.has(step.name.value)) this.#byName.set(step.name.value, step);
  }

  /** Whether the name is declared; true too where that is not known. */
  has(use: NameUse): boolean {
    const candidates = this.candidates(use);
    return candidates === undefined || this.#holds(candidates, use.name);
  }

  #holds(candidates: readonly string[], name: string): boolean {
    if (candidates.length < 20) return candidates.includes(name);
    let set = this.#sets.get(candidates);
    if (set === undefined) this.#sets.set(candidates, (set = new Set(candidates)));
    return set.has(name);
  }

  #list(kind: NameUseKind | 'measured', make: () => readonly string[]): readonly string[] {
    let list = this.#lists.get(kind);
    if (list === undefined) this.#lists.set(kind, (list = make()));
    return list;
  }

  /** The names that would do; undefined where that is not known, so that nothing is said. */
  candidates(use: NameUse): readonly string[] | undefined {
    const scope = this.#scope;
    switch (use.kind) {
      case 'step':
        return this.#procedure && this.#list('step', () => namesOf(this.#steps));
      case 'fault':
        return use.of === undefined || this.#runOf(use.of) === undefined ? this.#list('fault', () => keys(scope.faults)) : this.#called(use.of)?.faults.map((fault) => fault.name.value);
      case 'state':
        return this.#list('state', () => [...keys(scope.states), ...keys(scope.facts)]);
      case 'state_value':
        return this.#values(scope.states.get(use.of ?? '')?.item.values);
      case 'fact':
        return this.#list('fact', () => keys(scope.facts));
      case 'choice':
        return this.#values(scope.facts.get(use.of ?? '')?.item.choices);
      case 'circuit':
        return this.#list('circuit', () => keys(scope.circuits));
      case 'caution':
        return this.#list('caution', () => keys(scope.cautions));
      case 'hazard':
        return this.#list('hazard', () => keys(scope.hazards));
      case 'instrument':
        return this.#list('instrument', () => keys(scope.instruments));
      case 'qualification':
        return this.#list('qualification', () => keys(scope.qualifications));
      case 'value':
        return this.#list('value', () => [...this.#measured(), ...keys(scope.facts), ...keys(scope.values)]);
      case 'reading':
        return use.of === undefined ? this.#readings(use) : this.#called(use.of)?.steps.filter((step) => step.kind === 'measure').flatMap((step) => step.name?.value ?? []);
      case 'point':
        return this.#byName.get(use.of ?? '')?.atEach.map((point) => point.name.value);
      case 'procedure':
        return this.#context?.procedureNames();
      case 'reference':
        return undefined;
    }
  }

  #values(names: readonly Name[] | undefined): readonly string[] | undefined {
    if (names === undefined) return undefined;
    let values = this.#valuesOf.get(names);
    if (values === undefined) this.#valuesOf.set(names, (values = names.map((name) => name.value)));
    return values;
  }

  #readings(use: NameUse): readonly string[] | undefined {
    const step = this.#byName.get(use.name);
    // `lift.pressure`: the part after the dot is judged by itself.
    return step?.kind === 'run' ? undefined : this.#measured();
  }

  #measured(): readonly string[] {
    return this.#list('measured', () => namesOf(this.#steps.filter((step) => step.kind === 'measure')));
  }

  #runOf(step: string): string | undefined {
    return this.#byName.get(step)?.run?.value;
  }

  #called(step: string): Procedure | undefined {
    const name = this.#runOf(step);
    return name === undefined ? undefined : this.#context?.procedureNamed(name)?.procedure;
  }
}

function keys<T>(names: Names<T>): string[] {
  return [...names.keys()];
}

function namesOf(steps: readonly Step[]): string[] {
  return steps.flatMap((step) => step.name?.value ?? []);
}
