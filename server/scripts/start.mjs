/**
 * The main job on the demo library, once: checks it, shows what the checker catches in the flawed drafts, draws the flow and
 * writes the printable checklist of one procedure. Runs after the build (`npm start`).
 */
import { spawnSync } from 'node:child_process';
import { mkdirSync, readdirSync } from 'node:fs';
import { dirname, join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = dirname(dirname(dirname(fileURLToPath(import.meta.url))));
const command = join(root, 'dist', 'faultwright.cjs');
const shown = process.stdout.isTTY === true && !process.env.NO_COLOR;
const strong = (text) => (shown ? `\u001b[1m${text}\u001b[22m` : text);

const library = join('procedures');
const drafts = join('procedures', 'drafts');
const example = join(library, 'tail_lift_no_raise.procedure.yaml');
const asset = 'TL-07';

heading(`The library of Brackwater depot: ${library}`);
const files = readdirSync(join(root, library)).filter((name) => name.endsWith('.yaml')).map((name) => join(library, name));
faultwright(['check', ...files], [0, 1]);

const flawed = readdirSync(join(root, drafts)).filter((name) => name.endsWith('.procedure.yaml')).sort();
if (flawed.length > 0) {
  heading(`What the checker catches in flawed drafts: ${drafts}`);
  const { findings } = JSON.parse(faultwright(['check', drafts, '--format', 'json'], [0, 1], 'pipe'));
  const counted = flawed.map((name) => {
    const path = `${drafts}/${name}`.replaceAll('\\', '/');
    return { path, own: findings.filter((finding) => finding.file === path) };
  });
  // The draft with the fewest findings, whole; of the others what was found.
  const [shortest, ...others] = counted.filter(({ own }) => own.length > 0).sort((a, b) => a.own.length - b.own.length);
  if (shortest) faultwright(['check', shortest.path], [0, 1]);
  const width = Math.max(0, ...others.map(({ path }) => path.length));
  for (const { path, own } of others) {
    console.log(`${path.padEnd(width)}  ${[...new Set(own.map(({ check }) => check))].join(', ')}`);
  }
  console.log(`\nAll of them: node dist/faultwright.cjs check ${drafts}`);
}

heading('The tail lift that does not rise, to look at and to print');
mkdirSync(join(root, 'out'), { recursive: true });
const drawing = join('out', 'tail_lift_no_raise.svg');
const checklist = join('out', 'tail_lift_no_raise.html');
faultwright(['flow', example, '-o', drawing], [0], 'pipe');
faultwright(['checklist', example, '--asset', asset, '-o', checklist], [0], 'pipe');
console.log(`  Flow drawing          ${drawing}`);
console.log(`  Printable checklist   ${checklist}   (for ${asset}; print it from a browser, or write .pdf)`);

heading('What to do next');
console.log(`  Open both files in a browser.
  Run the procedure on this terminal:
    node dist/faultwright.cjs run ${example} --asset ${asset}
  Write and check in the editor, with the findings as you type and the flow beside the text:
    code --extensionDevelopmentPath="${root}" ${library}
  All commands:
    node dist/faultwright.cjs --help
`);

function heading(text) {
  console.log(`\n${strong(text)}\n`);
}

/** Runs the command from the project's folder; ends this script where it could not do its work. */
function faultwright(words, fine, output = 'inherit') {
  const done = spawnSync(process.execPath, [command, ...words], {
    cwd: root, stdio: ['ignore', output, 'inherit'].map((one, index) => (index === 2 && output === 'pipe' ? 'pipe' : one)), encoding: 'utf8', maxBuffer: 1 << 28,
  });
  if (done.status !== null && fine.includes(done.status)) return done.stdout ?? '';
  console.error(done.stderr || `${relative(root, command)} ${words.join(' ')} ended with ${done.status ?? done.signal}.`);
  process.exit(1);
}
