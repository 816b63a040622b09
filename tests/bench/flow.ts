/** The drawing of a long procedure: what it costs, off the typing path, and whether steps that an edit did not touch keep their places. */
import { Workspace } from '../../server/src/analysis/workspace.ts';
import { flowDrawing } from '../../server/src/render/flow-drawing.ts';
import { layoutFlow, type FlowLayout } from '../../server/src/render/flow-layout.ts';
import { renderFlowSvg } from '../../server/src/render/flow-svg.ts';
import { BENCH_SHOP, generateProcedure } from './generate.ts';
import { figure, printTable, timed } from './tools.ts';

const FILE = 'long.procedure.yaml';

export async function benchFlow(): Promise<void> {
  const rows: string[][] = [];
  for (const steps of [20, 300]) {
    const workspace = new Workspace();
    workspace.setFile('shop.yaml', BENCH_SHOP);
    const text = generateProcedure(steps);
    const draw = async (version: string): Promise<FlowLayout> => {
      workspace.setFile(FILE, version);
      const { procedure, program, scope } = workspace.analyse(FILE);
      if (!procedure || !program || !scope) throw new Error('a generated procedure cannot be drawn');
      return layoutFlow(flowDrawing(procedure, program, scope));
    };
    const before = await draw(text);
    let after = before;
    const reworded = await timed(async () => {
      after = await draw(text.replace('Use a hand lamp.', 'Use a bright hand lamp.'));
    });
    const keptWhenReworded = kept(before, after);
    const lengthened = await timed(async () => {
      after = await draw(text.replace(/^ {2}- step: fit_hose$/m, '  - step: one_more\n    ask: Is the hose whole?\n    results: [{when: yes}, {when: no, refer: Get another hose.}]\n$&'));
    });
    const svg = await timed(() => renderFlowSvg(after));
    rows.push([`${steps} steps`, figure(reworded), keptWhenReworded, figure(lengthened), kept(before, after), figure(svg)]);
  }
  printTable('Drawing after an edit, milliseconds, and steps that keep their column and size', ['', 'a text edited', 'kept', 'a step added near the end', 'kept', 'to SVG'], rows);
}

/** Of the steps in both drawings, those at the same place; below an added step all may move down together. */
function kept(before: FlowLayout, after: FlowLayout): string {
  const places = new Map(before.nodes.map(({ node, x, y }) => [node.id, { x, y }]));
  const common = after.nodes.filter(({ node }) => places.has(node.id));
  const same = common.filter(({ node, x, y }) => places.get(node.id)?.x === x && places.get(node.id)?.y === y);
  return `${same.length} of ${common.length}`;
}
