/**
 * What goes wrong, and how often? The outcomes other than a landing, ranked, with honest marks where the ranking is not
 * settled.
 */
import { OUTCOMES, type Outcome } from '../../flight/outputs.ts';
import { clopperPearson } from '../../statistics/proportions/binomial.ts';
import { evenSplit } from '../../statistics/proportions/evenSplit.ts';
import { checkLevel, type Interval } from '../../statistics/samples/interval.ts';
import { outcomeIndex } from '../flights/flightColumns.ts';

export interface Cause {
  readonly outcome: Outcome;
  readonly count: number;
  /** Of the flights with a result. */
  readonly share: number;
  /** Clopper and Pearson's, for this share alone. */
  readonly interval: Interval;
  /** Exact p that this cause and the next are equally likely; null for the last. */
  readonly nextP: number | null;
  /** The order of this cause and the next may be luck: nextP > 1 - level. Never so for the last. */
  readonly tiedWithNext: boolean;
  /** From 1; neighbours whose order may be luck share the place of the first of them. */
  readonly place: number;
  /** Whether another cause has the same place. */
  readonly shared: boolean;
}

export interface Causes {
  readonly level: number;
  /** Flights with a result. */
  readonly counted: number;
  /** Flights without one; no cause of failure, but to be shown beside the table. */
  readonly noResult: number;
  readonly failed: number;
  /** Causes that occurred, most frequent first; equal counts in the order of OUTCOMES. */
  readonly ranked: readonly Cause[];
  /** Causes that did not occur, and how likely each may still be; null without flights or when every cause occurred. */
  readonly unseen: null | { readonly outcomes: readonly Outcome[]; readonly interval: Interval };
}

/**
 * Neighbours in the ranking are compared by the exact conditional test of two multinomial cells, two-sided and
 * unadjusted. From the top down to the first tie, the ranks so separated hold all together at `level`; separations
 * below a tie are each by itself.
 * @param counts flights per outcome, in the order of OUTCOMES
 * @param level in (0, 1)
 * @throws RangeError for unfit counts or level
 * Source: K. Hung and W. Fithian, Rank verification for exponential families, Annals of Statistics 47 (2019) 758-782.
 */
export function causes(counts: readonly number[], level: number): Causes {
  checkLevel(level);
  if (counts.length !== OUTCOMES.length) throw new RangeError(`${counts.length} counts for ${OUTCOMES.length} outcomes`);
  const noResult = counts[outcomeIndex('no result')] ?? Number.NaN;
  const landed = counts[outcomeIndex('landed')] ?? Number.NaN;
  const counted = counts.reduce((sum, count) => sum + count, 0) - noResult;
  const failures = OUTCOMES.map((outcome, i) => ({ outcome, count: counts[i] ?? Number.NaN })).filter(
    ({ outcome }) => outcome !== 'no result' && outcome !== 'landed',
  );
  const seen = failures.filter(({ count }) => count !== 0).sort((a, b) => b.count - a.count);
  const unseen = failures.filter(({ count }) => count === 0).map(({ outcome }) => outcome);
  let place = 1;
  let tiedBefore = false;
  const ranked = seen.map(({ outcome, count }, i): Cause => {
    const next = seen[i + 1];
    const nextP = next === undefined ? null : evenSplit(count, next.count).exact;
    const tiedWithNext = nextP !== null && nextP > 1 - level;
    if (!tiedBefore) place = i + 1;
    const shared = tiedBefore || tiedWithNext;
    tiedBefore = tiedWithNext;
    return {
      outcome,
      count,
      share: count / counted,
      interval: clopperPearson(count, counted, level),
      nextP,
      tiedWithNext,
      place,
      shared,
    };
  });
  return {
    level,
    counted,
    noResult,
    failed: counted - landed,
    ranked,
    unseen: counted > 0 && unseen.length > 0 ? { outcomes: unseen, interval: clopperPearson(0, counted, level) } : null,
  };
}
