/**
 * The steps of a procedure that is run are written out where it is run. What followed its endings follows the results that led to
 * them. Where that cannot be said with steps alone, the answer is the reason.
 */
import type { Analysis } from '../analysis/analysis.ts';
import type { TextEdit } from '../findings/finding.ts';
import type { Procedure, Result, Step, WayOn } from '../procedure/model.ts';
import { nameUses } from '../procedure/names.ts';
import type { ListNode, MapNode } from '../syntax/tree.ts';
import { worseFinding } from './compare-findings.ts';
import { nameOf, ruledOutBehind, targetsOf } from './extract-flow.ts';
import { declarationsToBring } from './inline-declarations.ts';
import type { Library } from './symbols.ts';
import { edited, linesOfItems, topValue, withKeysInstead, type Change } from './text-parts.ts';
import { nameFrom } from './written-yaml.ts';

export type Inlined = { readonly edits: readonly TextEdit[]; readonly from: string } | { readonly problem: string };

/** What a step that runs a procedure may say besides; more would have to hold for each of the steps. */
const PLAIN_KEYS = new Set(['step', 'run', 'title', 'text', 'why', 'note', 'time', 'results', 'people', 'keep_first']);

/** The step of `run` at an offset. */
export function runStepAt(analysis: Analysis, offset: number): Step | undefined {
  const line = analysis.lines.positionAt(offset).line;
  return analysis.procedure?.steps.find(
    (step) =>
      step.kind === 'run' &&
      analysis.lines.positionAt(step.span.start).line <= line &&
      line <= analysis.lines.positionAt(Math.max(step.span.start, step.span.end - 1)).line,
  );
}

/** Writes the procedure out that the step at an offset runs. */
export function inlineRun(library: Library, analysis: Analysis, offset: number): Inlined {
  const { procedure } = analysis;
  const step = runStepAt(analysis, offset);
  if (procedure === undefined || step?.run === undefined || step.name === undefined)
    return { problem: 'There is no step here that runs a procedure.' };
  const name = step.run.value;
  const file = library.fileOfProcedure(name, analysis.file);
  const called = file === undefined || file === analysis.file ? undefined : library.analyse(file);
  if (called?.procedure === undefined) return { problem: `There is no procedure '${name}' to write out.` };
  if ([procedure, called.procedure].some((one) => one.problems.some((problem) => problem.check === 'yaml-syntax')))
    return { problem: 'One of the two procedures cannot be read in every place. Put that right first.' };
  const list = topValue(analysis.tree, 'steps');
  const inner = topValue(called.tree, 'steps');
  if (
    list?.kind !== 'list' ||
    inner?.kind !== 'list' ||
    list.flow ||
    inner.flow ||
    list.items.length !== procedure.steps.length ||
    inner.items.length !== called.procedure.steps.length
  ) {
    return {
      problem:
        'The steps of one of the two procedures are not written as a list with dashes, each with a name. Put that right first.',
    };
  }
  const made = new Inlining(analysis, procedure, list, step, called, called.procedure, inner).make();
  if ('problem' in made) return made;
  const worse = worseFinding(
    library,
    [analysis.file, called.file],
    [analysis.file],
    new Map([[analysis.file, edited(analysis.text, made.edits)]]),
  );
  return worse === undefined
    ? made
    : { problem: `Written out here these steps would have a finding that they do not have now: ${worse.message}` };
}

/** What the caller says of an ending. */
interface Answer {
  readonly result: Result | undefined;
  readonly way: WayOn;
}

class Impossible extends Error {}

class Inlining {
  /** Names of steps that mean something else where they come to stand. */
  readonly #renamed = new Map<string, string>();
  readonly #callerFaults: ReadonlySet<string>;
  readonly #next: string | undefined;

  constructor(
    private readonly analysis: Analysis,
    private readonly procedure: Procedure,
    private readonly list: ListNode,
    private readonly step: Step,
    private readonly called: Analysis,
    private readonly callee: Procedure,
    private readonly inner: ListNode,
  ) {
    this.#callerFaults = new Set(procedure.faults.map((fault) => fault.name.value));
    this.#next = procedure.steps[procedure.steps.indexOf(step) + 1]?.name?.value;
    const taken = new Set([...procedure.steps, ...procedure.afterRepair].filter((one) => one !== step).map(nameOf));
    for (const names of [procedure.facts, procedure.faults, procedure.values])
      for (const { name } of names) taken.add(name.value);
    for (const one of callee.steps) {
      if (!taken.has(nameOf(one))) continue;
      const free = nameFrom(`${nameOf(step)} ${nameOf(one)}`, new Set([...taken, ...callee.steps.map(nameOf)]), 60);
      taken.add(free);
      this.#renamed.set(nameOf(one), free);
    }
  }

  make(): Inlined {
    try {
      this.#refuseWhatCannotBeSaid();
      const { analysis, called, step } = this;
      const bring = declarationsToBring(called, new Set(this.callee.steps.map(nameOf)), analysis);
      if ('problem' in bring) return bring;
      const position = this.procedure.steps.indexOf(step);
      const block = linesOfItems(analysis, this.list, position, position);
      const dropped = this.#doneStep();
      const last = this.inner.items.length - 1 - (dropped === undefined ? 0 : 1);
      const source = linesOfItems(called, this.inner, 0, last);
      if (block === undefined || source === undefined || last < 0)
        throw new Impossible('These steps are written in a way that cannot be moved by machine. Format both files first.');
      const inner = this.#innerChanges(dropped).filter(({ span }) => span.start >= source.start && span.end <= source.end);
      const text = edited(
        called.text.slice(source.start, source.end),
        inner.map(({ span, newText }) => ({ span: { start: span.start - source.start, end: span.end - source.start }, newText })),
      );
      const column = Math.max(0, analysis.lines.positionAt(this.list.items[0]?.span.start ?? 0).column - 2);
      const blank = /\n[ \t]*\r?\n$/.test(analysis.text.slice(block.start, block.end)) ? '\n' : '';
      const changes: Change[] = [
        { span: block, newText: `${this.#saidBefore(column)}${atColumn(text, column)}\n${blank}` },
        ...this.#outerChanges(),
        ...bring.changes,
      ];
      const lineBreak = analysis.text.includes('\r\n') ? '\r\n' : '\n';
      return {
        from: called.file,
        edits: changes.map(({ span, newText }) => ({ file: analysis.file, span, newText: newText.replace(/\r?\n/g, lineBreak) })),
      };
    } catch (error) {
      if (error instanceof Impossible) return { problem: error.message };
      throw error;
    }
  }

  #refuseWhatCannotBeSaid(): void {
    const { step, callee, procedure } = this;
    const item = this.list.items[procedure.steps.indexOf(step)];
    const other = item?.kind === 'map' ? item.entries.find((entry) => !PLAIN_KEYS.has(entry.key.text)) : undefined;
    if (other)
      throw new Impossible(
        `'${nameOf(step)}' has '${other.key.text}', which would have to hold for each of the steps of '${callee.name?.value ?? ''}'. Say it there first.`,
      );
    if (callee.steps.some((one) => one.name === undefined))
      throw new Impossible(`A step of '${callee.name?.value ?? ''}' has no name.`);
    const proofs = new Set(callee.afterRepair.map(nameOf));
    if (callee.steps.some((one) => targetsOf(one).some((target) => proofs.has(target))))
      throw new Impossible(
        `A step of '${callee.name?.value ?? ''}' goes to its 'after_repair', which is not part of what is run here.`,
      );
    const lacks = callee.qualified.find((name) => !procedure.qualified.some((own) => own.value === name.value));
    if (lacks)
      throw new Impossible(
        `'${callee.name?.value ?? ''}' is for a person with '${lacks.value}', and this procedure does not say so. Add it to 'qualified' first.`,
      );
    if (callee.purpose !== procedure.purpose) throw new Impossible(`One of the two is an inspection, and the other is not.`);
    const raises = callee.steps.flatMap((one) => one.results.flatMap((result) => (result.raises ? [result.raises.value] : [])));
    for (const fault of new Set(raises)) {
      const passed = this.#answer('passed');
      const raised = this.#answer('raised', fault);
      if (raised.result?.raises?.value !== fault)
        throw new Impossible(`'${nameOf(step)}' does not raise '${fault}' where '${callee.name?.value ?? ''}' does.`);
      if (wayText(raised.way) !== wayText(passed.way))
        throw new Impossible(
          `'${nameOf(step)}' goes on in one place where '${fault}' was raised and in another where it was not. Steps alone cannot tell the two apart later.`,
        );
    }
  }

  /** What the caller says of an ending. */
  #answer(ending: 'passed' | 'referred' | 'finds' | 'raised', fault?: string): Answer {
    const { results } = this.step;
    const next: WayOn = { kind: 'next', span: this.step.span };
    if (results.length === 0)
      return { result: undefined, way: this.step.go ? { kind: 'go', step: this.step.go, span: this.step.go.span } : next };
    const result =
      results.find(({ when }) => when?.kind === 'ending' && when.ending === ending && when.fault?.value === fault) ??
      results.find(({ when }) => when?.kind === 'otherwise');
    if (result === undefined)
      throw new Impossible(
        `'${nameOf(this.step)}' does not say what follows when '${this.callee.name?.value ?? ''}' ends with '${ending}${fault === undefined ? '' : ` ${fault}`}'.`,
      );
    return { result, way: result.way };
  }

  /** A last step that only ends the procedure, as extracting one writes it: it is not needed where the next step follows. */
  #doneStep(): Step | undefined {
    const last = this.callee.steps.at(-1);
    const [only] = last?.results ?? [];
    const isDone =
      last?.kind === 'decide' &&
      last.decide?.expression?.kind === 'quantity' &&
      last.results.length === 1 &&
      only?.when?.kind === 'otherwise' &&
      only.way.kind === 'passes';
    if (!isDone || this.callee.steps.length < 2 || this.#next === undefined) return undefined;
    const { result, way } = this.#answer('passed');
    const known = new Set(ruledOutBehind(this.callee, this.callee.steps.slice(0, -1)));
    const saysMore =
      result !== undefined &&
      (result.sets.length > 0 || result.leaves !== undefined || result.rulesOut.some((name) => !known.has(name.value)));
    return way.kind === 'next' && !saysMore ? last : undefined;
  }

  #innerChanges(dropped: Step | undefined): Change[] {
    const { callee, called } = this;
    const changes: Change[] = [];
    for (const use of nameUses(callee)) {
      const to =
        use.kind === 'step' || (use.kind === 'reading' && use.of === undefined) ? this.#renamed.get(use.name) : undefined;
      if (to !== undefined && use.step !== undefined && use.name !== dropped?.name?.value)
        changes.push({ span: use.span, newText: to });
    }
    callee.steps.forEach((step, index) => {
      if (step === dropped) return;
      const to = this.#renamed.get(nameOf(step));
      if (to !== undefined && step.name) changes.push({ span: step.name.span, newText: to });
      if (dropped && step.go?.value === nameOf(dropped)) changes.push({ span: step.go.span, newText: this.#next ?? '' });
      const item = this.inner.items[index];
      const results = item?.kind === 'map' ? item.entries.find((entry) => entry.key.text === 'results')?.value : undefined;
      step.results.forEach((result, at) => {
        const node = results?.kind === 'list' ? results.items[at] : undefined;
        if (node?.kind !== 'map') throw new Impossible('A result there is not written as a map of keys.');
        if (dropped && result.way.kind === 'go' && result.way.step.value === nameOf(dropped))
          changes.push({ span: result.way.step.span, newText: this.#next ?? '' });
        else changes.push(...this.#resultChanges(step, result, node, called));
      });
    });
    return changes;
  }

  /** A result of the callee, with what the caller says of the ending it leads to. */
  #resultChanges(step: Step, result: Result, node: MapNode, called: Analysis): Change[] {
    const { way } = result;
    const answer =
      way.kind === 'passes'
        ? this.#answer('passed')
        : way.kind === 'refer'
          ? this.#answer('referred')
          : way.kind === 'finds' || way.kind === 'by_elimination'
            ? this.#answer('finds', way.fault.value)
            : undefined;
    const lines: string[] = [];
    const gone = new Set<string>();
    if (answer !== undefined) {
      const sameFault =
        (way.kind === 'finds' || way.kind === 'by_elimination') &&
        answer.way.kind === 'finds' &&
        answer.way.fault.value === way.fault.value;
      const sameEnd =
        (way.kind === 'refer' && answer.way.kind === 'refer') || (way.kind === 'passes' && answer.way.kind === 'passes');
      if (!sameFault && !sameEnd) {
        gone.add(way.kind);
        const text = this.#wayText(answer.way, step);
        if (text !== undefined) lines.push(text);
      }
    }
    const said = answer?.result;
    const wantsRuledOut = this.#ruledOut(result, said);
    if (wantsRuledOut !== undefined) {
      gone.add('rules_out');
      gone.add('leaves');
      if (wantsRuledOut.length > 0) lines.unshift(`rules_out: [${wantsRuledOut.join(', ')}]`);
    }
    if (said !== undefined && said.sets.length > 0) {
      if (result.sets.length > 0)
        throw new Impossible(
          `'${nameOf(this.step)}' and the result '${result.when?.text ?? ''}' of '${nameOf(step)}' both set states. Say it in one place first.`,
        );
      lines.push(`sets: {${said.sets.map(({ state, values }) => `${state.value}: ${values[0]?.value ?? ''}`).join(', ')}}`);
    }
    if (said?.says && !result.says) lines.push(`says: ${this.analysis.text.slice(said.says.span.start, said.says.span.end)}`);
    if (result.raises && !this.#callerFaults.has(result.raises.value))
      throw new Impossible(`This procedure does not know the fault '${result.raises.value}'.`);
    const present = new Set([...gone].filter((key) => node.entries.some((entry) => entry.key.text === key)));
    const changes = withKeysInstead(called, node, present, lines);
    if (changes === undefined) throw new Impossible("A result there does not begin with 'when'. Format its file first.");
    return changes;
  }

  /** Faults that a result rules out where it comes to stand; undefined where it says so already. */
  #ruledOut(result: Result, said: Result | undefined): string[] | undefined {
    const own = result.rulesOut.map((name) => name.value);
    const leaves = result.leaves?.map((name) => name.value);
    const inCallee = this.callee.faults.map((fault) => fault.name.value);
    // A fault of the same name is the same one, unless the caller makes another of it.
    const isSame = (name: string): boolean => {
      if (!this.#callerFaults.has(name)) return false;
      const answer = this.step.results.find(
        ({ when }) => when?.kind === 'ending' && when.ending === 'finds' && when.fault?.value === name,
      );
      return answer === undefined || (answer.way.kind === 'finds' && answer.way.fault.value === name);
    };
    const out = new Set([
      ...own.filter(isSame),
      ...(leaves === undefined ? [] : inCallee.filter((name) => !leaves.includes(name) && isSame(name))),
    ]);
    for (const name of said?.rulesOut ?? []) out.add(name.value);
    if (said?.leaves !== undefined)
      for (const name of this.#callerFaults) if (!said.leaves.some((one) => one.value === name)) out.add(name);
    const keepsLeaves = leaves === undefined || (inCallee.length === this.#callerFaults.size && inCallee.every(isSame));
    const unchanged = keepsLeaves && own.length === out.size && own.every((name) => out.has(name));
    return unchanged || (leaves !== undefined && keepsLeaves && (said?.rulesOut.length ?? 0) === 0 && said?.leaves === undefined)
      ? undefined
      : [...out];
  }

  /** A way of the caller as it is written in a result of the steps; undefined for the last of them going on with the next. */
  #wayText(way: WayOn, from: Step): string | undefined {
    if (way.kind === 'next') {
      const isLast = from === this.callee.steps.at(-1) || (from === this.callee.steps.at(-2) && this.#doneStep() !== undefined);
      if (isLast) return undefined;
      if (this.#next === undefined) throw new Impossible(`Behind '${nameOf(this.step)}' there is no step to go on with.`);
      return `go: ${this.#next}`;
    }
    if (way.kind === 'go') return `go: ${way.step.value === nameOf(this.step) ? this.#firstStep : way.step.value}`;
    if (way.kind === 'passes') return 'passes: true';
    if (way.kind === 'refer') return `refer: ${this.analysis.text.slice(way.text.span.start, way.text.span.end).trim()}`;
    return `${way.kind}: ${way.fault.value}`;
  }

  get #firstStep(): string {
    const first = nameOf(this.callee.steps[0] as Step);
    return this.#renamed.get(first) ?? first;
  }

  /** What the step of `run` said to its reader, kept as a comment. */
  #saidBefore(column: number): string {
    const { title, text, why, note } = this.step;
    return [title, text, why, note]
      .flatMap((prose) =>
        prose
          ? prose.value
              .split('\n')
              .filter((line) => line.trim() !== '')
              .map((line) => `${' '.repeat(column)}# ${line.trim()}\n`)
          : [],
      )
      .join('');
  }

  #outerChanges(): Change[] {
    const changes: Change[] = [];
    const name = nameOf(this.step);
    for (const use of nameUses(this.procedure)) {
      if (use.step === name) continue;
      if (use.kind === 'step' && use.name === name) changes.push({ span: use.span, newText: this.#firstStep });
      // `battery.rest` becomes `rest`.
      if (use.kind === 'reading' && use.of === name)
        changes.push({
          span: { start: use.span.start - name.length - 1, end: use.span.end },
          newText: this.#renamed.get(use.name) ?? use.name,
        });
    }
    return changes;
  }
}

function wayText(way: WayOn): string {
  return way.kind === 'go'
    ? `go ${way.step.value}`
    : way.kind === 'refer'
      ? `refer ${way.text.value}`
      : way.kind === 'finds' || way.kind === 'by_elimination'
        ? `${way.kind} ${way.fault.value}`
        : way.kind;
}

/** Lines with the dashes of the list at a column. */
function atColumn(text: string, column: number): string {
  const lines = text.replace(/\r\n/g, '\n').replace(/\s+$/, '').split('\n');
  const dash = (lines.find((line) => /^\s*-/.test(line)) ?? '').search(/\S/);
  return lines
    .map((line) =>
      line.trim() === ''
        ? ''
        : ' '.repeat(column) +
          (line.slice(0, Math.max(0, dash)).trim() === '' ? line.slice(Math.max(0, dash)) : line.trimStart()),
    )
    .join('\n');
}
