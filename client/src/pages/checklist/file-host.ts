/**
 * The checklist as a file of its own: the document is in the page, the browser keeps the run, the record is saved as a file.
 * Nothing leaves the machine.
 */
import { recordScanText } from '../../../../server/src/render/record-scan.ts';
import { carryOver } from '../../../../server/src/run/carry-over.ts';
import type { AssetSheet, ChecklistDocument } from '../../../../server/src/run/checklist.ts';
import { replayRun } from '../../../../server/src/run/engine.ts';
import { buildRecord } from '../../../../server/src/run/record.ts';
import type { RecordAttachment } from '../../../../server/src/run/record.ts';
import { PlaceTaken } from './browser-store.ts';
import type { BrowserStore } from './browser-store.ts';
import { base64Of } from './bytes.ts';
import { nowIso } from './clock.ts';
import { WentOnElsewhere } from './host.ts';
import type { ChecklistHost } from './host.ts';
import { WORDS } from './words.ts';

export interface CarriedThings {
  /** The assets to choose from. */
  readonly assets?: readonly AssetSheet[];
  readonly figures?: Readonly<Record<string, string>>;
}

export function fileHost(document: ChecklistDocument, store: BrowserStore, given: CarriedThings = {}): ChecklistHost {
  const assets = given.assets ?? [];
  const forAsset = (id: string | undefined): ChecklistDocument => {
    const asset = assets.find((one) => one.id === id);
    return asset === undefined ? document : { ...document, asset };
  };
  const sheet = scannedSheet(document);
  const keptKey = `faultwright-open/${document.procedure.name}`;

  return {
    kind: 'file',
    ...(store.lasting ? {} : { warning: WORDS.keptBriefly }),
    ...(sheet === undefined ? {} : { sheet }),
    async look(wanted) {
      const mine = (await store.runs())
        .filter((run) => run.procedure === document.procedure.name && run.events > 0)
        .filter((run) => document.asset === undefined || run.asset === undefined || run.asset === document.asset.id)
        .sort((a, b) => (b.startedAt ?? '').localeCompare(a.startedAt ?? ''))
        .map(({ runId, asset, revision, startedAt, events, contentHash, finished, person, paused }) => ({
          runId, asset, revision, startedAt, events, contentHash, finished, person, paused,
        }));
      return {
        document: forAsset(wanted),
        assets: assets.map((asset) => asset.id),
        ...(document.asset === undefined ? {} : { fixedAsset: document.asset.id }),
        unfinished: mine.filter((run) => !run.finished),
        finished: mine.filter((run) => run.finished),
      };
    },
    async open(runId, asset) {
      if (runId !== undefined) {
        const run = (await store.runs()).find((candidate) => candidate.runId === runId);
        if (!run) throw new Error(WORDS.runGone);
        return { runId, document: run.document, events: await store.events(runId), figures: given.figures ?? {} };
      }
      const fresh = newRunId();
      await store.begin({
        runId: fresh,
        procedure: document.procedure.name,
        contentHash: document.contentHash,
        revision: document.procedure.revision,
        asset,
        startedAt: undefined,
        events: 0,
        finished: false,
        document: forAsset(asset),
      });
      return { runId: fresh, document: forAsset(asset), events: [], figures: given.figures ?? {} };
    },
    async carryOver(runId, stamp) {
      const run = (await store.runs()).find((candidate) => candidate.runId === runId);
      if (!run) throw new Error(WORDS.runGone);
      const events = await store.events(runId);
      const text = forAsset(run.asset);
      const carried = carryOver(run.document, text, events, stamp);
      if ('problem' in carried) throw new Error(carried.problem);
      await inOrder(store.carryOver(runId, events.length, carried.event, text));
      return { runId, document: text, events: [...events, carried.event], figures: given.figures ?? {} };
    },
    append: (runId, index, event) => inOrder(store.append(runId, index, event)),
    async finish(runId) {
      const run = (await store.runs()).find((candidate) => candidate.runId === runId);
      if (!run) throw new Error(WORDS.runGone);
      const replayed = replayRun(run.document, await store.events(runId)).run;
      const attachments: RecordAttachment[] = [];
      for (const { name, digest } of replayed.walk.photos) {
        const photo = digest === undefined ? undefined : await store.photo(runId, name);
        if (photo) attachments.push({ name, type: photo.type, digest: photo.digest, data: base64Of(photo.bytes) });
      }
      const record = buildRecord(replayed, runId, attachments);
      const bare = attachments.length === 0 ? record : buildRecord(replayed, runId);
      await store.close(runId);
      return {
        where: recordFileName(document.procedure.name, run.asset, run.startedAt ?? nowIso(), runId),
        content: `${JSON.stringify(record, null, 2)}\n`,
        scan: { text: await recordScanText(bare), photos: attachments.length > 0 },
      };
    },
    discard: (runId) => store.discard(runId),
    keepPhoto: (runId, photo) => store.keepPhoto(runId, photo),
    photo: (runId, name) => store.photo(runId, name),
    async showRecord(filed) {
      saveFile(filed.where, filed.content ?? '');
      return WORDS.recordSaved(filed.where);
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

/** Another tab may have been there first. */
async function inOrder(written: Promise<void>): Promise<void> {
  try {
    await written;
  } catch (error) {
    throw error instanceof PlaceTaken ? new WentOnElsewhere(WORDS.elsewhere) : error;
  }
}

/** A printed sheet's code opens the page with what the sheet shows behind the address: `#revision=4&content=HASH`. */
function scannedSheet(document: ChecklistDocument): ChecklistHost['sheet'] {
  const about = new URLSearchParams(location.hash.slice(1));
  const content = about.get('content');
  if (content === null || !/^[0-9a-f]{64}$/.test(content)) return undefined;
  return { same: content === document.contentHash, revision: (about.get('revision') ?? '').slice(0, 60) };
}

/** A name that no file system takes amiss, whatever was typed as the asset's number. */
function recordFileName(procedure: string, asset: string | undefined, startedAt: string, runId: string): string {
  const plain = (text: string) =>
    text
      .replace(/[^A-Za-z0-9_-]+/g, '-')
      .replace(/^-+|-+$/g, '')
      .slice(0, 60);
  const parts = [startedAt.slice(0, 19).replace(/[:T]/g, '-'), plain(procedure), plain(asset ?? ''), runId.slice(-6)];
  return `${parts.filter(Boolean).join('_')}.record.json`;
}

function newRunId(): string {
  // Without randomUUID where the page has no secure context, as on a plain local network.
  return Array.from(crypto.getRandomValues(new Uint8Array(12)), (byte) => byte.toString(16).padStart(2, '0')).join('');
}

export function saveFile(name: string, content: string): void {
  const url = URL.createObjectURL(new Blob([content], { type: 'application/json' }));
  const anchor = window.document.createElement('a');
  anchor.href = url;
  anchor.download = name;
  anchor.click();
  setTimeout(() => URL.revokeObjectURL(url), 10_000);
}
