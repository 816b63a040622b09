/**
 * What our own client asks when someone writes: a new procedure by questions, a draft from a document, steps taken out and
 * written out again.
 */
import { extractSteps, selectedSteps, suggestedName } from '../features/extract-steps.ts';
import { inlineRun } from '../features/inline-steps.ts';
import { countQuestions, newProcedure, nextQuestion, placeIn, problemWith } from '../features/new-procedure.ts';
import { draftFromProse } from '../features/prose-steps.ts';
import type { Analysis } from '../analysis/analysis.ts';
import type { Finding, TextEdit } from '../findings/finding.ts';
import { analysisOf } from './asked.ts';
import { keyOfUri, toOffset, toRange, toSpan, uriOfKey } from './convert.ts';
import { refusing } from './guard.ts';
import type {
  DraftParams,
  DraftResult,
  ExtractParams,
  ExtractResult,
  InlineParams,
  InlineResult,
  NewProcedureParams,
  NewProcedureResult,
  WireEdit,
} from './protocol.ts';
import type { Session } from './session.ts';

export function handleWriting(session: Session): void {
  const { connection, workspace } = session;
  connection.onRequest(
    'faultwright/newProcedure',
    refusing(session, 'a new procedure', ({ folder, answers, checking }: NewProcedureParams): NewProcedureResult => {
      const place = placeIn(workspace, keyOfUri(folder).replace(/\/$/, ''));
      const count = countQuestions(place, answers);
      if (checking !== undefined) {
        const problem = problemWith(place, answers, checking.id, checking.answer);
        return problem === undefined ? { count } : { count, problem };
      }
      const question = nextQuestion(place, answers);
      if (question !== undefined) return { count, question };
      const { name, file, text, findings } = newProcedure(place, answers);
      return { count, written: { uri: uriOfKey(file), name, text, findings: sentences(findings) } };
    }),
  );

  connection.onRequest(
    'faultwright/draft',
    refusing(session, 'a draft', ({ prose, folder, title }: DraftParams): DraftResult => {
      const root = keyOfUri(folder).replace(/\/$/, '');
      const instruments = [...(placeIn(workspace, root).scope?.instruments.values() ?? [])].map(({ item }) => ({
        name: item.name.value,
        title: item.title?.value ?? item.name.value,
      }));
      const taken = new Set(workspace.procedures().map(({ name }) => name));
      const { name, text, steps } = draftFromProse(prose, { instruments, taken, ...(title === undefined ? {} : { title }) });
      // What is to be resolved shows in the editor as soon as the draft is open.
      return { uri: uriOfKey(`${root}/${name}.procedure.yaml`), name, text, steps, findings: [] };
    }),
  );

  connection.onRequest(
    'faultwright/extractSteps',
    refusing(session, 'taking steps out', ({ uri, range, name }: ExtractParams): ExtractResult => {
      const analysis = analysisOf(session, uri);
      if (analysis === undefined) return { problem: 'This is no procedure.' };
      const span = toSpan(analysis.lines, range);
      const selected = selectedSteps(analysis, span);
      if (name === undefined && selected.length > 0) {
        // Whether it can be done at all is said before a name is asked for.
        const made = extractSteps(workspace, analysis, span);
        return 'problem' in made ? made : { suggestion: suggestedName(workspace, selected) };
      }
      const made = extractSteps(workspace, analysis, span, name);
      if ('problem' in made) return made;
      return {
        edits: wireEdits(analysis, made.edits),
        file: { uri: session.files.uriOf(made.file), text: made.fileText },
        version: versionOf(session, analysis),
      };
    }),
  );

  connection.onRequest(
    'faultwright/inlineRun',
    refusing(session, 'writing steps out', ({ uri, position }: InlineParams): InlineResult => {
      const analysis = analysisOf(session, uri);
      if (analysis === undefined) return { problem: 'This is no procedure.' };
      const made = inlineRun(workspace, analysis, toOffset(analysis.lines, position));
      return 'problem' in made ? made : { edits: wireEdits(analysis, made.edits), version: versionOf(session, analysis) };
    }),
  );
}

function wireEdits(analysis: Analysis, edits: readonly TextEdit[]): WireEdit[] {
  return edits.map(({ span, newText }) => ({ range: toRange(analysis.lines, span), newText }));
}

function versionOf(session: Session, analysis: Analysis): number | null {
  return session.open.get(analysis.file)?.document.version ?? null;
}

function sentences(findings: readonly Finding[]): string[] {
  return findings.map(({ message }) => message);
}
