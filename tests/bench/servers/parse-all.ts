/** Reads every YAML file under a folder and parses it, one after another, and does nothing more: what no checker on one thread can beat. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { parseDocument } from 'yaml';

let errors = 0;
for (const entry of readdirSync(process.argv[2] ?? '.', { withFileTypes: true, recursive: true })) {
  if (!entry.name.endsWith('.yaml')) continue;
  errors += parseDocument(readFileSync(join(entry.path, entry.name), 'utf8')).errors.length;
}
console.log(errors);
