/** Whether a sentence tells the reader to do something, and how many things. Knows no procedure. */
import { wordsOf, type Sentence, type Word } from './sentences.ts';
import type { WordList } from './word-list.ts';

/** Whether the sentence is a command: 'Open the cover.', 'If the lamp is dark, stop.', 'Do not open the cover.' */
export function isCommand(sentence: string, list: WordList): boolean {
  if (commandAt(wordsOf(sentence, list), list) !== undefined) return true;
  // 'Lamp module: unplug connector A.'
  const colon = sentence.indexOf(':');
  return colon > 0 && commandAt(wordsOf(sentence.slice(colon + 1), list), list) !== undefined;
}

/** Where the command begins among the words: 0 for 'Open the cover.', 4 for 'If it is dark, stop.' */
function commandAt(words: readonly Word[], list: WordList): number | undefined {
  let start = 0;
  while (words[start] !== undefined && list.beforeCommand.has(words[start]?.small ?? '') && !beginsCommand(words, start, list)) start++;
  if (beginsCommand(words, start, list)) return start;
  // 'Once' may be how often, or the condition itself.
  if (!list.conditionOpeners.has(words[start]?.small ?? '')) {
    if (!list.conditionOpeners.has(words[0]?.small ?? '')) return undefined;
    start = 0;
  }
  // After a condition: the first clause that begins with a command, or a command verb with its object right after it.
  for (let index = start + 1; index < words.length; index++) {
    const word = words[index] as Word;
    if (word.afterPause && (commandAfterPause(words, index, list) || list.beforeCommand.has(word.small))) return index;
  }
  for (let index = start + 2; index < words.length; index++) if (isVerbWithObject(words, index, list)) return index;
  return undefined;
}

function commandAfterPause(words: readonly Word[], index: number, list: WordList): boolean {
  const word = words[index] as Word;
  return beginsCommand(words, index, list) || (list.actionJoiners.has(word.small) && beginsCommand(words, index + 1, list));
}

function beginsCommand(words: readonly Word[], index: number, list: WordList): boolean {
  const word = words[index];
  if (word === undefined || !isVerb(word.small, list)) return false;
  return !namesPart(words, index, list);
}

/** A verb of the list; 're-torque' and 'load-test' by their last part. */
function isVerb(word: string, list: WordList): boolean {
  return list.commandVerbs.has(word) || (word.includes('-') && list.commandVerbs.has(word.slice(word.lastIndexOf('-') + 1)));
}

/** 'Oil level is low', 'Check valve closes': the word begins the name of a part, of which something is said. */
function namesPart(words: readonly Word[], index: number, list: WordList): boolean {
  if (!list.verbsThatAreParts.has(words[index]?.small ?? '')) return false;
  const next = words[index + 1];
  if (next === undefined) return false;
  if (list.statementVerbs.has(next.small)) return true;
  if (list.afterVerb.has(next.small)) return false;
  for (let at = index + 2; at <= index + 3; at++) {
    const word = words[at];
    if (word === undefined || word.afterPause || list.afterVerb.has(word.small)) return false;
    if (list.statementVerbs.has(word.small)) return true;
    // 'Wheel nuts tightened to 600 N·m': said of the nuts, not to the reader.
    const following = words[at + 1];
    if (list.saidOfThings.test(word.small) && (following === undefined || list.afterVerb.has(following.small))) return true;
  }
  return false;
}

/** A command verb whose object follows at once: 'lock it', 'close the valve'. */
function isVerbWithObject(words: readonly Word[], index: number, list: WordList): boolean {
  const word = words[index];
  const next = words[index + 1];
  return word !== undefined && next !== undefined && list.commandVerbs.has(word.small) && list.determiners.has(next.small) && !next.afterPause;
}

export interface SecondAction {
  /** Of the second verb, within the text. */
  readonly start: number;
  readonly end: number;
  /** Where what joins the two begins: the white space between sentences, or before 'and'. */
  readonly joinStart: number;
  /** The second verb, as written. */
  readonly verb: string;
}

/** The second action of a text that should hold one; undefined where there is none. */
export function secondAction(sentences: readonly Sentence[], list: WordList): SecondAction | undefined {
  let earlier: Sentence | undefined;
  for (const sentence of sentences.flatMap(clausesOf)) {
    const words = wordsOf(sentence.text, list);
    const at = commandAt(words, list);
    const verb = at === undefined ? undefined : words[at];
    if (at === undefined || verb === undefined || isProhibition(sentence.text, list)) continue;
    if (list.notAnAction.has(verb.small)) continue;
    if (earlier !== undefined) {
      const start = sentence.span.start + verb.span.start;
      return { start, end: start + verb.text.length, joinStart: earlier.span.end, verb: verb.text };
    }
    const inside = joinedAction(words, at, list);
    if (inside !== undefined) {
      const { start, end } = inside.verb.span;
      const offset = sentence.span.start;
      return { start: offset + start, end: offset + end, joinStart: offset + inside.joinStart, verb: inside.verb.text };
    }
    earlier = sentence;
  }
  return undefined;
}

/** A semicolon parts two clauses as a full stop does: 'Remove the padlock; lift the lid.' */
function clausesOf({ text, span }: Sentence): Sentence[] {
  const found: Sentence[] = [];
  for (const part of text.matchAll(/[^;]+/gu)) {
    const start = span.start + part.index + (part[0].length - part[0].trimStart().length);
    const trimmed = part[0].trim();
    if (trimmed !== '') found.push({ text: trimmed, span: { start, end: start + trimmed.length } });
  }
  return found;
}

/** 'Turn the isolator off and lock it': a second verb behind 'and' or 'then', with the first one's object between. */
function joinedAction(words: readonly Word[], first: number, list: WordList): { verb: Word; joinStart: number } | undefined {
  for (let index = first + 2; index < words.length; index++) {
    // 'Open the valve while you watch the gauge and …': one action, at one time.
    if (list.sameTime.has((words[index - 1] as Word).small)) return undefined;
    const verb = words[index] as Word;
    let before = index - 1;
    while (before > first && list.actionJoiners.has((words[before] as Word).small)) before--;
    // 'Clean and tighten the posts' is one handling of one thing.
    if (before === index - 1 || before === first) continue;
    if (!list.commandVerbs.has(verb.small) || list.notAnAction.has(verb.small)) continue;
    const next = words[index + 1];
    // 'Fit your lock and tag to the isolator': a word that may be a part's name needs an object behind it to be a verb.
    const followers = list.verbsThatAreParts.has(verb.small) ? list.determiners : list.afterVerb;
    if (next === undefined || next.afterPause || !followers.has(next.small) || list.actionJoiners.has(next.small)) continue;
    if (list.doneTogether.has(`${(words[first] as Word).small} and ${verb.small}`)) continue;
    return { verb, joinStart: (words[before] as Word).span.end };
  }
  return undefined;
}

function isProhibition(sentence: string, list: WordList): boolean {
  const small = sentence.toLowerCase();
  return list.prohibitions.some((start) => small.startsWith(start));
}
