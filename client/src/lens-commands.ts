/** What the lines above a step open: the places that lead to it, and the shortest walk there as a list to go through. */
import * as vscode from 'vscode';
import type { ShownPlaces, ShownWalk, WireRange } from '../../server/src/lsp/protocol.ts';

export function registerLensCommands(): vscode.Disposable {
  return vscode.Disposable.from(
    vscode.commands.registerCommand('faultwright.showPlaces', (places: ShownPlaces) => showPlaces(places)),
    vscode.commands.registerCommand('faultwright.showWalk', (walk: ShownWalk) => showWalk(walk)),
  );
}

async function showPlaces({ uri, position, locations }: ShownPlaces): Promise<void> {
  await vscode.commands.executeCommand(
    'editor.action.showReferences',
    vscode.Uri.parse(uri),
    new vscode.Position(position.line, position.character),
    locations.map((location) => new vscode.Location(vscode.Uri.parse(location.uri), rangeOf(location.range))),
  );
}

interface WalkItem extends vscode.QuickPickItem {
  readonly range?: vscode.Range;
}

/** The steps in the order walked. Going through the list shows each in the text; leaving it goes back to where the cursor was. */
async function showWalk({ uri, steps }: ShownWalk): Promise<void> {
  const editor = await vscode.window.showTextDocument(vscode.Uri.parse(uri));
  const before = { selection: editor.selection, visible: editor.visibleRanges[0] };
  const last = steps.at(-1)?.step ?? '';
  const pick = vscode.window.createQuickPick<WalkItem>();
  pick.title = vscode.l10n.t('Shortest walk to {0}', last);
  pick.placeholder = vscode.l10n.t('Choose a step to go to it');
  pick.matchOnDescription = true;
  pick.items = steps.map(({ step, result, range }, index) => ({
    label: `${index + 1}. ${step}`,
    ...(result === undefined ? {} : { description: result }),
    ...(range ? { range: rangeOf(range) } : {}),
  }));
  let chosen: vscode.Range | undefined;
  pick.onDidChangeActive(([item]) => {
    if (!item?.range) return;
    editor.selection = new vscode.Selection(item.range.start, item.range.end);
    editor.revealRange(item.range, vscode.TextEditorRevealType.InCenterIfOutsideViewport);
  });
  pick.onDidAccept(() => {
    chosen = pick.selectedItems[0]?.range;
    pick.hide();
  });
  pick.onDidHide(() => {
    pick.dispose();
    if (chosen) editor.selection = new vscode.Selection(chosen.start, chosen.start);
    else {
      editor.selection = before.selection;
      if (before.visible) editor.revealRange(before.visible, vscode.TextEditorRevealType.AtTop);
    }
  });
  pick.show();
}

function rangeOf({ start, end }: WireRange): vscode.Range {
  return new vscode.Range(start.line, start.character, end.line, end.character);
}
