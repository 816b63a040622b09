/** The words that can be typed beside an entry. */
import type { FieldView } from '../run/engine.ts';
import { plainWords } from '../run/texts.ts';
import type { CommandWord, TerminalWords } from './run-terminal-words.ts';

/** Commands that take nothing behind them: 'back window broken' is an answer in free words; 'back' alone is the command. */
const ALONE: readonly CommandWord[] = ['help', 'show', 'back', 'clock', 'kept', 'pause'];

/** The command in a line; undefined for an entry. What the step offers as an answer is no command. */
export function commandIn(typed: string, field: FieldView | undefined, words: TerminalWords): { readonly word: CommandWord; readonly rest: string } | undefined {
  const forced = typed.startsWith(':');
  const text = forced ? typed.slice(1).trim() : typed;
  if (!forced && field?.kind === 'answer' && field.choices.some((choice) => plainWords(choice.value).toLowerCase() === plainWords(text).toLowerCase())) return undefined;
  const small = text.normalize('NFC').toLowerCase();
  const said = Object.keys(words.commands).filter((one) => small === one || small.startsWith(`${one} `)).sort((a, b) => b.length - a.length)[0];
  const word = said === undefined ? undefined : words.commands[said];
  if (said === undefined || word === undefined) return undefined;
  const rest = text.normalize('NFC').slice(said.length).trim();
  if (!forced && rest !== '' && ALONE.includes(word)) return undefined;
  // 'with grease' and 'stop lamp dark' answer a question in free words. Who means the command types a colon: a stop cannot be undone.
  if (!forced && rest !== '' && (word === 'helper' || word === 'stop') && field?.kind === 'answer' && field.free) return undefined;
  return { word, rest };
}

/** What a number stands for among choices; anything else stays as it is. */
export function numbered(typed: string, choices: readonly string[]): string {
  if (choices.includes(typed) || !/^\d+$/.test(typed)) return typed;
  return choices[Number(typed) - 1] ?? typed;
}
