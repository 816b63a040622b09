/**
 * The parts of a document as the steps of a draft: which item asks, which measures, which is done, and where each result leads.
 * What a sentence states as a condition becomes results, and is kept beside the step in the writer's words; all else is taken
 * over as it stands.
 */
import { ENGLISH } from '../checks/words/english.ts';
import { isCommand } from '../checks/words/commands.ts';
import { sentencesOf } from '../checks/words/sentences.ts';
import { findQuantitiesInProse } from '../quantity/prose-quantities.ts';
import type { QuantityWord } from '../quantity/quantity-words.ts';
import { branchesOf, isEnd, leadsOn, wayOf, type ProseBranch } from './prose-conditions.ts';
import type { ProseItem, ProsePart, ProseSafety, ProseTable } from './prose-lines.ts';
import { limitIn, quantityOf, type ProseLimit } from './prose-limits.ts';
import { tableLimits, type TableRow } from './prose-tables.ts';

export interface DraftCaution {
  readonly signal: string;
  readonly hazard: string;
  readonly consequence: string;
  readonly avoid: string;
}

/** A step before it has a name. */
export interface DraftStep {
  /** Labels of the items that lead here. */
  readonly labels: string[];
  /** Lines for the comment above it. */
  readonly comments: string[];
  readonly cautions: DraftCaution[];
  readonly notes: string[];
  /** What it is named after. */
  readonly subject: string;
  /** Sentences that are done or read, as they stand. */
  readonly sentences: readonly string[];
  readonly question?: string;
  /** How many of the sentences come before the question. */
  readonly questionAt?: number;
  readonly quantity?: QuantityWord;
  readonly limit?: ProseLimit;
  /** The point of a row of a table. */
  readonly point?: string;
  readonly branches: readonly ProseBranch[];
  /** The label it goes on with, without a condition. */
  readonly go?: string;
  /** The document ends here. */
  readonly ends?: true;
  readonly wait?: string;
}

export interface ProseDraft {
  readonly title: string | undefined;
  readonly complaint: string | undefined;
  /** Lines that stand before the first step and are neither. */
  readonly head: readonly string[];
  readonly steps: readonly DraftStep[];
  /** Labels of items that say that the work is done, and nothing else: whoever is sent there is at the end. */
  readonly ends: readonly string[];
  /** Lines after the last step. */
  readonly tail: readonly string[];
}

const COMPLAINT = /^(complaint|symptoms?|problem|trouble|fault|condition|beanstandung)\s*[:–—]\s*(.+)$/i;
const SHOULD =
  /\b(?:should|must|shall|has to|have to|ought|needs to|specification|specified|spec|limits?|nominal|standard|required|correct|target|normal|expected|acceptable|soll\w*)\b/i;
const CHECKS =
  /^(?:\w+ly,? )?(?:check|verify|ensure|confirm|make sure|measure|read|test|see that|see whether|inspect|prüfen|messen)\b/i;
const ONLY_AN_END = /^(?:(?:and|all)\s+)?(?:done|end|ended|finish(?:ed)?|complete[d]?|ready|ok|okay|o\.k\.|that(?:'s|’s| is) (?:all|it)|fertig|ende|schluss|erledigt|in ordnung)[.!]*$/i;
const WAIT = /^(?:then\s+)?(?:wait|warten)\b/i;
const HARM =
  /\b(?:injur\w*|burn\w*|kill\w*|dea(?:th|dly)|die|fatal|crush\w*|shock\w*|blind\w*|hurt\w*|harm\w*|explo\w*|amputat\w*|poison\w*|damage\w*|fire|scald\w*|cut you|trap\w*|fall on|electrocut\w*)\b/i;

/** The draft that the parts of a document make. */
export function draftOf(parts: readonly ProsePart[]): ProseDraft {
  return new Drafting().read(parts);
}

class Drafting {
  readonly #steps: DraftStep[] = [];
  readonly #head: string[] = [];
  readonly #tail: string[] = [];
  readonly #ends: string[] = [];
  #title: string | undefined;
  #complaint: string | undefined;
  /** What waits for the step that comes next. */
  #waiting = { labels: [] as string[], comments: [] as string[], cautions: [] as DraftCaution[], notes: [] as string[] };

  read(parts: readonly ProsePart[]): ProseDraft {
    const hasItems = parts.some((part) => part.kind === 'item');
    const items = hasItems ? parts : asItems(parts);
    const lastItem = items.findLastIndex((part) => part.kind === 'item');
    items.forEach((part, index, all) => {
      if (part.kind === 'item' && this.#isOnlyAnEnd(part, index === lastItem)) return;
      // A table at the margin belongs to the item above it.
      const next = all[index + 1];
      if (part.kind === 'item') this.#item(next?.kind === 'table' ? { ...part, parts: [...part.parts, next] } : part);
      else if (part.kind === 'safety') this.#safety(part);
      else if (part.kind === 'text') this.#text(part.text);
      else if (all[index - 1]?.kind !== 'item') this.#waiting.comments.push(...part.rows.map((row) => row.join(' | ')));
    });
    this.#finish();
    return { title: this.#title, complaint: this.#complaint, head: this.#head, steps: this.#steps, ends: this.#ends, tail: this.#tail };
  }

  /** 'Done.' is no work: whatever comes before it ends there. */
  #isOnlyAnEnd(item: ProseItem, isLast: boolean): boolean {
    if (item.parts.length > 0 || !item.paragraphs.every((text) => ONLY_AN_END.test(text.trim()))) return false;
    const before = this.#steps.at(-1);
    // Behind results in the middle of a document it stays: what they fall into would be another item.
    if (item.paragraphs.length === 0 || before === undefined || (!isLast && (before.branches.length > 0 || before.question !== undefined || before.quantity !== undefined))) return false;
    if (!isLast && before.go === undefined) this.#steps[this.#steps.length - 1] = { ...before, ends: true };
    if (item.label !== '') this.#ends.push(item.label);
    this.#waiting.comments.push([item.marker, ...item.paragraphs].join(' ').trim());
    return true;
  }

  #text(text: string): void {
    const complaint = COMPLAINT.exec(text);
    if (this.#steps.length > 0) this.#waiting.comments.push(text);
    else if (complaint !== null && this.#complaint === undefined) {
      this.#complaint = complaint[2];
      this.#head.push(complaint[1] ?? '');
    } else if (this.#title === undefined && this.#complaint === undefined && sentences(text).length > 1 && text.length <= 400) {
      // A document that begins with sentences tells what is wrong.
      this.#title = (sentences(text)[0] ?? '').replace(/\.$/, '');
      this.#complaint = text;
    } else if (this.#title === undefined && text.length <= 120) this.#title = text.replace(/\.$/, '');
    else this.#head.push(text);
  }

  #safety(safety: ProseSafety): void {
    if (safety.signal === 'note') {
      this.#waiting.notes.push(safety.text);
      this.#waiting.comments.push(safety.word);
      return;
    }
    this.#waiting.cautions.push(cautionOf(safety));
    // The word as it was, where it is another than the signal's own.
    if (safety.word.toLowerCase() !== safety.signal) this.#waiting.comments.push(safety.word);
  }

  /** What waits, for the step that is made now. */
  #take(labels: readonly string[], comment: readonly string[]): Pick<DraftStep, 'labels' | 'comments' | 'cautions' | 'notes'> {
    const { labels: before, comments, cautions, notes } = this.#waiting;
    this.#waiting = { labels: [], comments: [], cautions: [], notes: [] };
    return { labels: [...before, ...labels], comments: [...comments, ...comment], cautions, notes };
  }

  #item(item: ProseItem): void {
    const labels = item.label === '' ? [] : [item.label];
    const own = item.paragraphs.flatMap(sentences);
    const children = item.parts.filter((part) => part.kind === 'item');
    const tables = item.parts.filter((part) => part.kind === 'table');
    // Under the item's own text a message is about the item; one that stands for the whole item waits for the next.
    const safeties = item.parts.filter((part) => part.kind === 'safety');
    for (const safety of safeties) this.#safety(safety);
    const below = item.parts.flatMap((part) => (part.kind === 'text' ? [part.text] : []));
    if (own.length === 0 && below.length === 0 && children.length === 0 && tables.length === 0) {
      this.#waiting.labels.push(...labels);
      this.#waiting.comments.push(item.marker);
      return;
    }
    const listed = children.map(branchesOfItem);
    const asBranches = children.length > 0 && listed.every((branches) => branches !== undefined);
    const asSteps =
      children.length > 0 &&
      !asBranches &&
      children.some((child) => child.label.includes('.') || holdsMore(child) || needsStep(child));
    const heads =
      asSteps && own.length > 0 && own.every((sentence) => !/[.?!:]$/.test(sentence) && !isCommand(sentence, ENGLISH));
    if (asSteps && (own.length === 0 || heads)) {
      this.#waiting.labels.push(...labels);
      this.#waiting.comments.push([item.marker, ...own].join(' '));
    } else {
      const turned = asBranches ? children.map((child) => [child.marker, ...child.paragraphs].join(' ')) : [];
      const marks = asSteps || asBranches ? [] : marksOf(children);
      const inner = asSteps ? [] : [...(asBranches ? [] : flattened(children)), ...below.flatMap(sentences)];
      this.#step([item.marker, ...marks].join(' '), labels, own, inner, tables, {
        branches: asBranches ? listed.flatMap((branches) => branches ?? []) : [],
        turned,
      });
    }
    // What stands below the sub-items is about the last of them.
    if (asSteps)
      children.forEach((child, index) =>
        this.#item(index === children.length - 1 ? { ...child, paragraphs: [...child.paragraphs, ...below] } : child),
      );
    else this.#steps.at(-1)?.labels.push(...children.map((child) => child.label).filter((label) => label !== ''));
  }

  #step(
    marker: string,
    labels: readonly string[],
    own: readonly string[],
    inner: readonly string[],
    tables: readonly ProseTable[],
    listed: { readonly branches: readonly ProseBranch[]; readonly turned: readonly string[] },
  ): void {
    const read = readSentences([...own, ...inner]);
    const rows = tables.map(tableLimits);
    const found = rows.flatMap((table) => table.rows);
    const branches = [...read.branches, ...listed.branches, ...rows.flatMap((table) => table.branches)];
    const mark = /[\p{L}\p{N}]/u.test(marker) || read.turned.length > 0 ? marker : '';
    const comment = [[mark, ...read.turned].join(' ').trim(), ...listed.turned, ...rows.flatMap((table) => table.lines)].filter(
      (line) => line !== '',
    );
    const all = [...own, ...inner, ...listed.turned, ...rows.flatMap((table) => table.lines)].join(' ');
    // A reading is named after what is read, whatever is done first.
    const asked = read.question !== undefined && CHECKS.test(read.question) && read.limit !== undefined ? read.question.replace(/\s*[:,?].*$/s, '') : undefined;
    const subject = subjectOf(asked ?? read.kept[0] ?? read.question ?? branches[0]?.condition ?? own[0] ?? inner[0] ?? marker);
    if (found.length > 0) {
      found.forEach((row, index) =>
        this.#row(row, all, { ...read, branches }, index === 0 ? this.#take(labels, comment) : this.#take([], []), index === 0),
      );
      return;
    }
    const dimension =
      read.limit?.dimension ??
      branches.map(({ when }) => (when.kind === 'limit' ? when.limit.dimension : undefined)).find((one) => one !== undefined);
    const speaksOfLimit = read.limit !== undefined || branches.some(({ when }) => when.kind === 'limit');
    const quantity = speaksOfLimit ? quantityOf(dimension, all) : undefined;
    this.#steps.push({
      ...this.#take(labels, comment),
      subject,
      sentences: read.kept,
      branches,
      ...(read.question === undefined ? {} : { question: read.question, questionAt: read.questionAt ?? 0 }),
      ...(quantity === undefined ? {} : { quantity }),
      ...(read.limit === undefined ? {} : { limit: read.limit }),
      ...(read.go === undefined ? {} : { go: read.go }),
      ...(read.ends === undefined ? {} : { ends: read.ends }),
      ...(read.wait === undefined ? {} : { wait: read.wait }),
    });
  }

  #row(
    row: TableRow,
    all: string,
    read: ReadSentences,
    taken: Pick<DraftStep, 'labels' | 'comments' | 'cautions' | 'notes'>,
    isFirst: boolean,
  ): void {
    const quantity = quantityOf(row.limit.dimension, all);
    this.#steps.push({
      ...taken,
      subject: `reading at ${row.point}`,
      point: row.point,
      sentences: isFirst ? read.kept : [],
      limit: row.limit,
      branches: read.branches,
      ...(quantity === undefined ? {} : { quantity }),
    });
  }

  /** What still waits when the document ends has no step to go to. */
  #finish(): void {
    const { labels, comments, cautions, notes } = this.#waiting;
    if (cautions.length === 0 && notes.length === 0) {
      this.#tail.push(...comments);
      return;
    }
    const last = this.#steps.at(-1);
    if (last === undefined) {
      // A document without items: what it says stands in the comment.
      this.#head.push(
        ...comments,
        ...notes,
        ...cautions.flatMap(({ signal, hazard, consequence, avoid }) =>
          [signal, hazard, consequence, avoid].filter((line) => line !== ''),
        ),
      );
      return;
    }
    last.labels.push(...labels);
    last.comments.push(...comments);
    last.cautions.push(...cautions);
    last.notes.push(...notes);
  }
}

interface ReadSentences {
  /** Sentences that stay as they are. */
  readonly kept: readonly string[];
  /** Sentences that became results or a way on. */
  readonly turned: readonly string[];
  readonly branches: readonly ProseBranch[];
  readonly question?: string;
  readonly questionAt?: number;
  readonly limit?: ProseLimit;
  readonly go?: string;
  readonly ends?: true;
  readonly wait?: string;
}

function readSentences(all: readonly string[]): ReadSentences {
  const kept: string[] = [];
  const turned: string[] = [];
  const branches: ProseBranch[] = [];
  const rest: { question?: string; questionAt?: number; limit?: ProseLimit; go?: string; ends?: true; wait?: string } = {};
  all.forEach((sentence, index) => {
    const found = branchesOf(sentence);
    // 'If the alarm is silent, measure the voltage', with results below: the condition is part of the work.
    const isWork =
      found.length === 1 &&
      found[0]?.when.kind === 'answer' &&
      found[0].way.go === undefined &&
      CHECKS.test(found[0].way.action ?? '') &&
      index < all.length - 1;
    if (found.length > 0 && !isWork) {
      branches.push(...found);
      turned.push(sentence);
      return;
    }
    const limit = limitOf(sentence);
    if (limit !== undefined) rest.limit ??= limit;
    if (sentence.endsWith('?') && rest.question === undefined) {
      rest.question = sentence;
      rest.questionAt = kept.length;
      return;
    }
    const way = limit === undefined && !isWork ? wayOf(sentence) : {};
    if (branches.length === 0 && way.go !== undefined && leadsOn(sentence)) {
      rest.go = way.go;
      // What is done on the way stays; a way alone became the step's own.
      (way.action === undefined ? turned : kept).push(sentence);
      return;
    }
    if (branches.length === 0 && index === all.length - 1 && isEnd(sentence)) {
      rest.ends = true;
      turned.push(sentence);
      return;
    }
    if (WAIT.test(sentence))
      rest.wait ??= findQuantitiesInProse(sentence).find(({ quantity }) => quantity.unit?.dimension === 'time')?.quantity.text;
    kept.push(sentence);
  });
  return { kept, turned, branches, ...rest };
}

/** A sub-item that is one way to go on: 'Yes: the valve leaks. Go to step 7.' What is said beside the way is kept with it. */
function branchesOfItem(item: ProseItem): ProseBranch[] | undefined {
  if (item.parts.length > 0) return undefined;
  const [first, ...others] = item.paragraphs.flatMap(sentences);
  const found = first === undefined ? [] : branchesOf(first, true);
  if (found.length === 0) return undefined;
  if (others.every((sentence) => branchesOf(sentence, true).length > 0))
    return [...found, ...others.flatMap((sentence) => branchesOf(sentence, true))];
  const [only] = found;
  if (
    only === undefined ||
    found.length > 1 ||
    others.some((sentence) => sentence.endsWith('?') || branchesOf(sentence).length > 0)
  )
    return undefined;
  const ways = others.map(wayOf);
  const leads = ways.findIndex((way) => way.refer === undefined);
  if (only.way.refer === undefined || leads < 0) return undefined;
  return [{ ...only, says: only.way.refer, way: ways[leads] ?? only.way }];
}

/** The limit that a sentence sets for a reading; not 'tighten to 35 N·m', which is work. */
function limitOf(sentence: string): ProseLimit | undefined {
  const speaks = SHOULD.test(sentence) || CHECKS.test(sentence) || sentence.endsWith('?');
  if (!speaks) return undefined;
  const limit = limitIn(sentence);
  if (
    limit === undefined ||
    (limit.dimension === 'time' && !SHOULD.test(sentence)) ||
    (limit.dimension === undefined && !limit.compared)
  )
    return undefined;
  // 'Check the 24 V supply': a value alone behind 'check' is a name.
  return limit.compared || SHOULD.test(sentence) ? limit : undefined;
}

/** Whether a message, a table or a text stands inside an item or its sub-items. */
function holdsMore(item: ProseItem): boolean {
  return item.parts.some((part) => part.kind !== 'item' || holdsMore(part));
}

/** Whether a sub-item asks something of its own. */
function needsStep(item: ProseItem): boolean {
  const all = [...item.paragraphs.flatMap(sentences), ...flattened(item.parts.filter((part) => part.kind === 'item'))];
  return all.some((sentence) => branchesOf(sentence).length > 0 || sentence.endsWith('?') || limitOf(sentence) !== undefined);
}

/** The marks of items that become one step's text, for the comment beside it. */
function marksOf(items: readonly ProseItem[]): string[] {
  return items.flatMap((item) => [
    ...(/[\p{L}\p{N}]/u.test(item.marker) ? [item.marker] : []),
    ...marksOf(item.parts.filter((part) => part.kind === 'item')),
  ]);
}

/** The sentences of items and of what stands inside them, in order. */
function flattened(items: readonly ProseItem[]): string[] {
  return items.flatMap((item) => [
    ...item.paragraphs.flatMap(sentences),
    ...flattened(item.parts.filter((part) => part.kind === 'item')),
  ]);
}

/** Sentences; a clause behind a semicolon is one where it says where to go on. */
function sentences(paragraph: string): string[] {
  return sentencesOf(paragraph, ENGLISH).flatMap(({ text }) => {
    const cut = text.indexOf('; ');
    return cut > 0 && branchesOf(text).length === 0 && branchesOf(text.slice(cut + 2)).length > 0
      ? [text.slice(0, cut + 1), text.slice(cut + 2)]
      : [text];
  });
}

/** Prose without a list: each sentence that asks for something begins an item. */
function asItems(parts: readonly ProsePart[]): ProsePart[] {
  return parts.flatMap((part, index): ProsePart[] => {
    if (part.kind !== 'text' || index === 0 || COMPLAINT.test(part.text)) return [part];
    const groups: string[][] = [];
    for (const sentence of sentences(part.text)) {
      const isNew = groups.length === 0 || (branchesOf(sentence).length === 0 && isCommand(sentence, ENGLISH));
      if (isNew) groups.push([sentence]);
      else groups.at(-1)?.push(sentence);
    }
    return groups.map((group): ProseItem => ({ kind: 'item', marker: '', label: '', paragraphs: [group.join(' ')], parts: [] }));
  });
}

/** A safety message taken apart: commands say how to avoid it, harm is the consequence, the rest is the hazard. */
function cautionOf({ signal, text }: ProseSafety): DraftCaution {
  const parts = { hazard: [] as string[], consequence: [] as string[], avoid: [] as string[] };
  for (const sentence of sentences(text)) {
    const commands =
      /^(?:do not|don't|never|keep|wear|stop|stay|make sure|always)\b/i.test(sentence) ||
      (isCommand(sentence, ENGLISH) && !/\b(?:may|can|could|will|might|is|are)\b/i.test(sentence));
    if (commands) parts.avoid.push(sentence);
    else if (HARM.test(sentence) && parts.hazard.length > 0) parts.consequence.push(sentence);
    else parts.hazard.push(sentence);
  }
  return { signal, hazard: parts.hazard.join(' '), consequence: parts.consequence.join(' '), avoid: parts.avoid.join(' ') };
}

/** What a step is named after: its first sentence without what is said behind a comma. */
function subjectOf(sentence: string): string {
  const plain = sentence
    .replace(/^(?:first(?:ly)?|then|next|now|finally|after that|zuerst|dann)\b,?\s*/i, '')
    .replace(/,?\s+(?:and|then)\s+(?:then\s+)?(?:go|proceed|continue|return|repeat)\b.*$/i, '');
  return plain.split(/[,;:(]/)[0]?.trim() ?? sentence;
}
