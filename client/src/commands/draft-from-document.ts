/** A draft made of a document's numbered list: from the clipboard, from the text at hand, or from a file. */
import * as vscode from 'vscode';
import type { ServerLink } from '../server-link.ts';
import { targetFolder } from './target-folder.ts';
import { inFolder, showWritten } from './written-file.ts';

const OURS = /\.procedure\.ya?ml$/i;
const TEXT = /\.(?:txt|md|text)$/i;

interface Source extends vscode.QuickPickItem {
  readonly read: () => Promise<{ readonly prose: string; readonly title?: string } | undefined>;
}

export async function draftFromDocument(link: ServerLink, clicked?: unknown): Promise<void> {
  const source =
    clicked instanceof vscode.Uri && TEXT.test(clicked.path) ? await readFile(clicked) : await (await chooseSource())?.read();
  if (source === undefined) return;
  if (source.prose.trim() === '') {
    void vscode.window.showInformationMessage(
      vscode.l10n.t(
        'There is no text to make a draft of. Copy the list of steps from the document, then run this command again.',
      ),
    );
    return;
  }
  const folder = await targetFolder(clicked);
  if (!folder) return;
  const { name, text, steps } = await link.request('faultwright/draft', {
    folder: folder.toString(),
    prose: source.prose,
    ...(source.title === undefined ? {} : { title: source.title }),
  });
  await showWritten(inFolder(folder, name), text);
  void vscode.window.showInformationMessage(
    steps === 1
      ? vscode.l10n.t(
          'A draft of one step. Compare it with the document, and resolve what stands among the problems, before anyone works by it.',
        )
      : vscode.l10n.t(
          'A draft of {0} steps. Compare it with the document, and resolve what stands among the problems, before anyone works by it.',
          steps,
        ),
  );
}

function chooseSource(): Thenable<Source | undefined> {
  const sources: Source[] = [];
  // Read only once it is chosen: a browser asks whether that is allowed.
  sources.push({
    label: vscode.l10n.t('The text on the clipboard'),
    detail: vscode.l10n.t('What was copied from the document'),
    read: async () => ({ prose: await clipboardText() }),
  });
  const editor = vscode.window.activeTextEditor;
  if (editor && !OURS.test(editor.document.uri.path)) {
    const { document, selection } = editor;
    const text = document.getText(selection.isEmpty ? undefined : selection);
    const label = selection.isEmpty ? vscode.l10n.t('The text in the editor') : vscode.l10n.t('The selected text');
    if (text.trim() !== '')
      sources.push({ label, detail: glimpse(text), read: () => Promise.resolve({ prose: text, ...titleOf(document.uri) }) });
  }
  sources.push({
    label: vscode.l10n.t('A text file'),
    detail: vscode.l10n.t('Plain text or Markdown'),
    read: async () => {
      const [file] =
        (await vscode.window.showOpenDialog({
          openLabel: vscode.l10n.t('Make a draft of it'),
          filters: { [vscode.l10n.t('Text')]: ['txt', 'md', 'text'] },
        })) ?? [];
      return file && readFile(file);
    },
  });
  return vscode.window.showQuickPick(sources, {
    title: vscode.l10n.t('Draft from a document'),
    placeHolder: vscode.l10n.t('Where is the list of steps?'),
  });
}

/** Empty where a browser does not let the clipboard be read. */
async function clipboardText(): Promise<string> {
  try {
    return await vscode.env.clipboard.readText();
  } catch {
    return '';
  }
}

async function readFile(uri: vscode.Uri): Promise<{ prose: string; title?: string }> {
  const bytes = await vscode.workspace.fs.readFile(uri);
  try {
    return { prose: new TextDecoder('utf-8', { fatal: true }).decode(bytes), ...titleOf(uri) };
  } catch {
    // Old documents are often in the encoding of an old system.
    return { prose: new TextDecoder('windows-1252').decode(bytes), ...titleOf(uri) };
  }
}

function titleOf(uri: vscode.Uri): { title?: string } {
  if (uri.scheme === 'untitled') return {};
  const words = uri.path
    .slice(uri.path.lastIndexOf('/') + 1)
    .replace(/\.[^.]*$/, '')
    .replace(/[_-]+/g, ' ')
    .trim();
  return words === '' ? {} : { title: words.charAt(0).toUpperCase() + words.slice(1) };
}

/** The beginning of a text, on one line. */
function glimpse(text: string): string {
  const line = text.replace(/\s+/g, ' ').trim();
  return line.length > 90 ? `${line.slice(0, 89)}…` : line;
}
