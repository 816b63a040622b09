/** The flow of a procedure as a drawing, and the procedure as a checklist: what panels show. */
import type { Analysis } from '../analysis/analysis.ts';
import { possibleAtSteps } from '../features/diagnosis-possible.ts';
import { flowDrawing } from '../render/flow-drawing.ts';
import { layoutFlow } from '../render/flow-layout.ts';
import type { FlowLayout } from '../render/flow-layout.ts';
import { renderFlowSvg } from '../render/flow-svg.ts';
import { buildChecklist } from '../run/checklist.ts';
import { analysisOf } from './asked.ts';
import { toRange } from './convert.ts';
import { refusing } from './guard.ts';
import type { ChecklistParams, ChecklistResult, FlowParams, FlowResult, FlowStep } from './protocol.ts';
import type { Session } from './session.ts';

export function handleDrawings(session: Session): void {
  session.connection.onRequest(
    'faultwright/flow',
    refusing(session, 'drawing the flow', (params: FlowParams) => flow(session, params)),
  );
  session.connection.onRequest(
    'faultwright/checklist',
    refusing(session, 'making the checklist', (params: ChecklistParams) => checklist(session, params)),
  );
}

/** The folder of a file's nearest shop file, else its own: where journals and records go. */
export function libraryFolder(session: Session, key: string): string {
  const shop = session.workspace.analyse(key).scope?.shopFiles[0] ?? key;
  return shop.slice(0, Math.max(0, shop.lastIndexOf('/')));
}

async function flow(session: Session, { uri, faults }: FlowParams): Promise<FlowResult | null> {
  const analysis = analysisOf(session, uri);
  const { procedure, program, scope } = analysis ?? {};
  if (!analysis || !procedure || !program || !scope || procedure.steps.length === 0) return null;
  const version = session.open.get(analysis.file)?.document.version ?? null;
  const layout = await layoutOf(session, analysis, faults === true);
  return {
    svg: renderFlowSvg(layout, { heading: false }),
    title: procedure.title?.value ?? program.name,
    steps: stepsOf(analysis),
    version,
  };
}

const layouts = { plain: new WeakMap<Analysis, Promise<FlowLayout>>(), withFaults: new WeakMap<Analysis, Promise<FlowLayout>>() };

/** Laid out once for each version of a text, however many panels show it. */
function layoutOf(session: Session, analysis: Analysis, faults: boolean): Promise<FlowLayout> {
  const { procedure, program, scope } = analysis;
  const known = faults ? layouts.withFaults : layouts.plain;
  let layout = known.get(analysis);
  if (!layout && procedure && program && scope) {
    known.set(analysis, (layout = layoutFlow(flowDrawing(procedure, program, scope, faults ? possibleAtSteps(analysis) : new Map()), session.host.layout)));
  }
  return layout ?? Promise.reject(new Error('There is no procedure to draw.'));
}

/** The steps of a file and where they stand. */
export function stepsOf({ procedure, lines, program }: Analysis): FlowStep[] {
  return [...(procedure?.steps ?? []), ...(procedure?.afterRepair ?? [])].map((step, index) => ({
    // A step without a name still has one in the drawing.
    name: step.name?.value ?? program?.steps[index]?.name ?? '',
    section: step.section,
    range: toRange(lines, step.span),
    nameRange: toRange(lines, step.name?.span ?? step.span),
  }));
}

function checklist(session: Session, { uri, asset }: ChecklistParams): ChecklistResult | null {
  const analysis = analysisOf(session, uri);
  if (!analysis?.procedure || !analysis.program || analysis.procedure.steps.length === 0) return null;
  const document = buildChecklist(analysis, asset, session.workspace);
  return { document, assets: document.assets, errors: document.standing.errors, folder: libraryFolder(session, analysis.file) };
}
