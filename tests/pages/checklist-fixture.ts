/** A checklist document for the page tests, made as the product makes it: text → workspace → checklist. */
import { readFileSync } from 'node:fs';
import { Workspace } from '../../server/src/analysis/workspace.ts';
import { buildChecklist } from '../../server/src/run/checklist.ts';
import type { ChecklistDocument } from '../../server/src/run/checklist.ts';

/** The spinner procedure of this folder, or another text, with a small shop and assets file around it. */
export function checklistOf(text = fixture('spinner.procedure.yaml'), asset?: string): ChecklistDocument {
  const workspace = new Workspace();
  workspace.setFile('/depot/shop.yaml', SHOP);
  workspace.setFile('/depot/assets.yaml', ASSETS);
  workspace.setFile('/depot/page.procedure.yaml', text);
  return buildChecklist(workspace.analyse('/depot/page.procedure.yaml'), asset, workspace);
}

export function fixture(name: string): string {
  return readFileSync(new URL(name, import.meta.url), 'utf8');
}

const SHOP = `shop: Brackwater depot
format: 1
states:
  isolator:
    title: Battery isolator
    values: [on, off]
    at_start: on
    changes:
      - {to: off, do: [Turn the isolator off., Lock the isolator.], time: 1 min}
      - {to: on, do: [Remove the lock., Turn the isolator on.], time: 1 min}
instruments:
  multimeter:
    title: Digital multimeter
    category: CAT III 600 V
    measures:
      dc_voltage: {up_to: 600 V, resolution: 0.01 V, accuracy: 0.5 % + 2 counts}
      resistance: {up_to: 40 Mohm, resolution: 0.1 ohm, accuracy: 0.9 % + 3 counts}
`;

const ASSETS = `assets:
  GR-02: {equipment: gritter, winding_low: 0.4 ohm, winding_high: 1.2 ohm}
  TL-07: {equipment: tail_lift}
`;
