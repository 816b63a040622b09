/** What to do with a run of the same procedure and asset that is unfinished. */
import type { ChecklistDocument } from '../run/checklist-document.ts';
import { changedProcedure } from '../run/take-event.ts';
import { discardRun, finishRun, resumeRun, type UnfinishedRunFile } from './record-files.ts';

export interface Talk {
  /** Asks; undefined where no answer comes. */
  readonly ask: (prompt: string) => Promise<string | undefined>;
  readonly say: (text: string) => void;
  readonly now: () => string;
}

/**
 * Asks whether to go on with the unfinished run. Against a text that has changed since it began it is refused: it can be stopped, and
 * its record written by the text it was begun with. Throws JournalError.
 */
export async function offerUnfinished(
  latest: UnfinishedRunFile, document: ChecklistDocument, records: string, talk: Talk,
): Promise<'resume' | 'new' | 'leave'> {
  const changed = latest.contentHash !== document.contentHash;
  const by = latest.person ? ` by ${latest.person}` : '';
  talk.say(`A run of this procedure${latest.asset ? ` on ${latest.asset}` : ''} is unfinished: begun ${when(latest.startedAt)}${by}, ${latest.events} events.`);
  if (changed) talk.say(changedProcedure(document, latest.revision));
  const prompt = changed
    ? 'Type \'stop\' to stop it and write its record, \'new\' to begin a new run beside it, or \'discard\': '
    : 'Type \'resume\', \'new\' to begin a new run beside it, or \'discard\': ';
  for (;;) {
    const answer = (await talk.ask(prompt))?.trim().toLowerCase();
    if (answer === undefined) return 'leave';
    if (answer === 'new') return 'new';
    if (answer === 'resume' && !changed) return 'resume';
    if (answer === 'stop' && changed) {
      const open = resumeRun(records, latest.runId);
      open.journal.append({ kind: 'stopped', at: talk.now(), reason: 'The procedure was changed while the run was unfinished.' });
      talk.say(`Its record: ${finishRun(open).path}`);
      return 'new';
    }
    if (answer === 'discard') {
      talk.say(`Its journal is kept in ${discardRun(records, latest.runId)}.`);
      return 'new';
    }
  }
}

/** A time of an event as people read it. */
export function when(at: string | undefined): string {
  return at === undefined ? 'at an unknown time' : at.slice(0, 16).replace('T', ' ');
}
