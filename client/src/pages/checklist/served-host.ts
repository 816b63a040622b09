/**
 * The checklist served by a depot's own machine: the server writes each event to its disk before it answers, and files the record
 * there. The page talks to the address it came from and to no other.
 */
import type { ChecklistDocument } from '../../../../server/src/run/checklist.ts';
import type { RunEvent } from '../../../../server/src/run/engine.ts';
import type { ChecklistCalls } from '../messages.ts';
import { saveFile } from './file-host.ts';
import { WentOnElsewhere } from './host.ts';
import type { ChecklistHost } from './host.ts';
import { WORDS } from './words.ts';

export interface Connection {
  /** Path that the calls go to, on the page's own address: `/run/ID`. */
  readonly base: string;
}

/** `carried` is the document in the page: its asset is the one first looked at. */
export function servedHost(connection: Connection, carried: ChecklistDocument): ChecklistHost {
  const keptKey = `faultwright-open${connection.base}`;
  let first = carried.asset?.id;

  async function ask<M extends keyof ChecklistCalls>(method: M, params: ChecklistCalls[M][0]): Promise<ChecklistCalls[M][1]> {
    const answer = await answered(`${connection.base}/${method}`, params);
    if (answer.status === 409) throw new WentOnElsewhere(answer.error ?? WORDS.elsewhere);
    if (answer.error !== undefined) throw new Error(answer.error);
    return answer.result as ChecklistCalls[M][1];
  }

  return {
    kind: 'served',
    async look(asset) {
      const wanted = asset ?? first;
      first = undefined;
      const offer = await ask('look', { asset: wanted });
      return { ...offer, document: offer.document as ChecklistDocument, finished: [] };
    },
    async open(runId, asset) {
      const opened = await ask('open', { runId, asset });
      return { runId: opened.runId, document: opened.document as ChecklistDocument, events: opened.events as RunEvent[] };
    },
    async append(runId, index, event) {
      await ask('append', { runId, index, event });
    },
    finish: (runId) => ask('finish', { runId }),
    async discard(runId) {
      await ask('discard', { runId });
    },
    async showRecord(filed) {
      const name = filed.where.slice(filed.where.lastIndexOf('/') + 1);
      saveFile(name, filed.content ?? '');
      return WORDS.recordSaved(name);
    },
    keptRun: () => {
      try {
        return localStorage.getItem(keptKey) ?? undefined;
      } catch {
        return undefined;
      }
    },
    keepRun: (runId) => {
      try {
        if (runId === undefined) localStorage.removeItem(keptKey);
        else localStorage.setItem(keptKey, runId);
      } catch {
        // The first sheet lists the run.
      }
    },
  };
}

interface Answer {
  readonly status: number;
  readonly result?: unknown;
  readonly error?: string;
}

async function answered(path: string, params: unknown): Promise<Answer> {
  let response: Response;
  try {
    response = await fetch(path, { method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify(params) });
  } catch {
    return { status: 0, error: WORDS.notReached };
  }
  try {
    const { result, error } = (await response.json()) as { result?: unknown; error?: string };
    return { status: response.status, result, ...(response.ok ? {} : { error: error ?? WORDS.notReached }) };
  } catch {
    return { status: response.status, error: WORDS.notReached };
  }
}
