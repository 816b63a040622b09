/** Builds the steps of a procedure, with everything that a step holds but its results. */
import { knownItemsOf } from '../syntax/known-items.ts';
import { itemsOf } from '../syntax/put-together.ts';
import { originalOf, type TreeMemory } from '../syntax/tree-memory.ts';
import type { TreeNode } from '../syntax/tree.ts';
import { buildItems, buildList, readCautionUses, type ListMemory } from './build-declarations.ts';
import { buildResults } from './build-results.ts';
import { JUDGES, STEP_KINDS } from './keys.ts';
import type { Name, Point, Probe, Step, StepKind } from './model.ts';
import { movedStep, originalStep } from './moved-step.ts';
import { readDecide, readSeek } from './read-expressions.ts';
import { readAssignments, readStates } from './read-states.ts';
import {
  declaredName, entriesOf, listItems, nameOf, proseOf, readChoice, readName, readNames, readNumber, readQuantity, readText,
  readQuantityWord, readTexts, readTrue,
} from './read-values.ts';
import { capital, describe, isEmpty, isNothing, shown, textAt, type Fields, type Reader } from './reader.ts';
import { reportReserved } from './reserved-names.ts';

const OTHER_WORDS_FOR_JUDGES = { every: 'each', all: 'each', max: 'highest', min: 'lowest', average: 'mean', range: 'spread' } as const;

export interface BuiltSteps {
  readonly steps: readonly Step[];
  /** Where the earlier version of the list was taken over: the one step that was built again, -1 for none. All others are as they were, or have moved. */
  readonly edited?: number;
}

/** Builds one of the two lists of steps. `choiceFacts` are the facts with choices: a `decide` that names one has choices for results. */
export function buildSteps(fields: Fields, key: 'steps' | 'after_repair', choiceFacts: ReadonlySet<string>, file?: TreeMemory): BuiltSteps {
  const { reader } = fields;
  let count = 0;
  const begin = (item: TreeNode): string => {
    count++;
    const named = item.kind === 'map' ? item.entries.find((entry) => entry.key.text === 'step')?.value : undefined;
    reader.step = named?.kind === 'scalar' && named.text.trim() !== '' ? named.text : undefined;
    return reader.step === undefined ? `item ${count} of '${key}'` : `the step '${shown(reader.step)}'`;
  };
  const memory: ListMemory<Step> = {
    recall(item) {
      const step = rememberedStep(item, key, choiceFacts);
      if (step !== undefined) count++;
      return step;
    },
    keep(item, step) {
      // What messages call a step without a name depends on the steps before it.
      if (step.name !== undefined) remembered.set(originalOf(item).node, { step, by: originalOf(item).by, choices: decidesByChoice(step, choiceFacts) });
    },
  };
  const build = (step: Fields, node: TreeNode): Step => buildStep(step, node, key, choiceFacts);
  const at = { file, key, choices: [...choiceFacts].join('\n') };
  const taken = takeOver(fields, at, (item, index) => {
    count = index;
    return buildItems(reader, [item], 'step', begin, build, memory);
  });
  if (taken === undefined) {
    const before = reader.problems.length;
    const steps = buildList(fields, key, 'step', begin, build, memory);
    reader.step = undefined;
    keepForLater(fields, at, steps, reader.problems.length === before ? undefined : 'some');
    return { steps };
  }
  reader.step = undefined;
  return taken;
}

/** A list of steps as it was last built, by the memory of its file: of the next version only the step that was edited need be built. */
interface StepsBefore {
  /** What they were built from: a reading item by item, a node as it was first read, or nothing. */
  readonly origin: number | TreeNode | undefined;
  /** How far the node had moved. */
  readonly by: number;
  readonly steps: readonly Step[];
  readonly choices: string;
  /** The step of which something was reported, or 'some' steps. */
  readonly troubled: number | 'some' | undefined;
}

interface StepsPlace {
  readonly file: TreeMemory | undefined;
  readonly key: 'steps' | 'after_repair';
  readonly choices: string;
}

const stepsBefore = new WeakMap<TreeMemory, Map<string, StepsBefore>>();

function keepForLater(fields: Fields, { file, key, choices }: StepsPlace, steps: readonly Step[], troubled: StepsBefore['troubled']): void {
  if (file === undefined) return;
  const lists = stepsBefore.get(file) ?? new Map<string, StepsBefore>();
  stepsBefore.set(file, lists);
  const node = fields.entry(key)?.value;
  const known = node?.kind === 'list' ? knownItemsOf(node) : undefined;
  if (known === undefined) {
    const original = node && originalOf(node);
    lists.set(key, { origin: original?.node, by: original?.by ?? 0, steps, choices, troubled });
  } else if (known.length === steps.length) lists.set(key, { origin: known.id, by: 0, steps, choices, troubled });
  else lists.delete(key);
}

/** The steps of the earlier version with the edited one built again; undefined where more may differ. */
function takeOver(fields: Fields, place: StepsPlace, buildOne: (item: TreeNode, index: number) => Step[]): BuiltSteps | undefined {
  const { file, key, choices } = place;
  const before = file && stepsBefore.get(file)?.get(key);
  if (before === undefined || before.choices !== choices) return undefined;
  const node = fields.entry(key)?.value;
  const known = node?.kind === 'list' ? knownItemsOf(node) : undefined;
  if (known === undefined) return sameList(fields, place, before, node);
  const { edit } = known;
  if (edit === undefined || edit.from !== before.origin || (before.troubled !== undefined && before.troubled !== edit.index)) return undefined;
  const { index, by } = edit;
  const { problems } = fields.reader;
  const reported = problems.length;
  let again: Step | undefined;
  if (index >= 0) {
    const [item, ...others] = itemsOf(known.at(index).read);
    const built = isEmpty(item) || others.length > 0 ? [] : buildOne(item as TreeNode, index);
    if (built.length !== 1) {
      problems.length = reported;
      return undefined;
    }
    again = built[0] as Step;
  }
  const steps = before.steps.slice();
  if (again !== undefined) steps[index] = again;
  for (let behind = index + 1; behind < steps.length; behind++) steps[behind] = movedStep(steps[behind] as Step, by);
  keepForLater(fields, place, steps, problems.length === reported ? undefined : index);
  return { steps, edited: index };
}

/** A list that is not known item by item, where it is the very one of the earlier version, perhaps moved. */
function sameList(fields: Fields, place: StepsPlace, before: StepsBefore, node: TreeNode | undefined): BuiltSteps | undefined {
  const original = node && originalOf(node);
  if (original?.node !== before.origin || before.troubled !== undefined || (node === undefined && fields.has(place.key))) return undefined;
  const steps = original === undefined ? before.steps : before.steps.map((step) => movedStep(step, original.by - before.by));
  keepForLater(fields, place, steps, undefined);
  return { steps, edited: -1 };
}

/** Steps without problems, by the node they were built from: while a file is edited, most of its nodes stay or at most move. */
const remembered = new WeakMap<TreeNode, { readonly step: Step; readonly by: number; readonly choices: boolean }>();

function rememberedStep(item: TreeNode, section: Step['section'], choiceFacts: ReadonlySet<string>): Step | undefined {
  const { node, by } = originalOf(item);
  const known = remembered.get(node);
  if (known === undefined || known.step.section !== section || known.choices !== decidesByChoice(known.step, choiceFacts)) return undefined;
  return movedStep(known.step, by - known.by);
}

function decidesByChoice({ decide }: Step, choiceFacts: ReadonlySet<string>): boolean {
  return decide !== undefined && choiceFacts.has(decide.text.trim());
}

/** Reports steps that share a name; true where none do. */
export function reportSharedStepNames(reader: Reader, steps: readonly Step[]): boolean {
  const words = new Set<string>();
  let named = 0;
  for (const step of steps) {
    const word = originalStep(step).name?.value;
    if (word === undefined) continue;
    words.add(word);
    named++;
  }
  if (words.size === named) return true;
  const seen = new Map<string, Step>();
  for (const step of steps) {
    const word = originalStep(step).name?.value;
    if (word === undefined) continue;
    const earlier = seen.get(word);
    if (earlier === undefined) {
      seen.set(word, step);
      continue;
    }
    const { span } = step.name as Name;
    reader.report('duplicate-name', {
      span, message: `Two steps are named '${shown(word)}'; 'go' finds the first one.`, help: 'Give one of them another name.',
      related: [reader.related((earlier.name as Name).span, 'The first one is here.')], step: word,
    });
  }
  return false;
}

function buildStep(fields: Fields, node: TreeNode, section: Step['section'], choiceFacts: ReadonlySet<string>): Step {
  const { reader } = fields;
  const name = readName(fields, 'step');
  if (name !== undefined) {
    declaredName(reader, name, 'a step');
  }
  const place = name?.span ?? { start: node.span.start, end: Math.min(node.span.end, node.span.start + 1) };
  fields.requireKeys(place);
  const kind = readKind(fields, place);
  // Only a step that stores readings is ever named in a band.
  if (name !== undefined && (kind === 'measure' || kind === 'run')) reportReserved(reader, name, 'a step that stores a reading');
  const decide = kind === 'decide' ? readDecide(fields) : undefined;
  const seek = readSeek(fields);
  const choices = decide !== undefined && choiceFacts.has(decide.text.trim());
  const results = buildResults(fields, { kind, seek: seek !== undefined || fields.has('seek'), choices });
  if (kind !== undefined) reportResults(fields, kind, place);
  const quantity = readQuantityWord(fields, 'measure');
  const judge = readChoice(fields, 'judge', JUDGES, OTHER_WORDS_FOR_JUDGES);
  const at = readProbes(fields);
  const atEach = readPoints(fields);
  if (fields.has('seek') && !fields.has('at_each')) {
    reader.report('missing-key', {
      span: fields.keySpan('seek') ?? place, message: `${capital(fields.owner)} has 'seek' without 'at_each'.`,
      help: "Say with 'at_each' at which points to read in turn.",
    });
  }
  return {
    span: node.span, section, name, kind, kindSpan: kind === undefined ? undefined : fields.keySpan(kind), title: readText(fields, 'title'),
    actions: readTexts(fields, 'do', { sentences: true }), question: readText(fields, 'ask'), quantity,
    decide, run: readName(fields, 'run'), text: readText(fields, 'text'), why: readText(fields, 'why'), note: readText(fields, 'note'),
    needs: readStates(fields, 'needs'), during: readStates(fields, 'during'), sets: readAssignments(fields, 'sets'),
    onlyIf: readStates(fields, 'only_if'), cautions: readCautionUses(fields), cautionsSpan: fields.entry('cautions')?.span,
    hazards: readNames(fields, 'hazards'), instrument: readName(fields, 'with'), tools: readTexts(fields, 'tools'),
    people: readNumber(fields, 'people', { whole: true, least: 1 }), time: readQuantity(fields, 'time'), wait: readQuantity(fields, 'wait'),
    maxTime: readQuantity(fields, 'max_time'), rest: readQuantity(fields, 'rest'), circuit: readName(fields, 'circuit'),
    range: readQuantity(fields, 'range', { of: quantity?.value }), at, atEach, judge, seek, provesDead: readName(fields, 'proves_dead'),
    repeatAtMost: readNumber(fields, 'repeat_at_most', { whole: true, least: 1 }), keepFirst: readTrue(fields, 'keep_first') ? fields.keySpan('keep_first') : undefined,
    qualified: readNames(fields, 'qualified'), photo: readText(fields, 'photo'), figure: readText(fields, 'figure'), go: readName(fields, 'go'), results,
    resultsSpan: fields.entry('results')?.span, ...(judge === undefined && fields.has('judge') ? { judgeUnread: true } : {}),
  };
}

/** Which of the five kinds a step is; the first in the text where there are several. */
function readKind(fields: Fields, place: Step['span']): StepKind | undefined {
  const { reader } = fields;
  const given = STEP_KINDS.filter((kind) => fields.has(kind))
    .sort((a, b) => (fields.keySpan(a)?.start ?? 0) - (fields.keySpan(b)?.start ?? 0));
  const [first, ...others] = given;
  if (first === undefined) {
    reader.report('missing-key', {
      span: place, message: `${capital(fields.owner)} does not say what to do.`,
      help: "Give it one of 'do', 'ask', 'measure', 'decide' or 'run'.",
    });
    return undefined;
  }
  for (const other of others) {
    reader.report('wrong-kind', {
      span: fields.keySpan(other) ?? place, message: `${capital(fields.owner)} has '${first}' and '${other}'; a step is of one kind.`,
      help: 'Make two steps of it, or delete one of the two.',
      related: [reader.related(fields.keySpan(first) ?? place, `'${first}' is here.`)],
    });
  }
  return first;
}

/** Results and `go` that a step of this kind cannot have, or must have. */
function reportResults(fields: Fields, kind: StepKind, place: Step['span']): void {
  const { reader } = fields;
  const results = fields.keySpan('results');
  if (kind === 'do' && results !== undefined) {
    reader.report('wrong-kind', {
      span: results, message: `${capital(fields.owner)} gives instructions with 'do', and so has no results.`,
      help: "Put the question in a step of its own with 'ask', or say where to go on with 'go'.",
    });
  }
  if (results === undefined && (kind === 'ask' || kind === 'decide')) {
    reader.report('missing-key', {
      span: place, message: `${capital(fields.owner)} has no 'results'.`,
      help: kind === 'ask' ? "Add 'results:' with a 'when' for each answer." : "Add 'results:' with a 'when' for each case.",
    });
  }
  const go = fields.keySpan('go');
  if (go !== undefined && results !== undefined && kind !== 'do') {
    reader.report('wrong-kind', {
      span: go, message: `${capital(fields.owner)} has results and a 'go' of its own; the way on belongs to the results.`,
      help: "Move 'go' into the results that need it.", related: [reader.related(results, 'The results are here.')],
    });
  }
}

/** A map: probe → place. A lone text is taken for the place of a probe without a name. */
function readProbes(fields: Fields): Probe[] {
  const node = fields.value('at');
  if (node === undefined) return [];
  const { reader } = fields;
  if (node.kind === 'scalar') {
    reader.report('wrong-kind', {
      span: node.span, message: `'at' of ${fields.owner} is the text '${shown(node.text)}'; a map is expected: which probe goes where.`,
      help: "Write {red: …, black: …}, or {port: …} for a gauge.",
    });
    return [{ probe: { value: 'probe', span: node.span }, place: textAt(node) }];
  }
  return entriesOf(reader, node, `'at' of ${fields.owner}`, "'probe: place'").flatMap((entry) => {
    if (isEmpty(entry.value)) {
      reader.report('wrong-kind', {
        span: entry.key.span, message: `'${shown(entry.key.text)}' in 'at' of ${fields.owner} has no place.`, help: 'Write the place that it touches.',
      });
      return [];
    }
    const place = proseOf(reader, entry.value as TreeNode, `'${shown(entry.key.text)}' in 'at' of ${fields.owner}`);
    return place === undefined ? [] : [{ probe: textAt(entry.key), place }];
  });
}

/** A list of names, or a map of points with titles and probes. */
function readPoints(fields: Fields): Point[] {
  const node = fields.value('at_each');
  if (node === undefined) return [];
  const { reader } = fields;
  const owner = `'at_each' of ${fields.owner}`;
  if (node.kind === 'scalar') {
    const name = nameOf(reader, node, owner);
    reader.report('wrong-kind', { span: node.span, message: `${owner} is ${describe(node)}; a list of points is expected.`, help: 'Write [first_point, second_point].' });
    return name === undefined ? [] : [{ name: declaredName(reader, name, 'a point'), at: [] }];
  }
  const points: Point[] = [];
  if (node.kind === 'map') {
    for (const entry of entriesOf(reader, node, owner, "'point: title'")) points.push(buildPoint(reader, textAt(entry.key), entry.value, fields.owner));
  } else {
    for (const item of listItems(reader, node, owner)) {
      // `- motor_case: Motor case` is a point with its title.
      const single = item.kind === 'map' && item.entries.length === 1 ? item.entries[0] : undefined;
      if (single !== undefined) points.push(buildPoint(reader, textAt(single.key), single.value, fields.owner));
      else {
        const name = nameOf(reader, item, `a point in ${owner}`);
        if (name !== undefined) points.push({ name: declaredName(reader, name, 'a point'), at: [] });
      }
    }
  }
  const seen = new Map<string, Name>();
  return points.filter(({ name }) => {
    const earlier = seen.get(name.value);
    if (earlier === undefined) {
      seen.set(name.value, name);
      return true;
    }
    reader.report('duplicate-name', {
      span: name.span, message: `The point '${shown(name.value)}' stands twice in ${owner}.`, help: 'Delete or rename one of them.',
      related: [reader.related(earlier.span, 'The first one is here.')],
    });
    return false;
  });
}

function buildPoint(reader: Reader, name: Name, value: TreeNode | undefined, stepOwner: string): Point {
  declaredName(reader, name, 'a point');
  if (isNothing(value)) return { name, at: [] };
  const node = value as TreeNode;
  if (node.kind === 'scalar') return { name, title: proseOf(reader, node, `the title of the point '${shown(name.value)}'`), at: [] };
  const point = reader.fields(node, 'point', `the point '${shown(name.value)}' of ${stepOwner}`);
  return point === undefined ? { name, at: [] } : { name, title: readText(point, 'title'), at: readProbes(point) };
}
