/** The checklist in the editor's panel: the panel asks the server, which writes each event to disk before it answers. */
import { fileDigest } from '../../../../server/src/run/digest.ts';
import type { ChecklistDocument } from '../../../../server/src/run/checklist.ts';
import type { RunEvent } from '../../../../server/src/run/engine.ts';
import type { EditorLink } from '../editor-link.ts';
import type { ChecklistCalls, Opened, PageAnswer, PageCall } from '../messages.ts';
import { base64Of, bytesOf } from './bytes.ts';
import type { ChecklistHost, OpenedRun } from './host.ts';

/** What the editor keeps while the panel is hidden; the panel itself reads `uri` after the window was reloaded. */
interface Kept {
  readonly uri?: string;
  readonly runId?: string;
}

export function editorHost(link: EditorLink): ChecklistHost {
  const waiting = new Map<number, { resolve(value: unknown): void; reject(error: Error): void }>();
  let calls = 0;
  link.onMessage((raw) => {
    const answer = raw as PageAnswer & { readonly uri?: string };
    if (typeof answer.uri === 'string') link.keep({ ...kept(), uri: answer.uri } satisfies Kept);
    const call = waiting.get(answer.call);
    if (!call) return;
    waiting.delete(answer.call);
    if ('error' in answer) call.reject(new Error(answer.error));
    else call.resolve(answer.result);
  });

  const kept = () => (link.kept() ?? {}) as Kept;
  const ask = <M extends keyof ChecklistCalls>(method: M, params: ChecklistCalls[M][0]): Promise<ChecklistCalls[M][1]> =>
    new Promise((resolve, reject) => {
      const call = ++calls;
      waiting.set(call, { resolve: resolve as (value: unknown) => void, reject });
      link.post({ call, method, params } satisfies PageCall);
    });

  return {
    kind: 'editor',
    async look(asset) {
      const offer = await ask('look', { asset });
      return { ...offer, document: offer.document as ChecklistDocument, finished: [] };
    },
    async open(runId, asset, toStop) {
      return openedRun(await ask('open', { runId, asset, ...(toStop ? { toStop } : {}) }));
    },
    async carryOver(runId, stamp) {
      return openedRun(await ask('carryOver', { runId, ...stamp }));
    },
    async append(runId, index, event) {
      await ask('append', { runId, index, event });
    },
    finish: (runId) => ask('finish', { runId }),
    async keepPhoto(runId, photo) {
      await ask('keepPhoto', { runId, name: photo.name, data: base64Of(photo.bytes) });
    },
    async photo(runId, name) {
      const data = await ask('photo', { runId, name });
      if (data === null) return undefined;
      const bytes = bytesOf(data);
      return { name, type: 'image/jpeg', digest: fileDigest(bytes), bytes };
    },
    async discard(runId) {
      await ask('discard', { runId });
    },
    async showRecord(filed) {
      await ask('openRecord', { where: filed.where });
      return undefined;
    },
    async reveal(step) {
      await ask('reveal', { step });
    },
    keptRun: () => kept().runId,
    keepRun: (runId) => link.keep({ ...kept(), runId } satisfies Kept),
  };
}

function openedRun(opened: Opened): OpenedRun {
  return { runId: opened.runId, document: opened.document as ChecklistDocument, events: opened.events as RunEvent[], figures: opened.figures ?? {} };
}
