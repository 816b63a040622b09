/** Which file was which, where files have other names or folders than before: by the name of the procedure, else by what it says. */
import type { Analysis } from '../analysis/analysis.ts';
import { wordsInCommon } from './weaker-texts.ts';

/** For the path of a file that is new the path of the one, gone since, that it was. Shop and assets files go by what they say. */
export function pairFiles(gone: readonly Analysis[], added: readonly Analysis[]): Map<string, string> {
  const pairs = new Map<string, string>();
  const left = new Set(gone);
  const take = (is: Analysis, was: Analysis | undefined): void => {
    if (was === undefined) return;
    pairs.set(is.file, was.file);
    left.delete(was);
  };
  // Of several with one name, the likest.
  const likest = (is: Analysis, among: readonly Analysis[], least: number): Analysis | undefined =>
    among.map((was) => ({ was, like: wordsInCommon(was.text, is.text) })).filter(({ like }) => like >= least).sort((a, b) => b.like - a.like)[0]?.was;
  for (const is of added) {
    const name = is.procedure?.name?.value;
    if (name !== undefined) take(is, likest(is, [...left].filter((was) => was.procedure?.name?.value === name), 0));
  }
  for (const is of added) if (!pairs.has(is.file)) take(is, likest(is, [...left].filter((was) => was.kind === is.kind), ALIKE));
  return pairs;
}

/** Share of words in common from which on a file is taken for another that was renamed. */
const ALIKE = 0.6;
