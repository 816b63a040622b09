/** The words that can be typed beside an entry. */
import type { FieldView } from '../run/engine.ts';
import { plainWords } from '../run/texts.ts';

const COMMANDS = ['help', 'show', 'note', 'photo', 'instrument', 'fact', 'hand over', 'handover', 'back', 'correct', 'pause', 'stop'];

/** The command in a line; undefined for an entry. What the step offers as an answer is no command. */
export function commandIn(typed: string, field: FieldView | undefined): { readonly word: string; readonly rest: string } | undefined {
  const forced = typed.startsWith(':');
  const text = forced ? typed.slice(1).trim() : typed;
  if (!forced && field?.kind === 'answer' && field.choices.some((choice) => plainWords(choice.value).toLowerCase() === plainWords(text).toLowerCase())) return undefined;
  const word = COMMANDS.find((one) => text.toLowerCase() === one || text.toLowerCase().startsWith(`${one} `));
  if (word === undefined) return undefined;
  const rest = text.slice(word.length).trim();
  // 'back window broken' is an answer in free words; 'back' alone is the command.
  if (!forced && rest !== '' && ['help', 'show', 'back', 'pause'].includes(word)) return undefined;
  return { word: word === 'handover' ? 'hand over' : word, rest };
}

/** What a number stands for among choices; anything else stays as it is. */
export function numbered(typed: string, choices: readonly string[]): string {
  if (choices.includes(typed) || !/^\d+$/.test(typed)) return typed;
  return choices[Number(typed) - 1] ?? typed;
}
