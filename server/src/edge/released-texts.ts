/** The last released text of a procedure as git keeps it, remembered by file and HEAD: asked again, it is looked up again only after a commit. */
import { dirname } from 'node:path';
import { headOf, lastReleasedText } from './git-texts.ts';

/** A function that gives the released text of a file; undefined where there is none, no repository or no git. It never throws. */
export function releasedTexts(): (path: string) => Promise<string | undefined> {
  const known = new Map<string, { readonly head: string; readonly text: Promise<string | undefined> }>();
  return async (path) => {
    const head = await headOf(dirname(path));
    if (head === undefined) return undefined;
    const before = known.get(path);
    if (before?.head === head) return before.text;
    const text = lastReleasedText(path).catch(() => undefined);
    known.set(path, { head, text });
    return text;
  };
}
