/** What changed in a procedure since a revision that version control keeps, for its panel. */
import { Workspace } from '../analysis/workspace.ts';
import type { Comparison } from '../review/change.ts';
import { compareRevisions } from '../review/compare.ts';
import { pairFiles } from '../review/pair-files.ts';
import { reviewIdentity, reviewSections } from '../render/review-words.ts';
import { analysisOf } from './asked.ts';
import { toRange } from './convert.ts';
import { refusing } from './guard.ts';
import type { ReviewParams, ReviewResult } from './protocol.ts';
import type { Session } from './session.ts';

export function handleReview(session: Session): void {
  session.connection.onRequest('faultwright/review', refusing(session, 'the review', (params: ReviewParams) => review(session, params)));
}

/** Null where there is no procedure; throws, with a sentence for a person, where no earlier text can be had. */
async function review(session: Session, { uri, since }: ReviewParams): Promise<ReviewResult | null> {
  const asked = analysisOf(session, uri);
  if (!asked) return null;
  if (!session.client.git) throw new Error('The review reads version control, which is not done in a folder that is not trusted.');
  const revision = since === undefined || since.trim() === '' ? 'HEAD' : since.trim();
  const earlier = await session.host.textsAt?.(asked.file.slice(0, Math.max(1, asked.file.lastIndexOf('/'))), revision);
  if (earlier === undefined) throw new Error('The review needs version control (git), which is not at hand here.');
  if ('reason' in earlier) throw new Error(earlier.reason);
  // The text may have changed while git was read.
  const after = analysisOf(session, uri) ?? asked;
  const workspace = new Workspace({ fileExists: (key) => session.host.fileExists(key) });
  for (const [path, text] of earlier.files) workspace.setFile(path, text);
  const gone = (): string[] => [...earlier.files.keys()].filter((path) => session.host.fileExists(path) === false);
  const was = earlier.files.has(after.file) ? after.file : pairFiles(gone().map((path) => workspace.analyse(path)), [after]).get(after.file);
  const compared = compareRevisions(was === undefined ? undefined : workspace.analyse(was), after, {
    before: (path) => workspace.textOf(path), after: (path) => session.workspace.textOf(path),
  });
  const comparison: Comparison = was !== undefined && was !== after.file ? { ...compared, renamed: true } : compared;
  return {
    title: comparison.after?.title ?? '', identity: reviewIdentity(comparison), since: revision, version: session.open.get(after.file)?.document.version ?? null,
    sections: reviewSections(comparison).map(({ title, items }) => ({
      title, items: items.map(({ span, ...item }) => ({ ...item, ...(span ? { range: toRange(after.lines, span) } : {}) })),
    })),
  };
}
