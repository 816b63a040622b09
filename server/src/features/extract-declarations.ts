/** Which declarations steps take along into a procedure of their own, and which nobody needs any more where they were. */
import type { Analysis } from '../analysis/analysis.ts';
import type { MapEntry, TreeNode } from '../syntax/tree.ts';
import { nameUses, usesOutsideSteps, type NameUse, type NameUseKind } from '../procedure/names.ts';
import type { Procedure } from '../procedure/model.ts';
import type { Span } from '../text/span.ts';
import { entryText, itemText, topEntry, withoutEntries, withoutItems } from './text-parts.ts';

/** The sections that declare names in maps, in the order of a file, with the kinds of use that mean them. */
const SECTIONS: readonly (readonly [key: string, kinds: readonly NameUseKind[]])[] = [
  ['facts', ['fact', 'choice']],
  ['states', ['state', 'state_value']],
  ['circuits', ['circuit']],
  ['instruments', ['instrument']],
  ['hazards', ['hazard']],
  ['cautions', ['caution']],
  ['qualifications', ['qualification']],
  ['values', ['value']],
];

export interface TakenDeclarations {
  /** The sections of the new file, as text, without faults. */
  readonly sections: readonly string[];
  /** What goes from the old file. */
  readonly gone: readonly Span[];
}

/**
 * What is declared in a file and used in some steps of it. `taken` are the names of those steps, `faults` the faults that go with
 * them.
 */
export function declarationsFor(analysis: Analysis, taken: ReadonlySet<string>, faults: ReadonlySet<string>): TakenDeclarations {
  const { procedure, tree } = analysis;
  if (procedure === undefined) return { sections: [], gone: [] };
  const outside = usesOutsideSteps(procedure);
  const inSteps = nameUses(procedure).filter((use) => use.step !== undefined);
  const inFaults = outside.filter((use) =>
    procedure.faults.some(({ name, span }) => faults.has(name.value) && holds(span, use.span)),
  );
  const needed = closure(analysis, [...inSteps.filter((use) => taken.has(use.step ?? '')), ...inFaults], outside);
  const left = closure(
    analysis,
    [...inSteps.filter((use) => !taken.has(use.step ?? '')), ...rootUses(analysis, outside)],
    outside,
  );
  const sections: string[] = [];
  const gone: Span[] = [];
  const references = topEntry(tree, 'references');
  if (references?.value?.kind === 'list') {
    const items = references.value.items.filter((item) => item !== undefined);
    const idOf = (item: TreeNode): string =>
      item.kind === 'map' ? scalarText(item.entries.find((entry) => entry.key.text === 'id')?.value) : '';
    const wanted = items.filter((item) => needed.has(`reference ${idOf(item)}`));
    if (wanted.length > 0) sections.push(['references:', ...wanted.map((item) => `  - ${itemText(analysis, item)}`)].join('\n'));
    gone.push(
      ...withoutItems(
        analysis,
        references,
        wanted.filter((item) => !left.has(`reference ${idOf(item)}`)),
      ),
    );
  }
  for (const [key] of SECTIONS) {
    const holder = topEntry(tree, key);
    if (holder?.value?.kind !== 'map') continue;
    const wanted = holder.value.entries.filter((entry) => needed.has(`${key} ${entry.key.text}`));
    if (wanted.length > 0) sections.push([`${key}:`, ...wanted.map((entry) => indented(entryText(analysis, entry)))].join('\n'));
    const unused = new Set(
      wanted
        .filter((entry) => !left.has(`${key} ${entry.key.text}`) && !appliesTo(procedure, key, entry))
        .map((entry) => entry.key.text),
    );
    gone.push(...withoutEntries(analysis, holder, unused));
  }
  return { sections, gone };
}

/**
 * Uses that stand outside the steps and outside every declaration: the complaint, what is accepted, qualifications of the whole.
 */
function rootUses(analysis: Analysis, outside: readonly NameUse[]): NameUse[] {
  const declared = SECTIONS.flatMap(([key]) => entriesOf(analysis, key)).map(({ span }) => span);
  return outside.filter((use) => !declared.some((span) => holds(span, use.span)));
}

/** 'SECTION NAME' of all that the uses name, and of all that is named in what they name. */
function closure(analysis: Analysis, uses: readonly NameUse[], outside: readonly NameUse[]): ReadonlySet<string> {
  const found = new Set<string>();
  const queue = [...uses];
  for (let use = queue.pop(); use !== undefined; use = queue.pop()) {
    if (use.kind === 'reference') found.add(`reference ${use.name}`);
    const key = SECTIONS.find(([, kinds]) => kinds.includes((use as NameUse).kind))?.[0];
    const name = use.kind === 'choice' || use.kind === 'state_value' ? use.of : use.name;
    if (key === undefined || name === undefined || found.has(`${key} ${name}`)) continue;
    found.add(`${key} ${name}`);
    const declared = entriesOf(analysis, key).find((entry) => entry.key.text === name);
    if (declared) queue.push(...outside.filter((one) => holds(declared.span, one.span)));
  }
  return found;
}

function entriesOf(analysis: Analysis, key: string): readonly MapEntry[] {
  const value = topEntry(analysis.tree, key)?.value;
  return value?.kind === 'map' ? value.entries : [];
}

function appliesTo(procedure: Procedure, key: string, entry: MapEntry): boolean {
  return key === 'facts' && procedure.appliesTo.some(({ fact }) => fact.value === entry.key.text);
}

function indented(text: string): string {
  return text
    .split('\n')
    .map((line) => (line === '' ? line : `  ${line}`))
    .join('\n');
}

function scalarText(node: TreeNode | undefined): string {
  return node?.kind === 'scalar' ? node.text : '';
}

function holds(outer: Span, inner: Span): boolean {
  return inner.start >= outer.start && inner.end <= outer.end;
}
