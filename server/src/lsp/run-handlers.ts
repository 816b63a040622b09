/** Runs of a checklist: journals that survive anything, and the records they become. The page that runs it decides nothing here. */
import { refusing } from './guard.ts';
import { keyOfUri, uriOfKey } from './convert.ts';
import { libraryFolder } from './drawing-handlers.ts';
import type { FaultwrightRequests } from './protocol.ts';
import type { Session } from './session.ts';

type Method = Exclude<keyof FaultwrightRequests, 'faultwright/flow' | 'faultwright/checklist'>;

export function handleRuns(session: Session): void {
  const { runs } = session.host;

  handle(session, 'faultwright/runOpen', async ({ folder, runId, document }) => {
    if (runId !== undefined) return { runId, ...(await runs.resume(folder, runId)) };
    if (!document) throw new Error('A new run needs the checklist it is to follow.');
    return { ...(await runs.begin(folder, document)), document, events: [] };
  });
  handle(session, 'faultwright/runAppend', async ({ folder, runId, event, index }) => ({
    events: await runs.append(folder, runId, event, index),
  }));
  handle(session, 'faultwright/runCarryOver', async ({ folder, runId, document, at, person }) => ({
    runId, ...(await runs.carryOver(folder, runId, document, { at, ...(person === undefined ? {} : { person }) })),
  }));
  handle(session, 'faultwright/runFinish', async ({ folder, runId }) => {
    const path = await runs.finish(folder, runId);
    return { path, uri: uriOfKey(path.replaceAll('\\', '/')) };
  });
  handle(session, 'faultwright/runsUnfinished', ({ folder }) => runs.unfinished(folder));
  handle(session, 'faultwright/runDiscard', async ({ folder, runId }) => {
    await runs.discard(folder, runId);
    return null;
  });
  handle(session, 'faultwright/records', ({ uri }) => runs.records(libraryFolder(session, keyOfUri(uri))));
}

function handle<M extends Method>(
  session: Session,
  method: M,
  handler: (params: FaultwrightRequests[M][0]) => Promise<FaultwrightRequests[M][1]>,
): void {
  session.connection.onRequest(method, refusing(session, method, handler));
}
