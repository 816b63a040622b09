/** Registers the commands that write procedures. What each does stands in its own file. */
import * as vscode from 'vscode';
import type { WirePosition, WireRange } from '../../../server/src/lsp/protocol.ts';
import type { ServerLink } from '../server-link.ts';
import { draftFromDocument } from './draft-from-document.ts';
import { extractSteps, inlineRun } from './move-steps.ts';
import { newProcedure } from './new-procedure.ts';

export function registerWritingCommands(link: ServerLink): vscode.Disposable {
  const telling =
    <A extends unknown[]>(act: (...args: A) => Promise<void>) =>
    async (...args: A): Promise<void> => {
      try {
        await act(...args);
      } catch (error) {
        void vscode.window.showErrorMessage(error instanceof Error ? error.message : String(error));
      }
    };
  return vscode.Disposable.from(
    vscode.commands.registerCommand(
      'faultwright.newProcedure',
      telling((uri?: unknown) => newProcedure(link, uri)),
    ),
    vscode.commands.registerCommand(
      'faultwright.draftFromDocument',
      telling((uri?: unknown) => draftFromDocument(link, uri)),
    ),
    vscode.commands.registerCommand(
      'faultwright.extractSteps',
      telling((uri?: string, range?: WireRange) => extractSteps(link, uri, range)),
    ),
    vscode.commands.registerCommand(
      'faultwright.inlineRun',
      telling((uri?: string, position?: WirePosition) => inlineRun(link, uri, position)),
    ),
  );
}
