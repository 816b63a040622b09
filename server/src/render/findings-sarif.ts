/**
 * Findings as SARIF 2.1.0 (OASIS Standard, Static Analysis Results Interchange Format). The walk that shows a finding is a code
 * flow, the way out a fix, an accepted deviation a suppression in the source.
 */
import type {
  ArtifactLocation, CodeFlow, Fix as SarifFix, Location, Log, PhysicalLocation, ReportingDescriptor, Result, Suppression,
} from 'sarif';
import type { Finding, Fix, WitnessStep } from '../findings/finding.ts';
import type { Span } from '../text/span.ts';
import { shownPlace } from './check-outcome.ts';
import type { CheckOutcome } from './check-outcome.ts';
import { harmlessJson } from './findings-json.ts';

/** What a rule says of itself: the metadata of a check. */
export interface SarifRule {
  readonly name: string;
  readonly severity: Finding['severity'];
  readonly group?: string;
  readonly proves: string;
  readonly why?: string;
  readonly source?: string;
}

/** The outcome as SARIF text. `rules` may hold more than are used; a finding without its rule gets a bare one. */
export function renderFindingsSarif(outcome: CheckOutcome, rules: readonly SarifRule[], version: string): string {
  return harmlessJson(sarifLog(outcome, rules, version));
}

/** The same as an object. */
export function sarifLog(outcome: CheckOutcome, rules: readonly SarifRule[], version: string): Log {
  const known = new Map(rules.map((rule) => [rule.name, descriptor(rule)]));
  for (const finding of outcome.findings) {
    if (!known.has(finding.check)) known.set(finding.check, { id: finding.check, defaultConfiguration: { level: level(finding) } });
  }
  const descriptors = [...known.values()].sort((a, b) => (a.id < b.id ? -1 : 1));
  const indexes = new Map(descriptors.map(({ id }, index) => [id, index]));
  return {
    $schema: 'https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json',
    version: '2.1.0',
    runs: [
      {
        tool: { driver: { name: 'Faultwright', version, semanticVersion: version, rules: descriptors } },
        columnKind: 'utf16CodeUnits',
        results: outcome.findings.map((finding) => result(outcome, finding, indexes)),
      },
    ],
  };
}

function descriptor(rule: SarifRule): ReportingDescriptor {
  const help = [rule.why, rule.source ? `Source: ${rule.source}` : undefined].filter(Boolean).join(' ');
  return {
    id: rule.name,
    shortDescription: { text: rule.proves },
    ...(rule.why ? { fullDescription: { text: rule.why } } : {}),
    ...(help ? { help: { text: help } } : {}),
    defaultConfiguration: { level: level(rule) },
    ...(rule.group ? { properties: { tags: [rule.group] } } : {}),
  };
}

function result(outcome: CheckOutcome, finding: Finding, indexes: ReadonlyMap<string, number>): Result {
  return {
    ruleId: finding.check,
    ruleIndex: indexes.get(finding.check) ?? -1,
    level: level(finding),
    message: { text: [finding.message, finding.note, finding.help].filter(Boolean).join(' ') },
    locations: [{
      physicalLocation: physical(outcome, finding.file, finding.span),
      ...(finding.step ? { logicalLocations: [{ name: finding.step, kind: 'element' }] } : {}),
    }],
    ...(finding.witness && finding.witness.length > 0 ? { codeFlows: [codeFlow(outcome, finding, finding.witness)] } : {}),
    ...(finding.related && finding.related.length > 0
      ? {
          relatedLocations: finding.related.map((related, id): Location => ({
            id,
            physicalLocation: physical(outcome, related.file, related.span),
            message: { text: related.message },
          })),
        }
      : {}),
    ...(finding.fixes && finding.fixes.length > 0 ? { fixes: finding.fixes.map((fix) => sarifFix(outcome, fix)) } : {}),
    ...(finding.accepted ? { suppressions: [suppression(finding.accepted)] } : {}),
  };
}

function suppression(accepted: NonNullable<Finding['accepted']>): Suppression {
  const justification = [accepted.because, accepted.by ? `(${accepted.by})` : undefined].filter(Boolean).join(' ');
  return { kind: 'inSource', status: 'accepted', ...(justification ? { justification } : {}) };
}

function codeFlow(outcome: CheckOutcome, finding: Finding, witness: readonly WitnessStep[]): CodeFlow {
  return {
    message: { text: 'The shortest walk that shows it.' },
    threadFlows: [{
      locations: witness.map((walked) => ({
        location: {
          // A step whose place is unknown still stands in its file: viewers drop a location without one.
          physicalLocation: walked.place
            ? physical(outcome, walked.place.file, walked.place.span)
            : { artifactLocation: artifact(outcome, finding.file) },
          logicalLocations: [{ name: walked.step, kind: 'element' }],
          message: { text: walked.result === undefined ? walked.step : `${walked.step}: ${walked.result}` },
        },
      })),
    }],
  };
}

function sarifFix(outcome: CheckOutcome, fix: Fix): SarifFix {
  const files = [...new Set(fix.edits.map((edit) => edit.file))];
  return {
    description: { text: fix.title },
    artifactChanges: files.map((file) => ({
      artifactLocation: artifact(outcome, file),
      replacements: fix.edits.filter((edit) => edit.file === file).map((edit) => ({
        deletedRegion: region(outcome, file, edit.span),
        insertedContent: { text: edit.newText },
      })),
    })),
  };
}

function physical(outcome: CheckOutcome, file: string, span: Span): PhysicalLocation {
  return { artifactLocation: artifact(outcome, file), region: region(outcome, file, span) };
}

function region(outcome: CheckOutcome, file: string, span: Span): NonNullable<PhysicalLocation['region']> {
  const { line, column, endLine, endColumn } = shownPlace(outcome, file, span);
  return { startLine: line, startColumn: column, endLine, endColumn };
}

/** A relative URI reference under the working directory, else a file URI. */
function artifact(outcome: CheckOutcome, file: string): ArtifactLocation {
  const path = outcome.shownPath(file);
  const encoded = path.split('/').map(encodeURIComponent).join('/');
  if (path.startsWith('/')) return { uri: `file://${encoded}` };
  if (/^[A-Za-z]:\//.test(path)) return { uri: `file:///${path.slice(0, 2)}${encoded.slice(4)}` };
  return { uri: encoded };
}

function level(of: { readonly severity: Finding['severity'] }): 'error' | 'warning' | 'note' {
  return of.severity === 'hint' ? 'note' : of.severity;
}
