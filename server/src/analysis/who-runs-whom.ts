/**
 * Which files hold procedures that run which: kept so that an edit of one file in thousands looks through none of the others. It knows
 * files by their paths, and asks its owner what a name leads to.
 */
export interface CallingFile {
  readonly path: string;
  readonly text: string;
  /** Counts up with every change of the file. */
  readonly version: number;
  /** It surely runs no procedure: its text need not be searched for those that it runs. */
  readonly callsNone: boolean;
  /** Names of the procedures that it runs, once they are known. */
  calls?: readonly string[];
}

/** Files that run another; `state` is another number whenever they, or what they say, have changed. */
export interface Callers {
  readonly files: readonly string[];
  readonly state: number;
}

interface ByName<File> {
  readonly version: number;
  readonly files: ReadonlyMap<string, readonly File[]>;
  /** Those of which no more than their letters is known. */
  readonly unread: readonly File[];
}

export class WhoRunsWhom<File extends CallingFile> {
  /** Those that may run others. */
  readonly #calling = new Map<string, File>();
  /** Rises with whatever may change which procedure runs which. */
  #version = 0;
  /** By the names that they run. */
  #byName: ByName<File> | undefined;
  readonly #callers = new Map<string, Callers & { readonly version: number; readonly signature: string }>();
  readonly #read: (file: File) => readonly string[];
  readonly #leadsTo: (name: string, from: string) => string | undefined;

  /** `read` tells the names that a file runs; `leadsTo` which file a name means where it is run. */
  constructor(read: (file: File) => readonly string[], leadsTo: (name: string, from: string) => string | undefined) {
    this.#read = read;
    this.#leadsTo = leadsTo;
  }

  /** A file is there, or is there in another version. */
  put(file: File): void {
    if (!file.callsNone || this.#calling.has(file.path)) this.#version++;
    this.replace(file);
  }

  /** The same file says the same; no more than what is remembered of it differs. */
  replace(file: File): void {
    if (file.callsNone) this.#calling.delete(file.path);
    else this.#calling.set(file.path, file);
  }

  remove(path: string): void {
    this.#calling.delete(path);
    this.#version++;
  }

  /** What names lead to has changed. */
  namesChanged(): void {
    this.#version++;
  }

  /** Whether a file runs a procedure by this name, wherever the name leads from there. */
  runs(file: File, name: string | undefined): boolean {
    if (name === undefined || file.callsNone) return false;
    // Only an escape could spell the name in other letters.
    if (file.calls === undefined && !file.text.includes(name) && !file.text.includes('\\')) return false;
    return (file.calls ??= this.#read(file)).includes(name);
  }

  /** The files whose procedures run the one of this name in this file. */
  callersOf(path: string, name: string | undefined): Callers {
    const known = this.#callers.get(path);
    if (known?.version === this.#version) return known;
    const running = name === undefined ? [] : this.#running(name).filter((file) => file.path !== path && this.#leadsTo(name, file.path) === path);
    const signature = running.map((file) => `${file.path} ${file.version}`).sort().join('\n');
    const callers = {
      version: this.#version, files: running.map((file) => file.path).sort(), signature,
      state: known?.signature === signature ? known.state : (known?.state ?? 0) + 1,
    };
    this.#callers.set(path, callers);
    return callers;
  }

  #running(name: string): readonly File[] {
    const { files, unread } = this.#index();
    return [...(files.get(name) ?? []), ...unread.filter((file) => this.runs(file, name))];
  }

  #index(): ByName<File> {
    if (this.#byName?.version === this.#version) return this.#byName;
    const files = new Map<string, File[]>();
    const unread: File[] = [];
    for (const file of this.#calling.values()) {
      if (file.calls === undefined) unread.push(file);
      for (const called of file.calls ?? []) {
        const known = files.get(called);
        if (known) known.push(file);
        else files.set(called, [file]);
      }
    }
    return (this.#byName = { version: this.#version, files, unread });
  }
}
