/**
 * Looking at several pairs of rules again and again while flights come in: each pair keeps the statement of the first
 * look at which it was decided. Looks are numbered by flights alone, so that the answer depends on no timing.
 */
import type { PairCounts } from '../../statistics/proportions/paired.ts';
import { type LookPlan, pairOff, repeatedStatement, type Statement } from './rulePair.ts';

export class RepeatedLooks {
  readonly #pairs: readonly (readonly [number, number])[];
  readonly #plan: LookPlan;
  readonly #margin: number | null;
  readonly #decided: (Statement | null)[];
  #counts: PairCounts[];
  #seen = 0;

  /** @param pairs places of the two rules of each pair   @param margin difference that does not matter, > 0, or null */
  constructor(pairs: readonly (readonly [number, number])[], plan: LookPlan, margin: number | null) {
    this.#pairs = pairs;
    this.#plan = plan;
    this.#margin = margin;
    this.#decided = pairs.map(() => null);
    this.#counts = pairs.map(() => ({ both: 0, firstOnly: 0, secondOnly: 0, neither: 0 }));
  }

  /**
   * Looks at the first `flights` flights.
   * @param outcomes of all flights so far, by rule   @param flights no fewer than at the look before
   * @returns whether every pair is decided
   */
  look(outcomes: readonly Uint8Array[], flights: number): boolean {
    const more = flights - this.#seen;
    const since = outcomes.map((outcome) => outcome.subarray(this.#seen, flights));
    this.#counts = this.#counts.map((counts, p) => {
      const [first, second] = this.#pairs[p];
      return sum(counts, pairOff(since[first], since[second], more).counts);
    });
    this.#seen = flights;
    this.#counts.forEach((counts, p) => {
      if (this.#decided[p] !== null) return;
      const statement = this.#state(counts);
      if (statement.verdict !== 'open') this.#decided[p] = statement;
    });
    return this.#decided.every((statement) => statement !== null);
  }

  /** By pair: what was said when it was decided, or what can be said at the last look. */
  statements(): Statement[] {
    return this.#counts.map((counts, p) => this.#decided[p] ?? this.#state(counts));
  }

  #state(counts: PairCounts): Statement {
    return repeatedStatement(counts, this.#seen, this.#plan, this.#margin);
  }
}

function sum(a: PairCounts, b: PairCounts): PairCounts {
  return {
    both: a.both + b.both,
    firstOnly: a.firstOnly + b.firstOnly,
    secondOnly: a.secondOnly + b.secondOnly,
    neither: a.neither + b.neither,
  };
}
