/**
 * Writes the reference of the checks and of the commands from themselves: server/docs/checks/, messages.md, sources.md and commands.md. With `--check` it
 * writes nothing and fails where the pages are out of date.
 *
 *   node server/scripts/docs.mjs
 *   node server/scripts/docs.mjs --check
 */
import { mkdir, mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { dirname, join, relative, sep } from 'node:path';
import { fileURLToPath } from 'node:url';
import * as esbuild from 'esbuild';

const root = fileURLToPath(new URL('../..', import.meta.url));
const out = join(root, 'server', 'docs');
const REMAKE = 'npm run docs';
/** Pages that people write: left as they are. */
const BY_HAND = new Set(['records.md', 'diagnosis.md', 'speed.md']);

const GROUPS = [
  ['structure', 'Structure', 'What the file says at all: names, keys and values that the format knows.'],
  ['flow', 'Flow', 'Every walk leads to an ending, and every reading to one result.'],
  ['safety', 'Safety', 'What can hurt a person. These are errors. A shop cannot switch them off; a procedure accepts one only with a name and a reason.'],
  ['quantities', 'Quantities', 'Units, limits, and what the instruments can tell.'],
  ['diagnosis', 'Diagnosis', 'What the results prove about the faults.'],
  ['wording', 'Wording', 'Advice on the language of instructions. The word lists are English.'],
  ['document', 'Document control', 'Release, approval, revisions, references, and the data of the assets.'],
];

const CAUTION = [
  'A clean check does not make a procedure safe by itself. Follow the maker\'s data, local codes and the shop\'s rules. Work on high',
  'voltage, refrigerant, gas, brakes and restraint systems is for qualified people.',
].join('\n');

/** @returns {Promise<Map<string, string>>} page, by its path under server/docs */
async function pages() {
  const product = await load();
  const { ALL_CHECKS, loadCatalogue } = product;
  const rendered = new Map(ALL_CHECKS.map((check) => [check.name, renderExample(check, product)]));
  const files = new Map();
  files.set('checks/README.md', overview(ALL_CHECKS));
  for (const check of ALL_CHECKS) files.set(`checks/${check.name}.md`, checkPage(check, rendered.get(check.name)));
  files.set('messages.md', messagesPage(ALL_CHECKS, rendered));
  files.set('sources.md', sourcesPage(product, loadCatalogue()));
  files.set('commands.md', commandsPage(product.commandHelp()));
  return files;
}

/** The product's own code, bundled to a file that Node can run. */
async function load() {
  const folder = await mkdtemp(join(tmpdir(), 'docs-'));
  try {
    const file = join(folder, 'checks.cjs');
    await esbuild.build({
      stdin: {
        contents: `
          export { ALL_CHECKS } from './server/src/checks/all.ts';
          export { analyseExample } from './server/scripts/example-workspace.ts';
          export { LineIndex } from './server/src/text/line-index.ts';
          export { renderFindingsText } from './server/src/render/findings-text.ts';
          export { QUANTITY_SOURCES } from './server/src/quantity/sources.ts';
          export { COMPUTATIONS } from './server/src/quantity/computations.ts';
          export { SOURCE_PARTS, valuesOf } from './tests/quantity/standards/all.ts';
          export { KNOWN_DIFFERENCES } from './tests/quantity/standards/general-libraries.ts';
          export { commandHelp } from './server/src/edge/command-line.ts';
          export { loadCatalogue } from './server/src/catalogue/load-catalogue.ts';
        `,
        resolveDir: root,
      },
      outfile: file,
      bundle: true,
      platform: 'node',
      format: 'cjs',
      loader: { '.yaml': 'text' },
      // What the tests check is counted here, not run: the libraries they compare with stay out.
      plugins: [{
        name: 'without-libraries',
        setup(build) {
          build.onResolve({ filter: /^(?:mathjs|fast-check)$/ }, ({ path }) => ({ path, namespace: 'left-out' }));
          build.onLoad({ filter: /.*/, namespace: 'left-out' }, () => ({ contents: 'module.exports = {};', loader: 'js' }));
        },
      }],
      define: { 'import.meta.url': '"file:///"' },
      logLevel: 'warning',
    });
    return createRequire(import.meta.url)(file);
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

/** The findings that the bad example raises, of this check alone, as the command line prints them. */
function renderExample(check, { analyseExample, renderFindingsText, LineIndex }) {
  const analysis = analyseExample(check, 'bad');
  const findings = analysis.findings.filter((finding) => finding.check === check.name);
  const around = Object.entries({ ...(check.shop === undefined ? {} : { 'shop.yaml': check.shop }), ...check.files });
  const folder = analysis.file.slice(0, analysis.file.lastIndexOf('/') + 1);
  const sources = new Map(around.map(([name, text]) => [folder + name, { text, lines: new LineIndex(text) }]));
  sources.set(analysis.file, { text: analysis.text, lines: analysis.lines });
  const outcome = {
    findings, files: 1, milliseconds: 0,
    source: (file) => sources.get(file),
    shownPath: (file) => file.slice(file.lastIndexOf('/') + 1).replace(/^x\./, 'example.'),
  };
  const text = renderFindingsText(outcome, { width: 96 });
  // Between the line with the file's name and the one that sums up.
  const lines = text.trimEnd().split('\n').slice(1, -1).map((line) => line.replace(/^ {2}/, ''));
  return lines.join('\n').replaceAll('\u00a0', ' ').trim();
}

function overview(checks) {
  const parts = [
    '# The checks', '',
    `Made from the checks themselves by \`${REMAKE}\`; do not edit.`, '',
    `There are ${checks.length}. Each has a page with what it proves, why it matters, a procedure that fails it, and the same put right. A shop sets the`,
    'severity of a check, or switches it off, under `checks` in shop.yaml; a procedure accepts a single finding under `accept`.', '',
    CAUTION, '',
  ];
  for (const [group, title, says] of GROUPS) {
    const own = checks.filter((check) => check.group === group);
    if (own.length === 0) continue;
    parts.push(`## ${title}`, '', says, '', '| check | severity | proves |', '| --- | --- | --- |');
    for (const check of own) parts.push(`| [${check.name}](${check.name}.md) | ${check.severity} | ${cell(check.proves)} |`);
    parts.push('');
  }
  return page(parts);
}

function checkPage(check, rendered) {
  const group = GROUPS.find(([name]) => name === check.group)?.[1] ?? check.group;
  const around = [
    ...(check.shop === undefined ? [] : [['shop.yaml', check.shop]]),
    ...Object.entries(check.files ?? {}).filter(([name]) => name.endsWith('.yaml')),
  ];
  const parts = [
    `# ${check.name}`, '',
    `${check.proves}`, '',
    `${check.why}`, '',
    '| | |', '| --- | --- |',
    `| group | ${group} |`,
    `| severity | ${check.severity}${check.group === 'safety' ? '; a shop cannot switch it off' : ''} |`,
    `| source | ${cell(check.source ?? 'The format itself')} |`, '',
  ];
  if (around.length > 0) {
    parts.push('Both examples live with:', '');
    for (const [name, text] of around) parts.push(...block('yaml', `# ${name}\n${text}`));
  }
  if (check.released !== undefined) parts.push('The last released revision:', '', ...block('yaml', check.released));
  parts.push('## Fails', '', ...block('yaml', check.bad), 'What is said of it:', '', ...block('text', rendered), '## Put right', '', ...block('yaml', check.good));
  parts.push(`[All checks](README.md) · made by \`${REMAKE}\``, '');
  return page(parts);
}

function messagesPage(checks, rendered) {
  const parts = [
    '# Every message', '',
    `What each check says of its own bad example, for whoever edits the words. Made by \`${REMAKE}\`; do not edit.`, '',
  ];
  for (const [group, title] of GROUPS) {
    const own = checks.filter((check) => check.group === group);
    if (own.length === 0) continue;
    parts.push(`## ${title}`, '');
    for (const check of own) parts.push(`### [${check.name}](checks/${check.name}.md)`, '', ...block('text', rendered.get(check.name)));
  }
  return page(parts);
}

function sourcesPage({ ALL_CHECKS: checks, QUANTITY_SOURCES: quantitySources, COMPUTATIONS: computations, SOURCE_PARTS, valuesOf, KNOWN_DIFFERENCES }, catalogue) {
  const partsOf = (id) => SOURCE_PARTS.filter((part) => part.id === id);
  const count = (parts) => parts.reduce((sum, part) => sum + valuesOf(part), 0);
  const cited = (source) => `${source.source}${source.edition === '' ? '' : `, ${source.edition}`}`;
  const parts = [
    '# Sources', '',
    'Where rules and values come from. *Read*: read in the text or a verbatim copy. *From memory*: the text was not open when the value was',
    'written down; read the current edition before you rely on it. *Common practice, no source*: no published text is known.', '',
    CAUTION, '',
    `Made by \`${REMAKE}\`; do not edit.`, '',
    '## Checks', '', '| source | checks |', '| --- | --- |',
    ...grouped(checks.filter((check) => check.source), (check) => capital(check.source), (check) => `[${check.name}](checks/${check.name}.md)`), '',
    '## Units, measuring and computations', '',
    'Each value is checked by `npm test -- standards`, which prints one line a source.', '',
    '| source | edition | what it checks | values | basis |', '| --- | --- | --- | --- | --- |',
    ...quantitySources.map(({ id, source, edition, checks: what, basis }) => `| ${cell(source)} | ${cell(edition)} | ${cell(what)} | ${count(partsOf(id))} | ${basis} |`), '',
    '### Part by part', '', 'A part that differs from the basis of its source says so.', '',
    '| source | part | values |', '| --- | --- | --- |',
    ...quantitySources.flatMap((source) => partsOf(source.id).map((part) => `| ${cell(source.source)} | ${cell(part.note)} | ${valuesOf(part)} |`)), '',
    '### Where general-purpose libraries differ', '',
    'The random conversions are compared to one part in a thousand million. Only these differ:', '',
    '| library | units | by at most | why |', '| --- | --- | --- | --- |',
    ...KNOWN_DIFFERENCES.map(({ library, which, why, upTo }) => `| ${cell(cited(quantitySources.find(({ id }) => id === library)))} | ${cell(which)} | ${upTo} | ${cell(why)} |`), '',
    '### Computations', '',
  ];
  if (computations.length > 0) {
    parts.push('| computation | what it computes | its range | source | basis |', '| --- | --- | --- | --- | --- |');
    for (const { name, title, range, source, basis } of computations) parts.push(`| \`${name}\` | ${cell(title)} | ${cell(range)} | ${cell(source)} | ${basis} |`);
    parts.push('');
  }
  for (const [kind, title] of [['hazards', 'Hazards of the catalogue'], ['cautions', 'Cautions of the catalogue'], ['qualifications', 'Qualifications of the catalogue'], ['values', 'Values of the catalogue']]) {
    const items = catalogue[kind].filter((item) => item.from);
    if (items.length === 0) continue;
    parts.push(`## ${title}`, '', '| source | entries |', '| --- | --- |', ...grouped(items, (item) => capital(item.from.value), (item) => `\`${item.name.value}\``), '');
  }
  return page(parts);
}

function commandsPage(commands) {
  const [list, ...rest] = commands;
  return page([
    '# The commands', '',
    `What \`faultwright help COMMAND\` says of each. Made by \`${REMAKE}\`; do not edit.`, '',
    CAUTION, '',
    '| command | does |', '| --- | --- |', ...rest.map(({ name, description }) => `| [${name}](#${name}) | ${cell(description)} |`), '',
    ...block('text', list.help),
    ...rest.flatMap(({ name, help }) => [`## ${name}`, '', ...block('text', help)]),
  ]);
}

/** Rows of a table: one for each key, with what has it. */
function grouped(items, keyOf, shown) {
  const rows = new Map();
  for (const item of items) rows.set(keyOf(item), [...(rows.get(keyOf(item)) ?? []), shown(item)]);
  return [...rows].sort(([a], [b]) => (a < b ? -1 : 1)).map(([key, all]) => `| ${cell(key)} | ${all.join(', ')} |`);
}

function block(language, text) {
  return [`\`\`\`${language}`, text.trimEnd(), '```', ''];
}

function cell(text) {
  return text.replace(/\s+/gu, ' ').replaceAll('|', '\\|').replaceAll('<', '&lt;');
}

function capital(text) {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

function page(lines) {
  return `${lines.join('\n').trimEnd()}\n`;
}

/** Pages on disk, by path. */
async function present() {
  const found = new Map();
  for (const entry of await readdir(out, { recursive: true, withFileTypes: true }).catch(() => [])) {
    if (!entry.isFile() || !entry.name.endsWith('.md')) continue;
    const path = join(entry.parentPath ?? entry.path, entry.name);
    const name = relative(out, path).split(sep).join('/');
    if (!BY_HAND.has(name)) found.set(name, (await readFile(path, 'utf8')).replaceAll('\r\n', '\n'));
  }
  return found;
}

const wanted = await pages();
const before = await present();
const stale = [...new Set([...wanted.keys(), ...before.keys()])].filter((path) => wanted.get(path) !== before.get(path)).sort();

if (process.argv.includes('--check')) {
  if (stale.length > 0) {
    console.error(`Out of date: ${stale.map((path) => `server/docs/${path}`).join(', ')}.\nRun \`${REMAKE}\`.`);
    process.exitCode = 1;
  }
} else {
  for (const path of stale) {
    const file = join(out, path);
    const text = wanted.get(path);
    if (text === undefined) {
      await rm(file);
      continue;
    }
    await mkdir(dirname(file), { recursive: true });
    await writeFile(file, text);
  }
  console.log(`${wanted.size} pages, ${stale.length} changed.`);
}
