/** Every feature, at places all over the depot's library, in the whole text and in a text that was typed only so far: an answer or none, never an error. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { Workspace } from '../../server/src/analysis/workspace.ts';
import { callItemAt, calleesOf, callersOf } from '../../server/src/features/calls.ts';
import { lensesOf, readyLens } from '../../server/src/features/code-lens.ts';
import { completionsAt } from '../../server/src/features/completion.ts';
import { definitionsAt } from '../../server/src/features/definition.ts';
import { hoverAt } from '../../server/src/features/hover.ts';
import { inlayHintsIn } from '../../server/src/features/inlay-hints.ts';
import { linkedNamesAt } from '../../server/src/features/linked-names.ts';
import { outlineOf } from '../../server/src/features/outline.ts';
import { highlightsAt } from '../../server/src/features/references.ts';
import { spansAround } from '../../server/src/features/selection.ts';
import { tokensOf } from '../../server/src/features/semantic-tokens.ts';
import { signatureAt } from '../../server/src/features/signature.ts';

const LIBRARY = join(import.meta.dirname, '../../procedures');
const NAMES = readdirSync(LIBRARY).filter((name) => name.endsWith('.yaml'));
/** Offsets in a text: some, more where FAULTWRIGHT_PLACES says so. */
const PLACES = Number(process.env['FAULTWRIGHT_PLACES'] ?? 8);

function library(): Workspace {
  const workspace = new Workspace();
  for (const name of NAMES) workspace.setFile(`/depot/${name}`, readFileSync(join(LIBRARY, name), 'utf8'));
  return workspace;
}

/** How many answers there were to what can be asked at a place. */
function askAt(workspace: Workspace, file: string, offset: number): number {
  const analysis = workspace.analyse(file);
  const inside = ({ start, end }: { start: number; end: number }): void => expect(start >= 0 && start <= end && end <= analysis.text.length).toBe(true);
  const completions = completionsAt(workspace, analysis, offset);
  for (const item of completions?.items ?? []) {
    inside(item.replace ?? (completions as { replace: { start: number; end: number } }).replace);
    item.documentation?.();
  }
  const hover = hoverAt(workspace, analysis, offset);
  if (hover) inside(hover.span);
  const spans = spansAround(analysis, offset);
  spans.forEach(inside);
  linkedNamesAt(workspace, analysis, offset)?.forEach(inside);
  highlightsAt(workspace, analysis, offset).forEach(({ span }) => inside(span));
  callItemAt(workspace, analysis, offset);
  return [completions, hover, signatureAt(analysis, offset), definitionsAt(workspace, analysis, offset)[0]].filter((answer) => answer !== undefined).length;
}

function askWhole(workspace: Workspace, file: string): void {
  const analysis = workspace.analyse(file);
  const whole = { start: 0, end: analysis.text.length };
  inlayHintsIn(analysis, whole, { otherUnits: true, minutesSoFar: true, faultsLeft: true });
  for (const lens of lensesOf(workspace, analysis, { procedure: true, steps: true })) readyLens(workspace, analysis, lens);
  outlineOf(analysis);
  tokensOf(workspace, analysis);
  callersOf(workspace, analysis);
  calleesOf(workspace, analysis);
}

test.each(NAMES)('%s', { timeout: 600_000 }, (name) => {
  const workspace = library();
  const file = `/depot/${name}`;
  const text = readFileSync(join(LIBRARY, name), 'utf8');
  askWhole(workspace, file);
  let answers = 0;
  for (let place = 0; place < PLACES; place++) {
    const offset = Math.floor((text.length * (place + 0.37)) / PLACES);
    workspace.setFile(file, text);
    answers += askAt(workspace, file, offset);
    workspace.setFile(file, text.slice(0, offset));
    askAt(workspace, file, offset);
    if (place % 8 === 0) askWhole(workspace, file);
    // Half a line in the middle of the text.
    const end = text.indexOf('\n', offset);
    workspace.setFile(file, text.slice(0, offset) + text.slice(end < 0 ? text.length : end));
    askAt(workspace, file, offset);
  }
  // In a text that is mostly names and keys, something is to be said at many places.
  expect(answers).toBeGreaterThan(PLACES / 4);
});
