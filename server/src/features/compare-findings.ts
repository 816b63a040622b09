/**
 * Whether a change of files makes the findings worse: the files are checked before and after, in a small library of their own.
 */
import { Workspace } from '../analysis/workspace.ts';
import type { Finding } from '../findings/finding.ts';
import { nameUses } from '../procedure/names.ts';
import type { Library } from './symbols.ts';

/**
 * A finding that the files `now` have and the files `then` had not; undefined where there is none. Errors and
 * warnings are counted by check: a finding that only moved is none. `changed` gives the new texts, new files among them.
 */
export function worseFinding(
  library: Library,
  then: readonly string[],
  now: readonly string[],
  changed: ReadonlyMap<string, string>,
): Finding | undefined {
  const after = new Workspace();
  for (const file of filesAround(library, [...then, ...now])) after.setFile(file, library.textOf(file) ?? '');
  for (const [file, text] of changed) after.setFile(file, text);
  const old = then.flatMap((file) => grave(library.analyse(file).findings));
  const all = now.flatMap((file) => grave(after.analyse(file).findings));
  // A procedure that is new is no released one yet: that a released one leads into it stands there until both are approved.
  const newIsDraft = [...changed.keys()].some((file) => library.textOf(file) === undefined) && all.some(({ check }) => check === 'runs-unreleased');
  const found = newIsDraft ? all.filter(({ check }) => check !== 'runs-unreleased' && check !== 'released-with-findings') : all;
  const left = new Map<string, number>();
  for (const { check } of old) left.set(check, (left.get(check) ?? 0) + 1);
  const worse = found.filter(({ check }) => {
    const count = left.get(check) ?? 0;
    left.set(check, count - 1);
    return count <= 0;
  });
  // That a released file has findings follows from another of them.
  return worse.find(({ check }) => check !== 'released-with-findings') ?? worse[0];
}

function grave(findings: readonly Finding[]): Finding[] {
  return findings.filter(({ severity, accepted }) => severity !== 'hint' && accepted === undefined);
}

const SHARED_NAMES = ['shop.yaml', 'shop.yml', 'assets.yaml', 'assets.yml'];

/** The files with what bears on them: shop and assets files above, and the procedures that they run, as far as that goes. */
function filesAround(library: Library, files: readonly string[]): Set<string> {
  const found = new Set<string>();
  const queue = [...files];
  for (let file = queue.pop(); file !== undefined; file = queue.pop()) {
    if (found.has(file) || library.textOf(file) === undefined) continue;
    found.add(file);
    for (let end = file.lastIndexOf('/'); end >= 0; end = file.lastIndexOf('/', end - 1)) {
      for (const name of SHARED_NAMES) {
        const path = `${file.slice(0, end)}/${name}`;
        if (library.textOf(path) !== undefined) found.add(path);
      }
      if (end === 0) break;
    }
    for (const name of SHARED_NAMES)
      if (!file.startsWith('/') && library.textOf(name) !== undefined) found.add(name);
    const procedure = library.procedureIn(file);
    for (const use of procedure ? nameUses(procedure) : []) {
      const called = use.kind === 'procedure' ? library.fileOfProcedure(use.name, file) : undefined;
      if (called !== undefined) queue.push(called);
    }
  }
  return found;
}
