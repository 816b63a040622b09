/**
 * The items of a list as they were last read. While one item is edited, all behind it only move: how far is kept as one number until an edit
 * elsewhere needs their places, so that a key costs what its own item costs.
 */
import type { Problem } from '../findings/finding.ts';
import type { Span } from '../text/span.ts';
import type { TextChange } from '../text/text-change.ts';
import { assemble, itemsOf } from './put-together.ts';
import type { PartRead } from './read-part.ts';
import { moveRead, type KnownPart } from './tree-memory.ts';
import type { ListNode, TreeNode } from './tree.ts';

/** How a list came from an earlier reading of it. */
export interface ItemEdit {
  /** The `id` of the earlier one. */
  readonly from: number;
  /** The one item that was read again; those behind it moved. -1 where all moved and none was read again. */
  readonly index: number;
  readonly by: number;
}

let ids = 0;

export class KnownItems {
  /** Tells readings apart. */
  readonly id = ++ids;
  /** Items with problems, by index: few. */
  readonly #troubled: readonly number[];

  private constructor(
    private readonly items: readonly KnownPart[],
    /** Items from this one on have moved since. */
    private readonly movedFrom: number,
    private readonly movedBy: number,
    readonly edit: ItemEdit | undefined,
    troubled?: readonly number[],
  ) {
    this.#troubled = troubled ?? items.flatMap(({ read }, index) => (isTroubled(read) ? [index] : []));
  }

  static of(items: readonly KnownPart[]): KnownItems {
    return new KnownItems(items, items.length, 0, undefined);
  }

  get length(): number {
    return this.items.length;
  }

  /** An item at its place. */
  at(index: number): KnownPart {
    const item = this.items[index] as KnownPart;
    return index < this.movedFrom ? item : movedItem(item, this.movedBy);
  }

  /** The item that a change lies in whole; its last character, a line break, stays, so that the next one begins a line as before. */
  holding({ start, oldEnd }: TextChange): number | undefined {
    let low = 0;
    let high = this.items.length - 1;
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if (this.#startOf(middle) <= start) low = middle;
      else high = middle - 1;
    }
    const item = this.items[low];
    if (item === undefined || this.#startOf(low) > start) return undefined;
    return oldEnd < item.end + (low < this.movedFrom ? 0 : this.movedBy) ? low : undefined;
  }

  /** The items with another in the place of one; those behind it have moved by so much. */
  with(index: number, item: KnownPart, by: number): KnownItems {
    const again = this.movedBy === 0 || this.movedFrom === index + 1;
    const items = again ? this.items.slice() : this.items.map((_, at) => this.at(at));
    items[index] = item;
    const others = this.#troubled.filter((other) => other !== index);
    const troubled = isTroubled(item.read) ? [...others, index].sort((a, b) => a - b) : others;
    return new KnownItems(items, index + 1, (again ? this.movedBy : 0) + by, { from: this.id, index, by }, troubled);
  }

  /** All of them moved, after an edit before the list. */
  moved(by: number): KnownItems {
    if (by === 0) return this;
    const again = this.movedBy === 0 || this.movedFrom === 0;
    const items = again ? this.items : this.items.map((_, at) => this.at(at));
    return new KnownItems(items, 0, (again ? this.movedBy : 0) + by, { from: this.id, index: -1, by }, this.#troubled);
  }

  /** What was read of the list as a whole; its node puts the items together when someone looks. */
  read(): PartRead {
    const reads = (): PartRead[] => this.items.map((_, index) => this.at(index).read);
    const first = this.at(0).read.node;
    const last = this.at(this.length - 1).read.node;
    if (first === undefined || last === undefined) return assemble('list', reads());
    const troubled = this.#troubled.map((index) => this.at(index).read);
    const problems = troubled.flatMap((read): readonly Problem[] => read.problems);
    const broken = troubled.reduce((sum, read) => sum + read.broken, 0);
    const list = new KnownList(this, { start: first.span.start, end: last.span.end });
    return { node: list, problems, comments: () => reads().flatMap(({ comments }) => comments()), broken };
  }

  #startOf(index: number): number {
    return (this.items[index]?.start ?? 0) + (index < this.movedFrom ? 0 : this.movedBy);
  }
}

/** A list whose items are put together when someone looks. */
class KnownList implements ListNode {
  readonly kind = 'list';
  readonly flow = false;
  #items: readonly (TreeNode | undefined)[] | undefined;
  readonly #known: KnownItems;

  constructor(
    known: KnownItems,
    readonly span: Span,
  ) {
    this.#known = known;
  }

  static itemsKnown(node: ListNode): KnownItems | undefined {
    return node instanceof KnownList ? node.#known : undefined;
  }

  get items(): readonly (TreeNode | undefined)[] {
    if (this.#items === undefined) {
      const items: (TreeNode | undefined)[] = [];
      for (let index = 0; index < this.#known.length; index++) for (const item of itemsOf(this.#known.at(index).read)) items.push(item);
      this.#items = items;
    }
    return this.#items;
  }
}

/** The reading that a list comes from, where it is known item by item. */
export function knownItemsOf(node: ListNode): KnownItems | undefined {
  return KnownList.itemsKnown(node);
}

function isTroubled({ problems, broken }: PartRead): boolean {
  return problems.length > 0 || broken > 0;
}

/** An item at its place after a move. Items hold no lists that could be edited item by item. */
function movedItem(item: KnownPart, by: number): KnownPart {
  return by === 0 ? item : { start: item.start + by, end: item.end + by, read: moveRead(item.read, by) };
}
