/** What the examination of bands starts from: their bounds as forms, what is known of the names, and the axes of readings. */
import { below, canHold } from './bound-order.ts';
import { checkBand, comparedDimension, mixedPressures } from './band-kinds.ts';
import { dimensionOf } from './evaluate.ts';
import { comparisonEnds, sameWord, someSaysOpen } from './band-meaning.ts';
import { compareForms, constantForm, formKey, linearForm, termsKey } from './linear-form.ts';
import { describeQuantityWord } from './quantity-words.ts';
import { expressionsOf } from './expression.ts';
import { formatExpression } from './format-band.ts';
import { ONE, ZERO } from './rational.ts';
import type { Axis, Bound } from './band-cells.ts';
import type { Band, BandCondition, Expression } from './expression.ts';
import type { BandKindProblem } from './band-kinds.ts';
import type { BandOptions } from './band-algebra.ts';
import type { Constraint } from './bound-order.ts';
import type { Cases, LinearForm } from './linear-form.ts';

export interface BandSetup {
  /** The bands that take part, by their place. */
  readonly usable: ReadonlyMap<number, Band>;
  readonly bounds: readonly Bound[];
  /** The place in `bounds` of each bound expression. */
  readonly boundOf: ReadonlyMap<Expression, number>;
  readonly constraints: readonly Constraint[];
  readonly assumed: readonly string[];
  readonly axes: readonly Axis[];
  /** Whether conditions name points. */
  readonly byPoint: boolean;
  /** False where a lamp's words are known only from the bands themselves. */
  readonly wordsKnown: boolean;
  /** A case of min, max or abs that was not chosen. */
  readonly openCase: { readonly key: string; readonly count: number } | undefined;
  readonly problems: readonly BandKindProblem[];
}

export function setUpBands(bands: readonly (Band | undefined)[], options: BandOptions, cases: Cases): BandSetup {
  const points = options.points ?? [];
  const byPoint = points.length > 0 && options.judge === undefined;
  const table = new BoundTable();
  const problems: BandKindProblem[] = [];
  const usable = new Map<number, Band>();
  const constraints: Constraint[] = [];
  let openCase: BandSetup['openCase'];
  const dimension = comparedDimension(options.word, options.dimension, options.judge);
  problems.push(...mixedPressures(bands, dimension, options.environment));
  const context = {
    word: options.judge === 'spread' ? undefined : options.word,
    dimension,
    points: byPoint ? points : undefined,
    environment: options.environment,
  };
  for (const [index, band] of bands.entries()) {
    if (!band) continue;
    const found = [...checkBand(band, index, context), ...problems.filter((problem) => problem.band === index)];
    if (!found.some((problem) => problem.excludes)) {
      for (const bound of expressionsOf(band)) {
        const reading = linearForm(bound, options.environment, cases);
        if ('problem' in reading) {
          found.push({ kind: 'no-value', band: index, message: reading.problem, span: bound.span, excludes: true });
          continue;
        }
        table.enter(bound, reading.form);
        constraints.push(...reading.signs);
        openCase ??= reading.open;
      }
    }
    problems.push(...found.filter((problem) => !problems.includes(problem)));
    if (!found.some((problem) => problem.excludes)) usable.set(index, band);
  }
  const assumed: string[] = [];
  for (const band of usable.values()) assumeOrder(band, table, constraints, assumed);
  const info = options.word === undefined ? undefined : describeQuantityWord(options.word);
  const domain = info?.domain ?? 'any';
  const unit = firstUnit(usable.values()) ?? info?.usualUnits[0] ?? '';
  const zero = unit === '' ? '0' : `0 ${unit}`;
  const absolute = usable.size > 0 && dimension === 'pressure' && onlyAbsolute([...usable.values()], options);
  const floor = absolute || domain !== 'any' || options.judge === 'spread' ? table.place(constantForm(ZERO), zero) : undefined;
  const ceiling = domain === 'share' ? table.place(constantForm(ONE), '100 %') : undefined;
  const whole = domain === 'whole' && options.judge !== 'mean';
  const openIsNamed = someSaysOpen([...usable.values()]);
  const shared = { bounds: table.bounds, open: openIsNamed || (info?.showsOpen ?? false), floor, ceiling, whole };
  const axes = (byPoint ? points : [undefined]).flatMap((point) => {
    const conditions = [...usable.values()]
      .flatMap(conditionsOf)
      .filter((condition) => !byPoint || condition.point?.name === point);
    if (byPoint && conditions.length === 0 && !openIsNamed) return [];
    return [axisOf(point, conditions, options.words, table, shared)];
  });
  return {
    usable,
    bounds: table.bounds,
    boundOf: table.boundOf,
    constraints,
    assumed,
    axes,
    byPoint,
    wordsKnown: wordsKnown(axes, options),
    openCase,
    problems,
  };
}

/** Equal bounds have one place, and keep every spelling met. */
class BoundTable {
  readonly bounds: Bound[] = [];
  readonly boundOf = new Map<Expression, number>();
  readonly #placeOf = new Map<string, number>();

  enter(expression: Expression, form: LinearForm): void {
    this.boundOf.set(expression, this.place(form, formatExpression(expression)));
  }

  place(form: LinearForm, text: string): number {
    const key = formKey(form);
    const known = this.#placeOf.get(key);
    const bound = this.bounds[known ?? -1];
    if (known !== undefined && bound) {
      if (!bound.texts.includes(text)) this.bounds[known] = { ...bound, texts: [...bound.texts, text] };
      return known;
    }
    this.#placeOf.set(key, this.bounds.length);
    return this.bounds.push({ texts: [text], form }) - 1;
  }

  bound(expression: Expression): Bound | undefined {
    return this.bounds[this.boundOf.get(expression) ?? -1];
  }
}

/** `between coil_low and coil_high` says that coil_low is at most coil_high; so does `above a and below b`. */
function assumeOrder(band: Band, table: BoundTable, constraints: Constraint[], assumed: string[]): void {
  const ends = conditionsOf(band).flatMap((condition) =>
    condition.comparison.kind === 'shows' ? [] : [{ point: condition.point?.name, ...comparisonEnds(condition.comparison) }],
  );
  for (const { point, low } of ends) {
    for (const { point: otherPoint, high } of ends) {
      if (!low || !high || point !== otherPoint) continue;
      const from = table.bound(low.bound);
      const to = table.bound(high.bound);
      if (!from || !to || compareForms(from.form, to.form) !== undefined || termsKey(from.form) === termsKey(to.form)) continue;
      const strict = !low.closed || !high.closed;
      const needed = canHold([...constraints, below(to.form, from.form, !strict)]);
      constraints.push(below(from.form, to.form, strict));
      const text = `${from.texts[0] ?? ''} is ${strict ? 'below' : 'at most'} ${to.texts[0] ?? ''}`;
      if (needed && !assumed.includes(text)) assumed.push(text);
    }
  }
}

type SharedAxis = Pick<Axis, 'bounds' | 'open' | 'floor' | 'ceiling' | 'whole'>;

function axisOf(
  point: string | undefined,
  conditions: readonly BandCondition[],
  words: readonly string[] | undefined,
  table: BoundTable,
  shared: SharedAxis,
): Axis {
  const said = conditions.flatMap(({ comparison }) => (comparison.kind === 'shows' ? [comparison.word] : []));
  const showsWords = words && words.length > 0 ? words : said.length > 0 && said.length === conditions.length ? said : undefined;
  if (showsWords) {
    const distinct = showsWords.filter((word, index) => showsWords.findIndex((other) => sameWord(other, word)) === index);
    return {
      point,
      words: distinct,
      bounds: shared.bounds,
      used: [],
      open: false,
      floor: undefined,
      ceiling: undefined,
      whole: false,
    };
  }
  const used = new Set<number>();
  for (const { comparison } of conditions) {
    if (comparison.kind === 'shows') continue;
    const ends = comparisonEnds(comparison);
    for (const end of [ends.low, ends.high]) {
      const place = end && table.boundOf.get(end.bound);
      if (place !== undefined) used.add(place);
    }
  }
  for (const end of [shared.floor, shared.ceiling]) if (end !== undefined) used.add(end);
  return { point, words: undefined, used: [...used], ...shared };
}

function conditionsOf(band: Band): readonly BandCondition[] {
  return band.kind === 'conditions' ? band.conditions : [];
}

function wordsKnown(axes: readonly Axis[], options: BandOptions): boolean {
  return (options.words !== undefined && options.words.length > 0) || axes.every((axis) => axis.words === undefined);
}

/** Whether the limits say that absolute pressure is read, which is never below zero. */
function onlyAbsolute(bands: readonly Band[], options: BandOptions): boolean {
  const kinds = bands.flatMap((band) =>
    expressionsOf(band).map((bound) => dimensionOf(bound, (name) => options.environment(name)?.dimension).dimension),
  );
  return kinds.length > 0 && kinds.every((kind) => kind === 'absolute_pressure');
}

/** The spelling of the first unit in the bands, for the zero that nobody wrote. */
function firstUnit(bands: Iterable<Band>): string | undefined {
  for (const band of bands) {
    for (const bound of expressionsOf(band)) {
      const unit = unitIn(bound);
      if (unit !== undefined) return unit;
    }
  }
  return undefined;
}

function unitIn(expression: Expression): string | undefined {
  switch (expression.kind) {
    case 'quantity':
      return expression.quantity.unit && expression.quantity.unit.offset === undefined
        ? /[^\d\s.,+−-].*$/.exec(formatExpression(expression))?.[0]
        : undefined;
    case 'name':
      return undefined;
    case 'negative':
      return unitIn(expression.of);
    case 'call':
      return undefined;
    default:
      return unitIn(expression.left) ?? unitIn(expression.right);
  }
}
