/**
 * What a run asks of a journal: units flown before, and a place for those flown now. What is asked of the rows follows
 * from the rows alone, so a run that finds its rows again ends as if it had never stopped. Knows no file.
 */
import type { LostFlight, Work } from './work.ts';

/** Consecutive units as a batch holds them, with those among them that were lost. */
export interface KeptUnits {
  readonly count: number;
  readonly rowsOf: Float64Array;
  readonly columns: Float64Array;
  readonly lost: readonly LostFlight[];
}

export interface Journal {
  /**
   * Units of this work that were flown before, from number `first` on and at most so many.
   * @returns null where that one must be flown   @throws UserError when what was kept cannot be read again
   */
  find(work: Work, first: number, most: number): KeptUnits | null;
  /** Keeps units just flown. @throws UserError when the disk is full or fails */
  keep(work: Work, first: number, units: KeptUnits): void;
}

/** Keeps nothing. */
export const NO_JOURNAL: Journal = { find: () => null, keep: () => undefined };
