/**
 * Whether a sentence does what stands in it, or only forbids it, keeps it as it is, perceives it or speaks of it: 'Undo the cap' is work, 'Leave
 * the cap closed' and 'Read the label on the cap' are not. A question is: its answer takes hands and eyes to the thing. It knows sentences, and
 * nothing of hazards. In doubt the sentence is work: a caution too many is read, one too few is missed.
 */
import type { Span } from '../text/span.ts';

/** Whether the words at `place` are spoken of in their sentence without being done. */
export function isOnlySpokenOf(text: string, place: Span): boolean {
  const before = text.slice(sentenceStart(text, place.start), place.start).trimStart();
  const said = text.slice(place.start, place.end);
  const end = sentenceEnd(text, place.end);
  const after = text.slice(place.end, end);
  if (isForbidden(before)) return true;
  // What runs or is up meanwhile does so whatever the sentence is about.
  if (MEANWHILE.test(said)) return false;
  const breaks = breaksIn(before);
  const last = breaks.at(-1);
  // What governs the words is the clause that they stand in: 'Look at the belt and open the cap' opens the cap.
  const clause = before.slice(last?.end ?? 0).trimStart();
  if (NOBODY.test(clause) || STAYS_AWAY.test(clause)) return true;
  const isThere = PLACE.test(said);
  if (SPEAKS.test(before) && breaks.every((found) => !NEXT_ACT.test(found.word))) {
    return !TO_DO.test(before) && !BY_THE_READER.test(before) && (REPORTED.test(before) || !isThere);
  }
  // Who is under it or in it is in danger, whatever is done there; and 'Look at the cap and take it off' takes it off.
  if (isThere || REFERS_BACK.test(after) || REFERS_BACK.test(text.slice(end, sentenceEnd(text, end)))) return false;
  if (WITHOUT.test(clause)) return true;
  if (MAKES_SURE.test(before) && breaks.every((found) => SUBORDINATE.test(found.word))) return !BY_THE_READER.test(before);
  if (KEEPS.test(clause) || PERCEIVES.test(clause)) return !TO_DO.test(clause);
  return DRAWS.test(clause) && ON_PAPER.test(`${clause} ${after}`);
}

/** Words that say where or when something is done, in place of what. */
const PLACE = /^(under|underneath|beneath|below|in|into|inside|between|on|up|across|from|behind|at|by)\b/iu;
const MEANWHILE = /^(with|while)\b/iu;
/** A verb and 'it' or 'them', where the verb is no perceiving: what was named is then worked on. */
const REFERS_BACK = /(?<![\p{L}\p{N}])(?!(?:is|are|was|were|if|that|when|until|till|while|whether|where|as|how|does|do|has|had|than|and|but|once|because|so|at|on|of|in|for|to|from|with|by|behind|near|beside|read|photograph|note|see|watch|write|record)\s)\p{L}+\s+(?:it|them)(?![\p{L}\p{N}])/iu;
const WITHOUT = /\bwithout\s+\p{L}+ing\b[^,;:]*$/iu;
const NOBODY = /^(nobody|no one|no person)\b/iu;
const STAYS_AWAY = /\b(stay|stays|keep|keeps|stand|stands|remain|remains)\b.*\b(out|away|clear|off|back|from)\b/iu;
/** 'Keep turning the engine' goes on with it. What is closed is then as it should be kept. */
const KEEPS = /^(stay|stays|keep|keeps|leave|leaves|close|shut)\b(?!\s+\p{L}+ing\b)/iu;
const PERCEIVES = /^(look|read|see|watch|listen|photograph|note|write|record|list|name|order|compare)\b/iu;
const MAKES_SURE = /^(check|see|make\s+sure|ensure|verify|confirm)\s+(that|whether|if|where|how|which)\b/iu;
const SPEAKS = /^(ask|tell|inform|report|say|call)\b/iu;
const REPORTED = /\b(whether|if|that|how|why|when|what|which|who)\b/iu;
const DRAWS = /^(draw|sketch|mark|trace|find|identify)\b/iu;
const ON_PAPER = /\b(sketch|diagram|drawing|sheet|plan|paper|chart|picture|photo)\b/iu;
const BY_THE_READER = /\b(you|your helper|a second person|someone)\b/iu;
const TO_DO = /\bto\b/iu;

const FORBIDS = /\b(do not|don't|never|must not|may not|cannot|can't)\b/giu;
const CONDITION = /^(if|when|whenever|once|unless|until|till|because|as|while|whilst|that|which|who)$/iu;
const SUBORDINATE = /^(that|whether|if|which|who|when)$/iu;
const NEXT_ACT = /^(,|:|and|then|but|before|after|until|till|while)$/iu;
const OTHER_ACT = /^(then|but|before|after|until|till|while|whilst|when|whenever|once|unless|if)$/iu;
const BREAKS = /[,:]|(?<![\p{L}\p{N}])(?:then|but|or|and|while|whilst|until|till|before|after|when|whenever|once|if|unless|that|which|who|so|because|as)(?![\p{L}\p{N}])/giu;

/**
 * 'Do not open the cap' forbids it; 'Do not smoke while you drain the fuel' does not forbid to drain, and 'If the lamps do not light, open …'
 * forbids nothing: a condition ends with its comma.
 */
function isForbidden(before: string): boolean {
  return [...before.matchAll(FORBIDS)].some((found) => {
    const opened = breaksIn(before.slice(0, found.index)).at(-1);
    const since = breaksIn(before.slice(found.index)).map(({ word }) => word);
    if (since.some((word) => OTHER_ACT.test(word))) return false;
    return opened === undefined || !CONDITION.test(opened.word) || !since.includes(',');
  });
}

/** The words and marks that open another clause; a question word that opens the sentence is none. */
function breaksIn(text: string): { readonly word: string; readonly end: number }[] {
  return [...text.matchAll(BREAKS)]
    .map((found) => ({ word: found[0], end: found.index + found[0].length }))
    .filter(({ word, end }) => end !== word.length || !/^(which|who)$/iu.test(word));
}

function sentenceStart(text: string, place: number): number {
  return Math.max(...ENDS.map((mark) => (place === 0 ? -1 : text.lastIndexOf(mark, place - 1)))) + 1;
}

/** Behind its mark. */
function sentenceEnd(text: string, place: number): number {
  return Math.min(text.length, ...ENDS.map((mark) => text.indexOf(mark, place)).filter((found) => found >= 0).map((found) => found + 1));
}

const ENDS = ['.', '!', '?', ';', '\n'];
