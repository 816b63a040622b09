/** From a line typed at a terminal to the events that it means, by what is asked for. */
import type { FieldView, RunEvent } from '../run/engine.ts';
import { plainWords } from '../run/texts.ts';
import { numbered } from './run-terminal-commands.ts';
import type { TerminalSession } from './run-terminal-session.ts';
import { shown } from './run-terminal-text.ts';

/** None where the line does not answer what is asked: that has been said. */
export async function eventsFor(session: TerminalSession, field: FieldView | undefined, typed: string): Promise<RunEvent[]> {
  const at = session.now();
  switch (field?.kind) {
    case 'acknowledge':
      if (/^(read|yes|y)$/i.test(typed)) return [{ kind: 'acknowledged', cautions: field.cautions, at }];
      session.say('Read the cautions, then type \'read\'.');
      return [];
    case 'confirm_states':
      return confirmation(session, field, typed, at);
    case 'done':
      if (typed === '' || /^(done|yes|y|ok)$/i.test(typed)) return [{ kind: 'done', step: field.step, at }];
      session.say('Press Enter when the step is done, or type \'help\'.');
      return [];
    case 'answer':
      return [{ kind: 'answer', step: field.step, ...point(field), typed: numbered(typed, field.choices.map((choice) => choice.value)), at }];
    case 'reading':
      return [{ kind: 'reading', step: field.step, ...point(field), typed, at }];
    case 'fact':
      return [{ kind: 'fact', fact: field.fact, typed: numbered(typed, field.choices), at }];
    case 'remedy': {
      const match = /^(done|yes|later|no)\b[\s:,]*(.*)$/is.exec(typed);
      if (match === null) {
        session.say('Type \'done\' when the remedy is carried out, or \'later\' and why it is not.');
        return [];
      }
      const carriedOut = /^(done|yes)$/i.test(match[1] ?? '');
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
  if (several.length === 0 && !/^(yes|y|done|ok)$/i.test(typed)) {
    session.say('Type \'yes\' when it is so.');
    return [];
  }
  for (const state of field.states) {
    if (state.values.length === 1) states[state.state] = state.values[0] ?? '';
  }
  for (const [index, state] of several.entries()) {
    const words = `${shown(state.title)} (${state.values.map((value, number) => `${number + 1} ${plainWords(value)}`).join(', ')}): `;
    const answer = index === 0 && typed !== '' ? typed : await session.ask(words);
    if (answer === undefined) return [];
    const value = numbered(answer, state.values);
    states[state.state] = state.values.find((one) => plainWords(one).toLowerCase() === plainWords(value).toLowerCase()) ?? value;
  }
  return [{ kind: 'states_confirmed', states, at }];
}

function point(field: { readonly point?: string }): { readonly point?: string } {
  return field.point === undefined ? {} : { point: field.point };
}
