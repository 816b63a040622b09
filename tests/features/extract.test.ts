/**
 * Steps taken out into a procedure of their own, and written out again. On the whole library: whatever may be taken out leaves no
 * finding that was not there, and comes back with the same flow. What may not is refused with a reason that names the place.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it, test } from 'vitest';
import { Workspace } from '../../server/src/analysis/workspace.ts';
import { extractSteps, selectedSteps, suggestedName } from '../../server/src/features/extract-steps.ts';
import type { Extraction } from '../../server/src/features/extract-writing.ts';
import { inlineRun } from '../../server/src/features/inline-steps.ts';
import { edited, withKeysInstead } from '../../server/src/features/text-parts.ts';
import type { Finding, TextEdit } from '../../server/src/findings/finding.ts';
import type { Procedure, Step } from '../../server/src/procedure/model.ts';
import { buildProcedure } from '../../server/src/procedure/build-procedure.ts';
import { parseTree } from '../../server/src/syntax/parse-tree.ts';
import { LineIndex } from '../../server/src/text/line-index.ts';

const FOLDER = join(import.meta.dirname, '../../procedures');
const FILES = readdirSync(FOLDER).filter((name) => name.endsWith('.yaml'));

function library(texts: Readonly<Record<string, string>> = {}): Workspace {
  const workspace = new Workspace();
  for (const name of FILES) workspace.setFile(name, readFileSync(join(FOLDER, name), 'utf8'));
  for (const [name, text] of Object.entries(texts)) workspace.setFile(name, text);
  return workspace;
}

/** The text with the edits made. An editor takes none that overlap, nor does this. */
function made(text: string, edits: readonly TextEdit[]): string {
  const sorted = [...edits].sort((a, b) => a.span.start - b.span.start);
  for (const [index, { span }] of sorted.entries())
    expect(span.start, text.slice(span.start, span.end)).toBeGreaterThanOrEqual(sorted[index - 1]?.span.end ?? 0);
  return edited(text, sorted);
}

/** Each step with what it asks, and where each of its results leads. A step that only goes on is looked through. */
function flowOf(procedure: Procedure): string[] {
  const goesOn = (step: Step | undefined): boolean =>
    step?.kind === 'decide' && step.results.length === 1 && step.results[0]?.when?.kind === 'otherwise';
  return [procedure.steps, procedure.afterRepair]
    .map((list) => list.filter((step) => !goesOn(step)))
    .flatMap((list) =>
      list.map((step, index) => {
        const next = list[index + 1]?.name?.value ?? 'nowhere';
        const ways = step.results.map(({ when, way, raises }) => {
          const to =
            way.kind === 'go'
              ? way.step.value
              : way.kind === 'next'
                ? next
                : way.kind === 'refer'
                  ? `refer ${way.text.value}`
                  : way.kind === 'passes'
                    ? 'passes'
                    : `${way.kind} ${way.fault.value}`;
          return `${when?.text ?? ''} → ${to}${raises ? ` raises ${raises.value}` : ''}`;
        });
        return `${step.name?.value ?? ''} (${step.kind ?? ''}): ${ways.length > 0 ? ways.join('; ') : (step.go?.value ?? next)}`;
      }),
    );
}

/** A new procedure is a draft: that a released one leads into it is told until both are approved. */
const UNTIL_APPROVED = ['runs-unreleased', 'released-with-findings'];

function grave(findings: readonly Finding[]): string[] {
  return findings
    .filter(({ check, severity, accepted }) => severity !== 'hint' && !accepted && !UNTIL_APPROVED.includes(check))
    .map(({ check, message }) => `${check}: ${message}`);
}

function apply(workspace: Workspace, file: string, extraction: Extraction): void {
  workspace.setFile(file, made(workspace.textOf(file) ?? '', extraction.edits));
  workspace.setFile(extraction.file, extraction.fileText);
}

/** How many steps are taken out at once. By default one, and of every third step two: all of two, or three, take five and ten times as long. */
const MOST = Number(process.env['FAULTWRIGHT_EXTRACTS'] ?? 0);

describe('the library', () => {
  const reasons = new Map<string, number>();
  let takenOut = 0;

  it.each(FILES.filter((name) => name.endsWith('.procedure.yaml')))(
    '%s: every few steps comes back as it was, or is refused',
    (file) => {
      const workspace = library();
      const after = library();
      const analysis = workspace.analyse(file);
      const procedure = analysis.procedure as Procedure;
      for (let first = 0; first < procedure.steps.length; first++) {
        for (let count = 1; count <= (MOST || (first % 3 === 0 ? 2 : 1)) && first + count <= procedure.steps.length; count++) {
          const span = {
            start: procedure.steps[first]?.span.start ?? 0,
            end: (procedure.steps[first + count - 1]?.span.end ?? 0) - 1,
          };
          const extraction = extractSteps(workspace, analysis, span, 'taken_out');
          if ('problem' in extraction) {
            expect(extraction.problem).toMatch(/^['A-Z].*[.]$/s);
            const reason = extraction.problem.replace(/'[^']*'/g, '…').slice(0, 60);
            reasons.set(reason, (reasons.get(reason) ?? 0) + 1);
            continue;
          }
          takenOut++;
          apply(after, file, extraction);
          const where = `${file} ${procedure.steps[first]?.name?.value ?? ''} ${count}\n${extraction.fileText}\n${after.textOf(file) ?? ''}`;
          expect(grave(after.analyse(file).findings), where).toEqual(grave(analysis.findings));
          expect(grave(after.analyse(extraction.file).findings), where).toEqual([]);
          const inlined = inlineRun(after, after.analyse(file), (after.textOf(file) ?? '').indexOf('run: taken_out'));
          if ('problem' in inlined) throw new Error(`${inlined.problem}\n${where}`);
          const back = made(after.textOf(file) ?? '', inlined.edits);
          expect(flowOf(buildProcedure(file, back).procedure), `${where}\n${back}`).toEqual(flowOf(procedure));
          after.setFile(file, back);
          expect(grave(after.analyse(file).findings), back).toEqual(grave(analysis.findings));
          after.setFile(file, analysis.text);
          after.removeFile(extraction.file);
        }
      }
    },
  );

  it('has many steps that can be taken out, and each kind of refusal', () => {
    expect(takenOut).toBeGreaterThan(25);
    expect(reasons.size).toBeGreaterThan(5);
  });
});

const SHOP = readFileSync(join(FOLDER, 'shop.yaml'), 'utf8');
const LAMP = `procedure: lamp
title: Work lamp stays dark
revision: 1
status: draft
complaint: The work lamp stays dark.

references:
  - {id: WD-3, title: Wiring diagram}

facts:
  lamp_power: {quantity: power, from: Label of the lamp}

circuits:
  lamp_feed: {nominal: 24 V}
  spare_feed: {nominal: 24 V}

faults:
  lamp:
    title: Lamp failed
    weight: 60
    remedy: Replace the lamp with one of {lamp_power}.
  supply: {title: No supply, weight: 30, remedy: Find the open fuse with WD-3.}
  ground: {title: Ground open, weight: 10, remedy: Clean the ground point.}

steps:
  - step: look
    ask: Is the lamp whole?
    results:
      - when: yes
        go: feed
      - when: no
        finds: lamp

  # The feed first.
  - step: feed
    measure: dc_voltage
    circuit: lamp_feed
    with: multimeter
    at: {red: feed terminal, black: frame}
    text: Diagram WD-3 shows the terminals.
    results:
      - when: at least 22 V
        rules_out: [supply]
      - when: below 22 V
        finds: supply

  - step: again
    measure: dc_voltage
    circuit: spare_feed
    with: multimeter
    at: {red: feed terminal, black: return terminal}
    results:
      - when: at least feed - 1 V
        rules_out: [ground]
        by_elimination: lamp
      - when: below feed - 1 V
        finds: ground

after_repair:
  - step: prove
    ask: Is the lamp lit?
    results:
      - when: yes
        passes: true
      - when: no
        go: look
`;

function lamp(text = LAMP): {
  workspace: Workspace;
  take: (from: string, to: string, name?: string) => ReturnType<typeof extractSteps>;
} {
  const workspace = new Workspace();
  workspace.setFile('shop.yaml', SHOP);
  workspace.setFile('lamp.procedure.yaml', text);
  return {
    workspace,
    take: (from, to, name) => {
      const start = text.indexOf(`- step: ${from}`);
      return extractSteps(
        workspace,
        workspace.analyse('lamp.procedure.yaml'),
        { start, end: text.indexOf(`- step: ${to}`) + 8 },
        name,
      );
    },
  };
}

describe('what is written', () => {
  test('the new procedure takes along what it needs, and leaves what others need', () => {
    const { workspace, take } = lamp();
    const extraction = take('feed', 'feed', 'lamp_supply');
    if ('problem' in extraction) throw new Error(extraction.problem);
    expect(extraction.file).toBe('lamp_supply.procedure.yaml');
    expect(
      `${extraction.fileText}\n=====\n${made(workspace.textOf('lamp.procedure.yaml') ?? '', extraction.edits)}`,
    ).toMatchSnapshot();
  });

  test('written out again, it is as it was but for the order of declarations', () => {
    const { workspace, take } = lamp();
    const extraction = take('feed', 'feed', 'lamp_supply');
    if ('problem' in extraction) throw new Error(extraction.problem);
    apply(workspace, 'lamp.procedure.yaml', extraction);
    const text = workspace.textOf('lamp.procedure.yaml') ?? '';
    const inlined = inlineRun(workspace, workspace.analyse('lamp.procedure.yaml'), text.indexOf('run: lamp_supply') + 3);
    if ('problem' in inlined) throw new Error(inlined.problem);
    expect(made(text, inlined.edits).split('\n').sort()).toEqual(LAMP.split('\n').sort());
  });

  test('line ends of another system stay', () => {
    const { take } = lamp(LAMP.replaceAll('\n', '\r\n'));
    const extraction = take('feed', 'feed', 'lamp_supply');
    if ('problem' in extraction) throw new Error(extraction.problem);
    for (const text of [extraction.fileText, ...extraction.edits.map(({ newText }) => newText)])
      expect(text).not.toMatch(/(?<!\r)\n/);
  });

  test('a name is suggested, and free', () => {
    const { workspace } = lamp();
    const analysis = workspace.analyse('lamp.procedure.yaml');
    const at = LAMP.indexOf('- step: feed');
    expect(suggestedName(workspace, selectedSteps(analysis, { start: at, end: at }))).toBe('feed');
    workspace.setFile('feed.procedure.yaml', 'procedure: feed\n');
    expect(suggestedName(workspace, selectedSteps(analysis, { start: at, end: at }))).toBe('feed_2');
  });
});

describe('keys that give way to others', () => {
  test.each([
    ['when: no\nrules_out: [a]\ngo: b\n', 'when: no\npasses: true\n'],
    ['when: no\r\nrules_out: [a]\r\ngo: b', 'when: no\r\npasses: true'],
    ['when: no\ngo: b\nsays: Well.\n', 'when: no\nsays: Well.\npasses: true\n'],
    ['{when: no, rules_out: [a], go: b}', '{when: no, passes: true}'],
    ['{when: no, go: b, says: Well.}', '{when: no, says: Well., passes: true}'],
    ['{when: no}', '{when: no, passes: true}'],
  ])('%j', (text, expected) => {
    const { root } = parseTree(text);
    if (root?.kind !== 'map') throw new Error('no map');
    const changes = withKeysInstead({ text, lines: new LineIndex(text) }, root, new Set(['go', 'rules_out']), ['passes: true']);
    expect(edited(text, changes ?? [])).toBe(expected);
  });
});

describe('what cannot be taken out is refused', () => {
  test.each([
    ['look', 'again', undefined, 'all the steps'],
    ['again', 'again', undefined, "uses the reading 'feed', which is taken outside"],
    ['look', 'look', 'Lamp', "'Lamp' cannot be a name"],
    ['look', 'look', 'lamp', "a procedure 'lamp' already"],
  ])('%s to %s as %s', (from, to, name, reason) => {
    const result = lamp().take(from, to, name);
    expect('problem' in result ? result.problem : 'taken out').toContain(reason);
  });

  test('a way into the middle', () => {
    const result = lamp(LAMP.replace('        go: look\n', '        go: feed\n')).take('look', 'feed');
    expect('problem' in result ? result.problem : '').toContain("'prove' goes to 'feed', in the middle of these steps");
  });

  test('two ways on', () => {
    const result = lamp(LAMP.replace('        finds: lamp\n', '        go: again\n')).take('look', 'look');
    expect('problem' in result ? result.problem : '').toContain("go on in 2 places: to 'feed' and to 'again'");
  });

  test('a selection without a step', () => {
    const { workspace } = lamp();
    const result = extractSteps(workspace, workspace.analyse('lamp.procedure.yaml'), { start: 0, end: 3 });
    expect('problem' in result ? result.problem : '').toContain('Select the steps');
  });
});

describe('what cannot be written out is refused', () => {
  const CALLER = `procedure: round
title: Lamps of the sweeper
faults:
  lamp: {title: Lamp or its supply failed, remedy: See the record.}
steps:
  - step: work_lamp
    run: lamp
    results:
      - when: finds lamp
        finds: lamp
      - when: otherwise
        refer: Look at the other lamps.
`;
  const write = (caller: string, called = LAMP): string => {
    const { workspace } = lamp(called);
    workspace.setFile('round.procedure.yaml', caller);
    const result = inlineRun(workspace, workspace.analyse('round.procedure.yaml'), caller.indexOf('run: '));
    return 'problem' in result ? result.problem : made(caller, result.edits);
  };

  test('steps with other endings are written out with what followed them', () => {
    expect(write(CALLER)).toMatchSnapshot();
    expect(write(CALLER, LAMP.replaceAll('\n', '\r\n'))).toBe(write(CALLER));
    expect(write(CALLER, LAMP.trimEnd())).toBe(write(CALLER));
  });

  test.each([
    [CALLER.replace('    run: lamp\n', '    run: lamp\n    only_if: {isolator: on}\n'), "'work_lamp' has 'only_if'"],
    [CALLER.replace('run: lamp', 'run: nothing'), "There is no procedure 'nothing'"],
    [
      CALLER.replace('      - when: otherwise\n        refer: Look at the other lamps.\n', ''),
      "does not say what follows when 'lamp' ends with 'finds supply'",
    ],
    [
      CALLER.replace('faults:', 'circuits: {lamp_feed: {nominal: 12 V}}\nfaults:'),
      "Both procedures declare 'lamp_feed' under 'circuits'",
    ],
    [CALLER.replace('    run: lamp\n', '    ask: Is it lit?\n'), 'There is no step here that runs a procedure'],
  ])('%#', (caller, reason) => {
    expect(write(caller)).toContain(reason);
  });
});
