/** What can go wrong with the files of a run, in words for the person at it. */

export type JournalProblem = 'locked' | 'full' | 'not_allowed' | 'missing' | 'damaged' | 'other_writer' | 'closed' | 'failed';

/** Says in words what went wrong with a journal and what to do. */
export class JournalError extends Error {
  readonly problem: JournalProblem;

  constructor(problem: JournalProblem, message: string) {
    super(message);
    this.name = 'JournalError';
    this.problem = problem;
  }
}

/** What an error of the file system means for a run. */
export function journalError(path: string, error: unknown): JournalError {
  if (error instanceof JournalError) return error;
  const code = (error as { code?: string } | undefined)?.code;
  switch (code) {
    case 'ENOSPC':
    case 'EDQUOT':
    case 'EFBIG':
      return new JournalError('full', `The disk is full: the last entry could not be written to ${path}. Everything before it is kept. Free some space, then enter it again.`);
    case 'EACCES':
    case 'EPERM':
    case 'EROFS':
      return new JournalError('not_allowed', `Nothing can be written to ${path}: the folder or file is read-only. Choose another records folder.`);
    case 'ENOENT':
      return new JournalError('missing', `There is no run under way in ${path}.`);
    case 'ENOTDIR':
    case 'EEXIST':
      return new JournalError('not_allowed', `${path} cannot be made: something of that name is in the way. Choose another records folder.`);
    default:
      return new JournalError('failed', `${path} could not be written: ${(error instanceof Error ? error.message : String(error)).replace(/\.$/, '')}. The last entry does not count.`);
  }
}
