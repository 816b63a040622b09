/**
 * The files of a workspace and what is known of each: models, scopes, programs and findings, computed when asked for and kept until
 * something they depend on changes. Pure: whoever owns the files hands their texts in.
 */
import { loadCatalogue } from '../catalogue/load-catalogue.ts';
import type { OtherProcedure } from '../checks/check.ts';
import { buildProgram, statesOf } from '../flow/build-program.ts';
import { explore, type CalleeRun, type Callees, type Exploration } from '../flow/explore.ts';
import { runCalled } from '../flow/run-called.ts';
import type { Program } from '../flow/program.ts';
import type { Problem } from '../findings/finding.ts';
import type { Procedure, Shop } from '../procedure/model.ts';
import { resolveScope } from '../procedure/resolve-scope.ts';
import type { Scope } from '../procedure/scope.ts';
import { TreeMemory } from '../syntax/tree-memory.ts';
import { LineIndex } from '../text/line-index.ts';
import type { Analysis, FileKind } from './analysis.ts';
import { plainProcedureName, stillCallsNone, surelyCallsNone } from './calls-in-text.ts';
import type { Checked } from './check-again.ts';
import { editedSteps, onlyTextsDiffer } from './edited-texts.ts';
import { FactPairs } from './fact-pairs.ts';
import { calledNames, readModel, type FileModel } from './file-model.ts';
import { folderOf, isAbove, joinPath, kindOf, parentOf } from './file-paths.ts';
import { NAMED, Namesakes } from './namesakes.ts';
import { checkProcedure, findingsOfAssets, findingsOfShop } from './run-checks.ts';
import { WhoRunsWhom, type Callers, type CallingFile } from './who-runs-whom.ts';

interface FileEntry extends CallingFile {
  readonly kind: FileKind;
  /** Of a file that is being edited, or is long enough that the first edit should not wait. */
  readonly memory?: TreeMemory;
  /** Once it is known; null where it has none. */
  name?: string | null;
  /** What its findings were drawn from, where they were let go of. */
  drawnFrom?: ReadonlyMap<string, number>;
  model?: FileModel;
  analysis?: { readonly analysis: Analysis; readonly dependsOn: ReadonlyMap<string, number> };
  /** What the checks reported when this or an earlier version of the file was last checked. */
  checked?: Checked & { readonly lookedAt: ReadonlyMap<string, number> };
}

/** Files from this length on, in characters, are remembered part by part from their first reading. */
const LONG_FILE = 40_000;

/** A procedure with its names resolved; everything but findings. */
interface Resolved extends OtherProcedure {
  readonly scope: Scope;
  /** Procedures that were being resolved and that this one runs again: the circle is closed there. */
  readonly circlesTo: ReadonlySet<string>;
  /** File → version of everything that went into it. */
  readonly dependsOn: ReadonlyMap<string, number>;
}

/** Depends on which procedures exist, by name. */
const PROCEDURE_INDEX = '*procedures*';
/** Before the path of a procedure: depends on which procedures run it, and on what they say. */
const CALLERS = '*callers* ';
/** Depends on which facts are the two limits of some band. */
const FACT_PAIRS = '*fact pairs*';

export class Workspace {
  readonly #files = new Map<string, FileEntry>();
  readonly #running = new WhoRunsWhom<FileEntry>((entry) => this.#callsOf(entry), (name, from) => this.fileOfProcedure(name, from));
  readonly #namesakes = new Namesakes((name) => this.#procedureIndex().get(name) ?? [], (path) => this.#shopPaths(path)[0]);
  readonly #factPairs = new FactPairs();
  readonly #resolved = new Map<string, Resolved>();
  /** Files that a procedure of another file runs. */
  readonly #called = new Set<string>();
  readonly #calledRuns = new WeakMap<Program, Map<string, CalleeRun>>();
  #version = 0;
  /** Rises when a procedure appears, disappears or changes its name. */
  #indexVersion = 0;
  #byName: Map<string, string[]> | undefined;
  readonly #fileExists: (path: string) => boolean | undefined;
  readonly #releasedText: (path: string) => string | undefined;

  /**
   * `fileExists` answers for figures beside a procedure; without it, that they are missing is never claimed. `releasedText` gives the
   * last released revision of a procedure, where something keeps it.
   */
  constructor(options: {
    readonly fileExists?: (path: string) => boolean | undefined;
    readonly releasedText?: (path: string) => string | undefined;
  } = {}) {
    this.#fileExists = options.fileExists ?? (() => undefined);
    this.#releasedText = options.releasedText ?? (() => undefined);
  }

  /** Adds or replaces a file. Paths use forward slashes. */
  setFile(path: string, text: string): void {
    const before = this.#files.get(path);
    if (before?.text === text) return;
    const kind = kindOf(path);
    const remembered = kind === 'procedure' && (before !== undefined || text.length > LONG_FILE);
    const entry: FileEntry = {
      path, text, kind, version: ++this.#version, callsNone: kind !== 'procedure' || (before?.callsNone ? stillCallsNone(before.text, text) : surelyCallsNone(text)),
      ...(remembered ? { memory: before?.memory ?? new TreeMemory() } : {}),
      ...(before?.checked ? { checked: before.checked } : {}),
    };
    const nameBefore = this.#procedureName(before);
    this.#put(entry);
    if (entry.kind === 'procedure' && nameBefore !== this.#procedureName(entry)) this.#indexChanged();
  }

  removeFile(path: string): void {
    const before = this.#files.get(path);
    if (before === undefined) return;
    this.#files.delete(path);
    this.#running.remove(path);
    this.#factPairs.remove(path);
    this.#resolved.delete(path);
    this.#version++;
    if (before.kind === 'shop') this.#namesakes.changed();
    if (before.kind === 'procedure') this.#indexChanged();
  }

  files(): string[] {
    return [...this.#files.keys()];
  }

  textOf(path: string): string | undefined {
    return this.#files.get(path)?.text;
  }

  /** What is known of a file in its present version; a file that is not in the workspace gives an empty analysis. */
  analyse(path: string): Analysis {
    const entry = this.#files.get(path);
    if (entry === undefined) return emptyAnalysis(path, '');
    if (entry.analysis && this.#isCurrent(entry.analysis.dependsOn)) return entry.analysis.analysis;
    const { analysis, dependsOn } = this.#analyseEntry(entry);
    entry.analysis = { analysis, dependsOn };
    return analysis;
  }

  /**
   * What the findings of a file were drawn from, once it has been analysed: files with their texts (undefined where there is none),
   * whether it matters which procedures there are, whether it matters which of them run it, and of which names it matters who has them.
   */
  dependenciesOf(path: string): { readonly files: readonly string[]; readonly procedures: boolean; readonly callers: boolean; readonly names: readonly string[] } {
    const keys = [...(this.#files.get(path)?.analysis?.dependsOn.keys() ?? [])];
    return {
      files: keys.filter((key) => key !== PROCEDURE_INDEX && key !== FACT_PAIRS && !key.startsWith(CALLERS) && !key.startsWith(NAMED)),
      procedures: keys.includes(PROCEDURE_INDEX), callers: keys.some((key) => key.startsWith(CALLERS)),
      names: keys.flatMap((key) => (key.startsWith(NAMED) ? [key.slice(NAMED.length)] : [])),
    };
  }

  /** Something outside all files changed that findings of this one are drawn from, as its last released text: asked again, they are worked out again. */
  forgetFindings(path: string): void {
    const entry = this.#files.get(path);
    if (entry) delete entry.analysis;
  }

  /** Lets go of what was worked out of a file, so that thousands can be checked one after another. Asked again, it is worked out again. */
  release(path: string): void {
    const entry = this.#files.get(path);
    // What others run will be asked for again.
    if (entry?.kind !== 'procedure' || this.#called.has(path)) return;
    const { text, kind, version, callsNone, name, calls, analysis, drawnFrom = analysis?.dependsOn } = entry;
    const kept: FileEntry = {
      path, text, kind, version, callsNone, ...(name === undefined ? {} : { name }), ...(calls === undefined ? {} : { calls }), ...(drawnFrom === undefined ? {} : { drawnFrom }),
    };
    this.#files.set(path, kept);
    this.#running.replace(kept);
    this.#resolved.delete(path);
  }

  /** The files whose findings a change of this one may alter, itself left out. */
  dependants(path: string): string[] {
    const kind = kindOf(path);
    const found: string[] = [];
    const changed = this.#procedureName(this.#files.get(path));
    for (const entry of this.#files.values()) {
      if (entry.path === path) continue;
      if (entry.kind !== 'procedure') {
        const before = drawnFrom(entry);
        if (before?.has(path) || (before?.has(FACT_PAIRS) && before.get(FACT_PAIRS) !== this.#factPairs.state)) found.push(entry.path);
        continue;
      }
      if (kind === 'shop' || kind === 'assets') {
        if (isAbove(folderOf(path), entry.path) || this.#namesakes.haveChanged(drawnFrom(entry))) found.push(entry.path);
      } else if (drawnFrom(entry)?.has(path) || this.#running.runs(entry, changed) || this.#hasOtherCallers(entry) || this.#namesakes.haveChanged(drawnFrom(entry))) found.push(entry.path);
    }
    return found;
  }

  /** The file of the procedure that `name` means when it is run from `from`: one of the same shop before any other. */
  fileOfProcedure(name: string, from: string): string | undefined {
    const candidates = this.#procedureIndex().get(name) ?? [];
    const shop = this.#shopPaths(from)[0];
    return (
      candidates.find((path) => folderOf(path) === folderOf(from)) ??
      candidates.find((path) => this.#shopPaths(path)[0] === shop) ??
      candidates[0]
    );
  }

  /** Changes whenever a procedure of this name comes or goes, or comes under another shop. */
  signatureOfName(name: string): string {
    return this.#namesakes.signatureOf(name);
  }

  /** Names of all procedures, with their files. */
  procedures(): { readonly name: string; readonly file: string }[] {
    return [...this.#procedureIndex()].flatMap(([name, files]) => files.map((file) => ({ name, file })));
  }

  /** The model of a procedure file, without its findings. */
  procedureIn(path: string): Procedure | undefined {
    const entry = this.#files.get(path);
    const model = entry && this.#model(entry);
    return model?.kind === 'procedure' ? model.procedure : undefined;
  }

  #put(entry: FileEntry): void {
    this.#files.set(entry.path, entry);
    this.#running.put(entry);
    if (entry.kind === 'procedure') this.#factPairs.put(entry.path, entry.text);
    // Which shop is the nearest decides what a name leads to.
    if (entry.kind !== 'procedure') this.#running.namesChanged();
    if (entry.kind === 'shop') this.#namesakes.changed();
  }

  #indexChanged(): void {
    this.#indexVersion = ++this.#version;
    this.#running.namesChanged();
    this.#namesakes.changed();
    this.#byName = undefined;
  }

  #procedureIndex(): Map<string, string[]> {
    if (this.#byName) return this.#byName;
    const index = new Map<string, string[]>();
    // In the order of their paths: in which order files were read must not decide which procedure a name means.
    for (const entry of [...this.#files.values()].sort((a, b) => (a.path < b.path ? -1 : 1))) {
      const name = this.#procedureName(entry);
      if (name === undefined) continue;
      const files = index.get(name);
      if (files) files.push(entry.path);
      else index.set(name, [entry.path]);
    }
    this.#byName = index;
    return index;
  }

  #procedureName(entry: FileEntry | undefined): string | undefined {
    if (entry?.kind !== 'procedure') return undefined;
    if (entry.name === undefined) entry.name = (entry.model ? undefined : plainProcedureName(entry.text)) ?? this.#nameRead(entry) ?? null;
    return entry.name ?? undefined;
  }

  #nameRead(entry: FileEntry): string | undefined {
    const model = this.#model(entry);
    return model.kind === 'procedure' ? model.procedure.name?.value : undefined;
  }

  #callsOf(entry: FileEntry): readonly string[] {
    const model = this.#model(entry);
    return model.kind === 'procedure' ? calledNames(model.procedure) : [];
  }

  #isCurrent(dependsOn: ReadonlyMap<string, number>): boolean {
    for (const [key, version] of dependsOn) if (this.#stateOf(key) !== version) return false;
    return true;
  }

  /** What a dependency is at now: a number that is another whenever it has changed. */
  #stateOf(key: string): number {
    if (key === PROCEDURE_INDEX) return this.#indexVersion;
    if (key === FACT_PAIRS) return this.#factPairs.state;
    if (key.startsWith(CALLERS)) return this.#callersOf(key.slice(CALLERS.length)).state;
    if (key.startsWith(NAMED)) return this.#namesakes.stateOf(key.slice(NAMED.length));
    return this.#files.get(key)?.version ?? -1;
  }

  #callersOf(path: string): Callers {
    return this.#running.callersOf(path, this.#procedureName(this.#files.get(path)));
  }

  /** Whether a file's findings were drawn from callers that have changed since. */
  #hasOtherCallers(entry: FileEntry): boolean {
    const { path } = entry;
    const before = drawnFrom(entry)?.get(CALLERS + path);
    return before !== undefined && before !== this.#stateOf(CALLERS + path);
  }

  #model(entry: FileEntry): FileModel {
    entry.model ??= readModel(entry);
    return entry.model;
  }

  /** The shop files that apply to a path, the nearest first. */
  #shopPaths(path: string): string[] {
    return this.#upward(path, SHOP_NAMES);
  }

  /** The first file of these names in each folder from a path upward, the nearest first. */
  #upward(path: string, names: readonly string[]): string[] {
    const found: string[] = [];
    for (let folder: string | undefined = folderOf(path); folder !== undefined; folder = parentOf(folder)) {
      for (const name of names) {
        const candidate = joinPath(folder, name);
        if (!this.#files.has(candidate)) continue;
        found.push(candidate);
        break;
      }
    }
    return found;
  }

  /** Why a shop or assets file is not the one that its folder goes by; undefined where it is. */
  #passedOver(entry: FileEntry, dependsOn: Map<string, number>): Problem[] {
    const names = entry.kind === 'shop' ? SHOP_NAMES : ASSETS_NAMES;
    const [usual = ''] = names;
    const own = entry.path.slice(entry.path.lastIndexOf('/') + 1);
    const place = { check: 'duplicate-name', span: { start: 0, end: 0 }, subject: own };
    if (!names.includes(own)) return [{ ...place, message: `A file named ${own} is not read for any procedure.`, help: `Rename it to ${usual}.` }];
    const before = names.slice(0, names.indexOf(own)).map((name) => joinPath(folderOf(entry.path), name));
    for (const path of before) dependsOn.set(path, this.#files.get(path)?.version ?? -1);
    const used = before.find((path) => this.#files.has(path));
    return used === undefined ? [] : [{
      ...place, message: `${usual} stands beside it and is used; nothing in this file is.`, help: `Bring both into ${usual}, and delete this one.`,
      related: [{ file: used, span: { start: 0, end: 0 }, message: 'This one is used.' }],
    }];
  }

  #scopeFor(path: string, procedure: Procedure | undefined, dependsOn: Map<string, number>): Scope {
    const shops: Shop[] = [];
    for (let folder: string | undefined = folderOf(path); folder !== undefined; folder = parentOf(folder)) {
      for (const name of [...SHOP_NAMES, ...ASSETS_NAMES]) {
        const candidate = joinPath(folder, name);
        dependsOn.set(candidate, this.#files.get(candidate)?.version ?? -1);
      }
    }
    for (const shopPath of this.#shopPaths(path)) {
      const model = this.#model(this.#files.get(shopPath) as FileEntry);
      if (model.kind === 'shop') shops.push(model.shop);
    }
    const assets = this.#upward(path, ASSETS_NAMES).flatMap((assetsPath) => {
      const model = this.#model(this.#files.get(assetsPath) as FileEntry);
      return model.kind === 'assets' ? [model.assets] : [];
    });
    return resolveScope({ procedure, shops, assets, catalogue: loadCatalogue() });
  }

  /** Names, program and exploration of a procedure; `running` holds the files being resolved, so that a circle ends. */
  #resolve(path: string, running: ReadonlySet<string>): Resolved | undefined {
    const known = this.#resolved.get(path);
    if (known && this.#isCurrent(known.dependsOn)) return known;
    const entry = this.#files.get(path);
    const model = entry && this.#model(entry);
    if (entry === undefined || model?.kind !== 'procedure') return undefined;
    const { procedure } = model;
    const kept = known && this.#afterEditOfTexts(known, procedure, entry);
    if (kept !== undefined) {
      this.#resolved.set(path, kept);
      return kept;
    }
    const dependsOn = new Map<string, number>([[path, entry.version]]);
    const scope = this.#scopeAfter(known, procedure, entry, dependsOn);
    const within = new Set(running).add(path);
    const called = new Map<string, Resolved>();
    const alsoStates = new Set<string>();
    const names = calledNames(procedure);
    if (names.length > 0 || procedure.faults.some((fault) => fault.procedure !== undefined)) dependsOn.set(PROCEDURE_INDEX, this.#indexVersion);
    const circlesTo = new Set<string>();
    for (const name of names) {
      const file = this.fileOfProcedure(name, path);
      if (file === undefined) continue;
      if (within.has(file)) {
        circlesTo.add(file);
        continue;
      }
      const other = this.#resolve(file, within);
      if (other === undefined) continue;
      for (const [dependency, version] of other.dependsOn) dependsOn.set(dependency, version);
      for (const closed of other.circlesTo) if (within.has(closed)) circlesTo.add(closed);
      // How a run in a circle ends hangs on itself: every ending of it is possible.
      if (other.circlesTo.has(path)) continue;
      called.set(name, other);
      this.#called.add(file);
      for (const state of other.program.states) alsoStates.add(state.name);
      for (const state of statesOf(other.procedure, other.scope)) alsoStates.add(state);
    }
    const program = buildProgram(procedure, scope, alsoStates);
    const callees: Callees = (name, states) => {
      const other = called.get(name);
      return other && this.#runCalled(other, states);
    };
    const exploration: Exploration = explore(program, { callees });
    const resolved: Resolved = { file: path, procedure, program, exploration, scope, circlesTo, dependsOn };
    if (circlesTo.size === 0) this.#resolved.set(path, resolved);
    return resolved;
  }

  /** What was resolved before, where since then nothing but texts in steps has changed: names, program and walks stand. */
  #afterEditOfTexts(known: Resolved, procedure: Procedure, entry: FileEntry): Resolved | undefined {
    const dependsOn = new Map(known.dependsOn).set(entry.path, entry.version);
    if (!this.#isCurrent(dependsOn)) return undefined;
    const steps = editedSteps(known.procedure, procedure);
    if (steps === undefined || !onlyTextsDiffer(steps, procedure, known.scope)) return undefined;
    return { ...known, procedure, dependsOn, scope: this.#scopeAfter(known, procedure, entry, new Map()) };
  }

  /** The scope of an edited procedure: as it was, where its own declarations have not even moved and nothing around it has changed. */
  #scopeAfter(known: Resolved | undefined, procedure: Procedure, entry: FileEntry, dependsOn: Map<string, number>): Scope {
    const same = known && DECLARED.every((key) => procedure[key] === known.procedure[key] || procedure[key].length + known.procedure[key].length === 0);
    const around = known && new Map([...known.dependsOn].filter(([key]) => key !== entry.path && key !== PROCEDURE_INDEX && kindOf(key) !== 'procedure'));
    if (!same || !around || !this.#isCurrent(around)) return this.#scopeFor(entry.path, procedure, dependsOn);
    for (const [key, version] of around) dependsOn.set(key, version);
    return known.scope;
  }

  #runCalled(other: Resolved, states: ReadonlyMap<string, readonly string[]>): CalleeRun {
    const key = [...states].map(([state, values]) => `${state}=${values.join('|')}`).sort().join(';');
    let runs = this.#calledRuns.get(other.program);
    if (runs === undefined) this.#calledRuns.set(other.program, (runs = new Map<string, CalleeRun>()));
    let run = runs.get(key);
    if (run === undefined) {
      const callees: Callees = (name, inner) => {
        const file = this.fileOfProcedure(name, other.file);
        const next = file === undefined ? undefined : this.#resolved.get(file);
        return next && next.file !== other.file ? this.#runCalled(next, inner) : undefined;
      };
      run = runCalled(other.program, states, callees);
      runs.set(key, run);
    }
    return run;
  }

  #analyseEntry(entry: FileEntry): { analysis: Analysis; dependsOn: Map<string, number> } {
    const model = this.#model(entry);
    const dependsOn = new Map<string, number>([[entry.path, entry.version]]);
    const base = { file: entry.path, kind: entry.kind, text: entry.text, lines: new LineIndex(entry.text) };
    switch (model.kind) {
      case 'other':
        return { analysis: { ...base, tree: undefined, findings: [] }, dependsOn };
      case 'shop': {
        const scope = this.#scopeFor(entry.path, undefined, dependsOn);
        const findings = findingsOfShop(model.shop, scope, this.#passedOver(entry, dependsOn));
        return { analysis: { ...base, tree: model.tree, shop: model.shop, scope, findings }, dependsOn };
      }
      case 'assets': {
        const scope = this.#scopeFor(entry.path, undefined, dependsOn);
        dependsOn.set(FACT_PAIRS, this.#factPairs.state);
        const findings = findingsOfAssets(model.assets, scope, this.#factPairs.all(), this.#passedOver(entry, dependsOn));
        return { analysis: { ...base, tree: model.tree, assets: model.assets, scope, findings }, dependsOn };
      }
      case 'procedure': {
        const resolved = this.#resolve(entry.path, new Set());
        if (resolved === undefined) return { analysis: emptyAnalysis(entry.path, entry.text), dependsOn };
        for (const [dependency, version] of resolved.dependsOn) dependsOn.set(dependency, version);
        // What checks look at beyond that; what was taken over from an earlier check was drawn from what that one looked at.
        const earlier = entry.checked && this.#isCurrent(entry.checked.lookedAt) ? entry.checked : undefined;
        const lookedAt = new Map<string, number>(earlier?.lookedAt);
        const lookAt = (key: string): void => void lookedAt.set(key, this.#stateOf(key));
        const checked = checkProcedure({
          file: entry.path,
          text: entry.text,
          procedure: model.procedure,
          scope: resolved.scope,
          program: resolved.program,
          exploration: resolved.exploration,
          procedureNamed: (name) => {
            lookAt(PROCEDURE_INDEX);
            const file = this.fileOfProcedure(name, entry.path);
            const other = file === undefined ? undefined : this.#resolve(file, new Set());
            for (const key of other?.dependsOn.keys() ?? []) if (key !== entry.path) lookAt(key);
            return other;
          },
          filesNamed: (name) => {
            lookAt(NAMED + name);
            const taken = this.fileOfProcedure(name, entry.path);
            return [...this.#namesakes.of(name, entry.path)].sort((a, b) => Number(b === taken) - Number(a === taken));
          },
          procedureNames: () => {
            lookAt(PROCEDURE_INDEX);
            return [...this.#procedureIndex().keys()];
          },
          callers: () => {
            lookAt(CALLERS + entry.path);
            return this.#callersOf(entry.path).files.flatMap((file) => this.procedureIn(file) ?? []);
          },
          fileExists: (relative) => this.#fileExists(joinPath(folderOf(entry.path), relative)),
          releasedText: this.#releasedText(entry.path),
        }, earlier);
        for (const [key, state] of lookedAt) dependsOn.set(key, state);
        if (entry.memory !== undefined) entry.checked = { ...checked, lookedAt };
        const { findings } = checked;
        const { scope, program, exploration } = resolved;
        return { analysis: { ...base, tree: model.tree, procedure: model.procedure, scope, program, exploration, findings }, dependsOn };
      }
    }
  }
}

/** The names under which a folder's files are found: the first that is there is used. */
const SHOP_NAMES = ['shop.yaml', 'shop.yml'];
const ASSETS_NAMES = ['assets.yaml', 'assets.yml'];

const DECLARED = ['states', 'circuits', 'instruments', 'hazards', 'cautions', 'qualifications', 'values', 'facts', 'faults'] as const satisfies readonly (keyof Procedure)[];

/** What the findings of a file were drawn from when it was last analysed. */
function drawnFrom({ analysis, drawnFrom: released }: FileEntry): ReadonlyMap<string, number> | undefined {
  return analysis?.dependsOn ?? released;
}

function emptyAnalysis(file: string, text: string): Analysis {
  return { file, kind: kindOf(file), text, lines: new LineIndex(text), tree: undefined, findings: [] };
}
