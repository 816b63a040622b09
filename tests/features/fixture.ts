/**
 * Fixtures for editor features: a text with `$0` where the cursor stands, further files after lines `==> NAME`, and findings as
 * comments under the line they are about (`# ^^^^ check-name: part of the message`). Must not look into a feature.
 */
import { expect } from 'vitest';
import type { Analysis } from '../../server/src/analysis/analysis.ts';
import { Workspace } from '../../server/src/analysis/workspace.ts';
import type { TextEdit } from '../../server/src/findings/finding.ts';
import type { Span } from '../../server/src/text/span.ts';

export interface Fixture {
  readonly workspace: Workspace;
  /** The file with the cursor, else the first. */
  readonly analysis: Analysis;
  readonly offset: number;
  readonly texts: ReadonlyMap<string, string>;
}

const FOLDER = '/depot/';

/** What most fixtures live in. */
export const DEPOT = `==> shop.yaml
shop: Brackwater depot
states:
  isolator:
    title: Battery isolator
    values: [on, off]
    at_start: on
    changes: [{to: off, do: Turn the isolator off.}, {to: on, do: Turn the isolator on.}]
  control: {values: [released, raise, lower], at_start: released, held: [raise, lower]}
instruments:
  multimeter:
    title: Digital multimeter
    category: CAT III 600 V
    measures:
      dc_voltage: {up_to: 600 V, resolution: 0.01 V, accuracy: 0.5 % + 2 counts}
  test_lamp: {title: Test lamp, shows: {dc_voltage: [lit, dark]}}
hazards:
  crush: {title: Crushing, arises_from: {during: {control: [raise, lower]}}, repeat: every_step}
cautions:
  platform:
    signal: danger
    hazard: The platform moves while the control is held.
    consequence: A person under it will be crushed.
    avoid: Keep everyone out of the marked area.
    wear: [safety_shoes]
    covers: [crush]
values:
  full_rest: {is: 25.3 V, from: Battery handbook}
==> assets.yaml
assets:
  TL-07: {equipment: tail_lift, voltage: 24 V, coil_low: 18 ohm}
`;

export function fixture(text: string): Fixture {
  const texts = new Map<string, string>();
  let current = 'main.procedure.yaml';
  let cursor: { readonly file: string; readonly offset: number } | undefined;
  for (const part of text.split(/^(?===> )/m)) {
    const named = /^==> (\S+)\n/.exec(part);
    if (named) current = named[1] as string;
    let body = named ? part.slice(named[0].length) : part;
    if (body === '') continue;
    const at = body.indexOf('$0');
    if (at >= 0) {
      body = body.slice(0, at) + body.slice(at + 2);
      cursor = { file: current, offset: at };
    }
    texts.set(current, body);
  }
  const workspace = new Workspace();
  for (const [name, body] of texts) workspace.setFile(FOLDER + name, body);
  const file = cursor?.file ?? ([...texts.keys()][0] as string);
  return { workspace, analysis: workspace.analyse(FOLDER + file), offset: cursor?.offset ?? 0, texts };
}

/** Findings of every file of the fixture are exactly those that its comments mark. */
export function checkFindings(text: string): void {
  const { workspace, texts } = fixture(text);
  for (const name of texts.keys()) {
    const { findings, lines, text: body } = workspace.analyse(FOLDER + name);
    const rows = body.split('\n');
    const marked = new Set<number>();
    const missing: string[] = [];
    let line = 0;
    rows.forEach((row, index) => {
      const marker = /^(\s*#\s*)(\^+) ([a-z-]+): (.*)$/.exec(row);
      if (!marker) {
        line = index;
        return;
      }
      const [, before = '', carets = '', check, message = ''] = marker;
      const found = findings.findIndex((finding, at) => {
        const start = lines.positionAt(finding.span.start);
        const end = lines.positionAt(finding.span.end);
        const last = start.line === end.line ? end.column : (rows[start.line] ?? '').length;
        return (
          !marked.has(at) &&
          finding.check === check &&
          finding.message.includes(message) &&
          start.line === line &&
          start.column === before.length &&
          last - start.column === carets.length
        );
      });
      if (found < 0) missing.push(`${index + 1}: ${row.trim()}`);
      else marked.add(found);
    });
    const unmarked = findings
      .filter((_, at) => !marked.has(at))
      .map(({ span, check, message }) => {
        const { line: at, column } = lines.positionAt(span.start);
        return `${at + 1}:${column} (${span.end - span.start} long) ${check}: ${message}`;
      });
    expect({ name, missing, unmarked }).toEqual({ name, missing: [], unmarked: [] });
  }
}

/** A place in the file with the cursor, told as `line: text`, with what a mark or a feature says of it. */
export interface Marked {
  readonly place: string;
  readonly says: string;
}

/** What the comments under the lines of the file with the cursor mark: `# ^^^^ says`. */
export function marksIn({ analysis }: Fixture): Marked[] {
  const rows = analysis.text.split('\n');
  let line = 0;
  return rows.flatMap((row, index): Marked[] => {
    const marker = /^(\s*#\s*)(\^+)(?: (.*))?$/.exec(row);
    if (!marker) {
      line = index;
      return [];
    }
    const [, before = '', carets = '', says = ''] = marker;
    return [{ place: `${line + 1}: ${(rows[line] ?? '').slice(before.length, before.length + carets.length)}`, says }];
  });
}

/** The same of what a feature gives, so that both can be compared; of a span over several lines, its first. */
export function asMarked({ analysis }: Fixture, span: Span, says = ''): Marked {
  const { line } = analysis.lines.positionAt(span.start);
  return { place: `${line + 1}: ${analysis.text.slice(span.start, span.end).split('\n')[0] ?? ''}`, says };
}

/** The texts of a fixture with edits made, by name. */
export function withEdits({ texts }: Fixture, edits: readonly TextEdit[]): Record<string, string> {
  const result: Record<string, string> = {};
  for (const [name, body] of texts) {
    const own = edits.filter((edit) => edit.file === FOLDER + name).sort((a, b) => b.span.start - a.span.start);
    if (own.length > 0)
      result[name] = own.reduce((text, { span, newText }) => text.slice(0, span.start) + newText + text.slice(span.end), body);
  }
  return result;
}

export function textAt({ workspace }: Fixture, file: string, span: Span): string {
  return workspace.textOf(file)?.slice(span.start, span.end) ?? '';
}

/** `main.procedure.yaml:12` of a place. */
export function placeName({ workspace }: Fixture, file: string, span: Span): string {
  return `${file.slice(FOLDER.length)}:${workspace.analyse(file).lines.positionAt(span.start).line + 1}`;
}
