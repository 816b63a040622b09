/** Tables of limits in a document: which of their rows state a limit, and for what. */
import { lookUpUnit } from '../quantity/unit.ts';
import type { ProseTable } from './prose-lines.ts';
import { wayOf, whenOf, type ProseBranch } from './prose-conditions.ts';
import { limitIn, type ProseLimit } from './prose-limits.ts';

export interface TableRow {
  /** What the row is about: its first cell. */
  readonly point: string;
  readonly limit: ProseLimit;
}

export interface TableLimits {
  readonly rows: readonly TableRow[];
  /** Of a table that says what to do: a branch a row. */
  readonly branches: readonly ProseBranch[];
  /** The whole table, a line a row. */
  readonly lines: readonly string[];
}

/**
 * The limits of a table. A unit may stand in the head of its column, and a least and a greatest value in columns of their own.
 */
export function tableLimits({ rows }: ProseTable): TableLimits {
  const lines = rows.map((row) => row.join(' | '));
  const [first] = rows;
  const hasHead =
    first !== undefined && rows.length > 1 && first.every((cell) => limitIn(cell) === undefined && !/^\d/.test(cell));
  const head = hasHead ? first : [];
  const body = hasHead ? rows.slice(1) : rows;
  const ways = head.findIndex((cell) => WAY_COLUMN.test(cell));
  if (ways > 0) return { lines, rows: [], branches: body.flatMap((cells) => branchOf(cells, ways)) };
  return {
    lines,
    branches: [],
    rows: body.flatMap((cells) => {
      const limit = limitOf(cells, head);
      const point = cells[0] ?? '';
      return limit === undefined || point === '' ? [] : [{ point, limit }];
    }),
  };
}

const WAY_COLUMN = /\b(?:action|remedy|correction|go to|next|then|do|measures?|abhilfe|maßnahme|weiter)\b/i;

/** 'above 180 bar | motor tight | Replace the motor'. What stands between is said of it. */
function branchOf(cells: readonly string[], ways: number): ProseBranch[] {
  const [condition = ''] = cells;
  const way = cells[ways] ?? '';
  const said = cells
    .slice(1, ways)
    .filter((cell) => cell !== '')
    .join(' ');
  return condition === '' || way === ''
    ? []
    : [{ when: whenOf(condition), condition, way: wayOf(way), ...(said === '' ? {} : { says: said }) }];
}

function limitOf(cells: readonly string[], head: readonly string[]): ProseLimit | undefined {
  const withUnit = (index: number): string => {
    const cell = cells[index] ?? '';
    const unit = /[([]\s*([^)\]]+?)\s*[)\]]/.exec(head[index] ?? '')?.[1] ?? head[index]?.split(/\s+/).at(-1) ?? '';
    return /\d\s*$/.test(cell) && lookUpUnit(unit)?.unit !== undefined ? `${cell} ${unit}` : cell;
  };
  const column = (pattern: RegExp): number => head.findIndex((cell) => pattern.test(cell));
  const [least, greatest] = [column(/\bmin/i), column(/\bmax/i)];
  if (least > 0 && greatest > 0) return limitIn(`between ${withUnit(least)} and ${withUnit(greatest)}`);
  if (least > 0) return limitIn(`at least ${withUnit(least)}`);
  if (greatest > 0) return limitIn(`at most ${withUnit(greatest)}`);
  for (let index = cells.length - 1; index > 0; index--) {
    const limit = limitIn(withUnit(index));
    if (limit !== undefined && (limit.dimension !== undefined || limit.compared)) return limit;
  }
  return undefined;
}
