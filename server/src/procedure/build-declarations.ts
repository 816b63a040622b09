/** Builds what procedures and shop files declare alike: states, circuits, instruments, hazards, cautions, values, qualifications. */
import type { MapEntry, ScalarNode, TreeNode } from '../syntax/tree.ts';
import { SIGNAL_WORDS } from './keys.ts';
import type { ObjectName } from './keys.ts';
import type {
  Caution, CautionUse, Circuit, Hazard, Instrument, InstrumentFunction, Name, Prose, Qualification, ShopValue, State, StateChange,
} from './model.ts';
import { readAlternatives } from './read-states.ts';
import {
  declaredName, listItems, nameOf, namedEntries, namesOf, proseOf, readChoice, readName, readNames, readQuantity, readText, readTexts,
  reportNoQuantity,
} from './read-values.ts';
import { describe, isEmpty, isNothing, shown, textAt, type Fields, type Reader } from './reader.ts';
import { reportReserved } from './reserved-names.ts';

/** Everything of a map `name: object`; an entry that is no map is reported, and built from a text where `fromText` can. */
export function buildNamed<T>(
  fields: Fields, key: string, objectName: ObjectName, { what, free = false }: { what: string; free?: boolean },
  build: (name: Name, fields: Fields, entry: MapEntry) => T, fromText?: (name: Name, text: Prose, entry: MapEntry) => T,
): T[] {
  const { reader } = fields;
  return namedEntries(fields, key, `'name: …', one for each ${what.replace(/^an? /, '')}`).map((entry) => {
    const name = textAt(entry.key);
    if (!free) declaredName(reader, name, what);
    const owner = `the ${what.replace(/^an? /, '')} '${shown(name.value)}'`;
    const value = isNothing(entry.value) ? undefined : (entry.value as TreeNode);
    if (value?.kind === 'scalar' && value.text.trim() !== '' && fromText !== undefined) return fromText(name, textAt(value), entry);
    const inside = value === undefined ? reader.fields(emptyMap(entry.key), objectName, owner) : reader.fields(value, objectName, owner);
    const held = inside ?? reader.fields(emptyMap(entry.key), objectName, owner);
    if (inside !== undefined) inside.requireKeys(entry.key.span);
    return held === undefined ? undefined : build(name, held, entry);
  }).filter((built) => built !== undefined);
}

function emptyMap(key: ScalarNode): TreeNode {
  return { kind: 'map', entries: [], span: key.span, flow: false };
}

export function buildStates(fields: Fields): State[] {
  return buildNamed(fields, 'states', 'state', { what: 'a state' }, (name, state, entry) => {
    const values = readNames(state, 'values');
    return {
      name, span: entry.span, title: readText(state, 'title'), values, atStart: readName(state, 'at_start'),
      atEnd: state.has('at_end') ? readNames(state, 'at_end') : undefined, held: readNames(state, 'held'), changes: buildChanges(state),
    };
  });
}

function buildChanges(fields: Fields): StateChange[] {
  return buildList(fields, 'changes', 'change', `a change of ${fields.owner}`, (change, node) => {
    change.requireKeys(node.span);
    const to = readName(change, 'to');
    if (to === undefined) return undefined;
    return { to, do: readTexts(change, 'do', { sentences: true }), time: readQuantity(change, 'time'), cautions: readCautionUses(change), span: node.span };
  });
}

/** What was built before of the items of a list; only what was built without a problem is kept. */
export interface ListMemory<T> {
  readonly recall: (item: TreeNode) => T | undefined;
  readonly keep: (item: TreeNode, built: T) => void;
}

/** Everything of a list of objects; items that are no maps are reported and left out. `owner` is what messages call an item. */
export function buildList<T>(
  fields: Fields, key: string, objectName: ObjectName, owner: string | ((item: TreeNode) => string),
  build: (fields: Fields, node: TreeNode) => T | undefined, memory?: ListMemory<T>,
): T[] {
  const node = fields.value(key);
  if (node === undefined) return [];
  const { reader } = fields;
  if (node.kind !== 'list') {
    reader.report('wrong-kind', {
      span: node.span, message: `'${key}' of ${fields.owner} is ${describe(node)}; a list is expected.`, help: "Begin each item with a dash: '- …'.",
    });
    if (node.kind !== 'map') return [];
  }
  const items = node.kind === 'list' ? listItems(reader, node, `'${key}' of ${fields.owner}`) : [node];
  return buildItems(reader, items, objectName, owner, build, memory);
}

/** The items of such a list. */
export function buildItems<T>(
  reader: Reader, items: readonly TreeNode[], objectName: ObjectName, owner: string | ((item: TreeNode) => string),
  build: (fields: Fields, node: TreeNode) => T | undefined, memory?: ListMemory<T>,
): T[] {
  const buildItem = (item: TreeNode): T | undefined => {
    const inside = reader.fields(item, objectName, typeof owner === 'string' ? owner : owner(item));
    return inside === undefined ? undefined : build(inside, item);
  };
  return items.flatMap((item) => {
    const known = memory?.recall(item);
    if (known !== undefined) return [known];
    const before = reader.problems.length;
    const built = splitAtLostDash(reader, item).map(buildItem).filter((each) => each !== undefined);
    if (built.length === 1 && reader.problems.length === before) memory?.keep(item, built[0] as T);
    return built;
  });
}

/** An item whose first key stands in it again is two items, and the dash between them is missing. */
function splitAtLostDash(reader: Reader, item: TreeNode): TreeNode[] {
  if (item.kind !== 'map' || item.flow) return [item];
  const first = item.entries[0]?.key.text;
  if (!item.entries.some((entry, index) => index > 0 && entry.key.text === first)) return [item];
  const items: TreeNode[] = [];
  let open: MapEntry[] = [];
  const close = (): void => {
    const [start, end] = [open[0], open.at(-1)];
    if (start !== undefined && end !== undefined) items.push({ kind: 'map', entries: open, span: { start: start.key.span.start, end: end.span.end }, flow: false });
    open = [];
  };
  for (const entry of item.entries) {
    if (open.length > 0 && entry.key.text === first) {
      const { span } = entry.key;
      const before = { start: span.start - 2, end: span.start };
      reader.report('yaml-syntax', {
        span, message: `A dash is missing before this '${first}': without it, what follows belongs to the item above.`, help: "Write '- ' before it.",
        fixes: reader.text.slice(before.start, before.end) === '  ' ? [reader.fix('Put a dash before it', before, '- ')] : [],
      });
      close();
    }
    open.push(entry);
  }
  if (items.length === 0) return [item];
  close();
  return items;
}

export function buildCircuits(fields: Fields): Circuit[] {
  return buildNamed(fields, 'circuits', 'circuit', { what: 'a circuit' }, (name, circuit, entry) => {
    const { nominal, current } = readNominal(circuit);
    return {
      name, span: entry.span, title: readText(circuit, 'title'), nominal, current, deadWhen: readAlternatives(circuit, 'dead_when'),
      liveWhen: readAlternatives(circuit, 'live_when'), dischargeWait: readQuantity(circuit, 'discharge_wait'),
      category: readText(circuit, 'category'), from: readText(circuit, 'from'),
    };
  });
}

/** '400 V AC': the voltage, and which kind of current it drives. */
function readNominal(circuit: Fields): Pick<Circuit, 'nominal' | 'current'> {
  const nominal = readQuantity(circuit, 'nominal');
  return { nominal, current: nominal?.value.unit?.supply };
}

export function buildInstruments(fields: Fields): Instrument[] {
  return buildNamed(fields, 'instruments', 'instrument', { what: 'an instrument' }, (name, instrument, entry) => ({
    name, span: entry.span, title: readText(instrument, 'title'), category: readText(instrument, 'category'),
    measures: buildFunctions(instrument), shows: readShownWords(instrument), ...readCalibration(instrument),
  }));
}

/** Due dates, each checked to be a day that there is. */
function readCalibration(instrument: Fields): Pick<Instrument, 'calibrated'> {
  const number = readText(instrument, 'number');
  const until = readText(instrument, 'calibrated_until');
  const several = namedEntries(instrument, 'numbers', "'number: 2027-03-01'").flatMap((entry) => {
    const own = textAt(entry.key);
    const day = isNothing(entry.value) ? undefined : proseOf(instrument.reader, entry.value as TreeNode, `'${shown(own.value)}' in 'numbers' of ${instrument.owner}`);
    return day === undefined ? [] : [{ number: own, until: day }];
  });
  const all = [...(until === undefined ? [] : [{ ...(number === undefined ? {} : { number }), until }]), ...several];
  const days = all.filter(({ until: day }) => {
    const time = /^\d{4}-\d{2}-\d{2}$/.test(day.value) ? Date.parse(`${day.value}T00:00:00Z`) : Number.NaN;
    if (!Number.isNaN(time) && new Date(time).toISOString().startsWith(day.value)) return true;
    instrument.reader.report('wrong-kind', {
      span: day.span, message: `'${shown(day.value)}' is no date; ${instrument.owner} is calibrated until a day, as 2027-03-01.`, help: 'Write the year, the month and the day: 2027-03-01.',
    });
    return false;
  });
  return days.length === 0 ? {} : { calibrated: days };
}

function buildFunctions(instrument: Fields): InstrumentFunction[] {
  return buildNamed(instrument, 'measures', 'instrument_function', { what: 'a quantity', free: true }, (quantity, fields, entry) => {
    reportNoQuantity(fields.reader, quantity, `'measures' of ${instrument.owner}`);
    const of = { of: quantity.value };
    return {
      quantity, span: entry.span, upTo: readQuantity(fields, 'up_to', of), from: readQuantity(fields, 'from', of),
      resolution: readQuantity(fields, 'resolution', of), accuracy: readText(fields, 'accuracy'),
    };
  });
}

function readShownWords(instrument: Fields): Instrument['shows'] {
  return namedEntries(instrument, 'shows', "'quantity: [word, word]'").flatMap((entry) => {
    const quantity = textAt(entry.key);
    const owner = `'${shown(quantity.value)}' in 'shows' of ${instrument.owner}`;
    if (isEmpty(entry.value)) {
      instrument.reader.report('wrong-kind', { span: entry.key.span, message: `${owner} has no words.`, help: 'Write them as a list: [lit, dark].' });
      return [];
    }
    reportNoQuantity(instrument.reader, quantity, `'shows' of ${instrument.owner}`);
    return [{ quantity, words: namesOf(instrument.reader, entry.value as TreeNode, owner) }];
  });
}

export function buildHazards(fields: Fields): Hazard[] {
  return buildNamed(fields, 'hazards', 'hazard', { what: 'a hazard' }, (name, hazard, entry) => {
    const from = hazard.value('arises_from');
    const triggers = from === undefined ? undefined : hazard.reader.fields(from, 'triggers', `'arises_from' of ${hazard.owner}`);
    return {
      name, span: entry.span, title: readText(hazard, 'title'), from: readText(hazard, 'from'), qualified: readName(hazard, 'qualified'),
      repeat: readChoice(hazard, 'repeat', ['every_step', 'once_before'])?.value ?? 'once_before',
      arisesFrom: triggers === undefined ? { during: [], states: [], sets: [], words: [], quantities: [], tools: [] } : {
        during: readAlternatives(triggers, 'during') ?? [], states: readAlternatives(triggers, 'states') ?? [],
        sets: readAlternatives(triggers, 'sets') ?? [], words: readTexts(triggers, 'words'), quantities: readQuantityWords(triggers),
        tools: readNames(triggers, 'tools'), dcAbove: readQuantity(triggers, 'dc_above'), acAbove: readQuantity(triggers, 'ac_above'),
      },
    };
  });
}

function readQuantityWords(triggers: Fields): Name[] {
  const quantities = readNames(triggers, 'quantities');
  for (const quantity of quantities) reportNoQuantity(triggers.reader, quantity, `'quantities' of ${triggers.owner}`);
  return quantities;
}

export function buildCautions(fields: Fields): Caution[] {
  return buildNamed(fields, 'cautions', 'caution', { what: 'a caution' }, (name, caution, entry) => cautionOf(name, caution, entry.span));
}

function cautionOf(name: Name, fields: Fields, span: Caution['span']): Caution {
  return {
    name, span, signal: readChoice(fields, 'signal', SIGNAL_WORDS), hazard: readText(fields, 'hazard'), consequence: readText(fields, 'consequence'),
    avoid: readText(fields, 'avoid'), wear: readNames(fields, 'wear'), covers: readNames(fields, 'covers'), from: readText(fields, 'from'),
  };
}

/** Names of cautions, or cautions written out. A caution written out has no name: an empty one. */
export function readCautionUses(fields: Fields): CautionUse[] {
  const node = fields.value('cautions');
  if (node === undefined) return [];
  const { reader } = fields;
  const owner = `'cautions' of ${fields.owner}`;
  const useOf = (item: TreeNode): CautionUse | undefined => {
    if (item.kind === 'map') {
      const inside = reader.fields(item, 'caution', `the caution in ${fields.owner}`);
      if (inside === undefined) return undefined;
      inside.requireKeys(item.span);
      return { kind: 'written', caution: cautionOf({ value: '', span: item.span }, inside, item.span) };
    }
    const name = nameOf(reader, item, `a caution of ${fields.owner}`);
    return name === undefined ? undefined : { kind: 'named', name };
  };
  if (node.kind === 'scalar') return namesOf(reader, node, owner).map((name) => ({ kind: 'named', name }));
  const items = node.kind === 'list' ? listItems(reader, node, owner) : [node];
  return items.map(useOf).filter((use) => use !== undefined);
}

export function buildValues(fields: Fields): ShopValue[] {
  return buildNamed(fields, 'values', 'value', { what: 'a value' }, (name, value, entry) => {
    reportReserved(fields.reader, name, 'a value');
    return { name, span: entry.span, is: readQuantity(value, 'is'), from: readText(value, 'from') };
  });
}

export function buildQualifications(fields: Fields): Qualification[] {
  return buildNamed<Qualification>(
    fields, 'qualifications', 'qualification', { what: 'a qualification' },
    (name, qualification, entry) => ({ name, span: entry.span, title: readText(qualification, 'title'), from: readText(qualification, 'from') }),
    (name, title, entry) => ({ name, span: entry.span, title }),
  );
}

/** A map of names to texts. */
export function readNamedTexts(fields: Fields, key: string): { name: Name; text: Prose }[] {
  return namedEntries(fields, key, "'name: text'").flatMap((entry) => {
    const owner = `'${shown(entry.key.text)}' in '${key}'`;
    if (isEmpty(entry.value)) {
      fields.reader.report('wrong-kind', { span: entry.key.span, message: `${owner} is empty.`, help: 'Write what it means, or delete it.' });
      return [];
    }
    const text = proseOf(fields.reader, entry.value as TreeNode, owner);
    return text === undefined ? [] : [{ name: textAt(entry.key), text }];
  });
}
