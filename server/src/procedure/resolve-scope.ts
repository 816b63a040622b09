/**
 * What a procedure's names mean: its own declarations, over those of its shop files (the nearest first), over the built-in
 * catalogue. A nearer declaration of the same name replaces the farther one whole. Within one file the first declaration of a
 * name counts; the second was reported when the file was built.
 */
import type { Asset, Assets, Fact, Fault, Name, Procedure, Shop } from './model.ts';
import type { Declared, Names, Scope } from './scope.ts';

export interface ScopeSources {
  /** Absent for a shop file looked at alone. */
  readonly procedure?: Procedure;
  /** Nearest first. */
  readonly shops: readonly Shop[];
  readonly assets: readonly Assets[];
  readonly catalogue: Shop;
}

/** Resolves names; it reports nothing. */
export function resolveScope({ procedure, shops, assets, catalogue }: ScopeSources): Scope {
  const shared = sharedScope(shops, assets, catalogue);
  if (procedure === undefined) return { ...shared, facts: new Map(), faults: new Map() };
  const { file } = procedure;
  const own = <T extends { readonly name: Name }>(items: readonly T[]): Names<T> => declare([{ items, origin: 'procedure', file }]);
  const over = <T extends { readonly name: Name }>(names: Names<T>, items: readonly T[]): Names<T> =>
    items.length === 0 ? names : declare([{ items, origin: 'procedure', file }], names);
  return {
    ...shared,
    states: over(shared.states, procedure.states),
    circuits: over(shared.circuits, procedure.circuits),
    instruments: over(shared.instruments, procedure.instruments),
    hazards: over(shared.hazards, procedure.hazards),
    cautions: over(shared.cautions, procedure.cautions),
    qualifications: over(shared.qualifications, procedure.qualifications),
    values: over(shared.values, procedure.values),
    facts: own<Fact>(procedure.facts),
    faults: own<Fault>(procedure.faults),
  };
}

type SharedScope = Omit<Scope, 'facts' | 'faults'>;

/** What all procedures of a shop share, worked out once for them; kept with the nearest of its sources. */
const sharedScopes = new WeakMap<Shop, { readonly shops: readonly Shop[]; readonly assets: readonly Assets[]; readonly catalogue: Shop; readonly scope: SharedScope }>();

function sharedScope(shops: readonly Shop[], assets: readonly Assets[], catalogue: Shop): SharedScope {
  const nearest = shops[0] ?? catalogue;
  const known = sharedScopes.get(nearest);
  if (known?.catalogue === catalogue && sameItems(known.shops, shops) && sameItems(known.assets, assets)) return known.scope;
  const scope = resolveShared(shops, assets, catalogue);
  sharedScopes.set(nearest, { shops, assets, catalogue, scope });
  return scope;
}

function sameItems<T>(one: readonly T[], other: readonly T[]): boolean {
  return one.length === other.length && one.every((item, index) => item === other[index]);
}

function resolveShared(shops: readonly Shop[], assets: readonly Assets[], catalogue: Shop): SharedScope {
  const levels = levelsOf(shops, catalogue);
  const settings = new Map<string, string>();
  const abbreviations = new Map<string, string>();
  const terms = new Map<string, readonly string[]>();
  for (const shop of [catalogue, ...[...shops].reverse()]) {
    for (const { check, setting } of shop.checks) settings.set(check.value, setting.value);
    for (const { short, means } of shop.abbreviations) abbreviations.set(short.value, means.value);
    for (const { term, insteadOf } of shop.terms) terms.set(term.value, insteadOf.map((spelling) => spelling.value));
  }
  return {
    states: declare(levels.map((level) => ({ ...level, items: level.of.states }))),
    circuits: declare(levels.map((level) => ({ ...level, items: level.of.circuits }))),
    instruments: declare(levels.map((level) => ({ ...level, items: level.of.instruments }))),
    hazards: declare(levels.map((level) => ({ ...level, items: level.of.hazards }))),
    cautions: declare(levels.map((level) => ({ ...level, items: level.of.cautions }))),
    qualifications: declare(levels.map((level) => ({ ...level, items: level.of.qualifications }))),
    values: declare(levels.map((level) => ({ ...level, items: level.of.values }))),
    terms: [...terms].map(([term, insteadOf]) => ({ term, insteadOf })),
    abbreviations,
    settings,
    assets: assets.flatMap((file) => file.assets.map((item): Declared<Asset> => ({ item, origin: 'shop', file: file.file }))),
    shopTitle: shops.find((shop) => shop.title !== undefined)?.title?.value,
    shopFiles: shops.map((shop) => shop.file),
  };
}

type Shared = Pick<Shop, 'states' | 'circuits' | 'instruments' | 'hazards' | 'cautions' | 'qualifications' | 'values'>;

interface Level {
  readonly of: Shared;
  readonly origin: Declared<unknown>['origin'];
  readonly file: string;
}

/** Farthest first, so that a nearer declaration replaces a farther one. */
function levelsOf(shops: readonly Shop[], catalogue: Shop): Level[] {
  const levels: Level[] = [{ of: catalogue, origin: 'catalogue', file: catalogue.file }];
  for (const shop of [...shops].reverse()) levels.push({ of: shop, origin: 'shop', file: shop.file });
  return levels;
}

function declare<T extends { readonly name: Name }>(
  levels: readonly { readonly items: readonly T[]; readonly origin: Declared<T>['origin']; readonly file: string }[],
  under?: Names<T>,
): Names<T> {
  const names = new Map<string, Declared<T>>(under);
  for (const { items, origin, file } of levels) {
    const ofThisLevel = new Set<string>();
    for (const item of items) {
      const name = item.name.value;
      if (ofThisLevel.has(name)) continue;
      ofThisLevel.add(name);
      names.set(name, { item, origin, file });
    }
  }
  return names;
}
