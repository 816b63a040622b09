/** Which word list a procedure is read with. English is the only one so far; another is added here. */
import type { Procedure } from '../../procedure/model.ts';
import { ENGLISH } from './english.ts';
import type { WordList } from './word-list.ts';

export function wordListOf(_procedure: Procedure): WordList {
  return ENGLISH;
}
