/**
 * The corpus: procedures written by hand in many styles, by someone who did not write the checks. The clean ones have no error and
 * no warning. Each flawed one has a mistake planted in it, told by a marker on the line under it: `# ^^^^ check-name`, or
 * `# ^^^^ name-a or name-b` where the mistake may fairly go by either name. The finding must start on the line above its marker.
 */
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { basename, dirname, join, relative, sep } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { Workspace } from '../../server/src/analysis/workspace.ts';
import type { Finding } from '../../server/src/findings/finding.ts';
import { LineIndex } from '../../server/src/text/line-index.ts';

const here = import.meta.dirname;
const MARKER = /^\s*#\s*\^+\s+(.+?)\s*$/u;
/** Findings at error level, in the whole flawed corpus, that nobody planted. */
const EXTRA_ERRORS_ALLOWED = 1;

/** A procedure to check, with what stands beside it. */
interface Case {
  /** Its path within the corpus, as the test names it. */
  readonly name: string;
  /** Path within the corpus → text. */
  readonly files: ReadonlyMap<string, string>;
}

interface Expected {
  readonly file: string;
  /** Counted from 1. */
  readonly line: number;
  readonly checks: readonly string[];
}

function filesBelow(folder: string): string[] {
  return readdirSync(join(here, folder), { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && entry.name.endsWith('.yaml'))
    .map((entry) => relative(here, join(entry.parentPath, entry.name)).split(sep).join('/'))
    .sort();
}

function read(path: string): string {
  return readFileSync(join(here, path), 'utf8');
}

/** shop.yaml and assets.yaml from the folder of a path up to the corpus. */
function sharedFilesFor(path: string): string[] {
  const found: string[] = [];
  for (let folder = dirname(path); folder !== '.'; folder = dirname(folder)) {
    for (const name of ['shop.yaml', 'assets.yaml']) if (existsSync(join(here, folder, name))) found.push(`${folder}/${name}`);
  }
  return found;
}

/** A file of a group's folder stands alone; a folder in a group's folder holds one case and its companions. */
function flawedCases(): Case[] {
  const cases = new Map<string, string[]>();
  for (const path of filesBelow('flawed')) {
    const [, group, first, ...rest] = path.split('/');
    if (first === undefined || rest[0] === 'released') continue;
    const name = rest.length > 0 ? `flawed/${group}/${first}` : path;
    cases.set(name, [...(cases.get(name) ?? []), path]);
  }
  return [...cases].map(([name, paths]) => {
    const all = new Set(paths.flatMap((path) => [...sharedFilesFor(path), path]));
    return { name, files: new Map([...all].map((path) => [path, read(path)])) };
  });
}

function workspaceOf(files: ReadonlyMap<string, string>): Workspace {
  const workspace = new Workspace({
    fileExists: (path) => existsSync(join(here, path)),
    releasedText: (path) => {
      const kept = join(here, dirname(path), 'released', basename(path));
      return existsSync(kept) ? readFileSync(kept, 'utf8') : undefined;
    },
  });
  for (const [path, text] of files) workspace.setFile(path, text);
  return workspace;
}

/** What the markers of a text ask for. A marker under a marker is about the same line. */
function expectedIn(file: string, text: string): Expected[] {
  const expected: Expected[] = [];
  let line = 0;
  text.split('\n').forEach((content, index) => {
    const marker = MARKER.exec(content.trimEnd());
    if (marker?.[1] === undefined) line = index + 1;
    else expected.push({ file, line, checks: marker[1].split(/\s+or\s+/u) });
  });
  return expected;
}

function lineOf(finding: Finding, files: ReadonlyMap<string, string>): number {
  return new LineIndex(files.get(finding.file) ?? '').positionAt(finding.span.start).line + 1;
}

function readably(finding: Finding, files: ReadonlyMap<string, string>): string {
  const walk = finding.witness?.map((step) => step.step).join(' → ');
  return `${finding.file}:${lineOf(finding, files)} ${finding.severity} ${finding.check}: ${finding.message}${walk ? ` [${walk}]` : ''}`;
}

function findingsOf({ files }: Case): Finding[] {
  const workspace = workspaceOf(files);
  return [...files.keys()].flatMap((path) => workspace.analyse(path).findings);
}

function isWanted(finding: Finding, wanted: Expected, files: ReadonlyMap<string, string>): boolean {
  return finding.file === wanted.file && wanted.checks.includes(finding.check) && lineOf(finding, files) === wanted.line;
}

const cleanFiles = new Map(filesBelow('clean').map((path) => [path, read(path)]));
const cleanProcedures = [...cleanFiles.keys()].filter((path) => path.endsWith('.procedure.yaml'));
const flawed = flawedCases();
const extra: string[] = [];
let planted = 0;
let found = 0;

describe('clean procedures', () => {
  const workspace = workspaceOf(cleanFiles);

  it('are many', () => {
    expect(cleanProcedures.length).toBeGreaterThanOrEqual(40);
  });

  it.each([...cleanFiles.keys()])('%s', (path) => {
    const findings = workspace.analyse(path).findings.filter((finding) => finding.severity !== 'hint');
    expect(findings.map((finding) => readably(finding, cleanFiles))).toEqual([]);
  });

  it.each(cleanProcedures)('%s is explored exactly', (path) => {
    expect(workspace.analyse(path).exploration?.approximate).toBe(false);
  });
});

describe('flawed procedures', () => {
  it('are many', () => {
    expect(flawed.length).toBeGreaterThanOrEqual(150);
  });

  it.each(flawed.map((each) => [each.name, each] as const))('%s', (_name, each) => {
    const expected = [...each.files].flatMap(([file, text]) => expectedIn(file, text));
    const findings = findingsOf(each);
    expect(expected.length, 'a flawed procedure has a marker').toBeGreaterThan(0);
    planted += expected.length;
    const missed = expected.filter((wanted) => !findings.some((finding) => isWanted(finding, wanted, each.files)));
    found += expected.length - missed.length;
    for (const finding of findings) {
      if (finding.severity !== 'error' || expected.some((wanted) => isWanted(finding, wanted, each.files))) continue;
      extra.push(readably(finding, each.files));
    }
    expect(
      missed.map((wanted) => `${wanted.file}:${wanted.line} ${wanted.checks.join(' or ')}`),
      `not found; what was:\n${findings.map((finding) => `  ${readably(finding, each.files)}`).join('\n')}`,
    ).toEqual([]);
  });

  it('have at most one error that nobody planted', () => {
    expect(extra.length, extra.join('\n')).toBeLessThanOrEqual(EXTRA_ERRORS_ALLOWED);
  });
});

afterAll(() => {
  console.log(
    `corpus: ${flawed.length} flawed with ${planted} planted mistakes, ${found} found, ${extra.length} extra errors, ${cleanProcedures.length} clean`,
  );
});
