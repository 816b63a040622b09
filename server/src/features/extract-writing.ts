/** Writes the procedure that steps become, and the step that takes their place. Whether that may be done is for extract-steps.ts to say. */
import type { Analysis } from '../analysis/analysis.ts';
import type { TextEdit } from '../findings/finding.ts';
import type { Procedure, Result, Step } from '../procedure/model.ts';
import { nameUses } from '../procedure/names.ts';
import type { ListNode, MapNode, TreeNode } from '../syntax/tree.ts';
import type { Span } from '../text/span.ts';
import { declarationsFor } from './extract-declarations.ts';
import { nameOf, targetsOf, type ExtractedFlow } from './extract-flow.ts';
import { formatFile, readForFormatting } from './format.ts';
import type { Library } from './symbols.ts';
import {
  edited, entryText, itemText, linesOfItems, topEntry, withKey, withKeysInstead, withoutEntries, withoutItems, type Change,
} from './text-parts.ts';
import { lineText, nameFrom } from './written-yaml.ts';

export interface Extraction {
  /** Of the new procedure. */
  readonly name: string;
  readonly file: string;
  readonly fileText: string;
  /** In the file of the steps. */
  readonly edits: readonly TextEdit[];
}

export type Extracted = Extraction | { readonly problem: string };

/** Steps that may be taken out, with what is known of them. */
export interface ToExtract {
  readonly library: Library;
  readonly analysis: Analysis;
  readonly procedure: Procedure;
  readonly list: ListNode;
  readonly selected: readonly Step[];
  readonly flow: ExtractedFlow;
  readonly called: string;
}

/** The new procedure, and what changes where the steps were. `faults` are those that the new procedure declares. */
export function writeExtraction(whole: ToExtract, faults: ReadonlySet<string>): Extracted {
  return new Extracting(whole, faults).make();
}

class Extracting {
  readonly #inside: ReadonlySet<string>;
  /** Of the step that runs the new procedure. */
  readonly #runStep: string;

  constructor(
    private readonly whole: ToExtract,
    /** Those that the new procedure declares. */
    private readonly faults: ReadonlySet<string>,
  ) {
    const { procedure, selected, called } = whole;
    this.#inside = new Set(selected.map(nameOf));
    const taken = new Set([...procedure.steps, ...procedure.afterRepair].map(nameOf).filter((name) => !this.#inside.has(name)));
    for (const names of [procedure.facts, procedure.faults, procedure.values])
      for (const { name } of names) taken.add(name.value);
    this.#runStep =
      taken.has(called) || whole.analysis.scope?.values.has(called) === true
        ? nameFrom(nameOf(selected[0] as Step), taken)
        : called;
  }

  make(): Extracted {
    const { analysis, procedure, list, selected, called } = this.whole;
    const first = procedure.steps.indexOf(selected[0] as Step);
    const block = linesOfItems(analysis, list, first, first + selected.length - 1);
    const inner = block && this.#innerChanges(list, first);
    if (block === undefined || inner === undefined)
      return { problem: 'These steps are written in a way that cannot be moved by machine. Format the file first.' };
    const moved = edited(
      analysis.text.slice(block.start, block.end),
      inner.map(({ span, newText }) => ({ span: { start: span.start - block.start, end: span.end - block.start }, newText })),
    );
    const declarations = declarationsFor(analysis, this.#inside, this.faults);
    const accepted = this.#accepted();
    const fileText = formatted(
      [
        ...this.#head(),
        ...declarations.sections.flatMap((section) => [section, '']),
        ...this.#faultLines(),
        'steps:',
        dedented(moved),
        ...this.#finish(),
        ...accepted.lines,
        '',
      ].join('\n'),
    );
    const file = `${analysis.file.slice(0, analysis.file.lastIndexOf('/') + 1)}${called}.procedure.yaml`;
    const column = analysis.lines.positionAt(list.items[0]?.span.start ?? 0).column - 2;
    const changes: Change[] = [
      { span: block, newText: this.#runStepText(' '.repeat(Math.max(0, column))) + (this.#endsBlank(block) ? '\n' : '') },
      ...this.#outerChanges(),
      ...[...declarations.gone, ...accepted.gone, ...this.#goneFaults()].map((span) => ({ span, newText: '' })),
    ];
    const lineBreak = analysis.text.includes('\r\n') ? '\r\n' : '\n';
    return {
      name: called,
      file,
      fileText: fileText.replace(/\n/g, lineBreak),
      edits: changes.map(({ span, newText }) => ({ file: analysis.file, span, newText: newText.replace(/\r?\n/g, lineBreak) })),
    };
  }

  /** Whether a blank line stands between the steps and what follows, as part of what is moved. */
  #endsBlank(block: Span): boolean {
    return /\n[ \t]*\r?\n$/.test(this.whole.analysis.text.slice(block.start, block.end));
  }

  #head(): string[] {
    const { analysis, procedure, selected, called } = this.whole;
    const first = (selected[0] as Step).title?.value ?? capital(words(nameOf(selected[0] as Step)));
    const last = selected.length > 1 ? ` to ${words(nameOf(selected.at(-1) as Step))}` : '';
    const copied = ['purpose', 'applies_to', 'qualified'].flatMap((key) => {
      const entry = topEntry(analysis.tree, key);
      return entry ? [entryText(analysis, entry)] : [];
    });
    return [
      `procedure: ${called}`,
      `title: ${lineText(`${first}${last}${procedure.title ? ` (${procedure.title.value})` : ''}`)}`,
      'revision: 1',
      'status: draft',
      ...copied,
      '',
    ];
  }

  #faultLines(): string[] {
    const { analysis } = this.whole;
    const holder = topEntry(analysis.tree, 'faults');
    if (holder?.value?.kind !== 'map' || this.faults.size === 0) return [];
    const entries = holder.value.entries.filter((entry) => this.faults.has(entry.key.text));
    // Where the proof of a repair begins is a step that stays behind.
    const lines = entries.map((entry) =>
      entryText(analysis, entry).replace(
        /\n\s*after_repair:[^\n]*|,\s*after_repair:\s*[a-z0-9_]+|\bafter_repair:\s*[a-z0-9_]+,\s*/,
        '',
      ),
    );
    return [
      'faults:',
      ...lines.map((text) =>
        text
          .split('\n')
          .map((line) => `  ${line}`)
          .join('\n'),
      ),
      '',
    ];
  }

  /** Whether some walk falls off the last step, or leaves a step that has no results. */
  get #needsFinish(): boolean {
    const { selected, flow } = this.whole;
    if (flow.goesOn === undefined) return false;
    const last = selected.at(-1) as Step;
    const falls = last.results.length === 0 ? last.go === undefined : last.onlyIf.length > 0;
    return (
      falls || selected.some((step) => step.results.length === 0 && step.go !== undefined && !this.#inside.has(step.go.value))
    );
  }

  #finish(): string[] {
    if (!this.#needsFinish) return [];
    return [
      '',
      `  - step: ${this.#finishName}`,
      '    # Nobody is asked: the steps are done, and the procedure that ran them goes on.',
      '    decide: 1',
      '    results:',
      '      - when: otherwise',
      '        passes: true',
    ];
  }

  get #finishName(): string {
    return nameFrom('done', this.#inside);
  }

  /** What the moved steps say differently: where they led outside they pass, and only faults of their own are spoken of. */
  #innerChanges(list: ListNode, first: number): Change[] | undefined {
    const { selected, flow } = this.whole;
    const changes: Change[] = [];
    for (const [index, step] of selected.entries()) {
      if (step.go && !this.#inside.has(step.go.value)) {
        if (step.results.length > 0) return undefined;
        changes.push({ span: step.go.span, newText: this.#finishName });
      }
      const map = list.items[first + index];
      const results = map?.kind === 'map' ? map.entries.find((entry) => entry.key.text === 'results')?.value : undefined;
      for (const [at, result] of step.results.entries()) {
        const node = results?.kind === 'list' ? results.items[at] : undefined;
        if (node?.kind !== 'map') return undefined;
        const { way } = result;
        const falls = way.kind === 'next' && step === selected.at(-1) && !(step.onlyIf.length > 0);
        if (way.kind === 'go' && !this.#inside.has(way.step.value))
          changes.push({ span: { start: way.span.start, end: way.step.span.end }, newText: 'passes: true' });
        const faults = this.#faultChanges(result, node, falls && flow.goesOn !== undefined ? ['passes: true'] : []);
        if (faults === undefined) return undefined;
        changes.push(...faults);
      }
    }
    return changes;
  }

  /** Faults it names that stay behind are left out; `added` comes at the end. */
  #faultChanges(result: Result, node: MapNode, added: readonly string[]): Change[] | undefined {
    const { analysis } = this.whole;
    const leaves = result.leaves?.map((name) => name.value);
    const ruled = result.rulesOut.map((name) => name.value);
    const isOwn = (name: string): boolean => this.faults.has(name);
    const asTheyAre = (): Change[] => added.map((line) => withKey(analysis, node, line));
    if (ruled.every(isOwn) && (leaves === undefined || leaves.every(isOwn))) return asTheyAre();
    const out = new Set(ruled.filter(isOwn));
    if (leaves !== undefined) for (const name of this.faults) if (!leaves.includes(name)) out.add(name);
    const entries = node.entries.filter((entry) => entry.key.text === 'rules_out' || entry.key.text === 'leaves');
    const [keep, ...others] = entries;
    if (keep === undefined) return asTheyAre();
    const end = keep.value?.span.end ?? keep.key.span.end;
    const gone = new Set((out.size === 0 ? entries : others).map((entry) => entry.key.text));
    const changes = withKeysInstead(analysis, node, gone, added);
    if (changes === undefined || out.size === 0) return changes;
    return [{ span: { start: keep.key.span.start, end }, newText: `rules_out: [${[...out].join(', ')}]` }, ...changes];
  }

  /**
   * What the steps that stay say differently: the new step's name where they led to the first, and `step.reading` for what it
   * reads.
   */
  #outerChanges(): Change[] {
    const { procedure, selected } = this.whole;
    const first = nameOf(selected[0] as Step);
    const stays = [...procedure.steps, ...procedure.afterRepair].filter((step) => !this.#inside.has(nameOf(step)));
    const changes: Change[] = [];
    for (const step of stays) {
      if (!targetsOf(step).includes(first) || first === this.#runStep) continue;
      if (step.go?.value === first) changes.push({ span: step.go.span, newText: this.#runStep });
      for (const { way } of step.results)
        if (way.kind === 'go' && way.step.value === first) changes.push({ span: way.step.span, newText: this.#runStep });
    }
    for (const use of nameUses(procedure)) {
      const isOutside = use.step === undefined || !this.#inside.has(use.step);
      if (use.kind === 'reading' && use.of === undefined && use.inExpression === true && isOutside && this.#inside.has(use.name))
        changes.push({ span: use.span, newText: `${this.#runStep}.${use.name}` });
    }
    return changes;
  }

  #runStepText(indent: string): string {
    const { flow, called } = this.whole;
    const lines = [`- step: ${this.#runStep}`, `  run: ${called}`, '  results:'];
    const { goesOn } = flow;
    if (goesOn !== undefined) {
      lines.push('    - when: passed');
      if (flow.rulesOut.length > 0) lines.push(`      rules_out: [${flow.rulesOut.join(', ')}]`);
      if (goesOn.kind === 'go') lines.push(`      go: ${goesOn.step}`);
      if (goesOn.kind === 'passes') lines.push('      passes: true');
    }
    for (const fault of flow.finds) lines.push(`    - when: finds ${fault}`, `      finds: ${fault}`);
    for (const fault of flow.raises)
      lines.push(
        `    - when: raised ${fault}`,
        `      raises: ${fault}`,
        ...(goesOn?.kind === 'go' ? [`      go: ${goesOn.step}`] : goesOn?.kind === 'passes' ? ['      passes: true'] : []),
      );
    if (flow.refers) lines.push('    - when: referred', `      refer: Go on as the procedure '${called}' said.`);
    return lines.map((line) => `${indent}${line}\n`).join('');
  }

  /** Deviations that were accepted at these steps go with them. */
  #accepted(): { lines: string[]; gone: Span[] } {
    const { analysis } = this.whole;
    const holder = topEntry(analysis.tree, 'accept');
    if (holder?.value?.kind !== 'list') return { lines: [], gone: [] };
    const at = (item: TreeNode): string => {
      const value = item.kind === 'map' ? item.entries.find((entry) => entry.key.text === 'at')?.value : undefined;
      return value?.kind === 'scalar' ? value.text : '';
    };
    const items = holder.value.items.filter((item) => item !== undefined && this.#inside.has(at(item))) as TreeNode[];
    if (items.length === 0) return { lines: [], gone: [] };
    return {
      lines: ['', 'accept:', ...items.map((item) => `  - ${itemText(analysis, item)}`)],
      gone: withoutItems(analysis, holder, items),
    };
  }

  /** Faults that nothing in the old procedure speaks of any more. */
  #goneFaults(): Span[] {
    const { analysis, procedure, flow } = this.whole;
    const holder = topEntry(analysis.tree, 'faults');
    if (holder === undefined) return [];
    const spoken = new Set([
      ...flow.finds,
      ...flow.raises,
      ...nameUses(procedure)
        .filter((use) => use.kind === 'fault' && !this.#inside.has(use.step ?? ''))
        .map((use) => use.name),
    ]);
    const gone = new Set(
      procedure.faults.map((fault) => fault.name.value).filter((name) => this.faults.has(name) && !spoken.has(name)),
    );
    return withoutEntries(analysis, holder, gone);
  }
}

/** Lines with the dashes of the list at column 2. */
function dedented(text: string): string {
  const lines = text.replace(/\r\n/g, '\n').replace(/\s+$/, '').split('\n');
  const dash = lines.find((line) => /^\s*-/.test(line)) ?? '';
  const column = dash.search(/\S/);
  return lines
    .map((line) => (line.trim() === '' ? '' : `  ${line.slice(0, column).trim() === '' ? line.slice(column) : line.trimStart()}`))
    .join('\n');
}

function formatted(text: string): string {
  return edited(text, formatFile(readForFormatting('new.procedure.yaml', text)));
}

function words(name: string): string {
  return name.replaceAll('_', ' ');
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
