/**
 * What becomes of a rank correlation between inputs of few values: the copula ties their uniforms as asked, but values
 * that are equal leave their ranks tied, and a chance of 1.5 % can go along with anything in 1.5 % of flights only.
 * Warns; changes nothing.
 */
import { sin } from '../maths/elementary/circular.ts';
import { normalCdf, normalQuantile } from '../maths/normal.ts';
import type { Correlation } from './correlations.ts';
import { type Distribution, quantile } from './distributions.ts';
import type { InputDistributions } from './varying.ts';

/**
 * Points at which a distribution's values are looked up and the first of the two is summed over, and points of the
 * second.
 */
const VALUES = 2000;
const POINTS = 300;
/** Share of what was asked for that must be reached for nothing to be said. */
const ENOUGH = 0.9;

export interface Reached {
  /** Rank correlation (ties averaged) of flights drawn so. */
  readonly reached: number;
  /** The strongest these two can have with this sign, asked for as 1 or -1. */
  readonly most: number;
}

/**
 * @param rank asked for, in (-1, 1)   Source of the normals' correlation: W. H. Kruskal, J. Am. Stat. Assoc. 53 (1958)
 * 814-861.
 */
export function reachedCorrelation(a: Distribution, b: Distribution, rank: number): Reached {
  const [first, second] = [tiedRanks(a), tiedRanks(b)];
  const r = 2 * sin((Math.PI * rank) / 6);
  const away = Math.sqrt(1 - r * r);
  const others = Float64Array.from({ length: POINTS }, (_, i) => away * normalQuantile((i + 0.5) / POINTS));
  let [tied, together] = [0, 0];
  for (const [k, own] of first.entries()) {
    const along = r * normalQuantile((k + 0.5) / VALUES);
    for (const other of others) tied += own * at(second, normalCdf(along + other));
  }
  for (let k = 0; k < VALUES; k++) together += first[k] * second[rank < 0 ? VALUES - 1 - k : k];
  const scale = spread(first) * spread(second);
  return { reached: tied / VALUES / POINTS / scale, most: together / VALUES / scale };
}

/** A correlation that stays well short of what it asks for: which of the list, and what to know of it. */
export interface CorrelationWarning {
  readonly index: number;
  readonly text: string;
}

/** @param list without problems, of inputs that vary */
export function correlationWarnings(list: readonly Correlation[], inputs: InputDistributions): readonly CorrelationWarning[] {
  return list.flatMap(({ a, b, rank }, index) => {
    const [one, other] = [inputs[a], inputs[b]];
    if (one === undefined || other === undefined || !(ranksTie(one) || ranksTie(other))) return [];
    const { reached, most } = reachedCorrelation(one, other, rank);
    if (Math.abs(reached) >= ENOUGH * Math.abs(rank)) return [];
    const text =
      `asks for a rank correlation of ${rank} of ${a} with ${b}; flights reach about ${reached.toFixed(2)}, for where values are few ranks are tied; ` +
      `these two can reach ${most.toFixed(2)} at most. What goes along is as asked, only seldom.`;
    return [{ index, text }];
  });
}

/** Whether draws can be equal; where none are, the normals' correlation reaches what was asked for. */
function ranksTie(d: Distribution): boolean {
  switch (d.kind) {
    case 'fixed':
    case 'discrete':
    case 'chance':
      return true;
    case 'measured':
      return d.as === 'resample' || d.bandwidth === 0;
    case 'normal':
    case 'student':
    case 'truncatedNormal':
    case 'lognormal':
    case 'uniform':
    case 'triangular':
    case 'beta':
      return false;
  }
}

/** Mid-ranks of the values at evenly spread uniforms, as shares less a half. */
function tiedRanks(d: Distribution): Float64Array {
  const value = quantile(d);
  const values = Float64Array.from({ length: VALUES }, (_, k) => value((k + 0.5) / VALUES));
  const ranks = new Float64Array(VALUES);
  for (let start = 0; start < VALUES; ) {
    let end = start + 1;
    while (end < VALUES && values[end] === values[start]) end++;
    ranks.fill((start + end) / 2 / VALUES - 0.5, start, end);
    start = end;
  }
  return ranks;
}

function at(ranks: Float64Array, u: number): number {
  return ranks[Math.min(VALUES - 1, Math.floor(u * VALUES))];
}

function spread(ranks: Float64Array): number {
  return Math.sqrt(ranks.reduce((sum, rank) => sum + rank * rank, 0) / ranks.length);
}
