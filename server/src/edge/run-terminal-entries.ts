/** From a line typed at a terminal to the events that it means, by what is asked for. */
import type { FieldView, RunEvent } from '../run/engine.ts';
import { plainWords } from '../run/texts.ts';
import { numbered } from './run-terminal-commands.ts';
import type { TerminalSession } from './run-terminal-session.ts';
import { shown } from './run-terminal-text.ts';

/** None where the line does not answer what is asked: that has been said. */
export async function eventsFor(session: TerminalSession, field: FieldView | undefined, typed: string): Promise<RunEvent[]> {
  const at = session.now();
  const { words } = session.style;
  switch (field?.kind) {
    case 'acknowledge':
      if (isOneOf(typed, words.read)) return [{ kind: 'acknowledged', cautions: field.cautions, at }];
      session.say(words.readFirst);
      return [];
    case 'confirm_states':
      return confirmation(session, field, typed, at);
    case 'done':
      if (typed === '' || isOneOf(typed, words.yes)) return [{ kind: 'done', step: field.step, at }];
      session.say(words.enterWhenDone);
      return [];
    case 'answer':
      return [{ kind: 'answer', step: field.step, ...point(field), typed: answered(typed, field.choices.map((choice) => choice.value), words.answers), at }];
    case 'reading':
      return [{ kind: 'reading', step: field.step, ...point(field), typed, at }];
    case 'fact':
      return [{ kind: 'fact', fact: field.fact, typed: numbered(typed, field.choices), at }];
    case 'remedy': {
      const match = /^(\p{L}+)[\s:,]*(.*)$/su.exec(typed);
      const carriedOut = isOneOf(match?.[1] ?? '', words.carriedOut);
      if (match === null || (!carriedOut && !isOneOf(match[1] ?? '', words.later))) {
        session.say(words.doneOrLater);
        return [];
      }
      return [{ kind: 'remedy', carriedOut, at, ...(match[2] ? { text: match[2] } : {}) }];
    }
    case 'finish':
      return [{ kind: 'finished', at }];
    case 'resume':
      return [{ kind: 'resumed', at }];
    case undefined:
      return [];
  }
}

async function confirmation(session: TerminalSession, field: FieldView & { kind: 'confirm_states' }, typed: string, at: string): Promise<RunEvent[]> {
  const states: Record<string, string> = {};
  const several = field.states.filter((state) => state.values.length > 1);
  if (several.length === 0 && !isOneOf(typed, session.style.words.yes)) {
    session.say(session.style.words.yesWhenSo);
    return [];
  }
  for (const state of field.states) {
    if (state.values.length === 1) states[state.state] = state.values[0] ?? '';
  }
  for (const [index, state] of several.entries()) {
    const prompt = `${shown(state.title)} (${state.values.map((value, number) => `${number + 1} ${shown(plainWords(value))}`).join(', ')}): `;
    const answer = index === 0 && typed !== '' ? typed : await session.ask(prompt);
    if (answer === undefined) return [];
    const value = numbered(answer, state.values);
    states[state.state] = state.values.find((one) => plainWords(one).toLowerCase() === plainWords(value).toLowerCase()) ?? value;
  }
  return [{ kind: 'states_confirmed', states, at }];
}

/** Held against words in small letters, as they are typed. */
export function isOneOf(typed: string, words: readonly string[]): boolean {
  return words.includes(typed.normalize('NFC').toLowerCase());
}

/** A number, or 'yes' and its like in the language of the terminal, as the answer that it stands for. */
function answered(typed: string, choices: readonly string[], answers: Readonly<Record<string, string>>): string {
  const named = choices.find((choice) => Object.hasOwn(answers, choice) && answers[choice] === typed.normalize('NFC').toLowerCase());
  return named ?? numbered(typed, choices);
}

function point(field: { readonly point?: string }): { readonly point?: string } {
  return field.point === undefined ? {} : { point: field.point };
}
