/**
 * What the sentences of a test say: on which condition, what is to be done, where to go on. English, with the usual German words for ways
 * on. It reads one sentence at a time and knows no procedure.
 */
import { isCommand } from '../checks/words/commands.ts';
import { ENGLISH } from '../checks/words/english.ts';
import { wordsOf } from '../checks/words/sentences.ts';
import { limitIn, type ProseLimit } from './prose-limits.ts';

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

/** 'Yes: …', 'No → …', 'OK - …'. */
const ANSWER_FIRST = /^(?:if\s+)?(yes|no|ja|nein|ok|okay|not ok|o\.k\.|pass|passed|fail|failed|good|bad|true|false)\s*(?:[:=,–—.]|->|=>|→|-(?=\s)|\.\.\.)\s*(.+)$/i;
const OTHERWISE = /^(?:(?:otherwise|else|if not|in all other cases|in any other case|sonst|andernfalls|wenn nicht|if otherwise)\b\s*[,:–—-]?|if (?:it|they|there|this) (?:is|are|does|do|has) not\s*[,:])\s*(.*)$/i;
const IF_SO = /^(?:(?:if so|wenn ja|in this case|in that case)\b\s*[,:–—-]?|if (?:it|they|there|this) (?:is|are|does|do|has)\s*[,:])\s*(.*)$/i;
const CONDITION = /^(?:if|when|whenever|where|should|in case(?: of)?|wenn|falls)\s+(.*)$/i;
/** Between two branches of one sentence. */
const NEXT_BRANCH = /\s*(?:[,;/]|\.|\band\b|\bor\b|–|—)\s*(?=(?:otherwise|else|if not|if so|if it|if the|if they|if yes|if no|no\s*[:=–—-]|no\s*(?:->|→)|not ok|fail\s*[:=–—-]|sonst|andernfalls|wenn)\b)|\s+(?=(?:otherwise|else)\b)|\s+(?=(?:no|nein|not ok|fail)\s*(?:->|=>|→|:|=))/i;
const GO_WORDS = 'go on|go back|goto|go|proceed|continue|carry on|skip|jump|return|move on|move|advance|weiter|zurück|repeat|do|perform|carry out|start again|start over';
const STEP_WORD = '(?:steps?|schritte?|items?|tests?|paragraphs?|points?|no\\.?|nr\\.?|number|#)';
/** Of an item: a number, a number with a letter, or a letter alone. */
const LABEL = '(\\d{1,3}(?:\\.\\d{1,3})*(?:\\s?[a-z])?(?![\\w%°])|(?:[b-z](?=[.,;)\\s]|$)|a(?=[.,;)]|$)))';
const GO_LABEL = new RegExp(`\\b(?:${GO_WORDS})\\b(?:[^.;]*?(?:${STEP_WORD}\\s*|\\b(?:to|with|at|from|mit|zu|bei)\\s+)\\(?|\\s+)${LABEL}`, 'i');
const BARE_LABEL = new RegExp(`^(?:->|=>|→|see|siehe)?\\s*(?:${STEP_WORD}\\s*)?\\(?${LABEL}\\)?\\s*[.)]?$`, 'i');
const ARROW_LABEL = new RegExp(`(?:->|=>|→)\\s*(?:${STEP_WORD}\\s*)?${LABEL}`, 'i');
const NEXT = /^(?:then\s+)?(?:(?:go|carry|move) on|continue|proceed|carry on|weiter)(?:\s+(?:to|with|mit))?(?:\s+(?:the|dem))?(?:\s+(?:next|following|nächsten)(?:\s+(?:step|test|item|schritt))?)?\.?$|^(?:then\s+)?go (?:on )?to the next (?:step|test|item)\.?$|^next (?:step|test)?\.?$/i;
const PASSES = /\b(?:end of (?:the )?(?:test|procedure|check|inspection|list)|(?:test|procedure|check|inspection|work|job) (?:is )?(?:complete|completed|finished|done|ended|over)|no fault(?: found)?|return (?:the \w+(?: \w+)? |it )?to service|release (?:the \w+ |it )?(?:for|to) service|(?:system|circuit|unit|vehicle|machine) is (?:ok|good|normal|in order|serviceable))\b|^(?:end|stop|done|finished|ende|fertig)\.?$/i;
const REPAIR = /^(?:then\s+)?(?:replace|renew|repair|clean|tighten|retighten|adjust|readjust|charge|recharge|fill|refill|top up|fit|refit|install|lubricate|grease|bleed|reset|change|exchange|correct|restore|reconnect|connect|rectify|find (?:and|the)|remove|free|overhaul|straighten|solder|splice|seal|flush|drain|calibrate|reprogram|mend|fix|swap|re-?torque|ersetzen|tauschen)\b/i;
/** German puts the verb last. */
const REPAIR_LAST = /\b(?:ersetzen|tauschen|austauschen|erneuern|reparieren|instand setzen|laden|füllen|auffüllen|reinigen|nachziehen|festziehen|einstellen|schmieren|entlüften)\.?$/i;
/** The work ends, and someone else goes on. */
const STOPS = /^(?:then\s+)?(?:stop|do not|never)\b/i;
const REFER = /^(?:then\s+)?(?:see|refer|contact|call|consult|ask|inform|report|siehe|use)\b/i;

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
    const match = NEXT_BRANCH.exec(rest.slice(4));
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
  const answer = ANSWER_FIRST.exec(part);
  if (answer !== null) return made(whenOfWord(answer[1] ?? ''), answer[1] ?? '', answer[2] ?? '');
  // 'Oil at the rod? -> go to 5'.
  const asked = /^(.{2,80}?)\?\s*(?:->|=>|→|:|–|—|-(?=\s))\s*(.+)$/.exec(part);
  if (asked !== null) return made(whenOf(asked[1] ?? ''), asked[1] ?? '', asked[2] ?? '');
  const otherwise = OTHERWISE.exec(part);
  if (otherwise !== null) return (otherwise[1] ?? '') === '' ? undefined : made({ kind: 'otherwise' }, 'otherwise', otherwise[1] ?? '');
  const soIt = IF_SO.exec(part);
  if (soIt !== null && beginsWay(soIt[1] ?? '')) return made({ kind: 'yes' }, 'yes', soIt[1] ?? '');
  const conditional = CONDITION.exec(part);
  if (conditional !== null) {
    const split = splitCondition(conditional[1] ?? '');
    return split && made(whenOf(split.condition), split.condition, split.consequence);
  }
  // 'Go to step 5 if the lamp is dark.'
  const late = /^(.+?)\s+(?:if|when|wenn)\s+(.+?)\.?$/i.exec(part);
  if (late !== null && isWay(late[1] ?? '')) return made(whenOf(late[2] ?? ''), late[2] ?? '', late[1] ?? '');
  // '< 12.4 V: charge the battery', '12.4 V or more → 5'.
  const marked = /^(.{1,60}?)\s*(?::|->|=>|→|=)\s*(.+)$/.exec(part);
  if (marked !== null && limitIn(marked[1] ?? '')?.compared === true && beginsWay(marked[2] ?? '')) return made(whenOf(marked[1] ?? ''), marked[1] ?? '', marked[2] ?? '');
  // In a list below a question: 'No leak heard: go to e.'
  if (inList && marked !== null && !isCommand(marked[1] ?? '', ENGLISH) && (isWay(marked[2] ?? '') || PASSES.test(marked[2] ?? ''))) return made(whenOf(marked[1] ?? ''), marked[1] ?? '', marked[2] ?? '');
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
  const words = wordsOf(text, ENGLISH);
  for (const [index, word] of words.entries()) {
    const from = word.span.start;
    const before = words[index - 1];
    const hasObject = ENGLISH.commandVerbs.has(word.small) && ENGLISH.determiners.has(words[index + 1]?.small ?? '') && words[index + 1]?.afterPause === false;
    const isVerb = index >= 2 && hasObject && before !== undefined && !ENGLISH.determiners.has(before.small) && before.small !== 'to';
    if (index >= 1 && (isWay(text.slice(from)) || isVerb)) starts.push({ end: from, from });
  }
  const first = starts.sort((a, b) => a.from - b.from)[0];
  if (first !== undefined) return { condition: text.slice(0, first.end).trim(), consequence: text.slice(first.from) };
  const comma = text.indexOf(', ');
  return comma > 0 && text.slice(0, comma).includes(' ') ? { condition: text.slice(0, comma), consequence: text.slice(comma + 2) } : undefined;
}

function isWay(text: string): boolean {
  return new RegExp(`^(?:then\\s+)?(?:${GO_WORDS})\\b`, 'i').test(text) && (GO_LABEL.test(text) || NEXT.test(text)) ? true : NEXT.test(text) || REPAIR.test(text) || REPAIR_LAST.test(text) || ARROW_LABEL.test(text.slice(0, 12));
}

function beginsWay(text: string): boolean {
  return isWay(text) || PASSES.test(text) || REFER.test(text) || BARE_LABEL.test(text) || isCommand(text, ENGLISH);
}

function whenOfWord(word: string): ProseWhen {
  const small = word.toLowerCase();
  if (/^(?:yes|ja|true)$/.test(small)) return { kind: 'yes' };
  if (/^(?:no|nein|false)$/.test(small)) return { kind: 'no' };
  return /^(?:ok|okay|o\.k\.|pass|passed|good)$/.test(small) ? { kind: 'within' } : { kind: 'outside' };
}

/** 'It is lower': than the limit that was given. */
const RELATIVE = /^(?:(?:it|this|that|they|the (?:reading|value|voltage|resistance|current|pressure|time|temperature|result)s?|reading|value) )?(?:(?:is|are) )?(?:higher|lower|less|more|greater|smaller|slower|faster|longer|shorter|above|below)$/i;

/** What a condition asks: a limit, within it or not, yes or no, or an answer in the writer's words. */
export function whenOf(condition: string): ProseWhen {
  const text = condition.trim().replace(/[.,:;]+$/, '');
  if (/^(?:yes|no|ja|nein)$/i.test(text)) return whenOfWord(text);
  if (/^so$/i.test(text)) return { kind: 'yes' };
  if (RELATIVE.test(text)) return { kind: 'outside' };
  const limit = limitIn(text);
  if (limit !== undefined) return { kind: 'limit', limit };
  const isOutside = /\b(?:not|isn't|aren't|is no|out(?:side)?)\b.*\b(?:within|in range|in spec\w*|correct|ok|okay|good|normal|as specified|as shown|of range|of spec\w*|of tolerance|of limits?|the limits?|specif\w*|tolerance)\b|^(?:incorrect|wrong|faulty|bad|abnormal|not ok|out of (?:range|spec\w*|tolerance|limits?)|no good)\b/i.test(text);
  if (isOutside) return { kind: 'outside' };
  const isWithin = /\b(?:within (?:the )?(?:range|limits?|spec\w*|tolerance|values?)|in (?:range|spec\w*|tolerance)|as specified|to spec\w*)\b|^(?:(?:it|this|that|the (?:reading|value|voltage|resistance|pressure|result)s?) (?:is|are) )?(?:ok|okay|correct|good|normal|right|satisfactory|in order)$/i.test(text);
  return isWithin ? { kind: 'within' } : { kind: 'answer', text };
}

/** What follows a condition. */
export function wayOf(consequence: string): ProseWay {
  const text = consequence.trim().replace(/^then\s+/i, '').replace(/[.;,]+$/, '');
  if (NEXT.test(text)) return { next: true };
  const label = (BARE_LABEL.exec(text) ?? GO_LABEL.exec(text) ?? ARROW_LABEL.exec(text))?.[1]?.replace(/\s/g, '').toLowerCase();
  if (label !== undefined) {
    const action = before(text, new RegExp(`(?:,?\\s*(?:and|then|und)\\s+(?:then\\s+)?)?(?:\\b(?:${GO_WORDS})\\b|->|=>|→)(?=[^;]*${LABEL})`, 'i'));
    return action === '' || /^(?:the|a)?\s*$/i.test(action) ? { go: label } : { action: sentenceOf(action), go: label };
  }
  const onward = /^(.+?),?\s+(?:and|then)\s+(?:then\s+)?((?:continue|proceed|go on|carry on)\b.*)$/i.exec(text);
  if (onward !== null && NEXT.test(onward[2] ?? '')) return { action: sentenceOf(onward[1] ?? ''), next: true };
  if (PASSES.test(text)) return { passes: true };
  if (REFER.test(text) || STOPS.test(text)) return { refer: sentenceOf(text) };
  return isRepair(text) || isCommand(text, ENGLISH) ? { action: sentenceOf(text) } : { refer: sentenceOf(text) };
}

/** Whether a sentence sends the reader on by a word or an arrow, not by a number alone. */
export function leadsOn(sentence: string): boolean {
  return ARROW_LABEL.test(sentence) || GO_LABEL.test(sentence);
}

/** Whether a text says that the work ends, and little else. */
export function isEnd(text: string): boolean {
  return PASSES.test(text) && text.split(' ').length <= 8;
}

/** Whether what is done puts something right, rather than looks on. */
export function isRepair(action: string): boolean {
  return REPAIR.test(action) || REPAIR_LAST.test(action) || new RegExp(`\\b(?:or|and)\\s+(?:replace|renew|repair|exchange)\\b`, 'i').test(action);
}

function before(text: string, pattern: RegExp): string {
  const match = pattern.exec(text);
  return match === null ? '' : text.slice(0, match.index).replace(/[\s,;]+$/, '').replace(/\s+(?:and|then)$/i, '');
}

function sentenceOf(text: string): string {
  const trimmed = text.trim();
  const capital = trimmed.charAt(0).toUpperCase() + trimmed.slice(1);
  return /[.?!]$/.test(capital) ? capital : `${capital}.`;
}
