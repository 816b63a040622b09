/**
 * A record as a person reads it: parts with lines and tables, of which record-text.ts and record-html.ts make a sheet. It leaves nothing out
 * that was judged, and judges nothing itself.
 */
import type { RecordLine, RecordProblem, RunRecord } from '../run/record.ts';
import { durationWords, plainWords, withoutStop } from '../run/texts.ts';

export interface RecordSheet {
  readonly title: string;
  /** Procedure, revision, asset, day. */
  readonly identity: string;
  /** What must be said of it before it is read: not whole, a draft, a clock set back. */
  readonly warnings: readonly string[];
  readonly parts: readonly SheetPart[];
  readonly closing: readonly string[];
}

export interface SheetPart {
  readonly title: string;
  /** Word and what it is. */
  readonly facts?: readonly (readonly [name: string, value: string])[];
  readonly lines?: readonly string[];
  readonly steps?: readonly SheetStep[];
}

export interface SheetStep {
  readonly title: string;
  /** Each entry as it was typed and understood, the judgement, and what is remarked. */
  readonly lines: readonly string[];
  /** Who and when. */
  readonly by: string;
  readonly remarks: readonly string[];
}

/** `problems`: what a check of the record found. */
export function recordSheet(record: RunRecord, problems: readonly RecordProblem[]): RecordSheet {
  const { procedure, outcome } = record;
  const parts: SheetPart[] = [
    { title: 'What it came to', lines: [outcome.words, ...(outcome.verdict === undefined ? [] : [`Verdict: ${plainWords(outcome.verdict)}.`]), outcome.disposition], facts: outcomeFacts(record) },
    { title: 'Defects', lines: record.defects.map((one) => `${one.title} (${one.grade ?? 'without a grade'}), step ${plainWords(one.step)}${one.remedy === undefined ? '' : `. ${one.remedy}`}`) },
    { title: 'Run', facts: runFacts(record) },
    { title: 'Instruments', lines: record.instruments.map(instrumentWords) },
    { title: 'Steps', steps: record.walk.map(stepOf) },
    { title: 'Corrections', lines: record.corrections.map(correctionWords) },
    { title: 'Cautions acknowledged', lines: record.acknowledged.map((one) => `${one.cautions.map(plainWords).join(', ')}, before step ${plainWords(one.step)}${byWords(one.person, one.at)}`) },
    { title: 'Notes', lines: record.notes.map((note) => `${note.text}${byWords(note.person, note.at)}`) },
    { title: 'Pictures', lines: record.photos.map((photo) => `${photo.name}${photo.caption === undefined ? '' : `: ${photo.caption}`}${byWords(photo.person, photo.at)}${photo.digest === undefined ? '' : `. SHA-256 ${photo.digest}`}`) },
    { title: 'Facts of the asset', lines: record.facts.map((fact) => `${plainWords(fact.name)}: ${fact.value}${fact.source === 'given' ? ' (given in the run)' : ''}`) },
    { title: 'States at the end', lines: Object.entries(record.statesAtEnd).map(([state, values]) => `${plainWords(state)}: ${values.map(plainWords).join(' or ')}`) },
    { title: 'How it can be checked', facts: proofFacts(record), lines: ['Digests are no signature: they show what was altered afterwards, not who wrote it.'] },
  ];
  return {
    title: `Record: ${procedure.title}`,
    identity: [procedure.name, procedure.revision === undefined ? '' : `revision ${procedure.revision}`, record.asset ?? 'no asset', minute(record.endedAt)].filter((one) => one !== '').join(', '),
    warnings: [
      ...problems.map((problem) => `This record is not whole: ${problem.message}`), ...record.standing.remarks, ...record.clock,
      ...(record.notPutBack.length === 0 ? [] : [`Not put back at the end: ${record.notPutBack.join('; ')}.`]),
    ],
    parts: parts.filter((part) => (part.facts?.length ?? 0) + (part.steps?.length ?? 0) > 0 || (part.lines?.length ?? 0) > 0),
    closing: record.closing,
  };
}

function outcomeFacts({ outcome }: RunRecord): [string, string][] {
  return [
    ...(outcome.faultTitle === undefined ? [] : [['Fault', outcome.faultTitle] as [string, string]]),
    ...outcome.remedies.map((remedy): [string, string] => [
      'Remedy', `${remedy.title}: ${remedy.remedy ?? 'no remedy given'} ${remedy.carriedOut ? 'Carried out' : 'Left for later'}${remedy.text === undefined ? '' : ` (${remedy.text})`}${byWords(remedy.person, remedy.at)}`,
    ]),
    ...(outcome.proof.length === 0 ? [] : [['Proof', `${outcome.proof.map(withoutStop).join('; ')}.`] as [string, string]]),
    ...(outcome.faultsLeft.length === 0 ? [] : [['Not ruled out', outcome.faultsLeft.map(plainWords).join('; ')] as [string, string]]),
  ];
}

function runFacts(record: RunRecord): [string, string][] {
  const { procedure } = record;
  return [
    ['Procedure', `${procedure.title} (${procedure.name})${procedure.revision === undefined ? '' : `, revision ${procedure.revision}`}, ${plainWords(procedure.status ?? 'no status')}`],
    ...record.called.map((one): [string, string] => ['Procedure run from it', `${one.title} (${one.name})${one.revision === undefined ? '' : `, revision ${one.revision}`}`]),
    ...(record.carriedOver ?? []).map((one): [string, string] => ['Carried over', `from revision ${one.wasRevision ?? 'not given'} to ${one.revision ?? 'not given'}${byWords(one.person, one.at)}`]),
    ['Findings on it then', `${record.standing.errors} errors, ${record.standing.warnings} warnings, ${record.standing.accepted} accepted deviations`],
    ...(record.shop === undefined ? [] : [['Shop', record.shop] as [string, string]]),
    ['Asset', record.asset ?? 'none given'], ['People', record.people.join(', ') || 'none given'],
    ['Began', `${minute(record.startedAt)}${offset(record.startedAt)}`], ['Ended', `${minute(record.endedAt)}${offset(record.endedAt)}`], ['Worked', durationWords(record.workedSeconds)],
  ];
}

function proofFacts(record: RunRecord): [string, string][] {
  return [
    ['Run', record.run], ['Events', String(record.count)], ['Checklist', record.contentHash], ['Digest', record.digest],
  ];
}

function stepOf(line: RecordLine): SheetStep {
  const inside = line.inside.slice(1);
  const entries = line.entries.map((entry) => {
    const at = entry.point === undefined ? '' : `${plainWords(entry.point)}: `;
    const ucum = entry.quantity === undefined ? '' : ` (UCUM ${entry.quantity.ucum})`;
    return `${at}${entry.typed}${entry.understood === entry.typed ? '' : `, understood as ${entry.understood}`}${ucum}${entry.original === undefined ? '' : ` (first entered: ${entry.original})`}`;
  });
  const limits = line.limits.length === 0 || line.entries.length === 0 ? [] : [`Limits: ${line.limits.join('; ')}`];
  const instrument = line.instrument === undefined ? [] : [`With: ${line.instrument}${line.calibratedUntil === undefined ? '' : `, calibrated until ${line.calibratedUntil}`}`];
  return {
    title: `${headOf(line)}${inside.length === 0 ? '' : ` (in ${inside.join(', in ')})`}`,
    lines: [...(entries.length > 0 ? entries : line.words === line.judgement ? [] : [line.words]), ...limits, ...instrument, ...(line.judgement === undefined ? [] : [line.judgement])],
    by: `${line.person ?? ''}${line.helper === undefined ? '' : ` with ${line.helper}`}${line.person === undefined ? '' : ', '}${minute(line.endedAt)}`,
    remarks: line.remarks,
  };
}

/** What stands between steps says at which it came. */
function headOf(line: RecordLine): string {
  const step = line.number > 0 ? `${line.number}. ${line.title}` : line.title;
  const between: Partial<Record<RecordLine['kind'], string>> = { remedy: 'Remedy, after', fact: 'Fact given, at', states: 'States seen to, at' };
  const words = between[line.kind];
  return words === undefined ? step : `${words} ${step}`;
}

function correctionWords(one: RunRecord['corrections'][number]): string {
  const what = one.typed === undefined ? 'taken back' : `put right to ${one.typed}`;
  const others = one.setAside.filter((event) => event !== one.of);
  const aside = others.length === 0 ? '' : `; with it, ${others.length === 1 ? 'event' : 'events'} ${others.join(', ')} ceased to count`;
  return `Event ${one.of}${one.original === undefined ? '' : `, ${one.original},`} ${what}${one.reason === undefined ? '' : ` (${one.reason})`}${aside}${byWords(one.person, one.at)}`;
}

function instrumentWords(one: RunRecord['instruments'][number]): string {
  return [
    one.title, one.id === undefined ? '' : `number ${one.id}`, one.category ?? '', one.accuracy === undefined ? '' : `accuracy ${one.accuracy}`,
    one.calibratedUntil === undefined ? 'calibration not on record' : `calibrated until ${one.calibratedUntil}`,
  ].filter((part) => part !== '').join(', ');
}

function byWords(person: string | undefined, at: string): string {
  return ` [${person === undefined ? '' : `${person}, `}${minute(at)}]`;
}

/** A time as its own place has it; the record holds it whole. */
function minute(at: string): string {
  return at.slice(0, 16).replace('T', ' ');
}

/** ' (UTC +01:00)'. */
function offset(at: string): string {
  const found = /(?:([+-]\d{2}:\d{2})|Z)$/.exec(at);
  return found === null ? '' : ` (UTC ${found[1] ?? '+00:00'})`;
}
