/**
 * Which procedures of a workspace surely have nothing to do with any other, told by their letters alone: such a one can be checked where the
 * others are not at hand. It errs on one side only: where it says so, it is so.
 */
import type { Workspace } from '../analysis/workspace.ts';
import { surelyCallsNone } from '../analysis/calls-in-text.ts';
import { kindOf } from '../analysis/file-paths.ts';

/** Those that run no procedure, that none runs, and whose name no other has. */
export function filesAlone(workspace: Workspace): ReadonlySet<string> {
  const nameOf = new Map(workspace.procedures().map(({ name, file }) => [file, name]));
  const named = new Map<string, number>();
  for (const name of nameOf.values()) named.set(name, (named.get(name) ?? 0) + 1);
  const words = new Set<string>();
  const calling = new Set<string>();
  const procedures = workspace.files().filter((file) => kindOf(file) === 'procedure');
  for (const file of procedures) {
    const text = workspace.textOf(file) ?? '';
    if (surelyCallsNone(text)) continue;
    calling.add(file);
    // An escape may spell any name.
    if (text.includes('\\')) return new Set();
    for (const word of text.match(/\w+/g) ?? []) words.add(word);
  }
  return new Set(procedures.filter((file) => !calling.has(file) && !words.has(nameOf.get(file) ?? '') && (named.get(nameOf.get(file) ?? '') ?? 0) < 2));
}
