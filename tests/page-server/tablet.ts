/** A tablet as the page server sees it: sends what the page sends. */
import { request } from 'node:http';
import type { ChecklistDocument } from '../../server/src/run/checklist.ts';
import { currentView, replayRun, startedEvent, type FieldView, type Run, type RunEvent } from '../../server/src/run/engine.ts';
import { AT } from '../run/fixtures.ts';

export interface Answer {
  readonly status: number;
  readonly text: string;
  readonly headers: Readonly<Record<string, string | string[] | undefined>>;
}

/** Sends one request; headers as given, so that a test can lie in them. */
export function send(port: number, path: string, options: {
  method?: string; body?: string; headers?: Record<string, string>; host?: string;
} = {}): Promise<Answer> {
  return new Promise((resolve, reject) => {
    const { method = 'GET', body, headers = {}, host = `127.0.0.1:${port}` } = options;
    const sent = request({ host: '127.0.0.1', port, path, method, headers: { host, ...headers }, setHost: false, agent: false }, (response) => {
      const parts: Buffer[] = [];
      response.on('data', (part: Buffer) => parts.push(part));
      response.on('end', () => resolve({ status: response.statusCode ?? 0, text: Buffer.concat(parts).toString(), headers: response.headers }));
      response.on('error', reject);
    });
    sent.on('error', reject);
    sent.end(body);
  });
}


/** A call as the page makes it. */
export async function call<T = unknown>(port: number, base: string, method: string, params: unknown, headers: Record<string, string> = {}): Promise<{ status: number; result?: T; error?: string }> {
  const answer = await send(port, `${base}/${method}`, { method: 'POST', body: JSON.stringify(params), headers: { 'content-type': 'application/json', ...headers } });
  return { status: answer.status, ...(JSON.parse(answer.text) as { result?: T; error?: string }) };
}

/** Address of a procedure's page, by its title in the list. */
export async function pageOf(port: number, title: string): Promise<string> {
  const { text } = await send(port, '/');
  const match = new RegExp(`<a href="(/run/[0-9a-f]{16})">${title}`).exec(text);
  if (match?.[1] === undefined) throw new Error(`${title} is not listed: ${text}`);
  return match[1];
}

export interface Opened {
  readonly runId: string;
  readonly document: ChecklistDocument;
  readonly events: readonly RunEvent[];
}

/** Begins a run on an asset: opened, and its first event written. */
export async function begun(port: number, base: string, asset: string, person = 'T'): Promise<{ opened: Opened; run: Run }> {
  const opened = await call<Opened>(port, base, 'open', { asset });
  if (opened.result === undefined) throw new Error(opened.error);
  const event = { ...startedEvent(opened.result.document, { at: AT, person, salt: '0123456789abcdef0123456789abcdef' }), asset };
  const answer = await call(port, base, 'append', { runId: opened.result.runId, index: 0, event });
  if (answer.error !== undefined) throw new Error(answer.error);
  return { opened: opened.result, run: replayRun(opened.result.document, [event]).run };
}

/** What would be entered next: the first answer, a reading of 25. */
export function nextEvent(run: Run): RunEvent {
  const field = currentView(run).field as FieldView;
  switch (field.kind) {
    case 'acknowledge':
      return { kind: 'acknowledged', cautions: field.cautions, at: AT };
    case 'confirm_states':
      return { kind: 'states_confirmed', states: Object.fromEntries(field.states.map((state) => [state.state, state.values[0] ?? ''])), at: AT };
    case 'fact':
      return { kind: 'fact', fact: field.fact, typed: field.choices[0] ?? '10', at: AT };
    case 'answer':
      return { kind: 'answer', step: field.step, typed: field.choices[0]?.value ?? 'yes', at: AT };
    case 'reading':
      return { kind: 'reading', step: field.step, typed: '25', at: AT };
    case 'done':
      return { kind: 'done', step: field.step, at: AT };
    case 'remedy':
      return { kind: 'remedy', carriedOut: true, at: AT };
    case 'finish':
      return { kind: 'finished', at: AT };
    case 'resume':
      return { kind: 'resumed', at: AT };
  }
}
