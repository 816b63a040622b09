/** Which files have a procedure of the same name, and under which shop they are: kept until procedures or shops come, go or change their names. */

/** Before a name, among what findings depend on. */
export const NAMED = '*named* ';

export class Namesakes {
  readonly #filesOf: (name: string) => readonly string[];
  readonly #shopOf: (path: string) => string | undefined;
  readonly #known = new Map<string, { readonly version: number; readonly signature: string; readonly state: number }>();
  /** For dependencies that were looked through the version at which they still stood. */
  readonly #stood = new WeakMap<ReadonlyMap<string, number>, number>();
  #version = 0;

  constructor(filesOf: (name: string) => readonly string[], shopOf: (path: string) => string | undefined) {
    this.#filesOf = filesOf;
    this.#shopOf = shopOf;
  }

  /** A procedure or a shop's file has come or gone, or a procedure has another name. */
  changed(): void {
    this.#version++;
  }

  /** The files that a name may mean from a file: those of the same shop, else all. More than one: nobody can tell which is meant. */
  of(name: string, from: string): readonly string[] {
    const all = this.#filesOf(name);
    const shop = this.#shopOf(from);
    const own = all.filter((path) => this.#shopOf(path) === shop);
    return own.length > 0 ? own : all;
  }

  /** Changes whenever a procedure of this name comes or goes, or comes under another shop. */
  signatureOf(name: string): string {
    return this.#filesOf(name).map((path) => `${path} ${this.#shopOf(path) ?? ''}`).join('\n');
  }

  /** A number that is another whenever the signature is. */
  stateOf(name: string): number {
    const known = this.#known.get(name);
    if (known?.version === this.#version) return known.state;
    const signature = this.signatureOf(name);
    const state = known === undefined ? 0 : known.signature === signature ? known.state : known.state + 1;
    this.#known.set(name, { version: this.#version, signature, state });
    return state;
  }

  /** Whether somebody else has a name now of which these dependencies were drawn. */
  haveChanged(dependsOn: ReadonlyMap<string, number> | undefined): boolean {
    if (dependsOn === undefined || this.#stood.get(dependsOn) === this.#version) return false;
    for (const [key, before] of dependsOn) if (key.startsWith(NAMED) && before !== this.stateOf(key.slice(NAMED.length))) return true;
    this.#stood.set(dependsOn, this.#version);
    return false;
  }
}
