/**
 * What the wording checks know of a language. Data only: another language is another file like english.ts, and no check changes.
 */
export interface WordList {
  /** BCP 47 tag, for the segmenter. */
  readonly language: string;
  /** Words of the instruction form: what a command may begin with. In small letters. */
  readonly commandVerbs: ReadonlySet<string>;
  /** Command verbs that are also names of parts: before a verb such as 'is' they name the part. */
  readonly verbsThatAreParts: ReadonlySet<string>;
  /** Two words that tell what must not be done, or always: what follows is the command. */
  readonly beforeCommand: ReadonlySet<string>;
  /** Words that open a condition or a circumstance; the command follows it. */
  readonly conditionOpeners: ReadonlySet<string>;
  /** Words that show that the one before them was a verb: articles, pronouns, prepositions. */
  readonly afterVerb: ReadonlySet<string>;
  /** Articles and pronouns: where they follow a verb's form, its object begins. */
  readonly determiners: ReadonlySet<string>;
  /** Verbs of statements: is, are, must, has. */
  readonly statementVerbs: ReadonlySet<string>;
  /** The form in which something is said to have been done: tightened, removed. */
  readonly saidOfThings: RegExp;
  /** Words between two actions: and, then. */
  readonly actionJoiners: ReadonlySet<string>;
  /** How a prohibition begins; it is no action of its own. */
  readonly prohibitions: readonly string[];
  /** Verbs of sentences that add to an action and are none: see, use, keep. */
  readonly notAnAction: ReadonlySet<string>;
  /** Pairs that are done at one time: press and hold. */
  readonly doneTogether: ReadonlySet<string>;
  /** Words after which two actions are one: 'while', 'until'. */
  readonly sameTime: ReadonlySet<string>;
  /** A phrase that leaves the reader to decide → what to write in its place. */
  readonly vaguePhrases: ReadonlyMap<string, string>;
  /** Those of them that pass a verdict: where a text reports what was measured, they leave nothing open. */
  readonly verdictPhrases: ReadonlySet<string>;
  /** Answers that say nothing of what was seen. */
  readonly vagueAnswers: ReadonlyMap<string, string>;
  /** Short forms with a full stop that do not end a sentence. In small letters, without it. */
  readonly stopsInside: ReadonlySet<string>;
  /** Abbreviations that any reader of the trade knows. */
  readonly knownAbbreviations: ReadonlySet<string>;
  /** Words that stand in capitals on panels and labels. */
  readonly panelWords: ReadonlySet<string>;
  /** Words for one thing, of which a procedure uses one. */
  readonly sameThing: readonly (readonly string[])[];
  /** Words that a document's number follows: diagram, manual. */
  readonly documentWords: readonly string[];
  /** Phrases that make a number in a text a limit. */
  readonly limitPhrases: readonly string[];
  /** Phrases behind a number that make it a limit: or more, or less. */
  readonly limitPhrasesAfter: readonly string[];
  /** Words for what is wrong or right with a thing: in 'worn out when above 45 mm' the number says what is right. */
  readonly verdictWords: ReadonlySet<string>;
  /** Commands that set an instrument to a value. */
  readonly settingVerbs: ReadonlySet<string>;
  /** Names of tools that are set to the value that they then judge by: a torque wrench. */
  readonly toolsSetToLimit: readonly string[];
  /** Commands that ask for a judgement: 'Check that it is at least 12 V'. Other commands state no limit of the step. */
  readonly judgingVerbs: ReadonlySet<string>;
  /** Words behind which a number says when to act, not what is right: if, when, until. */
  readonly conditionWords: ReadonlySet<string>;
}
