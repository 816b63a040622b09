/**
 * What the checklist page itself says, in one place, so that another language is another table. Procedures bring their own
 * texts.
 */

/** Narrow no-break space: between a number and its unit. */
const THIN = '\u202f';

export const WORDS = {
  cautionsTitle: 'Cautions',
  statesTitle: 'The machine must be in this state',
  stateHolds: 'holds by what was done so far',
  stateToDo: 'to be brought about',
  howTo: (state: string, value: string) => `${state} to ${value}:`,
  duringTitle: 'Only while this step is done',
  warningsTitle: 'Before you go on',
  probesTitle: 'Where the probes go',
  pointsTitle: 'Readings are taken at',
  answerPointsTitle: 'Answered for',
  pointOpen: 'not yet',
  with: 'With',
  circuit: 'Circuit',
  conditions: { dead: 'dead', live: 'live', neither: 'neither dead nor live', unknown: 'state unknown' },
  tools: 'Tools',
  who: 'Who',
  time: 'Time',
  qualified: 'Only for a person qualified for',
  why: 'Why',
  note: 'Note',
  photo: 'Picture wanted',
  limitsTitle: 'Limits',
  unit: 'Unit',
  overload: 'OL',
  overloadHelp: 'The meter shows overload',
  sign: '±',
  signHelp: 'Change the sign',
  reads: (understood: string) => `Reads as ${understood}`,
  otherAnswer: 'Something else',
  otherAnswerField: 'What was found',
  judge: 'Judge this entry',
  chooseAnswer: 'Choose an answer',
  judgeFact: 'Take this value',
  chooseFirst: 'Choose one of the answers first.',
  enterFirst: 'Enter what was read first.',
  nextStep: (number: number, title: string) => `Go on to step ${number}: ${title}`,
  nextPoint: (title: string) => `Go on: ${title}`,
  nextRemedy: (fault: string) => `Go on to the remedy: ${fault}`,
  statesConfirm: 'The machine is in this state',
  putBackDone: 'It is put back',
  nextProof: 'Go on to the proof of the repair',
  remedyChoose: 'Say what was done',
  nextEnd: 'Go on to the verdict',
  goOn: 'Go on',
  saving: 'Writing it down…',
  notSaved: 'This entry is not written down.',
  refusedOnReplay: (count: number, why: string) =>
    `${count === 1 ? 'One earlier entry does' : `${count} earlier entries do`} not fit the procedure and cannot count. ${why}`,
  tryAgain: 'Try again',
  soFar: (count: number) => (count === 1 ? 'Done so far: 1 entry' : `Done so far: ${count} entries`),
  nothingYet: 'Nothing done yet',
  correct: 'Correct',
  correctTitle: (title: string) => `Correct: ${title}`,
  correctField: 'What it should say',
  correctReason: 'Reason (may be left out)',
  correctSave: 'Write the correction',
  takeBack: 'Take back this entry and all after it',
  cancel: 'Leave it as it is',
  firstEntered: (original: string) => `first entered: ${original}`,
  takeBackLast: 'Back to the entry before',
  stillPossible: (count: number) => (count === 1 ? '1 fault is still possible' : `${count} faults are still possible`),
  defects: (count: number) => (count === 1 ? '1 defect recorded' : `${count} defects recorded`),
  reveal: 'Show this step in the text',
  more: 'Note, instrument, pause, hand over, stop',
  noteField: 'Note',
  noteAdd: 'Add the note',
  noteAdded: 'The note is in the record.',
  pause: 'Pause',
  handField: 'Hand over to (name or number)',
  hand: 'Hand over',
  stopField: 'Reason for stopping before the end',
  stop: 'Stop this run',
  instrumentTitle: (title: string) => `Which ${title.charAt(0).toLowerCase()}${title.slice(1)} is used`,
  instrumentField: 'Its number',
  instrumentUntil: 'Calibrated until',
  instrumentSave: 'Note the instrument',
  instrumentKnown: (id: string) => `No. ${id}`,
  paused: 'This run is paused.',
  waitTitle: (text: string) => `Wait ${text}`,
  waitStart: 'Start the wait',
  waitRunning: 'to wait',
  waitOver: 'The wait is over.',
  waitAlready: 'Already waited that long',
  waitAlreadyNote: (text: string, title: string) => `${title}: the wait of ${text} was kept before and not counted here.`,
  waitFirst: 'The wait comes first.',
  restTitle: (text: string) => `Pause of ${text} before this step is done again`,
  holdTitle: (text: string) => `Hold for at most ${text}`,
  holdStart: 'Start holding',
  holdStop: 'Released',
  holdOver: 'Release now. The longest time is over.',
  holdLeft: 'left',
  remedyTitle: 'Fault found',
  remedyDone: 'The remedy is carried out',
  remedyLater: 'It is left for later',
  remedyText: 'What was done, or why not (may be left out)',
  remedyProcedure: (name: string) => `Goes on with the procedure ${name}.`,
  remedyProof: 'The repair is then proved step by step.',
  verdictTitle: 'Verdict',
  putBackTitle: 'Before the machine goes back to work',
  finish: 'Finish and write the record',
  finished: 'The run is finished.',
  stopped: 'The run was stopped before its end.',
  recordAt: 'The record is at',
  recordKept: 'The record is kept in this browser. Save it as',
  recordOpen: 'Open the record',
  recordSave: 'Save the record as a file',
  recordSaved: (name: string) => `Saved as ${name}.`,
  again: 'Back to the start',
  begin: 'Begin',
  resume: 'Go on with it',
  discard: 'Give it up',
  discardSure: 'Give it up for good',
  unfinishedTitle: 'Begun and not finished',
  unfinishedWords: (asset: string | undefined, when: string, events: number) =>
    `${asset ? `Asset ${asset}, ` : ''}begun ${when}, ${events} entries`,
  finishedTitle: (count: number) => (count === 1 ? '1 finished run is kept here' : `${count} finished runs are kept here`),
  remove: 'Take it away',
  removeSure: 'Take it away for good',
  otherRevision: (revision: string) => `It goes on with revision ${revision}, on which it was begun.`,
  otherText: 'The procedure was changed since. It goes on with the text on which it was begun.',
  assetField: 'Asset',
  assetNone: 'Without an asset number',
  assetFixed: (id: string) => `Asset ${id}`,
  assetMissing: 'What differs from asset to asset is asked when it is needed.',
  personField: 'Who does the work (name or number)',
  complaint: 'Complaint',
  appliesTo: 'Applies to',
  revision: 'Revision',
  approved: 'Approved',
  qualifiedWhole: 'Qualification needed',
  noSteps: 'This procedure has no step that can be done.',
  closingTitle: 'Keep in mind',
  accepted: (count: number) => (count === 1 ? '1 accepted deviation' : `${count} accepted deviations`),
  acceptedLine: (what: string, because: string | undefined, by: string | undefined) =>
    `${what}${because ? ` Accepted: ${because}` : ''}${by ? ` (${by})` : ''}`,
  elsewhere: 'This run went on in another window. Reload to see where it is now.',
  reload: 'Reload',
  runGone: 'This run is no longer kept here.',
  keptBriefly:
    'This browser keeps nothing for this page: the run lasts only while the page stays open. Save the record before closing it.',
  cannotOpen: 'The checklist cannot be opened.',
  grades: { minor: 'minor', major: 'major', dangerous: 'dangerous' },
  expected: (words: string) => `about ${words}`,
  elapsed: 'so far',
} as const;

/** '45 s', '12 min', '1 h 05 min'. */
export function durationWords(seconds: number): string {
  const whole = Math.max(0, Math.round(seconds));
  if (whole < 60) return `${whole}${THIN}s`;
  const minutes = Math.floor(whole / 60);
  if (minutes < 60) return whole % 60 && minutes < 10 ? `${minutes}${THIN}min ${whole % 60}${THIN}s` : `${minutes}${THIN}min`;
  return `${Math.floor(minutes / 60)}${THIN}h ${String(minutes % 60).padStart(2, '0')}${THIN}min`;
}

/** '4:05': what a countdown shows. */
export function clockWords(seconds: number): string {
  const whole = Math.max(0, Math.ceil(seconds));
  const hours = Math.floor(whole / 3600);
  const minutes = Math.floor(whole / 60) % 60;
  const two = (n: number) => String(n).padStart(2, '0');
  return hours > 0 ? `${hours}:${two(minutes)}:${two(whole % 60)}` : `${minutes}:${two(whole % 60)}`;
}

/** `motor_runs` as a person reads it. */
export function plainName(name: string): string {
  return name.replace(/_/g, ' ');
}

/** A written quantity whose unit stays with its number at the end of a line: '600 V', 'CAT III 600 V'. */
export function tied(text: string): string {
  return text.replace(/(\d)\s+(?=[A-Za-zΩµ°%])/g, `$1${THIN}`);
}

/** First letter large. */
export function sentence(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** '25 Nov 2026, 09:30', in the reader's own order of day and month. */
export function momentWords(iso: string | undefined): string {
  const date = iso ? new Date(iso) : undefined;
  if (!date || Number.isNaN(date.getTime())) return iso ?? '';
  return date.toLocaleString(undefined, { day: 'numeric', month: 'short', year: 'numeric', hour: '2-digit', minute: '2-digit' });
}
