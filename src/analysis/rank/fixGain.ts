/** What fixes buy, from the same flights with and without each. Flies nothing. */
import { OUTCOMES, type Outcome } from '../../flight/outputs.ts';
import { attemptsSaved, mcnemar, type PairCounts, pairedDifference } from '../../statistics/proportions/paired.ts';
import { holm } from '../../statistics/samples/holm.ts';
import type { Interval } from '../../statistics/samples/interval.ts';
import { type Estimate, withInfluence } from '../../statistics/sensitivity/influence.ts';
import { pairOff } from '../compare/rulePair.ts';
import { outcomeIndex } from '../flights/flightColumns.ts';
import { LEVEL } from '../fly/summary.ts';

/**
 * Fewest landings on either side for a number of attempts to be worth printing: under that its interval spans a factor
 * of two or more.
 */
const LEAST_LANDINGS = 20;

/** The change of one kind of failure by a fix. */
export interface CauseChange {
  readonly outcome: Outcome;
  /** Flights that ended so without and with the fix, among those with a result by both. */
  readonly without: number;
  readonly with: number;
  /**
   * Share with minus share without, its interval holding together with those of all kinds and all fixes of the list.
   */
  readonly change: number;
  readonly interval: Interval;
}

export interface Gain {
  /** `firstOnly`: landed with the fix only; `secondOnly`: without it only. */
  readonly counts: PairCounts;
  /** Flights without a result with or without the fix: in no count. */
  readonly noResult: number;
  /** Share landed with the fix. null without a pair. */
  readonly share: number | null;
  /** Share with minus share without, with its interval for pairs. */
  readonly gain: number | null;
  /**
   * At `level`; with it all intervals of the list hold together at LEVEL (Bonferroni), so that the best of the list may
   * be read off.
   */
  readonly interval: Interval | null;
  readonly level: number;
  /** McNemar's exact test of no difference, of this fix alone. */
  readonly p: number;
  /**
   * Motor pairs saved: attempts up to the first success, 1/share, without minus with, at `level`. null with fewer than
   * 20 landings on either side.
   */
  readonly pairsSaved: { readonly estimate: number; readonly interval: Interval } | null;
  /**
   * Failures whose number changed by more than chance (Holm over all kinds and all fixes of the list), the one most
   * reduced first.
   */
  readonly causes: readonly CauseChange[];
}

/**
 * What each of several fixes buys, told so that the whole list holds together.
 * @param without outcomes of the study's own flights   @param fixed of the same flights with each fix, as many
 */
export function gainsOf(without: Uint8Array, fixed: readonly Uint8Array[]): Gain[] {
  const level = 1 - (1 - LEVEL) / Math.max(1, fixed.length);
  const causes = causesOf(without, fixed);
  return fixed.map((outcome, i): Gain => {
    const { counts, noResult } = pairOff(outcome, without, without.length);
    const n = without.length - noResult;
    const landedWith = counts.both + counts.firstOnly;
    const landedWithout = counts.both + counts.secondOnly;
    const found = n === 0 ? null : pairedDifference(counts, level);
    return {
      counts,
      noResult,
      share: n === 0 ? null : landedWith / n,
      gain: found?.difference ?? null,
      interval: found?.interval ?? null,
      level,
      p: mcnemar(counts).exact,
      pairsSaved: Math.min(landedWith, landedWithout) < LEAST_LANDINGS ? null : savedOf(counts, level),
      causes: causes[i],
    };
  });
}

function savedOf(counts: PairCounts, level: number): Gain['pairsSaved'] {
  const { difference, interval } = attemptsSaved(counts, level);
  return { estimate: difference, interval };
}

/**
 * The gain as an estimate with its influence values, all rows; those without a result add nothing. For covariances
 * between fixes.
 */
export function gainEstimate(without: Uint8Array, fixed: Uint8Array): Estimate {
  const landed = outcomeIndex('landed');
  const none = outcomeIndex('no result');
  const rows = without.length;
  const values = new Float32Array(rows);
  let n = 0;
  let sum = 0;
  for (let i = 0; i < rows; i++) {
    if (without[i] === none || fixed[i] === none) continue;
    values[i] = (fixed[i] === landed ? 1 : 0) - (without[i] === landed ? 1 : 0);
    sum += values[i];
    n++;
  }
  if (n === 0) return withInfluence(0, values);
  const mean = sum / n;
  for (let i = 0; i < rows; i++) {
    const counted = without[i] !== none && fixed[i] !== none;
    values[i] = counted ? ((values[i] - mean) * rows) / n : 0;
  }
  return withInfluence(mean, values);
}

/** Failures in the order of OUTCOMES, by their index. */
const FAILURES = OUTCOMES.map((_, i) => i).filter((i) => OUTCOMES[i] !== 'no result' && OUTCOMES[i] !== 'landed');

/**
 * Source: S. Holm, as holm.ts; R. E. Tarone, A modified Bonferroni method for discrete data, Biometrics 46 (1990)
 * 515-522.
 */
function causesOf(without: Uint8Array, fixed: readonly Uint8Array[]): CauseChange[][] {
  // A kind that no pair differs in can show nothing, whatever it is tested at: it takes no share of the chance of error
  // (Tarone).
  const all = fixed
    .flatMap((outcome, fix) => FAILURES.map((kind) => ({ fix, kind, pairs: failurePairs(without, outcome, kind) })))
    .filter(({ pairs }) => pairs.firstOnly + pairs.secondOnly > 0);
  const p = holm(all.map(({ pairs }) => mcnemar(pairs).exact));
  const shown = all.filter((_, i) => p[i] <= 1 - LEVEL);
  const level = 1 - (1 - LEVEL) / Math.max(1, all.length);
  return fixed.map((_, fix) =>
    shown
      .filter((one) => one.fix === fix)
      .map(({ kind, pairs }): CauseChange => {
        const { difference, interval } = pairedDifference(pairs, level);
        const [withIt, before] = [pairs.both + pairs.firstOnly, pairs.both + pairs.secondOnly];
        return { outcome: OUTCOMES[kind], without: before, with: withIt, change: difference, interval };
      })
      .sort((a, b) => a.change - b.change),
  );
}

/** Pairs by whether they ended in one kind of failure, with the fix first. */
function failurePairs(without: Uint8Array, fixed: Uint8Array, kind: number): PairCounts {
  const none = outcomeIndex('no result');
  const counts = { both: 0, firstOnly: 0, secondOnly: 0, neither: 0 };
  for (let i = 0; i < without.length; i++) {
    if (without[i] === none || fixed[i] === none) continue;
    if (fixed[i] === kind) counts[without[i] === kind ? 'both' : 'firstOnly']++;
    else counts[without[i] === kind ? 'secondOnly' : 'neither']++;
  }
  return counts;
}
