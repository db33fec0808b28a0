/** What one fix buys, from the same flights with and without it. Flies nothing. */
import { OUTCOMES, type Outcome } from '../../flight/outputs.ts';
import { mcnemar, newcombePaired, type PairCounts } from '../../statistics/proportions/paired.ts';
import { holm } from '../../statistics/samples/holm.ts';
import type { Interval } from '../../statistics/samples/interval.ts';
import { type Estimate, normalInterval, withInfluence } from '../../statistics/sensitivity/influence.ts';
import { pairOff } from '../compare/rulePair.ts';
import { outcomeIndex } from '../flights/flightColumns.ts';
import { LEVEL } from '../fly/summary.ts';

/** Fewest landings on either side for the reciprocal of a share to be near normal. */
const LEAST_LANDINGS = 20;

export interface CauseChange {
  readonly outcome: Outcome;
  /** Flights that ended so without and with the fix, among those with a result by both. */
  readonly without: number;
  readonly with: number;
}

export interface Gain {
  /** `firstOnly`: landed with the fix only; `secondOnly`: without it only. */
  readonly counts: PairCounts;
  /** Flights without a result with or without the fix: in no count. */
  readonly noResult: number;
  /** Share landed with the fix. null without a pair. */
  readonly share: number | null;
  /** Share with minus share without, with Newcombe's interval for pairs. */
  readonly gain: number | null;
  readonly interval: Interval | null;
  /** McNemar's exact test of no difference. */
  readonly p: number;
  /** Motor pairs saved: attempts up to the first success, 1/share, without minus with. null with fewer than 20 landings on either side. */
  readonly pairsSaved: { readonly estimate: number; readonly interval: Interval } | null;
  /** Failures whose number changed by more than chance (Holm over all kinds), the one most reduced first. */
  readonly causes: readonly CauseChange[];
}

/** @param without outcomes of the study's own flights   @param fixed of the same flights with the fix, as many */
export function gainOf(without: Uint8Array, fixed: Uint8Array): Gain {
  const flights = without.length;
  const { counts, noResult } = pairOff(fixed, without, flights);
  const n = flights - noResult;
  const landedWith = counts.both + counts.firstOnly;
  const landedWithout = counts.both + counts.secondOnly;
  const found = n === 0 ? null : newcombePaired(counts, LEVEL);
  return {
    counts,
    noResult,
    share: n === 0 ? null : landedWith / n,
    gain: found?.difference ?? null,
    interval: found?.interval ?? null,
    p: mcnemar(counts).exact,
    pairsSaved: Math.min(landedWith, landedWithout) < LEAST_LANDINGS ? null : pairsSaved(without, fixed, landedWithout / n, landedWith / n),
    causes: causeChanges(without, fixed),
  };
}

/** The gain as an estimate with its influence values, all rows; those without a result add nothing. For covariances between fixes. */
export function gainEstimate(without: Uint8Array, fixed: Uint8Array): Estimate {
  return overPairs(without, fixed, (before, after) => after - before);
}

function pairsSaved(without: Uint8Array, fixed: Uint8Array, p0: number, p1: number): Gain['pairsSaved'] {
  const estimate = 1 / p0 - 1 / p1;
  // Derivative of the difference of reciprocals with respect to a row.
  const e = overPairs(without, fixed, (before, after) => after / p1 ** 2 - before / p0 ** 2);
  return { estimate, interval: normalInterval({ ...e, estimate }, LEVEL) };
}

function overPairs(without: Uint8Array, fixed: Uint8Array, value: (before: number, after: number) => number): Estimate {
  const landed = outcomeIndex('landed');
  const none = outcomeIndex('no result');
  const rows = without.length;
  const values = new Float32Array(rows);
  let n = 0;
  let sum = 0;
  for (let i = 0; i < rows; i++) {
    if (without[i] === none || fixed[i] === none) continue;
    values[i] = value(without[i] === landed ? 1 : 0, fixed[i] === landed ? 1 : 0);
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

function causeChanges(without: Uint8Array, fixed: Uint8Array): CauseChange[] {
  const none = outcomeIndex('no result');
  const landed = outcomeIndex('landed');
  const kinds = OUTCOMES.length;
  const only = { without: new Array<number>(kinds).fill(0), with: new Array<number>(kinds).fill(0) };
  const both = new Array<number>(kinds).fill(0);
  for (let i = 0; i < without.length; i++) {
    const [a, b] = [without[i], fixed[i]];
    if (a === none || b === none) continue;
    if (a === b) both[a]++;
    else {
      only.without[a]++;
      only.with[b]++;
    }
  }
  const failures = OUTCOMES.map((_, i) => i).filter((i) => i !== none && i !== landed);
  const p = holm(failures.map((i) => mcnemar({ both: both[i], firstOnly: only.without[i], secondOnly: only.with[i], neither: 0 }).exact));
  return failures
    .filter((_, k) => p[k] <= 1 - LEVEL)
    .map((i) => ({ outcome: OUTCOMES[i], without: both[i] + only.without[i], with: both[i] + only.with[i] }))
    .sort((a, b) => b.without - b.with - (a.without - a.with));
}
