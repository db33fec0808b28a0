/** What a user can fix, or is to know. Errors of ours stay plain `Error`s and keep their stack. */
import { printable } from './printable.ts';

/** Characters of a line that is still read; no list of ours is longer. */
const LONGEST = 4000;

/** A line without its middle where something foreign made it too long to read. */
function readable(line: string): string {
  if (line.length <= LONGEST) return line;
  const kept = LONGEST / 2;
  return `${line.slice(0, kept)} ... (${line.length - LONGEST} characters left out) ... ${line.slice(-kept)}`;
}

/** A mistake the user can mend; each problem is one clear line, ready to print. The command line exits with 2. */
export class UserError extends Error {
  readonly problems: readonly string[];

  /**
   * @param problems one line each: place, what was read, what was expected, what to do. At least one. Foreign text in
   * them is made printable; the middle of what is too long to read is left out.
   */
  constructor(problems: string | readonly string[]) {
    const lines = (typeof problems === 'string' ? [problems] : problems).map((line) => readable(printable(line)));
    super(lines.join('\n'));
    this.name = 'UserError';
    this.problems = lines;
  }
}

/** What was asked for is there already: said, and no fault. The command line exits with 0. */
export class DoneAlready extends UserError {}
