/** From our plain data to the protocol's, and back. All of it is here, so that no feature ever sees a protocol type. */
import { DiagnosticSeverity } from 'vscode-languageserver';
import type { Diagnostic, DiagnosticRelatedInformation, Location, Position, Range, WorkspaceEdit } from 'vscode-languageserver';
import { URI } from 'vscode-uri';
import type { Finding, Severity, TextEdit, WitnessStep } from '../findings/finding.ts';
import type { LineIndex } from '../text/line-index.ts';
import type { Span } from '../text/span.ts';

/** Under this URI an editor shows the catalogue that ships with the tool; it asks the server for its text. */
export const CATALOGUE_URI = 'faultwright-catalogue:/built-in.shop.yaml';

/** The workspace's key of a document: a path with forward slashes; for what is no file, its URI's scheme, authority and path. */
export function keyOfUri(uri: string): string {
  const parsed = URI.parse(uri);
  if (parsed.scheme !== 'file') return `${parsed.scheme}:${parsed.authority === '' ? '' : `//${parsed.authority}`}${parsed.path}`;
  return parsed.fsPath.replaceAll('\\', '/');
}

/** The URI of a file by its key. */
export function uriOfKey(key: string): string {
  const other = /^([a-z][a-z0-9+.-]+):(?:\/\/([^/]*))?(.*)$/is.exec(key);
  return (other ? URI.from({ scheme: other[1] as string, authority: other[2] ?? '', path: other[3] as string }) : URI.file(key)).toString();
}

export function toPosition(lines: LineIndex, offset: number): Position {
  const { line, column } = lines.positionAt(offset);
  return { line, character: column };
}

export function toRange(lines: LineIndex, span: Span): Range {
  return { start: toPosition(lines, span.start), end: toPosition(lines, span.end) };
}

export function toOffset(lines: LineIndex, position: Position): number {
  return lines.offsetAt({ line: position.line, column: position.character });
}

export function toSpan(lines: LineIndex, range: Range): Span {
  return { start: toOffset(lines, range.start), end: toOffset(lines, range.end) };
}

/** Where files are and what their lines are: what a place in another file needs to become a location. */
export interface FileLookup {
  uriOf(file: string): string;
  /** Undefined for a file that is not at hand. */
  linesOf(file: string): LineIndex | undefined;
}

export function toLocation(files: FileLookup, place: { readonly file: string; readonly span: Span }): Location | undefined {
  const lines = files.linesOf(place.file);
  return lines && { uri: files.uriOf(place.file), range: toRange(lines, place.span) };
}

export function toWorkspaceEdit(files: FileLookup, edits: readonly TextEdit[]): WorkspaceEdit | undefined {
  const changes: Record<string, { range: Range; newText: string }[]> = {};
  for (const edit of edits) {
    const lines = files.linesOf(edit.file);
    if (!lines) return undefined;
    (changes[files.uriOf(edit.file)] ??= []).push({ range: toRange(lines, edit.span), newText: edit.newText });
  }
  return { changes };
}

const SEVERITY: Record<Severity, DiagnosticSeverity> = {
  error: DiagnosticSeverity.Error,
  warning: DiagnosticSeverity.Warning,
  // The protocol's own hints do not show in a list of problems; ours are advice that a writer wants to read there.
  hint: DiagnosticSeverity.Information,
};

/** What travels with a diagnostic, so that an editor's menu can name it again. */
export interface DiagnosticData {
  readonly check: string;
  readonly step?: string;
}

export function toDiagnostic(finding: Finding, lines: LineIndex, files: FileLookup, page: string | undefined): Diagnostic {
  const diagnostic: Diagnostic = {
    range: firstLine(lines, toRange(lines, finding.span)),
    severity: SEVERITY[finding.severity],
    source: 'faultwright',
    code: finding.check,
    message: findingText(finding),
    data: { check: finding.check, step: finding.step } satisfies DiagnosticData,
  };
  if (page !== undefined) diagnostic.codeDescription = { href: page };
  const related = relatedPlaces(finding, files);
  if (related.length > 0) diagnostic.relatedInformation = related;
  return diagnostic;
}

/** A mark under twenty lines hides what it means to show: of what runs on, the first line is marked. */
function firstLine(lines: LineIndex, range: Range): Range {
  if (range.start.line === range.end.line) return range;
  const next = lines.lineStart(range.start.line + 1);
  return {
    start: range.start,
    end: toPosition(lines, Math.max(next - 1, lines.offsetAt({ line: range.start.line, column: range.start.character }))),
  };
}

/** What, why, the walk and the way out, a line each. */
export function findingText(finding: Finding): string {
  const lines = [finding.message];
  if (finding.note) lines.push(finding.note);
  if (finding.witness && finding.witness.length > 1) lines.push(`Walk: ${finding.witness.map(witnessText).join(' → ')}`);
  if (finding.approximate) lines.push('The procedure is too large to explore whole: this walk may not exist.');
  if (finding.help) lines.push(finding.help);
  // The list of problems shows text as it is: marks of code would stay.
  return lines.join('\n').replace(/`([^`\n]+)`/g, "'$1'");
}

function witnessText(step: WitnessStep): string {
  return step.result === undefined ? step.step : `${step.step} (${step.result})`;
}

function relatedPlaces(finding: Finding, files: FileLookup): DiagnosticRelatedInformation[] {
  const related: DiagnosticRelatedInformation[] = [];
  for (const place of finding.related ?? []) {
    const location = toLocation(files, place);
    if (location) related.push({ location, message: place.message });
  }
  const walk = finding.witness ?? [];
  walk.forEach((step, i) => {
    const location = step.place && toLocation(files, step.place);
    if (location && walk.length > 1) related.push({ location, message: `step ${i + 1} of the walk: ${witnessText(step)}` });
  });
  return related;
}
