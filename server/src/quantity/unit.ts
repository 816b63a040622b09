/**
 * Units that a shop writes, with exact factors: from a spelling to a unit. Compound spellings that the table does not hold
 * (`V/m`, `kg/s`) are built from their parts. Knows no numbers.
 */
import { divideRational, multiplyRational, ONE, parseDecimal, rational } from './rational.ts';
import { AMBIGUOUS_SPELLINGS, PREFIXES, UNIT_ROWS } from './unit-table.ts';
import { compoundUnit } from './compound-unit.ts';
import type { Rational } from './rational.ts';
import type { UnitRow } from './unit-table.ts';

export interface Unit {
  /** How we print it: V, lb·ft, °C. */
  readonly symbol: string;
  /** Its UCUM code; empty where UCUM has none. */
  readonly ucum: string;
  readonly dimension: string;
  readonly factor: Rational;
  /** Added after the factor: only °C and °F as points have one. */
  readonly offset: Rational | undefined;
  /** The supply the unit speaks of: `V DC`, `A AC`. */
  readonly supply?: 'dc' | 'ac';
  /** True where the factor is rounded (π): everything else is exact. */
  readonly rounded?: true;
}

export type FoundUnit =
  | { readonly unit: Unit; readonly ambiguous?: undefined; readonly unknown?: undefined }
  | { readonly ambiguous: readonly Unit[]; readonly unit?: undefined; readonly unknown?: undefined }
  | { readonly unknown: true; readonly near?: string; readonly unit?: undefined; readonly ambiguous?: undefined };

/** Longer texts are no unit. */
export const LONGEST_UNIT = 48;

/**
 * The unit that a shop means by a spelling: `V`, `ft-lb`, `V DC`, `psig`, a UCUM code. Capitals count where they tell units
 * apart (mV, MV). A spelling with several meanings (`gal`) gives them all.
 */
export function findUnit(text: string): FoundUnit {
  const known = lookUpUnit(text);
  if (known) return known;
  const near = text.length > LONGEST_UNIT ? undefined : nearestSpelling(normalSpelling(text));
  return near === undefined ? { unknown: true } : { unknown: true, near };
}

/** As `findUnit`, without a guess at what was meant: undefined where the spelling is no unit's. */
export function lookUpUnit(text: string): FoundUnit | undefined {
  if (text.length === 0 || text.length > LONGEST_UNIT) return undefined;
  const remembered = lookedUp.get(text);
  if (remembered !== undefined) return remembered ?? undefined;
  const spelling = normalSpelling(text);
  let found = findKnown(spelling) ?? findKnown(spelling.replace(/\.$/, ''));
  if (!found) {
    // `km per hour` is km/h; where the table holds the words themselves, as for psi, they came first.
    const stroked = spelling.replace(/ per /gi, '/');
    const compound = compoundUnit(stroked, (part) => findKnown(part)?.unit);
    found = (stroked === spelling ? undefined : findKnown(stroked)) ?? (compound && { unit: compound });
  }
  if (lookedUp.size >= MOST_REMEMBERED) lookedUp.clear();
  lookedUp.set(text, found ?? null);
  return found;
}

/** A text holds few spellings, many times over; the answer never changes. */
const lookedUp = new Map<string, FoundUnit | null>();
const MOST_REMEMBERED = 5000;

/** Whether a spelling is a unit's or an ambiguous one's: such words are reserved and cannot be names. */
export function isUnitSpelling(text: string): boolean {
  return text.length <= LONGEST_UNIT && findKnown(normalSpelling(text)) !== undefined;
}

/** The unit for a difference of two values in a unit: Δ°C for °C, `bar diff` for `bar gauge`, V for V. */
export function unitOfDifference(unit: Unit): Unit {
  const named = unit.offset === undefined ? unit.symbol.replace(/ (?:gauge|abs|vac)$/, ' diff') : `Δ${unit.symbol}`;
  return (named === unit.symbol ? undefined : lookUpUnit(named)?.unit) ?? unit;
}

/** Every unit of a kind, in the order of the table, without those that only differ in DC and AC. */
export function unitsOf(dimension: string): readonly Unit[] {
  const units = table().units.filter((unit) => unit.dimension === dimension && unit.supply === undefined);
  return units.filter((unit, index) => units.findIndex((other) => other.symbol === unit.symbol) === index);
}

/** Every unit of the table. */
export function allUnits(): readonly Unit[] {
  return table().units;
}

/** One way of writing what keyboards and word processors vary: micro, ohm, degree, dashes, dots, superscripts, spaces. */
export function normalSpelling(text: string): string {
  if (NORMAL.test(text)) return text;
  return text
    .replace(/[\s\u00a0\u2000-\u200b\u202f\u205f\u3000\ufeff]+/g, ' ')
    .trim()
    .replace(/[\u03bc\u00b5]/g, 'µ')
    .replace(/\u2126/g, 'Ω')
    .replace(/\u2103/g, '°C')
    .replace(/\u2109/g, '°F')
    .replace(/[\u2206\u0394]/g, 'Δ')
    .replace(/\u00ba/g, '°')
    .replace(/[\u2032\u2018\u2019\u02b9]/g, "'")
    .replace(/[\u2033\u201c\u201d\u02ba]/g, '"')
    .replace(/[\u2010-\u2015\u2212]/g, '-')
    .replace(/[\u2022\u22c5\u2219\u2027\u30fb\u00d7]/g, '·')
    .replace(/[\u2044\u2215]/g, '/')
    .replace(/\u207b/g, '-')
    .replace(/\u00b9/g, '1')
    .replace(/\u00b2/g, '2')
    .replace(/\u00b3/g, '3')
    .replace(/ ?([·/]) ?/g, '$1');
}

/** Spellings with nothing to vary: nearly all, and thousands of them make the table. */
const NORMAL = /^[!-.0-~]+(?: [!-.0-~]+)*$/;

interface Table {
  readonly units: readonly Unit[];
  readonly exact: ReadonlyMap<string, FoundUnit>;
  /** First letter as written, the rest in small letters: `Mpa`, `KHz`. */
  readonly loose: ReadonlyMap<string, FoundUnit>;
  readonly anyCase: ReadonlyMap<string, FoundUnit>;
}

let built: Table | undefined;

function table(): Table {
  built ??= buildTable();
  return built;
}

function findKnown(spelling: string): FoundUnit | undefined {
  const { exact, loose, anyCase } = table();
  return exact.get(spelling) ?? loose.get(looseKey(spelling)) ?? anyCase.get(spelling.toLowerCase());
}

function looseKey(spelling: string): string {
  return spelling.charAt(0) + spelling.slice(1).toLowerCase();
}

function buildTable(): Table {
  const units: Unit[] = [];
  const exact = new Map<string, FoundUnit>();
  const loose = new Map<string, FoundUnit>();
  const anyCase = new Map<string, FoundUnit>();
  const claim = (map: Map<string, FoundUnit>, key: string, found: FoundUnit): void => {
    if (!map.has(key)) map.set(key, found);
  };
  const enter = (unit: Unit, spellings: readonly string[], words: readonly string[]): void => {
    units.push(unit);
    for (const spelling of [unit.symbol, ...spellings]) claim(exact, normalSpelling(spelling), { unit });
    for (const word of words) claim(anyCase, normalSpelling(word).toLowerCase(), { unit });
  };
  for (const row of UNIT_ROWS) {
    const plain = unitOfRow(row);
    enterWithVariants(plain, row.spellings ?? [], [...(row.words ?? []), ...longNames('', row)], enter);
    for (const [letter, name, power] of PREFIXES) {
      if (!hasPrefix(row.prefixes, letter)) continue;
      const base = row.prefixSymbol ?? row.symbol;
      const scale = rational(10n ** BigInt(Math.abs(power)));
      const unit: Unit = {
        ...plain,
        symbol: letter + base,
        ucum: (letter === 'µ' ? 'u' : letter) + row.ucum,
        factor: power > 0 ? multiplyRational(plain.factor, scale) : divideRational(plain.factor, scale),
      };
      const letters = letter === 'µ' ? ['µ', 'u'] : letter === 'k' ? ['k', 'K'] : [letter];
      const bases =
        base === 'Ω'
          ? ['Ω', 'ohm', 'ohms', 'Ohm', 'Ohms']
          : base === 'Ω/V'
            ? ['Ω/V', 'ohm/V', 'ohms/V']
            : [base, ...spelledBases(row)];
      const spellings = letters.flatMap((first) =>
        bases.flatMap((rest) => (/^(?:Ω|ohms?)/i.test(rest) ? [first + rest, `${first} ${rest}`] : [first + rest])),
      );
      enterWithVariants(unit, spellings, longNames(name, row), enter);
      for (const spelling of spellings) claim(loose, looseKey(spelling), { unit });
    }
  }
  for (const [spelling, choices] of Object.entries(AMBIGUOUS_SPELLINGS)) {
    const found = choices.map((choice) => (exact.get(choice) ?? anyCase.get(choice.toLowerCase()))?.unit);
    exact.set(spelling, { ambiguous: found.filter((unit) => unit !== undefined) });
  }
  for (const word of [
    'gal',
    'gals',
    'gallon',
    'gallons',
    'qt',
    'quart',
    'pint',
    'oz',
    'ounce',
    'ounces',
    'ton',
    'tons',
    'deg',
    'degrees',
    'gph',
    'cal',
    'calories',
    'kcal',
  ]) {
    const found = exact.get(word);
    if (found) claim(anyCase, word, found);
  }
  for (const small of ['v', 'w']) claim(anyCase, small, exact.get(small.toUpperCase()) ?? { unknown: true });
  for (const unit of units) if (!['', '1', 'a'].includes(unit.ucum)) claim(exact, unit.ucum, { unit });
  return { units, exact, loose, anyCase };
}

/** `ml` beside `mL`: spellings of the row that are the bare symbol in other letters. */
function spelledBases(row: UnitRow): readonly string[] {
  return (row.spellings ?? []).filter(
    (each) => each.length > 1 && each.length <= 3 && !/["'0-9]/.test(each) && row.symbol !== 'L',
  );
}

function longNames(prefix: string, row: UnitRow): string[] {
  return [row.longName, row.alsoLong].flatMap((name) => {
    if (name === undefined) return [];
    const plural = /(?:s|z|x)$/.test(name) ? name : name === 'henry' ? 'henries' : `${name}s`;
    return [prefix + name, prefix + plural];
  });
}

function hasPrefix(prefixes: string | undefined, letter: string): boolean {
  return prefixes !== undefined && letter.length === 1 && prefixes.includes(letter);
}

type Enter = (unit: Unit, spellings: readonly string[], words: readonly string[]) => void;

const PRESSURE_KINDS = [
  {
    dimension: 'gauge_pressure',
    symbol: 'gauge',
    ucum: '{gauge}',
    short: 'g',
    words: ['gauge', 'gage', '(gauge)', '(g)', 'ga', 'gauge pressure'],
  },
  {
    dimension: 'absolute_pressure',
    symbol: 'abs',
    ucum: '{abs}',
    short: 'a',
    words: ['abs', 'absolute', '(abs)', '(a)', 'abs.', 'absolute pressure'],
  },
  {
    dimension: 'pressure_difference',
    symbol: 'diff',
    ucum: '{diff}',
    short: 'd',
    words: ['diff', 'differential', '(d)', '(diff)', 'difference'],
  },
  { dimension: 'vacuum', symbol: 'vac', ucum: '{vac}', short: '', words: ['vac', 'vacuum', '(vac)', 'of vacuum', 'vac.'] },
] as const;

/** Enters a unit, and its DC and AC forms, or its gauge, absolute, differential and vacuum forms. */
function enterWithVariants(unit: Unit, spellings: readonly string[], words: readonly string[], enter: Enter): void {
  enter(unit, spellings, words);
  if ((unit.dimension === 'voltage' || unit.dimension === 'current') && !unit.symbol.includes('/')) {
    for (const supply of ['dc', 'ac'] as const) {
      const loud = supply.toUpperCase();
      const marks = [
        loud,
        supply,
        `${loud.charAt(0)}.${loud.charAt(1)}.`,
        `${supply.charAt(0)}.${supply.charAt(1)}.`,
        `(${loud})`,
      ];
      if (supply === 'ac') marks.push('rms', 'RMS', 'AC rms', 'ac rms', 'AC RMS');
      const forms = [unit.symbol, ...spellings].filter((each) => each.length <= 4 && !each.includes('CCA'));
      const short = forms.flatMap((form) => marks.flatMap((mark) => [form + mark, `${form} ${mark}`, `${form}-${mark}`]));
      const long = [
        ...(unit.symbol === 'V' ? ['v', ...words] : words).flatMap((word) => marks.map((mark) => `${word} ${mark}`)),
        ...(unit.symbol === 'V' ? [`v${supply}`] : []),
      ];
      enter({ ...unit, symbol: `${unit.symbol} ${loud}`, ucum: `${unit.ucum}{${loud}}`, supply }, short, long);
    }
  }
  if (unit.dimension !== 'pressure') return;
  for (const kind of PRESSURE_KINDS) {
    const forms = [unit.symbol, ...spellings];
    const names = [...words, ...(words.length > 0 && unit.symbol === unit.symbol.toLowerCase() ? [unit.symbol] : [])];
    const short = forms.flatMap((form) => [
      ...(kind.short ? [form + kind.short, `${form}-${kind.short}`, `${form} ${kind.short}`] : []),
      ...kind.words.flatMap((word) => [`${form} ${word}`, form + word]),
    ]);
    const long = names.flatMap((name) => [
      ...(kind.short ? [name + kind.short, `${name} ${kind.short}`] : []),
      ...kind.words.map((word) => `${name} ${word}`),
    ]);
    enter(
      {
        ...unit,
        symbol: `${unit.symbol} ${kind.symbol}`,
        ucum: unit.ucum === '' ? '' : unit.ucum + kind.ucum,
        dimension: kind.dimension,
      },
      short,
      long,
    );
  }
}

function unitOfRow(row: UnitRow): Unit {
  const unit: Unit = {
    symbol: row.symbol,
    ucum: row.ucum,
    dimension: row.dimension,
    factor: factorOf(row.factor),
    offset: row.offset === undefined ? undefined : factorOf(row.offset),
  };
  return row.inexact ? { ...unit, rounded: true } : unit;
}

function factorOf(text: string): Rational {
  let value = ONE;
  let divide = false;
  for (const part of text.split(/([*/])/)) {
    if (part === '*' || part === '/') {
      divide = part === '/';
      continue;
    }
    const number = parseDecimal(part);
    if (!number) throw new Error(`The factor '${text}' of a unit cannot be read.`);
    value = divide ? divideRational(value, number) : multiplyRational(value, number);
  }
  return value;
}

/** The one known spelling that differs in capitals only, or in one letter; undefined where none or several do. */
function nearestSpelling(spelling: string): string | undefined {
  if (spelling.length < 2) return undefined;
  const small = spelling.toLowerCase();
  const sameLetters = new Set<string>();
  const oneOff = new Set<string>();
  for (const unit of table().units) {
    if (unit.supply !== undefined || unit.symbol.length > 8) continue;
    const symbol = unit.symbol.toLowerCase();
    if (symbol === small) sameLetters.add(unit.symbol);
    else if (small.length >= 3 && symbol.length >= 2 && oneLetterApart(small, symbol)) oneOff.add(unit.symbol);
  }
  const found = sameLetters.size > 0 ? sameLetters : oneOff;
  return found.size === 1 ? [...found][0] : undefined;
}

function oneLetterApart(a: string, b: string): boolean {
  if (Math.abs(a.length - b.length) > 1) return false;
  let start = 0;
  while (start < a.length && start < b.length && a[start] === b[start]) start++;
  let end = 0;
  while (end < a.length - start && end < b.length - start && a[a.length - 1 - end] === b[b.length - 1 - end]) end++;
  const restA = a.length - start - end;
  const restB = b.length - start - end;
  if (restA <= 1 && restB <= 1) return true;
  return restA === 2 && restB === 2 && a[start] === b[start + 1] && a[start + 1] === b[start];
}
