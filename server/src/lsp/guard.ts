/** Keeps the server alive: whatever a handler meets, the editor gets an answer and the log gets the reason. */
import { ErrorCodes, LSPErrorCodes, ResponseError } from 'vscode-languageserver';
import type { CancellationToken } from 'vscode-languageserver';
import type { Session } from './session.ts';

type Handler<P, R> = (params: P, token: CancellationToken) => R | Promise<R>;

/** For what an editor asks while someone writes: waits until the folders were read; a failure answers null and is logged. */
export function answering<P, R>(
  session: Session,
  name: string,
  handler: Handler<P, R>,
): (params: P, token: CancellationToken) => Promise<R | null> {
  return async (params, token) => {
    await session.ready;
    if (token.isCancellationRequested) return null;
    try {
      return await handler(params, token);
    } catch (error) {
      log(session, name, error);
      return null;
    }
  };
}

/** For what is only looked at: the same after a pause in typing; refused where it is no longer wanted by then. */
export function answeringLater<P, R>(
  session: Session,
  name: string,
  handler: Handler<P, R>,
): (params: P, token: CancellationToken) => Promise<R | null> {
  const answer = answering(session, name, handler);
  return async (params, token) => {
    if (!(await session.quiet.wait(token))) throw new ResponseError(LSPErrorCodes.RequestCancelled, 'The answer is no longer wanted.');
    return answer(params, token);
  };
}

/** For what must not fail in silence, such as the journal of a run: the reason reaches whoever asked. */
export function refusing<P, R>(
  session: Session,
  name: string,
  handler: Handler<P, R>,
): (params: P, token: CancellationToken) => Promise<R> {
  return async (params, token) => {
    await session.ready;
    try {
      return await handler(params, token);
    } catch (error) {
      // Not a failure: the answer is no longer wanted.
      if (error instanceof ResponseError && error.code === LSPErrorCodes.ContentModified) throw error;
      log(session, name, error);
      throw new ResponseError(ErrorCodes.InternalError, error instanceof Error ? error.message : String(error));
    }
  };
}

/** For notifications and timers: nobody waits for an answer. */
export function attempting(session: Session, name: string, work: () => void | Promise<void>): void {
  void (async () => {
    try {
      await work();
    } catch (error) {
      log(session, name, error);
    }
  })();
}

export function log(session: Session, name: string, error: unknown): void {
  const reason = error instanceof Error ? (error.stack ?? error.message) : String(error);
  session.connection.console.error(`${name}: ${reason}`);
}
