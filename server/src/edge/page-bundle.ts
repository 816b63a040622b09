/** Script and styles of the checklist page, as they were built. */
import { readFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { CannotRun } from './command-environment.ts';

export interface PageBundle {
  readonly script: string;
  readonly styles: string;
}

/** Beside the bundled command line; run from its sources, in the folder that the build writes. */
const PLACES = ['./pages/', '../../../dist/pages/'];

/** Throws CannotRun where nothing was built. */
export async function checklistPageBundle(): Promise<PageBundle> {
  for (const place of PLACES) {
    const read = (name: string): Promise<string> => readFile(fileURLToPath(new URL(place + name, import.meta.url)), 'utf8');
    try {
      return { script: await read('checklist-page.js'), styles: await read('checklist-page.css') };
    } catch (error) {
      if ((error as { code?: string }).code !== 'ENOENT') throw error;
    }
  }
  throw new CannotRun('The page that the checklist runs on was not found beside this program. Install it anew; from its sources, run: npm run build');
}
