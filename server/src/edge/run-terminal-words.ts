/** What the runner itself says on a terminal, in English: the table that other languages follow. Procedures bring their own texts. */
import { catalogueIn } from '../render/catalogue-in-german.ts';
import { inGerman, ownWords, viewInGerman } from '../render/run-in-german.ts';
import type { ChecklistDocument, QualificationSheet } from '../run/checklist-document.ts';
import type { RunView } from '../run/view.ts';
import { andList, orList } from '../run/texts.ts';
import { GERMAN } from './run-terminal-words-german.ts';

export const LANGUAGES = ['en', 'de'] as const;
export type Language = (typeof LANGUAGES)[number];

/** What a line can be beside an entry. */
export type CommandWord = 'help' | 'show' | 'note' | 'photo' | 'instrument' | 'fact' | 'helper' | 'handover' | 'back' | 'correct' | 'clock' | 'kept' | 'pause' | 'stop';

export const ENGLISH = {
  /** What a person types → what it means; the longest that fits counts. */
  commands: {
    help: 'help', show: 'show', note: 'note', photo: 'photo', instrument: 'instrument', fact: 'fact', with: 'helper', 'hand over': 'handover', handover: 'handover',
    back: 'back', correct: 'correct', clock: 'clock', kept: 'kept', pause: 'pause', stop: 'stop',
  } as Readonly<Record<string, CommandWord>>,
  /** Words that are taken for an entry, in small letters. */
  read: ['read', 'yes', 'y'] as readonly string[],
  yes: ['yes', 'y', 'done', 'ok'] as readonly string[],
  carriedOut: ['done', 'yes'] as readonly string[],
  later: ['later', 'no'] as readonly string[],
  resume: 'resume',
  begin: 'begin',
  fresh: 'new',
  discard: 'discard',
  stop: 'stop',
  and: andList,
  or: orList,
  /** 'yes' and its like, where they are answers of a step. */
  answers: {} as Readonly<Record<string, string>>,
  signals: {} as Readonly<Record<string, string>>,
  statuses: {} as Readonly<Record<string, string>>,
  revision: (revision: string) => `revision ${revision}`,
  accepted: (which: string) => `Accepted deviations: ${which}`,
  forWhom: (who: string) => `For: ${who}`,
  wear: (what: string) => `Wear: ${what}.`,
  stillPossible: (count: number, which: string) => `Still possible (${count}): ${which}`,
  defectsSoFar: (count: number, which: string) => `Defects so far (${count}): ${which}`,
  grades: { minor: 'minor', major: 'major', dangerous: 'dangerous' } as Readonly<Record<string, string>>,
  machine: (states: string) => `The machine: ${states}`,
  only: (who: string) => `Only: ${who}`,
  why: (why: string) => `Why: ${why}`,
  noteLine: (note: string) => `Note: ${note}`,
  helperNow: (who: string) => `With you: ${who}`,
  helperWanted: 'Say who is with you: with NAME',
  during: (states: string, longest: string | undefined) => `Only while you do it: ${states}${longest === undefined ? '' : `, for at most ${longest}`}`,
  atMost: (longest: string) => `At most ${longest}.`,
  clockHint: 'Type \'clock\' when you begin: the time is counted, and it rings when it is over.',
  clockBegun: (longest: string) => `Counting ${longest}.`,
  clockLeft: (left: string) => `[${left} to hold]`,
  clockOver: 'The longest time is over: let go.',
  clockNone: 'This step has no longest time.',
  wait: (time: string) => `Wait ${time} first.`,
  waitHint: (time: string) => `When the wait of ${time} begins, press Enter. Type 'kept' if it was kept before.`,
  waitPrompt: 'Enter to begin the wait: ',
  waitOver: 'The wait is over.',
  waitLeft: (left: string) => `[${left} left]`,
  waitTooSoon: (wait: string, passed: string) => `The wait is ${wait}, and ${passed} have passed. Wait, or enter it again to have it recorded so.`,
  waitNotBegun: (wait: string) => `The wait of ${wait} has not begun. Press Enter to begin it, or enter it again to have it recorded so.`,
  waitNone: 'There is no wait at this step.',
  waitKept: 'Noted: the wait was kept before.',
  rest: (time: string, since: string) => `Rest ${time} since it was last done (${since}).`,
  restOver: 'The rest is over.',
  restLeft: (left: string) => `[${left} of rest left]`,
  restTooSoon: (rest: string, passed: string) => `The rest is ${rest}, and ${passed} have passed. Rest, or enter it again to have it recorded so.`,
  measure: (what: string, instrument: string | undefined, circuit: string | undefined) =>
    `Measure: ${what}${instrument === undefined ? '' : ` with ${instrument}`}${circuit === undefined ? '' : ` on ${circuit}`}`,
  whichInstrument: (numbers: string) => `Say which one: instrument ${numbers}`,
  calibratedUntil: (date: string, over: boolean) => `calibrated until ${date}${over ? ', which is over' : ''}`,
  tools: (tools: string) => `Tools: ${tools}`,
  photoWanted: (what: string) => `Photo wanted: ${what}`,
  figure: (name: string) => `Figure: ${name}`,
  factFirst: (fact: string, from: string | undefined) => `${fact} must be known first${from === undefined ? '' : `. See: ${from}`}.`,
  found: (fault: string) => `Found: ${fault}`,
  goesOnIn: (procedure: string) => `Goes on in the procedure ${procedure}.`,
  usualTime: (time: string) => `Usual time: ${time}`,
  thenProved: 'The repair is then to be proved.',
  verdict: (verdict: string) => `Verdict: ${verdict}`,
  putBack: 'Before you leave, put back:',
  prompts: {
    read: (count: number) => `Type 'read' when you have read the ${count === 1 ? 'caution' : 'cautions'}: `,
    howIsIt: 'How is it? ',
    isSo: 'Type \'yes\' when it is so: ',
    numberOrAnswer: 'Number or answer: ',
    answer: 'Answer: ',
    done: 'Press Enter when it is done: ',
    remedy: '\'done\' when it is carried out, or \'later\' and why: ',
    finish: 'Press Enter to write the record: ',
    name: 'Your name or number: ',
    toWhom: 'To whom? ',
    whyStopped: 'Why is it stopped? ',
    helper: 'Who is with you? ',
    corrected: (number: number, title: string, entered: string) => `Step ${number}, ${title}, was ${entered}. It should be: `,
    unfinished: 'Type \'resume\', \'new\' to begin a new run beside it, or \'discard\': ',
    changed: 'Type \'stop\' to stop it and write its record, \'new\' to begin a new run beside it, or \'discard\': ',
    busy: 'Type \'begin\' to begin all the same, or press Enter to leave it: ',
  },
  readFirst: 'Read the cautions, then type \'read\'.',
  enterWhenDone: 'Press Enter when the step is done, or type \'help\'.',
  yesWhenSo: 'Type \'yes\' when it is so.',
  doneOrLater: 'Type \'done\' when the remedy is carried out, or \'later\' and why it is not.',
  helpHint: 'Type \'help\' at any time to see what else you can type.',
  noted: 'Noted.',
  handedOver: (to: string) => `From here on: ${to}.`,
  alone: 'From here on you are alone.',
  photoByName: (path: string) => `Noted by its name. There is no file ${path} here; keep it with the record.`,
  photoKept: 'Noted, and the picture is kept with the record.',
  noInstrument: 'This step uses no instrument.',
  noFact: (example: string) => `There is no fact of that name. Type 'fact', its name and its value: fact ${example} VALUE`,
  nothingToTakeBack: 'There is no entry to take back.',
  takenBack: (number: number, title: string, entered: string) => `Taken back: step ${number}, ${title}, ${entered}. It stays in the record.`,
  correctHow: 'Type \'correct\', the number of the entry and what it should be: correct 1 12.4 V',
  onlyBack: 'That was done, not typed. It can be taken back with all that came after it: type \'back\' until it is open again.',
  correctedTo: (entered: string) => `Corrected. The first entry, ${entered}, stays in the record.`,
  noFacts: 'This procedure has no facts.',
  notKnown: (from: string | undefined) => `not known${from === undefined ? '' : `; see ${from}`}`,
  noEntries: 'There is no entry yet.',
  entryLine: (number: number, title: string, point: string | undefined, entered: string, first: string | undefined) =>
    `step ${number}, ${title}${point === undefined ? '' : `, ${point}`}: ${entered}${first === undefined ? '' : ` (first ${first})`}`,
  noSteps: 'This procedure has no steps. There is nothing to run.',
  noTerminal: 'A run needs a terminal to ask at, and there is none here. Start it in a terminal, or give a file of answers: --answers FILE.',
  answersUnreadable: (file: string) => `The answers in ${file} could not be read. Name a text file with one answer a line.`,
  interrupted: 'Interrupted.',
  inputEnded: 'The input has ended before the run did.',
  pausedNow: 'Paused.',
  kept: (how: string | undefined) => `Everything entered is kept. To resume: ${how ?? 'run the same procedure on the same asset again.'}`,
  notPutBack: (what: string) => `Not put back: ${what}.`,
  record: (path: string) => `Record: ${path}`,
  otherRun: (asset: string, title: string, when: string, by: string | undefined) => `Another run is under way on ${asset}: ${title}, begun ${when}${by === undefined ? '' : ` by ${by}`}.`,
  busy: (asset: string, minutes: string) => `Its last entry was ${minutes} ago: ${asset} is being worked on. A second run on it would not know what the first has done to it.`,
  unfinished: (asset: string | undefined, when: string, by: string | undefined, events: number) =>
    `A run of this procedure${asset === undefined ? '' : ` on ${asset}`} is unfinished: begun ${when}${by === undefined ? '' : ` by ${by}`}, ${events} events.`,
  carryOverHint: 'Where the steps walked so far are the same in both texts, it can be carried over: --carry-over',
  goesOnAs: (person: string) => `The work goes on as ${person}. Somebody else types: handover NAME`,
  changedReason: 'The procedure was changed while the run was unfinished.',
  itsRecord: (path: string) => `Its record: ${path}`,
  journalKept: (path: string) => `Its journal is kept in ${path}.`,
  notCarriedOver: (why: string) => `It cannot be carried over. ${why}`,
  carriedOver: (how: string) => `${how} The record says so.`,
  unknownTime: 'at an unknown time',
  help: `Beside the entry that is asked for, you can type:
  back                takes back the last entry; its step is open again
  correct             shows the entries; 'correct 3 12.4 V' puts entry 3 right
  note TEXT           adds a note
  photo FILE          records a photo taken; a file that is here is kept with the record
  instrument NUMBER   the number of the instrument in use; add 'until 2027-03-31' for its calibration
  fact NAME VALUE     gives a fact of the asset before it is asked for; 'fact' alone shows them
  with NAME           who is the second person from here on; 'with' alone: nobody any more
  handover NAME       from here on NAME does the work
  clock               counts the longest time of a step, and rings when it is over
  kept                the wait of this step was kept before
  show                shows the step again
  pause               leaves the run; it can be resumed
  stop REASON         gives the run up and writes its record
  help                shows this
Where an answer is itself one of these words, type a colon before the word to mean the command: ':stop'.
`,
};

/** The word for a key that a file may hold; `otherwise` where the table has none. */
export function wordFor(table: Readonly<Record<string, string>>, key: string, otherwise: string): string {
  return Object.hasOwn(table, key) ? (table[key] ?? otherwise) : otherwise;
}

/** A table with the keys of the English one, and any words. */
export type TerminalWords = typeof ENGLISH;

/** The words of a language, and what a run says in it. */
export interface TerminalLanguage {
  readonly language: Language;
  readonly words: TerminalWords;
  /** A sentence of the run or of its files; the procedure's own text as it stands. */
  readonly sentence: (text: string) => string;
  readonly view: (view: RunView) => RunView;
  readonly qualification: (qualification: QualificationSheet) => QualificationSheet;
}

/** `document` tells the procedure's own words from those of the run. */
export function terminalLanguage(language: Language = 'en', document?: ChecklistDocument): TerminalLanguage {
  if (language === 'de') {
    const own = document === undefined ? [] : ownWords(document);
    return {
      language, words: GERMAN, sentence: (text) => inGerman(text, own), view: (view) => viewInGerman(view, own),
      qualification: catalogueIn('de').qualification,
    };
  }
  return { language, words: ENGLISH, sentence: (text) => text, view: (view) => view, qualification: catalogueIn('en').qualification };
}
