/** Where a run on the terminal gets its lines from: a person at a terminal, or a file of answers. */
import { createInterface } from 'node:readline';

export type Line =
  | { readonly kind: 'text'; readonly text: string }
  /** The input has ended. */
  | { readonly kind: 'end' }
  /** Ctrl-C. */
  | { readonly kind: 'interrupted' };

export interface LineSource {
  /** Shows the prompt and waits for a line. */
  next(prompt: string): Promise<Line>;
  /** Writes something while a line is waited for, and shows the prompt again. */
  interject(text: string): void;
  /** Shows another prompt in place of the one before a line that is being typed; where that cannot be, nothing. */
  refresh(prompt: string): void;
  close(): void;
}

/** Lines typed at a terminal. A dumb terminal will do: nothing but lines is written and read. */
export function terminalLines(input: NodeJS.ReadableStream, output: NodeJS.WritableStream, dumb: boolean): LineSource {
  const reader = createInterface({ input, output, terminal: !dumb, historySize: 0 });
  const waiting: Line[] = [];
  let wanted: ((line: Line) => void) | undefined;
  let closed = false;
  const deliver = (line: Line): void => {
    const take = wanted;
    wanted = undefined;
    if (take) take(line);
    else waiting.push(line);
  };
  reader.on('line', (text) => deliver({ kind: 'text', text }));
  reader.on('SIGINT', () => deliver({ kind: 'interrupted' }));
  const interrupted = (): void => deliver({ kind: 'interrupted' });
  process.on('SIGINT', interrupted);
  reader.on('close', () => {
    closed = true;
    process.off('SIGINT', interrupted);
    deliver({ kind: 'end' });
  });
  return {
    next(prompt) {
      const line = waiting.shift();
      if (line) return Promise.resolve(line);
      if (closed) return Promise.resolve({ kind: 'end' });
      reader.setPrompt(prompt);
      reader.prompt();
      return new Promise((resolve) => {
        wanted = resolve;
      });
    },
    interject(text) {
      output.write(text);
      if (wanted) reader.prompt(true);
    },
    refresh(prompt) {
      if (dumb || !wanted) return;
      reader.setPrompt(prompt);
      reader.prompt(true);
    },
    close: () => reader.close(),
  };
}

/** Lines of a text, one an answer; those that begin with `#` are passed over. Each is shown as if it had been typed. */
export function scriptedLines(text: string, output: NodeJS.WritableStream): LineSource {
  const lines = text.replace(/\r\n?/g, '\n').replace(/\n$/, '').split('\n').filter((line) => !line.startsWith('#'));
  return {
    next(prompt) {
      const line = lines.shift();
      output.write(`${prompt}${line ?? ''}\n`);
      return Promise.resolve(line === undefined ? { kind: 'end' } : { kind: 'text', text: line });
    },
    interject: (words) => void output.write(words),
    refresh: () => undefined,
    close: () => undefined,
  };
}
