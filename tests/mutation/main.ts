/** The command behind `npm run mutate`. */
import { measure, tallyTable, yamlFiles } from './measure.ts';

const wanted = process.argv.slice(2);
const files = new Map<string, string>();
for (const folder of ['procedures', 'tests/corpus/clean']) {
  try {
    for (const [path, text] of yamlFiles(folder, '.')) files.set(path, text);
  } catch {
    // The corpus is optional.
  }
}
for (const path of files.keys()) if (path.includes('/drafts/')) files.delete(path);
const tallies = measure(files, wanted.includes('--all') ? Infinity : undefined);
console.log(tallyTable(tallies));
if (wanted.includes('--list')) for (const { name, missed } of tallies) for (const where of missed) console.log(`missed: ${name}: ${where}`);
