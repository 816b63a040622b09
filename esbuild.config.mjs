/**
 * Bundles everything that ships into dist/:
 *
 *   faultwright.cjs   the command line, the language server over stdio included
 *   server.cjs        the language server that the editor starts
 *   extension.cjs     the editor extension, as far as it is loaded when the editor activates it
 *   language-client.cjs  its client of the language server, loaded once the server is asked for
 *   pages/            scripts and style sheets of panels and stand-alone pages
 *   elk/              the layout library, unmodified and apart, with its licence and a notice
 *   notices.txt       licences of the libraries inside the bundles
 *
 * An entry that does not exist is passed over. `--watch` keeps on building; `--clean` empties dist/ first.
 */
import { cp, mkdir, readdir, readFile, rm, stat, writeFile } from 'node:fs/promises';
import { basename, dirname, join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import * as esbuild from 'esbuild';

const root = dirname(fileURLToPath(import.meta.url));
const out = join(root, 'dist');
const watch = process.argv.includes('--watch');

/** The layout library is licensed under EPL-2.0: it stays a file of its own, loaded when a drawing is first asked for. */
const layoutLibraryApart = {
  name: 'layout-library-apart',
  setup(build) {
    build.onResolve({ filter: /^elkjs(\/|$)/ }, () => ({ path: './elk/elk.bundled.js', external: true }));
  },
};

/** What the extension loads when it needs it and not before: a bundle of its own, which the other one requires by its name. */
const languageClientApart = {
  name: 'language-client-apart',
  setup(build) {
    build.onResolve({ filter: /^\.\/language-client\.ts$/ }, () => ({ path: './language-client.cjs', external: true }));
  },
};

/** @type {esbuild.BuildOptions} */
const common = {
  absWorkingDir: root,
  bundle: true,
  sourcemap: true,
  sourcesContent: false,
  minify: true,
  keepNames: false,
  legalComments: 'none',
  loader: { '.yaml': 'text' },
  logLevel: 'warning',
  metafile: true,
  plugins: [layoutLibraryApart],
};

/** @type {esbuild.BuildOptions} */
const forNode = {
  ...common,
  platform: 'node',
  format: 'cjs',
  target: 'node20.20',
  mainFields: ['module', 'main'],
  // Libraries written as ES modules ask where they are; a CommonJS bundle has to be told.
  define: { 'import.meta.url': 'bundleUrl' },
  banner: { js: 'const bundleUrl = require("node:url").pathToFileURL(__filename).href;' },
};

const bundles = [
  {
    ...forNode,
    entryPoints: ['server/src/edge/main.ts'],
    outfile: 'dist/faultwright.cjs',
    banner: { js: `#!/usr/bin/env node\n${forNode.banner.js}` },
  },
  { ...forNode, entryPoints: ['server/src/edge/lsp-main.ts'], outfile: 'dist/server.cjs' },
  {
    ...forNode,
    entryPoints: ['client/src/extension.ts'],
    outfile: 'dist/extension.cjs',
    external: ['vscode'],
    plugins: [...common.plugins, languageClientApart],
    // Required when it is come to, as everything else of the bundle is.
    supported: { 'dynamic-import': false },
  },
  { ...forNode, entryPoints: ['client/src/language-client.ts'], outfile: 'dist/language-client.cjs', external: ['vscode'] },
  {
    ...common,
    entryPoints: await pageEntries(),
    outdir: 'dist/pages',
    platform: 'browser',
    format: 'iife',
    target: 'es2022',
    jsx: 'automatic',
    jsxImportSource: 'preact',
    define: { 'process.env.NODE_ENV': '"production"' },
  },
];

if (process.argv.includes('--clean')) await rm(out, { recursive: true, force: true });
await mkdir(out, { recursive: true });
const present = [];
for (const bundle of bundles) {
  const entries = [];
  for (const entry of bundle.entryPoints) if (await exists(join(root, entry))) entries.push(entry);
  if (entries.length > 0) present.push({ ...bundle, entryPoints: entries });
}

try {
  if (watch) {
    await shipLayoutLibrary();
    for (const bundle of present) await (await esbuild.context({ ...bundle, logLevel: 'info' })).watch();
  } else {
    const [results] = await Promise.all([Promise.all(present.map((bundle) => esbuild.build(bundle))), shipLayoutLibrary()]);
    await writeNotices(results);
  }
} catch (error) {
  // esbuild has already printed what is wrong with the sources; anything else is news.
  if (!Array.isArray(error?.errors)) console.error(error);
  process.exitCode = 1;
}

async function pageEntries() {
  const folder = 'client/src/pages';
  const names = await readdir(join(root, folder)).catch(() => []);
  const scripts = names.filter((name) => name.endsWith('.tsx'));
  // A page's own style sheet has its name; others are imported by it.
  const styles = scripts.map((name) => name.replace(/tsx$/, 'css')).filter((name) => names.includes(name));
  return [...scripts, ...styles].map((name) => `${folder}/${name}`);
}

async function shipLayoutLibrary() {
  const from = join(root, 'node_modules', 'elkjs');
  const to = join(out, 'elk');
  await mkdir(to, { recursive: true });
  const { version } = JSON.parse(await readFile(join(from, 'package.json'), 'utf8'));
  await Promise.all([
    cp(join(from, 'lib', 'elk.bundled.js'), join(to, 'elk.bundled.js')),
    cp(join(from, 'LICENSE.md'), join(to, 'LICENSE.md')),
    // The folder above is an ES module package; this file is not one.
    writeFile(join(to, 'package.json'), `${JSON.stringify({ type: 'commonjs' })}\n`),
    writeFile(
      join(to, 'NOTICE.md'),
      [
        '# Notice',
        '',
        `\`elk.bundled.js\` is elkjs ${version}, copyright Kiel University and others, shipped unmodified under the Eclipse Public`,
        'License 2.0 (SPDX-License-Identifier: EPL-2.0 OR GPL-3.0-or-later). The licence is in `LICENSE.md`. The source is at',
        'https://github.com/kieler/elkjs.',
        '',
      ].join('\n'),
    ),
  ]);
}

/** Gathers the licences of the libraries that went into the bundles. */
async function writeNotices(results) {
  const folders = new Set();
  for (const result of results) {
    for (const input of Object.keys(result.metafile.inputs)) {
      const match = /^(?:.*\/)?node_modules\/((?:@[^/]+\/)?[^/]+)\//.exec(input);
      if (match) folders.add(input.slice(0, input.indexOf(match[1]) + match[1].length));
    }
  }
  const parts = [];
  for (const folder of [...folders].sort()) {
    const description = JSON.parse(await readFile(join(root, folder, 'package.json'), 'utf8').catch(() => '{}'));
    const files = await readdir(join(root, folder)).catch(() => []);
    const licence = files.find((name) => /^(licen[cs]e|copying)/i.test(name));
    const text = licence ? await readFile(join(root, folder, licence), 'utf8') : `Licence: ${description.license ?? 'not stated'}`;
    const name = relative('node_modules', folder) || basename(folder);
    parts.push(`${name} ${description.version ?? ''}\n${'='.repeat(name.length)}\n\n${text.trim()}\n`);
  }
  if (parts.length > 0) await writeFile(join(out, 'notices.txt'), parts.join('\n\n'));
}

async function exists(path) {
  return stat(path).then(() => true, () => false);
}
