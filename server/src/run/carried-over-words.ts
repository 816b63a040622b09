/** How it is said that a run went on by another text of its procedure. */
import type { CarriedOver } from './walk-state.ts';

/** 'Carried over from revision 4 to revision 5 on 2026-11-25 09:30: …' */
export function carriedOverWords(one: CarriedOver): string {
  const text = (revision: string | undefined): string => (revision === undefined ? 'another text' : `revision ${revision}`);
  const by = one.person === undefined ? '' : ` by ${one.person}`;
  return `Carried over from ${text(one.wasRevision)} to ${one.revision === one.wasRevision ? 'a changed text of it' : text(one.revision)} on ${one.at.slice(0, 16).replace('T', ' ')}${by}. The steps walked before are the same in both.`;
}
