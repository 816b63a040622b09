import { readdirSync } from 'node:fs';
import { dirname } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { breaches, importsOf, readSources, ROOMS } from './imports.ts';

const root = dirname(dirname(dirname(fileURLToPath(import.meta.url))));

test('the house keeps its own rules', () => {
  const sources = [...readSources(root, 'server/src'), ...readSources(root, 'client/src')];
  expect(sources.length).toBeGreaterThan(50);
  expect(breaches(sources)).toEqual([]);
});

test('every folder of server/src is a room that the rules know', () => {
  const folders = readdirSync(`${root}/server/src`, { withFileTypes: true }).filter((entry) => entry.isDirectory()).map(({ name }) => name);
  expect(folders.filter((name) => !(ROOMS as readonly string[]).includes(name))).toEqual([]);
});

describe('a planted breach is found', () => {
  const planted: readonly (readonly [path: string, text: string, says: RegExp | undefined])[] = [
    ['server/src/flow/a.ts', `import { x } from '../checks/all.ts';`, /flow\/ may import only rooms above it, and checks\/ is below/],
    ['server/src/checks/a.ts', `import { x } from '../flow/explore.ts';`, undefined],
    ['server/src/flow/a.ts', `import type { X } from '../checks/check.ts';`, /flow\/ may import only rooms above/],
    ['server/src/syntax/a.ts', `import type { Problem } from '../findings/finding.ts';`, undefined],
    ['server/src/syntax/a.ts', `import { make } from '../findings/make.ts';`, /findings\/ is below/],
    ['server/src/run/a.ts', `import { readFileSync } from 'node:fs';`, /imports node:fs: only edge\/ may/],
    ['server/src/edge/a.ts', `import { readFileSync } from 'node:fs';`, undefined],
    ['server/src/render/a.ts', `export const x = () => import('node:path');`, /imports node:path/],
    ['server/src/features/a.ts', `import * as vscode from 'vscode';`, /imports vscode: only client/],
    ['server/src/procedure/a.ts', `import { parse } from 'yaml';`, /imports yaml: only syntax/],
    ['server/src/procedure/a.ts', `export * from 'yaml';`, /imports yaml: only syntax/],
    ['server/src/render/a.ts', `import { createConnection } from 'vscode-languageserver/node';`, /only lsp\/ may/],
    ['client/src/panels/a.ts', `import { y } from '../../../server/src/lsp/protocol.ts';`, /takes only types/],
    ['client/src/panels/a.ts', `import type { Y } from '../../../server/src/lsp/protocol.ts';`, undefined],
    ['client/src/pages/a.tsx', `import { startRun } from '../../../server/src/run/engine.ts';`, undefined],
    ['client/src/pages/a.tsx', `import { readText } from '../../../server/src/edge/read-text-file.ts';`, /only pure rooms/],
  ];
  test.each(planted)('%s: %s', (path, text, says) => {
    const found = breaches([{ path, text }]);
    if (says === undefined) expect(found).toEqual([]);
    else expect(found.join('\n')).toMatch(says);
  });

  test('a circle', () => {
    const sources = [
      { path: 'server/src/run/a.ts', text: `import { b } from './b.ts';` },
      { path: 'server/src/run/b.ts', text: `import { c } from './c.ts';` },
      { path: 'server/src/run/c.ts', text: `import { a } from './a.ts';` },
    ];
    expect(breaches(sources)).toEqual(['These files import each other in a circle: server/src/run/a.ts → server/src/run/b.ts → server/src/run/c.ts → server/src/run/a.ts.']);
    expect(breaches([...sources.slice(0, 2), { path: 'server/src/run/c.ts', text: `import type { A } from './a.ts';` }])).toEqual([]);
  });

  test('what only looks like an import is none', () => {
    expect(importsOf({ path: 'server/src/text/a.ts', text: `// import { x } from 'yaml';\nexport const text = "import 'vscode'";` })).toEqual([]);
  });
});
