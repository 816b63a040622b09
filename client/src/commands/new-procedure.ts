/**
 * A new procedure by a few questions. Which come, and what will do for an answer, the server says; here they are shown one after
 * another.
 */
import * as vscode from 'vscode';
import type { WireQuestion } from '../../../server/src/lsp/protocol.ts';
import type { ServerLink } from '../server-link.ts';
import { targetFolder } from './target-folder.ts';
import { inFolder, showWritten } from './written-file.ts';

/** What a question came to. */
type Answered = { readonly kind: 'answer'; readonly value: string } | { readonly kind: 'back' } | { readonly kind: 'closed' };

export async function newProcedure(link: ServerLink, clicked?: unknown): Promise<void> {
  const folder = await targetFolder(clicked);
  if (!folder) return;
  const given: (readonly [id: string, answer: string])[] = [];
  for (;;) {
    const answers = Object.fromEntries(given);
    const { question, count, written } = await link.request('faultwright/newProcedure', { folder: folder.toString(), answers });
    if (written) {
      await show(folder, written.name, written.text, written.findings.length);
      return;
    }
    if (!question) return;
    const step = { number: given.length + 1, count, canGoBack: given.length > 0 };
    const answered = question.choices ? await choose(question, step) : await type(link, folder, answers, question, step);
    if (answered.kind === 'closed') return;
    if (answered.kind === 'back') given.pop();
    else given.push([question.id, answered.value]);
  }
}

async function show(folder: vscode.Uri, name: string, text: string, findings: number): Promise<void> {
  const editor = await showWritten(inFolder(folder, name), text);
  // The first place that the writer has to fill.
  const at = /first test point|test port|test point|lead of the circuit|Repair or replace the part\./.exec(
    editor.document.getText(),
  );
  if (at) {
    const start = editor.document.positionAt(at.index);
    editor.selection = new vscode.Selection(start, editor.document.positionAt(at.index + at[0].length));
    editor.revealRange(editor.selection, vscode.TextEditorRevealType.InCenterIfOutsideViewport);
  }
  if (findings > 0)
    void vscode.window.showInformationMessage(
      vscode.l10n.t('Some of the words you gave led to findings. They stand among the problems.'),
    );
}

interface Step {
  readonly number: number;
  readonly count: number;
  readonly canGoBack: boolean;
}

interface ChoiceItem extends vscode.QuickPickItem {
  readonly value: string;
}

function choose({ text, values, help, choices = [] }: WireQuestion, step: Step): Promise<Answered> {
  const pick = vscode.window.createQuickPick<ChoiceItem>();
  dress(pick, step);
  pick.placeholder = [filled(text, values), ...(help === undefined ? [] : [filled(help)])].join(' ');
  pick.matchOnDescription = true;
  pick.items = choices.map(({ value, label, detail, values: of }) => ({
    value,
    label: filled(label, of),
    ...(detail === undefined ? {} : { description: filled(detail) }),
  }));
  return answerOf(pick, () => pick.selectedItems[0]?.value);
}

function type(
  link: ServerLink,
  folder: vscode.Uri,
  answers: Readonly<Record<string, string>>,
  { id, text, values, help, suggestion }: WireQuestion,
  step: Step,
): Promise<Answered> {
  const box = vscode.window.createInputBox();
  dress(box, step);
  box.prompt = filled(text, values);
  if (help !== undefined) box.placeholder = filled(help);
  if (suggestion !== undefined) box.value = filled(suggestion);
  const check = async (answer: string): Promise<string | undefined> =>
    (await link.request('faultwright/newProcedure', { folder: folder.toString(), answers, checking: { id, answer } })).problem;
  box.onDidChangeValue(() => {
    box.validationMessage = undefined;
  });
  return answerOf(box, async () => {
    const value = box.value.trim();
    box.busy = true;
    const problem = await check(value);
    box.busy = false;
    box.validationMessage = problem === undefined ? undefined : vscode.l10n.t(problem);
    return problem === undefined ? value : undefined;
  });
}

function dress(
  input: vscode.QuickInput & { buttons: readonly vscode.QuickInputButton[] },
  { number, count, canGoBack }: Step,
): void {
  input.title = vscode.l10n.t('New procedure');
  input.step = number;
  input.totalSteps = count;
  input.ignoreFocusOut = true;
  input.buttons = canGoBack ? [vscode.QuickInputButtons.Back] : [];
}

/** Waits until an input is accepted with an answer that will do, left by its back button, or closed. */
function answerOf(
  input: vscode.QuickPick<ChoiceItem> | vscode.InputBox,
  read: () => string | undefined | Promise<string | undefined>,
): Promise<Answered> {
  return new Promise((resolve) => {
    let answered: Answered = { kind: 'closed' };
    input.onDidTriggerButton(() => {
      answered = { kind: 'back' };
      input.hide();
    });
    input.onDidAccept(async () => {
      const value = await read();
      if (value === undefined) return;
      answered = { kind: 'answer', value };
      input.hide();
    });
    input.onDidHide(() => {
      input.dispose();
      resolve(answered);
    });
    input.show();
  });
}

/** The server's sentence in the language of the editor, its places filled. */
function filled(text: string, values: readonly string[] = []): string {
  return vscode.l10n.t(text, ...values.map((value) => vscode.l10n.t(value)));
}
