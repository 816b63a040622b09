/** Problems as a person reads them: for snapshots. */
import type { Fix, Problem } from '../../server/src/findings/finding.ts';
import { LineIndex } from '../../server/src/text/line-index.ts';

export function renderProblems(text: string, problems: readonly Problem[]): string {
  const lines = new LineIndex(text);
  return problems.map((problem) => {
    const start = lines.positionAt(problem.span.start);
    const end = lines.positionAt(problem.span.end);
    const place = start.line === end.line ? `${start.line + 1}:${start.column + 1}-${end.column + 1}` : `${start.line + 1}:${start.column + 1}-${end.line + 1}:${end.column + 1}`;
    const out = [`${problem.check} at ${place} ${JSON.stringify(text.slice(problem.span.start, problem.span.end))}`, `  ${problem.message}`];
    if (problem.note) out.push(`  note: ${problem.note}`);
    if (problem.help) out.push(`  help: ${problem.help}`);
    for (const related of problem.related ?? []) out.push(`  see ${lines.positionAt(related.span.start).line + 1}: ${related.message}`);
    for (const fix of problem.fixes ?? []) out.push(`  fix: ${fix.title}${fix.altersMeaning ? ' (alters meaning)' : ''}`);
    return out.join('\n');
  }).join('\n');
}

export function applyFix(text: string, fix: Fix): string {
  const edits = [...fix.edits].sort((a, b) => b.span.start - a.span.start);
  return edits.reduce((sofar, edit) => sofar.slice(0, edit.span.start) + edit.newText + sofar.slice(edit.span.end), text);
}
