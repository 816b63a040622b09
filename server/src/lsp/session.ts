/** What one connection with an editor holds: the parts that the handlers share, passed to each of them. No behaviour here. */
import type { Connection } from 'vscode-languageserver';
import type { TextDocument } from 'vscode-languageserver-textdocument';
import type { Workspace } from '../analysis/workspace.ts';
import type { FileLookup } from './convert.ts';
import type { ServerHost } from './host.ts';
import type { Publisher } from './publish.ts';

export interface ClientAbilities {
  readonly changeAnnotations: boolean;
  readonly snippets: boolean;
  readonly watchedFiles: boolean;
  readonly configuration: boolean;
  readonly workspaceFolders: boolean;
  /** Only pulls diagnostics: then none are pushed. */
  readonly pullsOnly: boolean;
  /** Has panels that want to know when a file was analysed anew. */
  readonly panels: boolean;
}

/** Settings of the editor; those of a shop stand in its shop.yaml. */
export interface EditorSettings {
  readonly checkWholeFolder: boolean;
  readonly showHints: boolean;
}

export const DEFAULT_SETTINGS: EditorSettings = { checkWholeFolder: true, showHints: true };

export interface OpenFile {
  /** The key under which the workspace holds it. */
  readonly key: string;
  readonly document: TextDocument;
  /** The version that the workspace was last given. */
  seen: number;
}

export interface Session {
  readonly connection: Connection;
  readonly host: ServerHost;
  readonly workspace: Workspace;
  /** Open documents by key. */
  readonly open: Map<string, OpenFile>;
  /** Keys of the workspace's folders. */
  readonly roots: Set<string>;
  readonly files: FileLookup;
  readonly publisher: Publisher;
  client: ClientAbilities;
  settings: EditorSettings;
  /** Resolves once the workspace's folders have been read. */
  ready: Promise<void>;
}
