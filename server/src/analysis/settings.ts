/** From reports to findings: severities as the shop sets them, and deviations that the writer accepted. */
import type { Check } from '../checks/check.ts';
import type { Acceptance, Finding, Report, Severity } from '../findings/finding.ts';
import type { AcceptedDeviation, Procedure } from '../procedure/model.ts';

/** The severity of a check under the shop's settings; undefined where it is off. Safety checks keep theirs, whatever a shop says. */
export function severityOf(check: Check, settings: ReadonlyMap<string, string> | undefined): Severity | undefined {
  const setting = check.group === 'safety' ? undefined : settings?.get(check.name);
  if (setting === 'off') return undefined;
  return setting === 'error' || setting === 'warning' || setting === 'hint' ? setting : check.severity;
}

export interface AcceptOutcome {
  readonly findings: readonly Finding[];
  /** Accepted deviations that met no finding. */
  readonly unused: readonly AcceptedDeviation[];
}

/**
 * Marks findings that the procedure accepts. A safety finding of a released procedure is accepted only with `by` and `because`;
 * without them it stands, and says why.
 */
export function acceptDeviations(findings: readonly Finding[], procedure: Procedure, checks: ReadonlyMap<string, Check>): AcceptOutcome {
  const used = new Set<AcceptedDeviation>();
  const marked = findings.map((finding): Finding => {
    const deviation = procedure.accept.find((candidate) => matches(candidate, finding));
    if (deviation === undefined) return finding;
    used.add(deviation);
    const unsigned = deviation.by === undefined || deviation.because === undefined;
    if (unsigned && procedure.status?.value === 'released' && checks.get(finding.check)?.group === 'safety') {
      const note = 'It is accepted without `by` and `because`; a released procedure needs both for a safety finding.';
      return { ...finding, note: finding.note ? `${finding.note} ${note}` : note };
    }
    return { ...finding, accepted: acceptanceOf(deviation) };
  });
  return { findings: marked, unused: procedure.accept.filter((deviation) => deviation.check && !used.has(deviation)) };
}

function matches(deviation: AcceptedDeviation, finding: Report & { check: string }): boolean {
  if (deviation.check?.value !== finding.check) return false;
  const at = deviation.at?.value;
  return at === undefined || at === finding.step || at === finding.subject;
}

function acceptanceOf(deviation: AcceptedDeviation): Acceptance {
  return {
    ...(deviation.by ? { by: deviation.by.value } : {}),
    ...(deviation.because ? { because: deviation.because.value } : {}),
  };
}
