/**
 * Spoils every clean procedure by every edit and counts what the checker catches: `npm run mutate`. `--list` prints each edit that nothing
 * caught; `--all` takes every place of every edit, otherwise at most twelve of each for a procedure are taken, spread evenly.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import { Workspace } from '../../server/src/analysis/workspace.ts';
import { SPOILING_EDITS } from './edits.ts';

const MOST_OF_EACH = 12;

export interface EditTally {
  readonly name: string;
  readonly harm: string;
  /** Edits that do harm the text could show, and how many of them some check caught. */
  made: number;
  caught: number;
  /** Why an edit was not counted → how many, and how many of them a check caught all the same. */
  readonly harmless: Map<string, { made: number; caught: number }>;
  readonly by: Map<string, number>;
  readonly missed: string[];
}

/** Spoils the clean procedures among `files` (path → text). A procedure that is not clean to begin with is left out. */
export function measure(files: ReadonlyMap<string, string>, most = MOST_OF_EACH): EditTally[] {
  const workspace = new Workspace();
  for (const [path, text] of files) workspace.setFile(path, text);
  const tallies = SPOILING_EDITS.map(({ name, harm }): EditTally => ({ name, harm, made: 0, caught: 0, harmless: new Map(), by: new Map(), missed: [] }));
  for (const [path, original] of files) {
    const clean = workspace.analyse(path);
    if (clean.procedure === undefined || clean.findings.some((finding) => finding.severity !== 'hint' && !finding.accepted)) continue;
    const before = new Set(clean.findings.map((finding) => `${finding.check} ${finding.message}`));
    for (const [index, edit] of SPOILING_EDITS.entries()) {
      const tally = tallies[index] as EditTally;
      const spoilt = spread([...edit.apply(clean)].filter(({ text }) => text !== original), most);
      for (const { where, text, harmless } of spoilt) {
        workspace.setFile(path, text);
        const found = workspace.analyse(path).findings
          .filter((finding) => finding.severity !== 'hint' && !finding.accepted && !before.has(`${finding.check} ${finding.message}`));
        if (harmless !== undefined) {
          const known = tally.harmless.get(harmless) ?? { made: 0, caught: 0 };
          tally.harmless.set(harmless, { made: known.made + 1, caught: known.caught + (found.length > 0 ? 1 : 0) });
          continue;
        }
        tally.made++;
        if (found.length === 0) tally.missed.push(`${path}: ${where}`);
        else tally.caught++;
        for (const check of new Set(found.map((finding) => finding.check).filter((name) => name !== 'released-with-findings'))) tally.by.set(check, (tally.by.get(check) ?? 0) + 1);
      }
    }
    workspace.setFile(path, original);
  }
  return tallies;
}

/** The YAML files below a folder, by their path from `base`. */
export function yamlFiles(folder: string, base: string): Map<string, string> {
  const found = new Map<string, string>();
  for (const entry of readdirSync(folder, { withFileTypes: true })) {
    const path = join(folder, entry.name);
    if (entry.isDirectory()) for (const [name, text] of yamlFiles(path, base)) found.set(name, text);
    else if (entry.name.endsWith('.yaml')) found.set(relative(base, path).replaceAll('\\', '/'), readFileSync(path, 'utf8'));
  }
  return found;
}

/** The table of a measure. */
export function tallyTable(tallies: readonly EditTally[]): string {
  const lines = tallies.map(({ name, made, caught, by }) => {
    const checks = [...by].sort((a, b) => b[1] - a[1]).slice(0, 3).map(([check, count]) => `${check} ${count}`).join(', ');
    const share = made === 0 ? '  –' : `${Math.floor((100 * caught) / made)} %`.padStart(5);
    return `${name.padEnd(42)} ${String(caught).padStart(4)} of ${String(made).padStart(4)} ${share}   ${checks}`;
  });
  const made = tallies.reduce((sum, tally) => sum + tally.made, 0);
  const caught = tallies.reduce((sum, tally) => sum + tally.caught, 0);
  const apart = tallies.flatMap(({ name, harmless }) => [...harmless].map(([why, counts]) => `  ${name}: ${why}: ${counts.made} (${counts.caught} caught all the same)`));
  return [
    ...lines, '',
    `${caught} of ${made} harmful edits caught (${((100 * caught) / Math.max(1, made)).toFixed(1)} %).`, '',
    'Counted apart, as the text alone cannot show harm:', ...apart,
  ].join('\n');
}

function spread<T>(items: readonly T[], most: number): T[] {
  if (items.length <= most) return [...items];
  return Array.from({ length: most }, (_, index) => items[Math.floor((index * items.length) / most)] as T);
}
