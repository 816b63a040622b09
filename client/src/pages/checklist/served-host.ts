/**
 * The checklist served by a depot's own machine: the server writes each event to its disk before it answers, and files the record
 * there. The page talks to the address it came from and to no other.
 */
import type { ChecklistDocument } from '../../../../server/src/run/checklist.ts';
import type { RunEvent } from '../../../../server/src/run/engine.ts';
import { fileDigest } from '../../../../server/src/run/digest.ts';
import type { ChecklistCalls, Opened } from '../messages.ts';
import { base64Of, bytesOf } from './bytes.ts';
import { saveFile } from './file-host.ts';
import { WentOnElsewhere } from './host.ts';
import type { ChecklistHost, OpenedRun } from './host.ts';
import { WORDS } from './words.ts';

export interface Connection {
  /** Path that the calls go to, on the page's own address: `/run/ID`. */
  readonly base: string;
}

/** `carried` is the document in the page: its asset is the one first looked at. `figures` came with it. */
export function servedHost(connection: Connection, carried: ChecklistDocument, figures: Readonly<Record<string, string>> = {}): ChecklistHost {
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
    async open(runId, asset, toStop) {
      return openedRun(await ask('open', { runId, asset, ...(toStop ? { toStop } : {}) }), figures);
    },
    async carryOver(runId, stamp) {
      return openedRun(await ask('carryOver', { runId, ...stamp }), figures);
    },
    async keepPhoto(runId, photo) {
      await ask('keepPhoto', { runId, name: photo.name, data: base64Of(photo.bytes) });
    },
    async photo(runId, name) {
      const data = await ask('photo', { runId, name });
      if (data === null) return undefined;
      const bytes = bytesOf(data);
      return { name, type: 'image/jpeg', digest: fileDigest(bytes), bytes };
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

function openedRun(opened: Opened, figures: Readonly<Record<string, string>>): OpenedRun {
  return { runId: opened.runId, document: opened.document as ChecklistDocument, events: opened.events as RunEvent[], figures };
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
