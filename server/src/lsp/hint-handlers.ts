/** What an editor shows between and above the lines: inlay hints and lenses. Both wait for a pause in typing. */
import type { CodeLens, Command, InlayHint, ServerCapabilities } from 'vscode-languageserver';
import { lensesOf, readyLens } from '../features/code-lens.ts';
import type { LensKind, ReadyLens } from '../features/code-lens.ts';
import { inlayHintsIn } from '../features/inlay-hints.ts';
import { analysisOf } from './asked.ts';
import { toLocation, toPosition, toRange, toSpan } from './convert.ts';
import { answeringLater } from './guard.ts';
import type { ShownPlaces, ShownWalk } from './protocol.ts';
import type { Session } from './session.ts';

export const HINT_CAPABILITIES: ServerCapabilities = {
  inlayHintProvider: true,
  codeLensProvider: { resolveProvider: true },
};

/** What a lens brings back when it is to be resolved. */
interface LensData {
  readonly uri: string;
  readonly kind: LensKind;
  readonly step?: number;
  readonly name?: string;
}

export function handleHints(session: Session): void {
  const { connection } = session;

  connection.languages.inlayHint.on(answeringLater(session, 'inlay hints', ({ textDocument, range }): InlayHint[] | null => {
    const analysis = analysisOf(session, textDocument.uri);
    if (!analysis) return null;
    const hints = inlayHintsIn(analysis, toSpan(analysis.lines, range), session.settings.inlayHints, session.words);
    return hints.map(({ offset, label, tooltip }) => ({
      position: toPosition(analysis.lines, offset), label, paddingLeft: true, ...(tooltip === undefined ? {} : { tooltip }),
    }));
  }));

  connection.onCodeLens(answeringLater(session, 'lenses', ({ textDocument }): CodeLens[] | null => {
    const analysis = analysisOf(session, textDocument.uri);
    if (!analysis) return null;
    return lensesOf(session.workspace, analysis, session.settings.codeLens).map(({ span, ...about }) => ({
      range: toRange(analysis.lines, span), data: { uri: textDocument.uri, ...about } satisfies LensData,
    }));
  }));

  connection.onCodeLensResolve(async (lens, token) => {
    const resolved = await answeringLater(session, 'a lens', (asked: CodeLens): Command | null => {
      const data = asked.data as LensData;
      const analysis = analysisOf(session, data.uri);
      const ready = analysis && readyLens(session.workspace, analysis, data, session.words);
      return ready ? commandOf(session, data, ready, asked) : null;
    })(lens, token);
    // An editor waits for a title, whatever became of the step.
    return { ...lens, command: resolved ?? { title: '', command: '' } };
  });
}

/** The command that opens what a lens tells of; in an editor without ours the title alone is shown. */
function commandOf(session: Session, { uri, kind }: LensData, { title, places, walk }: ReadyLens, lens: CodeLens): Command {
  if (!session.client.panels) return { title, command: '' };
  switch (kind) {
    // These act on the text whose lens was clicked. An editor keeps arguments only until lenses are told anew, and a click may come between.
    case 'checklist':
      return { title, command: 'faultwright.runChecklist' };
    case 'flow':
      return { title, command: 'faultwright.openFlow' };
    case 'diagnosis':
      return { title, command: 'faultwright.openDiagnosis' };
    case 'callers':
    case 'reached_from': {
      const locations = (places ?? []).flatMap((place) => toLocation(session.files, place) ?? []);
      if (locations.length === 0) return { title, command: '' };
      return { title, command: 'faultwright.showPlaces', arguments: [{ uri, position: lens.range.start, locations } satisfies ShownPlaces] };
    }
    case 'walk': {
      const steps = (walk ?? []).map(({ step, result, place }) => {
        const location = place && toLocation(session.files, place);
        return { step, ...(result === undefined ? {} : { result }), ...(location ? { range: location.range } : {}) };
      });
      return { title, command: 'faultwright.showWalk', arguments: [{ uri, steps } satisfies ShownWalk] };
    }
  }
}
