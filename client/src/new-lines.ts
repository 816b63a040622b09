/**
 * Where Enter puts the cursor behind a line that begins an item, as `- step: listen`: under its first key. The editor does this by itself, at once;
 * the server's help with new lines comes a moment later, and a fast typist is faster.
 */
import * as vscode from 'vscode';

export function alignNewLines(): vscode.Disposable {
  return vscode.languages.setLanguageConfiguration('yaml', {
    onEnterRules: [
      // Not behind `|` or `>`: there a block of text begins, further in.
      { beforeText: /^\s*- +[\w-]+:\s+(?![|>][-+\d]*\s*$)\S.*$/, afterText: /^\s*$/, action: { indentAction: vscode.IndentAction.None, appendText: '  ' } },
    ],
  });
}
