/** What one connection with an editor holds: the parts that the handlers share, passed to each of them. No behaviour here. */
import type { Connection } from 'vscode-languageserver';
import type { TextDocument } from 'vscode-languageserver-textdocument';
import type { Workspace } from '../analysis/workspace.ts';
import type { FeatureWords } from '../features/words-english.ts';
import type { FileLookup } from './convert.ts';
import type { ServerHost } from './host.ts';
import type { Publisher } from './publish.ts';
import type { Quiet } from './quiet.ts';
import type { EditorSettings } from './settings.ts';
import type { PulledFindings } from './workspace-diagnostics.ts';

export interface ClientAbilities {
  readonly changeAnnotations: boolean;
  readonly snippets: boolean;
  readonly watchedFiles: boolean;
  readonly configuration: boolean;
  readonly workspaceFolders: boolean;
  /** Only pulls diagnostics: then none are pushed. */
  readonly pullsOnly: boolean;
  /** What it can be asked to ask for again. */
  readonly refreshes: { readonly inlayHints: boolean; readonly lenses: boolean; readonly diagnostics: boolean };
  /** Takes the lines of a completion as they are, and one range for all of its items. */
  readonly insertTextModes: boolean;
  readonly itemDefaults: boolean;
  readonly workDoneProgress: boolean;
  /** Makes new files as part of an edit. */
  readonly createsFiles: boolean;
  /** Shows an action that cannot be done, with the reason. */
  readonly disabledActions: boolean;
  /** Lets version control be read: an editor that does not trust the folder does not. */
  readonly git: boolean;
  /** Answers for files that are on no disk. */
  readonly files: boolean;
  /** Has panels that want to know when a file was analysed anew. */
  readonly panels: boolean;
}

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
  readonly quiet: Quiet;
  readonly pulled: PulledFindings;
  client: ClientAbilities;
  settings: EditorSettings;
  /** In the language of the editor. */
  words: FeatureWords;
  /** Resolves once the workspace's folders have been read. */
  ready: Promise<void>;
}
