/** The examples of a check as files of a workspace: what the tests and the reference page analyse. */
import { Workspace } from '../src/analysis/workspace.ts';
import type { Analysis } from '../src/analysis/analysis.ts';
import type { Check } from '../src/checks/check.ts';

/** The analysis of one example of a check, with its shop and its other files around it. */
export function analyseExample(check: Check, which: 'bad' | 'good'): Analysis {
  return analyseText(check[which], check);
}

/** The analysis of a procedure's text in the surroundings given. */
export function analyseText(text: string, around: Pick<Check, 'shop' | 'files' | 'released'> = {}): Analysis {
  const file = 'example/x.procedure.yaml';
  const workspace = new Workspace({
    fileExists: (path) => path.slice('example/'.length) in (around.files ?? {}),
    releasedText: (path) => (path === file ? around.released : undefined),
  });
  if (around.shop !== undefined) workspace.setFile('example/shop.yaml', around.shop);
  for (const [name, content] of Object.entries(around.files ?? {})) workspace.setFile(`example/${name}`, content);
  workspace.setFile(file, text);
  return workspace.analyse(file);
}
