/** What a check is. One file a check; all.ts lists them; analysis/ runs them and never lets one take the others down. */
import type { Exploration } from '../flow/explore.ts';
import type { Program } from '../flow/program.ts';
import type { Finding, Report, Severity } from '../findings/finding.ts';
import type { Procedure, Step } from '../procedure/model.ts';
import type { Scope } from '../procedure/scope.ts';

export type CheckGroup = 'structure' | 'flow' | 'safety' | 'quantities' | 'diagnosis' | 'wording' | 'document';

/** Another procedure of the workspace, as far as a check needs it. */
export interface OtherProcedure {
  readonly file: string;
  readonly procedure: Procedure;
  readonly program: Program;
  readonly exploration: Exploration;
}

export interface CheckContext {
  readonly file: string;
  readonly text: string;
  readonly procedure: Procedure;
  readonly scope: Scope;
  readonly program: Program;
  readonly exploration: Exploration;
  /** The procedure that `run: NAME` here would run. */
  readonly procedureNamed: (name: string) => OtherProcedure | undefined;
  /** The files of the procedures that this name may mean here, the one that would be run first. Several: nobody can tell which is meant. */
  readonly filesNamed: (name: string) => readonly string[];
  /** Names of all procedures that could be run from here. */
  readonly procedureNames: () => readonly string[];
  /** The procedures that run this one. */
  readonly callers: () => readonly Procedure[];
  /** Whether a file beside the procedure exists; undefined where that is not known. */
  readonly fileExists: (relativePath: string) => boolean | undefined;
  /** The text of the last released revision; undefined where nothing can tell. */
  readonly releasedText?: string;
  /** Where only some steps are looked at again: their indexes. Absent: all. See `texts` of a check. */
  readonly only?: ReadonlySet<number>;
  /** Computed once for this analysis, shared by all checks. */
  readonly once: <T>(compute: (context: CheckContext) => T) => T;
}

export interface Check {
  /** kebab-case; never changes once released. */
  readonly name: string;
  readonly severity: Severity;
  readonly group: CheckGroup;
  /** What it proves, in one sentence: 'No walk …'. */
  readonly proves: string;
  /** Why it matters, to the person with the meter. */
  readonly why: string;
  /** Standard, handbook or 'common practice, no source'. */
  readonly source?: string;
  /** A minimal procedure that fails it. */
  readonly bad: string;
  /** The same, put right. */
  readonly good: string;
  /** A shop.yaml that both examples live in. */
  readonly shop?: string;
  /** Other files that both examples need, by name. */
  readonly files?: Readonly<Record<string, string>>;
  /** The last released revision that both examples are compared with. */
  readonly released?: string;
  /** True where a file that is broken elsewhere would raise false alarms: it then stays silent. */
  readonly wholeOnly?: true;
  /**
   * What it makes of the texts that people read in a step (title, actions, question, text, why, note, says, refer). Absent: nothing but
   * the names in braces, the ids of references and the words of hazards in them. 'each': it judges the texts of each step by themselves,
   * and looks at `only` where that is given. 'whole': it looks at everything anew. A function: the outcome stays as long as this stays.
   */
  readonly texts?: 'each' | 'whole' | ((context: CheckContext, edited: EditedTexts) => string);
  /** It looks at texts, names of steps and the shop's words, and at nothing else: an edit elsewhere in a step is nothing to it. */
  readonly textsAlone?: true;
  /** Absent where the finding arises while reading the file. */
  readonly run?: (context: CheckContext) => Iterable<Report>;
  /** Looks at what the others found and the writer did not accept: run once they are done. */
  readonly runLast?: (context: CheckContext, open: readonly Finding[]) => Iterable<Report>;
}

/** The texts of a step before or after an edit, and the lines of the file that the edit touched. */
export interface EditedTexts {
  readonly step: Step;
  readonly lines: string;
}

/** The steps that a check of each step looks at, with their indexes: all, or `only` some. */
export function stepsLookedAt(context: CheckContext): readonly (readonly [number, Step])[] {
  const steps = allSteps(context.procedure);
  if (context.only === undefined) return context.once(numberedSteps);
  return [...context.only].flatMap((index) => (steps[index] ? [[index, steps[index]] as const] : []));
}

function numberedSteps({ procedure }: CheckContext): (readonly [number, Step])[] {
  return allSteps(procedure).map((step, index) => [index, step]);
}

const allStepsKnown = new WeakMap<Procedure, readonly Step[]>();

/** All steps, in the order of the program's indexes. */
export function allSteps(procedure: Procedure): readonly Step[] {
  let steps = allStepsKnown.get(procedure);
  if (steps === undefined) allStepsKnown.set(procedure, (steps = [...procedure.steps, ...procedure.afterRepair]));
  return steps;
}
