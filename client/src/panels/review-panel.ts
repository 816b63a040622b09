/** The review panel: what changed in a procedure since a revision of git and what that does to safety, beside its text. */
import * as vscode from 'vscode';
import type { FromReviewPage, ToReviewPage } from '../pages/messages.ts';
import { documentPanels, messageOf, revealRange, type AttachedPanel, type PanelPlace } from './document-panel.ts';

/** Wait after the last analysis before the review is asked for again, in ms: it follows the text, never a keystroke. */
const AFTER_ANALYSIS = 800;

export const reviewPanels = documentPanels({
  viewType: 'faultwright.review',
  title: (name) => vscode.l10n.t('Review: {0}', name),
  bundle: 'review-page',
  attach: attachReview,
});

function attachReview(place: PanelPlace): AttachedPanel {
  let asked = 0;
  let since: string | undefined;
  let timer: ReturnType<typeof setTimeout> | undefined;
  const post = (message: ToReviewPage): void => void place.panel.webview.postMessage(message);

  async function compare(): Promise<void> {
    const mine = ++asked;
    const isOld = (): boolean => place.isClosed() || mine !== asked;
    try {
      const review = await place.link.request('faultwright/review', { uri: place.key, ...(since === undefined ? {} : { since }) });
      if (isOld()) return;
      post(review ? { kind: 'review', uri: place.key, review } : { kind: 'trouble', text: vscode.l10n.t('There is nothing to review: the file holds no procedure.') });
    } catch (error) {
      if (!isOld()) post({ kind: 'trouble', text: messageOf(error) });
    }
  }

  return {
    async onMessage(raw) {
      const message = raw as FromReviewPage;
      if (message.kind === 'reveal') {
        await revealRange(place, message.range);
        return;
      }
      since = message.since;
      return compare();
    },
    onAnalysed() {
      if (since === undefined) return;
      clearTimeout(timer);
      timer = setTimeout(() => void compare(), AFTER_ANALYSIS);
    },
    subscriptions: [{ dispose: () => clearTimeout(timer) }],
  };
}
