/**
 * Problems and warnings met while a study is read, each with the place it belongs to. Does not print and does not
 * throw.
 */

/** Keys and list positions from the top of a study file. */
export type Path = readonly (string | number)[];

export interface Finding {
  /** Where in the study file; undefined when `place` says it. */
  readonly path: Path | undefined;
  /** `file:line:column` of another file. */
  readonly place: string | undefined;
  /** The key is what is wrong, not the value. */
  readonly onKey: boolean;
  /** `read X; expected Y. What to do.` */
  readonly text: string;
}

export class Findings {
  readonly problems: Finding[] = [];
  readonly warnings: Finding[] = [];

  problem(path: Path, text: string): void {
    this.problems.push({ path, place: undefined, onKey: false, text });
  }

  /** The key at the end of the path is the problem, whatever it holds. */
  problemOfKey(path: Path, text: string): void {
    this.problems.push({ path, place: undefined, onKey: true, text });
  }

  /** A problem in a file that the study names. */
  problemAt(place: string, text: string): void {
    this.problems.push({ path: undefined, place, onKey: false, text });
  }

  warning(path: Path, text: string): void {
    this.warnings.push({ path, place: undefined, onKey: false, text });
  }
}
