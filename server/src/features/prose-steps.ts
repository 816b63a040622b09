/**
 * A draft made of a document's numbered list: its text as a procedure, with findings to resolve. Every sentence of the document
 * stands in it: as a step's text, in a caution or a note, or in a comment beside the step that it became.
 */
import { bandInWords } from './format-words.ts';
import { formatFile, readForFormatting } from './format.ts';
import { isRepair, type ProseBranch, type ProseWay } from './prose-conditions.ts';
import { draftOf, type DraftStep, type ProseDraft } from './prose-draft.ts';
import { proseParts } from './prose-lines.ts';
import { lineText, nameFrom, textInBraces } from './written-yaml.ts';

export interface DraftOptions {
  /** Names of procedures that there are already. */
  readonly taken?: ReadonlySet<string>;
  /** Instruments of the shop: name and title. Where a step names one, it is used. */
  readonly instruments?: readonly { readonly name: string; readonly title: string }[];
  /** What it is called where the document has no title, as the name of its file. */
  readonly title?: string;
}

export interface WrittenDraft {
  readonly name: string;
  readonly text: string;
  readonly steps: number;
}

/** Longer documents are cut off, which the draft says. */
const LONGEST_PROSE = 400_000;
/** What the draft says by itself, in the language of the document. */
const WORDS = {
  en: {
    untitled: 'Draft from a document',
    head: 'A draft from a document. Comments beside the steps hold what the document said; compare, then delete them.',
    cut: 'The document was longer than this tool reads: what follows is missing here.',
    notSaid: 'The document does not say what follows.',
    ends: 'Not in the document: how it ends.',
    gone: 'Is the complaint gone?',
    whether: 'Is it so?',
    what: 'What do you find?',
    goOn: 'Go on.',
    steps: 'Write the steps here.',
    within: 'within the limits',
    wrong: 'not as it should be',
  },
  de: {
    untitled: 'Entwurf aus einem Dokument',
    head: 'Ein Entwurf aus einem Dokument. In den Kommentaren steht, was das Dokument sagt: vergleichen, dann löschen.',
    cut: 'Das Dokument war länger, als dieses Werkzeug liest: Was folgt, fehlt hier.',
    notSaid: 'Das Dokument sagt nicht, was folgt.',
    ends: 'Nicht im Dokument: wie es endet.',
    gone: 'Ist die Beanstandung behoben?',
    whether: 'Ist es so?',
    what: 'Was ist festzustellen?',
    goOn: 'Weiter.',
    steps: 'Die Schritte hier schreiben.',
    within: 'innerhalb der Grenzen',
    wrong: 'nicht wie vorgesehen',
  },
};
const COMMENT_WIDTH = 110;

/** The draft of a procedure from prose. A text without any item gives one step that holds it all. */
export function draftFromProse(prose: string, options: DraftOptions = {}): WrittenDraft {
  const draft = draftOf(proseParts(prose.slice(0, LONGEST_PROSE)));
  return new Writer(draft, options, WORDS[languageOf(prose)], prose.length > LONGEST_PROSE).write();
}

interface NamedStep extends DraftStep {
  readonly name: string;
}

class Writer {
  readonly #names = new Set<string>(['finish']);
  readonly #faults = new Map<string, { readonly name: string; readonly title: string; readonly remedy: string }>();
  /** Steps that a branch leads to and that no other step falls into. */
  readonly #asides: string[] = [];
  readonly #labels = new Map<string, string>();
  readonly #steps: NamedStep[];
  /** Some walk goes on behind the last item of the document. */
  #fallsThrough = false;

  constructor(
    private readonly draft: ProseDraft,
    private readonly options: DraftOptions,
    private readonly words: (typeof WORDS)['en'],
    private readonly isCut: boolean,
  ) {
    const steps =
      draft.steps.length > 0
        ? draft.steps
        : [{ labels: [], comments: [], cautions: [], notes: [], subject: 'work', sentences: [words.steps], branches: [] }];
    this.#steps = steps.map((step) => ({ ...step, name: this.#free(step.subject) }));
    for (const step of this.#steps)
      for (const label of step.labels) if (!this.#labels.has(label)) this.#labels.set(label, step.name);
  }

  write(): WrittenDraft {
    const title = this.draft.title ?? this.options.title ?? this.words.untitled;
    const name = nameFrom(title, this.options.taken ?? new Set(), 40);
    const steps = this.#steps.flatMap((step, index) => ['', ...this.#step(step, this.#steps[index + 1]?.name)]);
    const faults = [...this.#faults.values()];
    const ends = this.#fallsThrough
      ? [
          '',
          ...comment(this.words.ends, '  '),
          '  - step: finish',
          `    ask: ${lineText(this.words.gone)}`,
          '    results:',
          '      - when: yes',
          '        passes: true',
          '      - when: no',
          `        refer: ${lineText(this.words.notSaid)}`,
        ]
      : [];
    const lines = [
      ...comment(this.words.head, ''),
      ...this.draft.head.flatMap((line) => comment(line, '')),
      ...(this.isCut ? comment(this.words.cut, '') : []),
      '',
      `procedure: ${name}`,
      `title: ${lineText(title)}`,
      'revision: 1',
      'status: draft',
      ...(this.draft.complaint === undefined ? [] : [`complaint: ${lineText(this.draft.complaint)}`]),
      ...(faults.length === 0
        ? []
        : [
            '',
            'faults:',
            ...faults.map(
              (fault) => `  ${fault.name}: {title: ${textInBraces(fault.title)}, remedy: ${textInBraces(fault.remedy)}}`,
            ),
          ]),
      '',
      'steps:',
      ...steps.slice(1),
      ...ends,
      ...this.#asides,
      ...this.draft.tail.flatMap((line) => comment(line, '  ')),
      '',
    ];
    return { name, text: formatted(lines.join('\n')), steps: this.#steps.length };
  }

  #free(subject: string): string {
    const name = nameFrom(subject, this.#names);
    this.#names.add(name);
    return name;
  }

  #step(step: NamedStep, next: string | undefined): string[] {
    const isMeasure = step.quantity !== undefined;
    const isAsk = !isMeasure && (step.branches.length > 0 || step.question !== undefined);
    const results = isMeasure ? this.#readings(step) : isAsk ? this.#answers(step) : [];
    const asked = isAsk ? questionOf(step, this.words) : undefined;
    const texts = asked === undefined ? step.sentences : asked.rest;
    const instrument = this.#instrumentOf(step);
    const goesOn = isMeasure || isAsk ? results.some(({ way }) => isNext(way)) : step.go === undefined;
    if ((next === undefined && goesOn) || step.ends === true) this.#fallsThrough = true;
    const go = step.ends === true && next !== undefined ? 'finish' : step.go === undefined ? undefined : this.#target(step.go);
    return [
      ...step.comments.flatMap((line) => comment(line, '  ')),
      `  - step: ${step.name}`,
      ...(isMeasure
        ? [`    measure: ${step.quantity ?? ''}`]
        : asked !== undefined
          ? [`    ask: ${lineText(asked.question)}`]
          : ['    do:', ...doLines(step, this.words)]),
      ...(instrument === undefined ? [] : [`    with: ${instrument}`]),
      ...(step.point === undefined ? [] : [`    at: {point: ${textInBraces(step.point)}}`]),
      ...(isMeasure || isAsk ? textLines(isMeasure ? inOrder(step) : texts) : []),
      ...(step.wait === undefined ? [] : [`    wait: ${step.wait}`]),
      ...cautionLines(step),
      ...(step.notes.length === 0 ? [] : [`    note: ${lineText(step.notes.join(' '))}`]),
      ...(go === undefined || isMeasure || isAsk ? [] : [`    go: ${go}`]),
      ...(results.length === 0
        ? []
        : [
            '    results:',
            ...results.flatMap((result) => [
              `      - when: ${lineText(result.when)}`,
              ...(result.says === undefined ? [] : [`        says: ${lineText(result.says)}`]),
              ...this.#wayLines(step, result, next),
            ]),
          ]),
    ];
  }

  /** The results of a reading. A document that gives one side of a limit goes on with the next item on the other. */
  #readings(step: NamedStep): DraftResult[] {
    const good = step.limit === undefined ? undefined : step.limit.band;
    const results: DraftResult[] = [];
    for (const branch of step.branches) {
      const { when } = branch;
      const band =
        when.kind === 'limit'
          ? when.limit.outside
            ? 'otherwise'
            : when.limit.band
          : when.kind === 'within' || when.kind === 'yes'
            ? (good ?? this.words.within)
            : when.kind === 'answer'
              ? when.text
              : 'otherwise';
      results.push({ ...branch, when: band });
    }
    const outside =
      step.branches
        .map(({ when }) => (when.kind === 'limit' && when.limit.outside ? when.limit.band : undefined))
        .find((band) => band !== undefined) ?? good;
    const has = (when: string): boolean => results.some((result) => result.when === when);
    if (outside !== undefined && !results.some((result) => result.when !== 'otherwise'))
      results.unshift({ when: outside, condition: '', way: { next: true } });
    const limits = results.filter((result) => result.when !== 'otherwise').length;
    if (!has('otherwise') && limits <= 1)
      results.push({
        when: 'otherwise',
        condition: '',
        way: step.branches.length === 0 ? { refer: this.words.notSaid } : { next: true },
      });
    return once(results);
  }

  #answers(step: NamedStep): DraftResult[] {
    const words = { yes: 'yes', no: 'no', within: 'ok', outside: 'not ok', otherwise: 'otherwise' };
    const results = step.branches.map((branch): DraftResult => {
      const { when } = branch;
      return {
        ...branch,
        when:
          when.kind === 'answer'
            ? when.text
            : when.kind === 'limit'
              ? `${when.limit.outside ? 'not ' : ''}${when.limit.band}`
              : words[when.kind],
      };
    });
    const has = (when: string): boolean => results.some((result) => result.when === when);
    const isYesNo = has('yes') || has('no');
    const isJudged = has('ok') || has('not ok');
    // 'Otherwise' behind a yes is a no.
    const named = results.map((result) =>
      result.when === 'otherwise' && isYesNo ? { ...result, when: has('yes') ? 'no' : 'yes' } : result,
    );
    const missing = (when: string): DraftResult[] =>
      named.some((result) => result.when === when)
        ? []
        : [{ when, condition: '', way: step.branches.length === 0 ? { refer: this.words.notSaid } : { next: true } }];
    if (isYesNo) return once([...named, ...missing('yes'), ...missing('no')]);
    if (isJudged && !has('otherwise')) return once([...named, ...missing('ok'), ...missing('not ok')]);
    if (results.length === 0)
      return [
        { when: 'yes', condition: '', way: { next: true } },
        { when: 'no', condition: '', way: { refer: this.words.notSaid } },
      ];
    return once([
      ...named.filter((result) => result.when !== 'otherwise'),
      ...named.filter((result) => result.when === 'otherwise'),
      ...missing('otherwise'),
    ]);
  }

  #wayLines(step: NamedStep, result: DraftResult, next: string | undefined): string[] {
    const { way } = result;
    if (way.action !== undefined && way.go === undefined && way.next === undefined && isRepair(way.action))
      return [`        finds: ${this.#fault(step, result, way.action)}`];
    if (way.action !== undefined)
      return [`        go: ${this.#aside(way.action, way.go === undefined ? next : this.#target(way.go))}`];
    if (way.go !== undefined) return [`        go: ${this.#target(way.go)}`];
    if (way.passes === true) return ['        passes: true'];
    return way.refer === undefined ? [] : [`        refer: ${lineText(way.refer)}`];
  }

  /** The step of a label; one that there is not keeps its number, and is a finding. */
  #target(label: string): string {
    if (!this.#labels.has(label) && this.draft.ends.includes(label)) {
      this.#fallsThrough = true;
      return 'finish';
    }
    return (
      this.#labels.get(label) ??
      this.#labels.get(label.replace(/[a-z]$/, '')) ??
      this.#labels.get(`${label}.1`) ??
      this.#labels.get(`${label}a`) ??
      `step_${label.replace(/[^a-z0-9]+/g, '_')}`
    );
  }

  #fault(step: NamedStep, result: DraftResult, remedy: string): string {
    const title = faultTitle(step, result, this.words.wrong);
    const key = remedy.toLowerCase();
    const known = this.#faults.get(key);
    if (known !== undefined) return known.name;
    // A name of a few words tells more than the first words of a long title.
    const name = this.#free(title.length <= 40 || remedy.split(' ').length < 3 ? title : remedy);
    this.#faults.set(key, { name, title, remedy });
    return name;
  }

  /** Something is done on the way to another step. */
  #aside(action: string, target: string | undefined): string {
    const name = this.#free(action);
    if (target === undefined) this.#fallsThrough = true;
    this.#asides.push('', `  - step: ${name}`, '    do:', `      - ${lineText(action)}`, `    go: ${target ?? 'finish'}`);
    return name;
  }

  #instrumentOf(step: DraftStep): string | undefined {
    const said = ` ${step.sentences
      .join(' ')
      .toLowerCase()
      .replace(/[^\p{L}\p{N}]+/gu, ' ')} `;
    return this.options.instruments?.find(({ name, title }) =>
      [name.replaceAll('_', ' '), title.toLowerCase()].some((word) => said.includes(` ${word} `)),
    )?.name;
  }
}

type DraftResult = Omit<ProseBranch, 'when'> & { readonly when: string };

/** On with the next item. */
function isNext({ action, go, passes, refer }: ProseWay): boolean {
  return action === undefined && go === undefined && passes === undefined && refer === undefined;
}

/** Results with the same `when`: the first counts, as the second could never be met. `otherwise` goes last. */
function once(results: readonly DraftResult[]): DraftResult[] {
  const first = results.filter(
    (result, index) => results.findIndex((other) => other.when.toLowerCase() === result.when.toLowerCase()) === index,
  );
  return [...first.filter(({ when }) => when !== 'otherwise'), ...first.filter(({ when }) => when === 'otherwise')];
}

/** What a reading's text says, its question where the document has it: what is done first comes first. */
function inOrder({ sentences, question, questionAt = 0 }: DraftStep): readonly string[] {
  return question === undefined ? sentences : [...sentences.slice(0, questionAt), question, ...sentences.slice(questionAt)];
}

/** The question of a step, and what else is read with it. */
function questionOf(step: DraftStep, words: (typeof WORDS)['en']): { question: string; rest: readonly string[] } {
  if (step.question !== undefined) return { question: step.question, rest: step.sentences };
  const isYesNo = step.branches.some(({ when }: ProseBranch) => when.kind === 'yes' || when.kind === 'no');
  const asks = isYesNo ? words.whether : words.what;
  const [last] = step.sentences.slice(-1);
  return last === undefined
    ? { question: asks, rest: [] }
    : { question: `${ended(last)} ${asks}`, rest: step.sentences.slice(0, -1) };
}

function faultTitle(step: DraftStep, { when, condition, says }: DraftResult, wrong: string): string {
  if (says !== undefined) return capital(says.replace(/[.]+$/, ''));
  const subject = step.subject
    .replace(
      /^(?:check|measure|verify|inspect|test|read|look at|examine|confirm|ensure|make sure|see)\b\s*(?:that|whether|if|for)?\s*(?:the\s+)?/i,
      '',
    )
    .replace(/[.?]+$/, '');
  const about = capital(subject === '' ? step.subject : subject);
  if (/^(?:yes|no)$/.test(when) && step.question !== undefined) return `${step.question.replace(/[?]$/, '')}: ${when}`;
  if (/^(?:yes|no|ok|not ok)$/.test(when)) return `${about}: ${when}`;
  if (when === 'otherwise') return `${about}: ${wrong}`;
  if (step.quantity === undefined || step.sentences.length === 0) return capital(condition === '' ? when : condition);
  return `${about} ${bandInWords(when) ?? when}`;
}

function doLines(step: DraftStep, words: (typeof WORDS)['en']): string[] {
  const actions = step.sentences.length > 0 ? step.sentences : [words.goOn];
  return actions.map((action) => `      - ${lineText(action)}`);
}

function textLines(texts: readonly string[]): string[] {
  const [only] = texts;
  if (only === undefined) return [];
  return texts.length === 1
    ? [`    text: ${lineText(only)}`]
    : ['    text: |', ...texts.map((text) => `      ${text.replace(/\s+/g, ' ').trim()}`)];
}

function cautionLines(step: DraftStep): string[] {
  if (step.cautions.length === 0) return [];
  return [
    '    cautions:',
    ...step.cautions.flatMap(({ signal, hazard, consequence, avoid }) => [
      `      - signal: ${signal}`,
      ...(hazard === '' ? [] : [`        hazard: ${lineText(hazard)}`]),
      ...(consequence === '' ? [] : [`        consequence: ${lineText(consequence)}`]),
      ...(avoid === '' ? [] : [`        avoid: ${lineText(avoid)}`]),
    ]),
  ];
}

/** A comment of one or more lines. */
function comment(text: string, indent: string): string[] {
  const lines: string[] = [];
  for (const word of text.replace(/\s+/g, ' ').trim().split(' ')) {
    const last = lines.at(-1);
    if (last !== undefined && last.length + word.length < COMMENT_WIDTH) lines[lines.length - 1] = `${last} ${word}`;
    else if (word !== '') lines.push(`${indent}# ${word}`);
  }
  return lines;
}

/** By the small words that a text of the language cannot do without. */
function languageOf(prose: string): keyof typeof WORDS {
  const count = (pattern: RegExp): number => prose.match(pattern)?.length ?? 0;
  const german = count(
    /(?<![\p{L}])(?:der|die|das|und|nicht|wenn|mit|ist|ein|eine|den|dem|auf|zu|bei|prüfen|messen|ersetzen|schritt)(?![\p{L}])/giu,
  );
  return german > count(/\b(?:the|and|is|if|to|of|it|a|not|with|on|step|check)\b/gi) ? 'de' : 'en';
}

function ended(text: string): string {
  return /[.?!]$/.test(text) ? text : `${text.replace(/[,;:]+$/, '')}.`;
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

function formatted(text: string): string {
  return [...formatFile(readForFormatting('draft.procedure.yaml', text))]
    .reverse()
    .reduce((whole, { span, newText }) => whole.slice(0, span.start) + newText + whole.slice(span.end), text);
}
