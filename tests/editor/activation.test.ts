/**
 * What is loaded when the editor activates the extension, and when the rest comes: the built bundle is activated outside an editor, with a stand-in for
 * the editor's own module, and every file that it asks for is written down.
 */
import { execFileSync } from 'node:child_process';
import { readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { ROOT } from './extension-package.ts';

const DIST = join(ROOT, 'dist');

interface Activated {
  /** The files of ours that were loaded, without their folder. */
  readonly loaded: readonly string[];
  /** Behind which lines Enter puts the cursor under the first key of an item. */
  readonly newLines: readonly RegExp[];
}

/** Activates the bundle with these documents open. */
function activatedWith(documents: readonly string[]): Activated {
  const script = `
    const Module = require('node:module');
    const uri = (path) => ({ scheme: 'file', path, fsPath: path, toString: () => 'file://' + path });
    const nothing = { dispose() {} };
    // Whatever is asked of the editor is there, and does nothing.
    const standIn = (known = {}) => new Proxy(function () {}, {
      get: (target, name) => (name === 'prototype' ? target.prototype : name in known ? known[name] : name === Symbol.toPrimitive ? () => '' : name === 'then' ? undefined : standIn()),
      apply: () => nothing, construct: () => ({ event: () => nothing, fire() {}, dispose() {} }),
    });
    const documents = ${JSON.stringify(documents)}.map((path) => ({ uri: uri(path), isUntitled: false, languageId: 'yaml' }));
    const rules = [];
    const vscode = standIn({
      languages: standIn({ setLanguageConfiguration: (language, { onEnterRules }) => { rules.push(...onEnterRules.map((rule) => rule.beforeText.source)); return nothing; } }),
      workspace: standIn({ textDocuments: documents, workspaceFolders: [], isTrusted: true, findFiles: async () => [] }),
      Disposable: Object.assign(function () { return nothing; }, { from: () => nothing }),
      Uri: standIn({ joinPath: (base, ...parts) => uri([base.path, ...parts].join('/')) }),
    });
    const load = Module._load;
    Module._load = (name, ...rest) => (name === 'vscode' ? Object.create(vscode) : load(name, ...rest));
    const { activate } = require(${JSON.stringify(join(DIST, 'extension.cjs'))});
    activate({ subscriptions: [], extensionUri: uri(${JSON.stringify(ROOT)}) });
    // The language client meets the stand-in, and can do nothing with it: that it was loaded is enough.
    for (const event of ['unhandledRejection', 'uncaughtException']) process.on(event, () => undefined);
    setTimeout(() => {
      console.log(JSON.stringify({ loaded: Object.keys(require.cache), rules }));
      process.exit(0);
    }, 300);
  `;
  const out = execFileSync(process.execPath, ['-e', script], { encoding: 'utf8', stdio: ['ignore', 'pipe', 'pipe'] });
  const { loaded, rules } = JSON.parse(out.trim().split('\n').at(-1) ?? '{}') as { loaded: string[]; rules: string[] };
  return { loaded: loaded.map((path) => path.slice(DIST.length + 1)).sort(), newLines: rules.map((rule) => new RegExp(rule)) };
}

const loadedWith = (documents: readonly string[]): readonly string[] => activatedWith(documents).loaded;

test('any YAML file loads the small bundle alone; a file of ours loads the language client', () => {
  const other = loadedWith(['/depot/other.yaml']);
  console.log(`Loaded at activation: ${other.map((name) => `${name} (${statSync(join(DIST, name)).size} bytes)`).join(', ')}`);
  expect(other).toEqual(['extension.cjs']);
  for (const path of ['/depot/lamp.procedure.yaml', '/depot/shop.yaml', '/depot/assets.yml'])
    expect(loadedWith([path]), path).toEqual(['extension.cjs', 'language-client.cjs']);
});

test('what the client weighs stays small, and its parts are shipped', () => {
  const sizes = ['extension.cjs', 'language-client.cjs'].map((name) => statSync(join(DIST, name)).size);
  expect(sizes[0]).toBeLessThan(60_000);
  expect((sizes[0] ?? 0) + (sizes[1] ?? 0)).toBeLessThan(500_000);
  const shipped = readFileSync(join(ROOT, '.vscodeignore'), 'utf8');
  for (const name of ['extension.cjs', 'language-client.cjs', 'server.cjs']) expect(shipped).toContain(`!dist/${name}\n`);
});

test('Enter behind the first key of an item goes under that key, and is left alone elsewhere', () => {
  const [rule] = activatedWith(['/depot/other.yaml']).newLines;
  for (const line of ['  - step: listen', '      - when: at least 12.4 V', '- step: a']) expect(rule?.test(line), line).toBe(true);
  for (const line of ['    - Park on level ground.', '  - step:', '  - text: |', '  - text: >-', '    time: 2 min', '  - {id: WD-7}']) expect(rule?.test(line), line).toBe(false);
});
