/** What a command needs of the process, and how it says that it cannot be done. */
export interface CommandEnvironment {
  readonly cwd: string;
  readonly out: (text: string) => void;
  readonly error: (text: string) => void;
  /** Of the terminal; undefined where the output is none. */
  readonly columns: number | undefined;
  readonly colours: boolean;
  /** The tool's own file, which can be started as a thread; undefined where there is none. */
  readonly script?: string;
  /** Where findings may be kept from one check to the next. */
  readonly cacheFolder?: string;
}

/** A message for the user that ends a command with code 2. */
export class CannotRun extends Error {}

export const FORMATS = ['text', 'json', 'sarif', 'junit'] as const;
export type Format = (typeof FORMATS)[number];

export const DIAGNOSIS_FORMATS = ['text', 'json', 'html'] as const;
export type DiagnosisFormat = (typeof DIAGNOSIS_FORMATS)[number];

export const REVIEW_FORMATS = ['text', 'json', 'html'] as const;
export type ReviewFormat = (typeof REVIEW_FORMATS)[number];
