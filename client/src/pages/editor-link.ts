/** The page's side of the webview: the editor's messages and the state it keeps for a hidden or reloaded panel. */

export interface EditorLink {
  post(message: unknown): void;
  onMessage(listener: (message: unknown) => void): void;
  /** What `keep` was last given, also after the panel was hidden or the window reloaded. */
  kept(): unknown;
  keep(state: unknown): void;
}

interface WebviewApi {
  postMessage(message: unknown): void;
  getState(): unknown;
  setState(state: unknown): void;
}

/** The link to the editor, or undefined where the page stands alone. Call it once: the editor hands its API out once. */
export function editorLink(): EditorLink | undefined {
  const acquire = (globalThis as { acquireVsCodeApi?: () => WebviewApi }).acquireVsCodeApi;
  if (!acquire) return undefined;
  const api = acquire();
  return {
    post: (message) => api.postMessage(message),
    onMessage: (listener) => window.addEventListener('message', (event: MessageEvent<unknown>) => listener(event.data)),
    kept: () => api.getState(),
    keep: (state) => api.setState(state),
  };
}
