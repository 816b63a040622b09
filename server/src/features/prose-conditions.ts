/**
 * What the sentences of a test say: on which condition, what is to be done, where to go on. It reads one sentence at a time and
 * knows no procedure; the words that it goes by stand in prose-words.ts.
 */
import { isCommand } from '../checks/words/commands.ts';
import { ENGLISH } from '../checks/words/english.ts';
import { wordsOf } from '../checks/words/sentences.ts';
import { limitIn, type ProseLimit } from './prose-limits.ts';
import * as words from './prose-words.ts';

export type ProseWhen =
  | { readonly kind: 'yes' | 'no' | 'otherwise' }
  /** The reading is as the limit of the item says, or is not. */
  | { readonly kind: 'within' | 'outside' }
  | { readonly kind: 'limit'; readonly limit: ProseLimit }
  | { readonly kind: 'answer'; readonly text: string };

export interface ProseWay {
  /** What is done first, as a sentence; a repair where nothing follows it. */
  readonly action?: string;
  /** The label of the item to go on with. */
  readonly go?: string;
  /** On with the next item. */
  readonly next?: true;
  readonly passes?: true;
  /** Whom or what to turn to. */
  readonly refer?: string;
}

export interface ProseBranch {
  readonly when: ProseWhen;
  /** The condition as it was written. */
  readonly condition: string;
  readonly way: ProseWay;
  /** What is said of it, beside the way on. */
  readonly says?: string;
}

/** The branches of a sentence; empty where it states none. `inList`: it stands in a list below what is asked. */
export function branchesOf(sentence: string, inList = false): ProseBranch[] {
  const whole = sentence.trim().replace(/\s+/g, ' ');
  const parts = splitBranches(whole);
  const branches: ProseBranch[] = [];
  for (const part of parts) {
    const branch = branchOf(part, inList);
    // A part that is none after one that is goes with it: 'go to 4 and note the reading'.
    if (branch === undefined) return branches.length > 0 && parts.length > 1 ? [] : branches;
    branches.push(branch);
  }
  return branches;
}

function splitBranches(sentence: string): string[] {
  const parts: string[] = [];
  let rest = sentence;
  for (;;) {
    // The first branch must have begun before a second can.
    const match = words.NEXT_BRANCH.exec(rest.slice(4));
    if (match === null) break;
    parts.push(rest.slice(0, match.index + 4).trim());
    rest = rest.slice(match.index + 4 + match[0].length).trim();
  }
  return [...parts, rest].filter((part) => part !== '');
}

function made(when: ProseWhen, condition: string, consequence: string): ProseBranch {
  return { when, condition: condition.trim(), way: wayOf(consequence) };
}

function branchOf(part: string, inList: boolean): ProseBranch | undefined {
  const answer = words.ANSWER_FIRST.exec(part);
  if (answer !== null) return made(whenOfWord(answer[1] ?? ''), answer[1] ?? '', answer[2] ?? '');
  const asked = words.ASKED_FIRST.exec(part);
  if (asked !== null) return made(whenOf(asked[1] ?? ''), asked[1] ?? '', asked[2] ?? '');
  const otherwise = words.OTHERWISE.exec(part);
  if (otherwise !== null)
    return (otherwise[1] ?? '') === '' ? undefined : made({ kind: 'otherwise' }, 'otherwise', otherwise[1] ?? '');
  const soIt = words.IF_SO.exec(part);
  if (soIt !== null && beginsWay(soIt[1] ?? '')) return made({ kind: 'yes' }, 'yes', soIt[1] ?? '');
  const conditional = words.CONDITION.exec(part);
  if (conditional !== null) {
    const split = splitCondition(conditional[1] ?? '');
    return split && made(whenOf(split.condition), split.condition, split.consequence);
  }
  // 'Go to step 5 if the lamp is dark.'
  const late = /^(.+?)\s+(?:if|when|wenn)\s+(.+?)\.?$/i.exec(part);
  if (late !== null && isWay(late[1] ?? '')) return made(whenOf(late[2] ?? ''), late[2] ?? '', late[1] ?? '');
  // '< 12.4 V: charge the battery', '12.4 V or more → 5'.
  const marked = /^(.{1,60}?)\s*(?::|->|=>|→|=)\s*(.+)$/.exec(part);
  if (marked !== null && limitIn(marked[1] ?? '')?.compared === true && beginsWay(marked[2] ?? ''))
    return made(whenOf(marked[1] ?? ''), marked[1] ?? '', marked[2] ?? '');
  // In a list below a question: 'No leak heard: go to e.'
  if (
    inList &&
    marked !== null &&
    !isCommand(marked[1] ?? '', ENGLISH) &&
    (isWay(marked[2] ?? '') || words.PASSES.test(marked[2] ?? ''))
  )
    return made(whenOf(marked[1] ?? ''), marked[1] ?? '', marked[2] ?? '');
  return undefined;
}

/** Parts 'the lamp is dark, go to step 5' where the consequence begins: at the first pause or word that begins one. */
function splitCondition(text: string): { condition: string; consequence: string } | undefined {
  const starts: { readonly end: number; readonly from: number }[] = [];
  for (const pause of text.matchAll(/\s*,?\s+then\s+|,\s+|\s*[:;]\s+|\s+[–—-]\s+|\s*(?:->|=>|→)\s*/gi)) {
    const from = pause.index + pause[0].length;
    if (/then|>|→/i.test(pause[0]) || beginsWay(text.slice(from))) starts.push({ end: pause.index, from });
  }
  // 'below 12.4 V go to step 5', 'it is blown replace it'.
  const said = wordsOf(text, ENGLISH);
  for (const [index, word] of said.entries()) {
    const from = word.span.start;
    const before = said[index - 1];
    const hasObject =
      ENGLISH.commandVerbs.has(word.small) &&
      ENGLISH.determiners.has(said[index + 1]?.small ?? '') &&
      said[index + 1]?.afterPause === false;
    const isVerb =
      index >= 2 && hasObject && before !== undefined && !ENGLISH.determiners.has(before.small) && before.small !== 'to';
    if (index >= 1 && (isWay(text.slice(from)) || isVerb)) starts.push({ end: from, from });
  }
  const first = starts.sort((a, b) => a.from - b.from)[0];
  if (first !== undefined) return { condition: text.slice(0, first.end).trim(), consequence: text.slice(first.from) };
  const comma = text.indexOf(', ');
  return comma > 0 && text.slice(0, comma).includes(' ')
    ? { condition: text.slice(0, comma), consequence: text.slice(comma + 2) }
    : undefined;
}

function isWay(text: string): boolean {
  if (words.GO_WORD.test(text) && words.GO_LABEL.test(text)) return true;
  return words.NEXT.test(text) || words.REPAIR.test(text) || words.REPAIR_LAST.test(text) || words.ARROW_LABEL.test(text.slice(0, 12));
}

function beginsWay(text: string): boolean {
  return isWay(text) || words.PASSES.test(text) || words.REFER.test(text) || words.BARE_LABEL.test(text) || isCommand(text, ENGLISH);
}

function whenOfWord(word: string): ProseWhen {
  const small = word.toLowerCase();
  if (/^(?:yes|ja|true)$/.test(small)) return { kind: 'yes' };
  if (/^(?:no|nein|false)$/.test(small)) return { kind: 'no' };
  return /^(?:ok|okay|o\.k\.|pass|passed|good)$/.test(small) ? { kind: 'within' } : { kind: 'outside' };
}

/** What a condition asks: a limit, within it or not, yes or no, or an answer in the writer's words. */
export function whenOf(condition: string): ProseWhen {
  const text = condition.trim().replace(/[.,:;]+$/, '');
  if (/^(?:yes|no|ja|nein)$/i.test(text)) return whenOfWord(text);
  if (/^so$/i.test(text)) return { kind: 'yes' };
  if (words.RELATIVE.test(text)) return { kind: 'outside' };
  const limit = limitIn(text);
  if (limit !== undefined) return { kind: 'limit', limit };
  if (words.OUTSIDE.test(text)) return { kind: 'outside' };
  return words.WITHIN.test(text) ? { kind: 'within' } : { kind: 'answer', text };
}

/** What follows a condition. */
export function wayOf(consequence: string): ProseWay {
  const text = consequence
    .trim()
    .replace(/^then\s+/i, '')
    .replace(/[.;,]+$/, '');
  if (words.NEXT.test(text)) return { next: true };
  const label = (words.BARE_LABEL.exec(text) ?? words.GO_LABEL.exec(text) ?? words.ARROW_LABEL.exec(text))?.[1]?.replace(/\s/g, '').toLowerCase();
  if (label !== undefined) {
    const action = before(text, words.WAY_BEGINS);
    return action === '' || /^(?:the|a)?\s*$/i.test(action) ? { go: label } : { action: sentenceOf(action), go: label };
  }
  const onward = /^(.+?),?\s+(?:and|then)\s+(?:then\s+)?((?:continue|proceed|go on|carry on)\b.*)$/i.exec(text);
  if (onward !== null && words.NEXT.test(onward[2] ?? '')) return { action: sentenceOf(onward[1] ?? ''), next: true };
  if (words.PASSES.test(text)) return { passes: true };
  if (words.REFER.test(text) || words.STOPS.test(text)) return { refer: sentenceOf(text) };
  return isRepair(text) || isCommand(text, ENGLISH) ? { action: sentenceOf(text) } : { refer: sentenceOf(text) };
}

/** Whether a sentence sends the reader on by a word or an arrow, not by a number alone. */
export function leadsOn(sentence: string): boolean {
  return words.ARROW_LABEL.test(sentence) || words.GO_LABEL.test(sentence);
}

/** Whether a text says that the work ends, and little else. */
export function isEnd(text: string): boolean {
  return words.PASSES.test(text) && text.split(' ').length <= 8;
}

/** Whether what is done puts something right, rather than looks on. */
export function isRepair(action: string): boolean {
  return (
    words.REPAIR.test(action) ||
    words.REPAIR_LAST.test(action) ||
    words.OR_REPAIR.test(action)
  );
}

function before(text: string, pattern: RegExp): string {
  const match = pattern.exec(text);
  return match === null
    ? ''
    : text
        .slice(0, match.index)
        .replace(/[\s,;]+$/, '')
        .replace(/\s+(?:and|then)$/i, '');
}

function sentenceOf(text: string): string {
  const trimmed = text.trim();
  const capital = trimmed.charAt(0).toUpperCase() + trimmed.slice(1);
  return /[.?!]$/.test(capital) ? capital : `${capital}.`;
}
