/** What a user can fix, or is to know. Errors of ours stay plain `Error`s and keep their stack. */
import { printable } from './printable.ts';

/** A mistake the user can mend; each problem is one clear line, ready to print. The command line exits with 2. */
export class UserError extends Error {
  readonly problems: readonly string[];

  /**
   * @param problems one line each: place, what was read, what was expected, what to do. At least one. Foreign text in
   * them is made printable.
   */
  constructor(problems: string | readonly string[]) {
    const lines = (typeof problems === 'string' ? [problems] : problems).map(printable);
    super(lines.join('\n'));
    this.name = 'UserError';
    this.problems = lines;
  }
}

/** What was asked for is there already: said, and no fault. The command line exits with 0. */
export class DoneAlready extends UserError {}
