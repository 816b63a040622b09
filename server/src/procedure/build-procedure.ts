/**
 * Text → procedure: the typed model of what a writer wrote, with every problem of structure in plain words. It never throws and
 * never refuses: what cannot be read is reported and left out. Names are not resolved here (see resolve-scope.ts).
 */
import type { Problem } from '../findings/finding.ts';
import { parseTree } from '../syntax/parse-tree.ts';
import type { TreeMemory } from '../syntax/tree-memory.ts';
import type { MapNode, TreeNode } from '../syntax/tree.ts';
import {
  buildCautions, buildCircuits, buildHazards, buildInstruments, buildList, buildNamed, buildQualifications, buildStates, buildValues, readCautionUses,
} from './build-declarations.ts';
import { buildSteps, reportSharedStepNames, type BuiltSteps } from './build-steps.ts';
import { GRADES, PURPOSES, STATUSES } from './keys.ts';
import type { AcceptedDeviation, AppliesTo, Fact, Fault, Procedure, Reference, Step } from './model.ts';
import { originalStep } from './moved-step.ts';
import {
  declaredName, namedEntries, namesOf, readChoice, readName, readNames, readNumber, readQuantity, readQuantityWord, readText,
} from './read-values.ts';
import { isEmpty, Reader, textAt, type Fields } from './reader.ts';
import { reportReserved } from './reserved-names.ts';
import type { ObjectName } from './keys.ts';

export interface BuiltProcedure {
  readonly procedure: Procedure;
  readonly tree: TreeNode | undefined;
}

/** Builds a procedure from its text. `file` is the workspace's key of the file, for places and fixes; `memory` is that of parseTree. */
export function buildProcedure(file: string, text: string, memory?: TreeMemory): BuiltProcedure {
  const { fields, tree, problems } = openFile(file, text, 'procedure', 'the procedure', memory);
  const { reader } = fields;
  const name = readName(fields, 'procedure');
  if (name !== undefined) declaredName(reader, name, 'a procedure');
  const facts = remembering(fields, 'facts', buildFacts);
  const choiceFacts = new Set(facts.filter((fact) => fact.choices !== undefined).map((fact) => fact.name.value));
  const main = buildSteps(fields, 'steps', choiceFacts, memory);
  const repair = buildSteps(fields, 'after_repair', choiceFacts, memory);
  const { steps } = main;
  const afterRepair = repair.steps;
  const version = versionAfter(memory, main, repair, () => reportSharedStepNames(reader, [...steps, ...afterRepair]));
  const procedure: Procedure = {
    file, span: { start: 0, end: text.length }, name, title: readText(fields, 'title'), revision: readText(fields, 'revision'),
    status: readChoice(fields, 'status', STATUSES), purpose: readChoice(fields, 'purpose', PURPOSES)?.value ?? 'fault_finding',
    purposeSpan: fields.entry('purpose')?.span, complaint: readText(fields, 'complaint'), approved: readApproval(fields),
    appliesTo: readAppliesTo(fields), interval: readText(fields, 'interval'), references: remembering(fields, 'references', buildReferences), facts,
    states: remembering(fields, 'states', buildStates), circuits: remembering(fields, 'circuits', buildCircuits),
    faults: remembering(fields, 'faults', buildFaults), cautions: remembering(fields, 'cautions', buildCautions),
    hazards: remembering(fields, 'hazards', buildHazards), instruments: remembering(fields, 'instruments', buildInstruments),
    values: remembering(fields, 'values', buildValues), qualifications: remembering(fields, 'qualifications', buildQualifications),
    qualified: readNames(fields, 'qualified'), steps, afterRepair, accept: buildAccepted(fields), stepsSpan: fields.entry('steps')?.span,
    problems: inOrder([...problems, ...reader.problems]),
  };
  versions.set(procedure, version);
  return { procedure, tree };
}

/** How one version of a procedure came from the one before it. */
interface Version {
  readonly id: number;
  /** The `id` of the version of which all steps but the edited ones were taken over, as they were or moved. */
  readonly from: number | undefined;
  readonly edited: readonly number[];
  readonly names: readonly (string | undefined)[];
  /** No two steps share a name. */
  readonly distinct: boolean;
}

let ids = 0;
const versions = new WeakMap<Procedure, Version>();
const latestVersions = new WeakMap<TreeMemory, Version>();

/** The indexes of the steps that differ between two versions, where the later was built from the earlier; undefined where that is not known. */
export function editedBetween(before: Procedure, after: Procedure): readonly number[] | undefined {
  const later = versions.get(after);
  return later?.from !== undefined && later.from === versions.get(before)?.id ? later.edited : undefined;
}

function versionAfter(memory: TreeMemory | undefined, main: BuiltSteps, repair: BuiltSteps, namesAreDistinct: () => boolean): Version {
  const before = memory && latestVersions.get(memory);
  const isTaken = before !== undefined && main.edited !== undefined && repair.edited !== undefined;
  const edited = !isTaken ? [] : [...(main.edited < 0 ? [] : [main.edited]), ...(repair.edited < 0 ? [] : [main.steps.length + repair.edited])];
  const stepAt = (index: number): Step | undefined => main.steps[index] ?? repair.steps[index - main.steps.length];
  const sameNames = isTaken && before.distinct && edited.every((index) => stepAt(index)?.name?.value === before.names[index]);
  const version: Version = {
    id: ++ids, from: isTaken ? before.id : undefined, edited,
    names: sameNames ? before.names : [...main.steps, ...repair.steps].map((step) => originalStep(step).name?.value),
    distinct: sameNames ? true : namesAreDistinct(),
  };
  if (memory) latestVersions.set(memory, version);
  return version;
}

/** What was built of a part of the head, by its node, with what was reported then: an edit below leaves the head's nodes as they were. */
const remembered = new WeakMap<TreeNode, { readonly key: string; readonly built: readonly unknown[]; readonly problems: readonly Problem[] }>();

function remembering<T>(fields: Fields, key: string, build: (fields: Fields) => T[]): T[] {
  const node = fields.entry(key)?.value;
  const known = node && remembered.get(node);
  if (known?.key === key) {
    fields.reader.problems.push(...known.problems);
    return known.built as T[];
  }
  const before = fields.reader.problems.length;
  const built = build(fields);
  if (node !== undefined) remembered.set(node, { key, built, problems: fields.reader.problems.slice(before) });
  return built;
}

/** A file's tree, opened as one of the three objects that a file may be. An empty file is an empty map. */
export function openFile(file: string, text: string, objectName: ObjectName, owner: string, memory?: TreeMemory): {
  fields: Fields; tree: TreeNode | undefined; problems: readonly Problem[];
} {
  const parsed = parseTree(text, file, memory);
  const reader = new Reader(file, text);
  const empty: MapNode = { kind: 'map', entries: [], span: { start: 0, end: 0 }, flow: false };
  const opened = reader.fields(parsed.root ?? empty, objectName, owner);
  const fields = opened ?? (new Reader(file, text).fields(empty, objectName, owner) as Fields);
  if (opened === undefined) return { fields, tree: parsed.root, problems: [...parsed.problems, ...reader.problems] };
  const first = opened.node.entries[0]?.key.span ?? { start: 0, end: 0 };
  opened.requireKeys(first);
  return { fields, tree: parsed.root, problems: parsed.problems };
}

/** Problems in the order of their places. */
export function inOrder(problems: readonly Problem[]): Problem[] {
  return [...problems].sort((a, b) => a.span.start - b.span.start || a.span.end - b.span.end);
}

function readApproval(fields: Fields): Procedure['approved'] {
  const node = fields.value('approved');
  if (node === undefined) return undefined;
  const approval = fields.reader.fields(node, 'approval', "'approved'");
  if (approval === undefined) return undefined;
  approval.requireKeys(fields.keySpan('approved') ?? node.span);
  return { by: readText(approval, 'by'), on: readText(approval, 'on'), span: node.span };
}

function readAppliesTo(fields: Fields): AppliesTo[] {
  return namedEntries(fields, 'applies_to', "'fact: value'").flatMap((entry) => {
    const fact = textAt(entry.key);
    if (isEmpty(entry.value)) {
      fields.reader.report('wrong-kind', {
        span: entry.key.span, message: `'${fact.value}' in 'applies_to' has no value.`, help: 'Write the value that the asset must have.',
      });
      return [];
    }
    return [{ fact, values: namesOf(fields.reader, entry.value as TreeNode, `'${fact.value}' in 'applies_to'`), span: entry.span }];
  });
}

function buildReferences(fields: Fields): Reference[] {
  const references = buildList(fields, 'references', 'reference', 'a reference', (reference, node) => {
    reference.requireKeys(node.span);
    const id = readName(reference, 'id');
    return id === undefined ? undefined : { id, title: readText(reference, 'title'), sheet: readText(reference, 'sheet'), span: node.span };
  });
  const seen = new Map<string, Reference>();
  for (const reference of references) {
    const earlier = seen.get(reference.id.value);
    if (earlier === undefined) seen.set(reference.id.value, reference);
    else {
      fields.reader.report('duplicate-name', {
        span: reference.id.span, message: `Two references have the id '${reference.id.value}'.`, help: 'Give one of them another id, or write them as one.',
        related: [fields.reader.related(earlier.id.span, 'The first one is here.')],
      });
    }
  }
  return references;
}

function buildFacts(fields: Fields): Fact[] {
  return buildNamed(fields, 'facts', 'fact', { what: 'a fact' }, (name, fact, entry) => {
    reportReserved(fields.reader, name, 'a fact');
    const hasChoices = fact.has('choices');
    const hasQuantity = fact.has('quantity');
    if (hasChoices === hasQuantity) {
      fields.reader.report(hasChoices ? 'wrong-kind' : 'missing-key', {
        span: (hasChoices ? fact.keySpan('quantity') : undefined) ?? name.span,
        message: hasChoices ? `The fact '${name.value}' has choices and a quantity; it is one or the other.` : `The fact '${name.value}' does not say what it may be.`,
        help: "Give 'choices' for a word, or 'quantity' for a number.",
      });
    }
    const quantity = readQuantityWord(fact, 'quantity');
    return {
      name, span: entry.span, title: readText(fact, 'title'), choices: hasChoices ? readNames(fact, 'choices') : undefined, quantity, from: readText(fact, 'from'),
    };
  });
}

function buildFaults(fields: Fields): Fault[] {
  return buildNamed<Fault>(
    fields, 'faults', 'fault', { what: 'a fault' },
    (name, fault, entry) => ({
      name, span: entry.span, title: readText(fault, 'title'), weight: readNumber(fault, 'weight', { whole: false, least: 0 }),
      remedy: readText(fault, 'remedy'), ...remedyNeeds(fault), time: readQuantity(fault, 'time'), grade: readChoice(fault, 'grade', GRADES),
      procedure: readName(fault, 'procedure'), afterRepair: readName(fault, 'after_repair'),
    }),
    // `low_oil: Oil level too low` is a fault with a title and no more.
    (name, title, entry) => ({ name, span: entry.span, title }),
  );
}

/** Most faults have neither, and a fault without them stays as it was. */
function remedyNeeds(fault: Fields): Pick<Fault, 'cautions' | 'qualified'> {
  const cautions = readCautionUses(fault);
  const qualified = readNames(fault, 'qualified');
  return { ...(cautions.length > 0 ? { cautions } : {}), ...(qualified.length > 0 ? { qualified } : {}) };
}

function buildAccepted(fields: Fields): AcceptedDeviation[] {
  return buildList(fields, 'accept', 'accepted_deviation', "an item of 'accept'", (accepted, node) => {
    accepted.requireKeys(node.span);
    return {
      check: readName(accepted, 'check'), at: readName(accepted, 'at'), because: readText(accepted, 'because'), by: readText(accepted, 'by'), span: node.span,
    };
  });
}
