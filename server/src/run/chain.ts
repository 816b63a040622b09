/**
 * The events of a run as links of a chain. Journal and record hold the same links, so that what was acknowledged while it ran can
 * be compared with what was kept. It knows no files.
 */
import { linkDigest, valueDigest } from './digest.ts';
import type { RunEvent } from './events.ts';
import { sealedEvent, sealFor, type Seal } from './seal-people.ts';

export interface ChainLink {
  /** Position from 1. */
  readonly number: number;
  readonly event: RunEvent;
  /** Digest over the link before it (or the run's opening) and `number` and `event`, names of people as their seals. */
  readonly digest: string;
}

/** What a run is bound to before its first event. */
export interface RunOpening {
  /** The run's own id. */
  readonly run: string;
  readonly procedure: string;
  readonly contentHash: string;
}

/** Digest that the first link is chained to. */
export function openingDigest(opening: RunOpening): string {
  return valueDigest({ run: opening.run, procedure: opening.procedure, contentHash: opening.contentHash });
}

/** The next link after `before`, the digest of the last link or of the opening. `seal` is that of the run (`sealFor`). */
export function chainLink(before: string, number: number, event: RunEvent, seal: Seal): ChainLink {
  return { number, event, digest: digestOfLink(before, number, event, seal) };
}

/** The digest that a link must have. */
export function digestOfLink(before: string, number: number, event: RunEvent, seal: Seal): string {
  return linkDigest(before, { number, event: sealedEvent(event, seal) });
}

export function chainEvents(opening: RunOpening, events: readonly RunEvent[]): ChainLink[] {
  const links: ChainLink[] = [];
  const seal = sealFor(events);
  let before = openingDigest(opening);
  events.forEach((event, index) => {
    const link = chainLink(before, index + 1, event, seal);
    links.push(link);
    before = link.digest;
  });
  return links;
}

export interface ChainProblem {
  /** Number of the link it concerns. */
  readonly number: number;
  readonly kind: 'altered' | 'missing' | 'moved' | 'repeated';
  readonly message: string;
}

/** Every place where the chain is broken, in order. Empty: it is whole. What is cut off its end it cannot tell; the record's count can. */
export function chainProblems(opening: RunOpening, links: readonly ChainLink[], seal: Seal = sealFor(links.map((link) => link.event))): ChainProblem[] {
  const problems: ChainProblem[] = [];
  const there = new Set(links.map((link) => link.number));
  const seen = new Set<number>();
  let expected = 1;
  let previous = 0;
  let before = openingDigest(opening);
  for (const link of links) {
    const { number } = link;
    if (seen.has(number)) {
      problems.push({ number, kind: 'repeated', message: `Event ${number} is there twice.` });
    } else if (number > expected && !there.has(expected)) {
      const which = number - 1 === expected ? `Event ${expected} is` : `Events ${expected} to ${number - 1} are`;
      problems.push({ number: expected, kind: 'missing', message: `${which} missing before event ${number}.` });
    } else if (number !== expected) {
      problems.push({ number, kind: 'moved', message: `Event ${number} is out of order.` });
    } else if (previous === number - 1 && link.digest !== digestOfLink(before, number, link.event, seal)) {
      problems.push({ number, kind: 'altered', message: `Event ${number} was altered, or what stood before it was exchanged.` });
    }
    seen.add(number);
    before = link.digest;
    previous = number;
    expected = Math.max(expected, number + 1);
  }
  return problems;
}
