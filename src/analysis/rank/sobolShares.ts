/** Shares of an output's variance from the blocks of a pick-freeze design, once flown. Flies nothing. */
import { covarianceOfReplicates, percentileInterval, type Replicates } from '../../statistics/samples/bootstrap.ts';
import { twoSided } from '../../statistics/sensitivity/influence.ts';
import { sharedPlaces } from '../../statistics/sensitivity/sharedPlaces.ts';
import {
  doubtfulInterval,
  type PickFreeze,
  secondOrder,
  shareInterval,
  type VarianceShares,
  varianceShares,
} from '../../statistics/sensitivity/sobolIndices.ts';
import { LEVEL } from '../fly/summary.ts';
import { adviceOf } from './advice.ts';
import type { Measured, OutputShares, PairShare, SubjectShares } from './ranking.ts';
import type { Subject } from './rankSubjects.ts';

const REPLICATES = 500;
/** Fewest rows with a result, and fewest of either kind, to share out a variance. */
const LEAST_ROWS = 32;
const LEAST_EACH = 10;

/** What a block's flights gave; NaN: no result, or for sink speed no touchdown. */
export interface BlockOutputs {
  readonly success: Float64Array;
  readonly sink: Float64Array;
}

/** null when rows are too few, or too few differ, for a variance to share out. */
export function sharesOf(
  flown: readonly BlockOutputs[],
  subjects: readonly Subject[],
  size: number,
  key: keyof BlockOutputs,
  pairs: boolean,
  seed: string,
): OutputShares | null {
  const rows = Array.from({ length: size }, (_, i) => i).filter((i) => flown.every((block) => Number.isFinite(block[key][i])));
  const take = (block: BlockOutputs): Float64Array => Float64Array.from(rows, (i) => block[key][i]);
  const [a, b, ...rest] = flown.map(take);
  if (rows.length < LEAST_ROWS || !variesEnough(a, b)) return null;
  const d = subjects.length;
  const design: PickFreeze = { a, b, ab: rest.slice(0, d), ba: pairs ? rest.slice(d) : null };
  const shares = varianceShares(design, REPLICATES, seed);
  const listed = subjectShares(subjects, shares);
  return {
    rows: rows.length,
    leftOut: size - rows.length,
    mean: (meanOf(a) + meanOf(b)) / 2,
    variance: shares.variance,
    subjects: listed,
    alone: aloneOf(shares),
    advice: adviceOf(listed.map(({ name, total, place }) => ({ name, place, ...total }))),
    pairs: pairs ? pairShares(design, subjects) : null,
  };
}

/** At least so many of A and B differ from what is commonest among them. */
function variesEnough(a: Float64Array, b: Float64Array): boolean {
  const counts = new Map<number, number>();
  for (const values of [a, b]) for (const value of values) counts.set(value, (counts.get(value) ?? 0) + 1);
  return a.length + b.length - Math.max(...counts.values()) >= LEAST_EACH;
}

function subjectShares(subjects: readonly Subject[], { first, total, replicates }: VarianceShares): SubjectShares[] {
  const d = subjects.length;
  const places = sharedPlaces(
    total.map(({ estimate }) => estimate),
    covarianceOfReplicates(onlyTotals(replicates, d)),
    LEVEL,
  );
  const list = subjects.map(({ name, kind, keys }, i): SubjectShares => {
    return {
      name,
      kind,
      keys,
      first: { estimate: first[i].estimate, interval: shareInterval(first[i], replicates, i, LEVEL, -1) },
      total: { estimate: total[i].estimate, interval: shareInterval(total[i], replicates, d + i, LEVEL, 0) },
      place: places[i],
    };
  });
  return list.sort((p, q) => q.total.estimate - p.total.estimate);
}

/** Of the sum of the shares alone: their replicates row by row, and the doubt of each that few rows tell of. */
function aloneOf({ first, replicates: { count, values } }: VarianceShares): Measured {
  const sums = new Float64Array(count);
  for (let i = 0; i < first.length; i++) for (let r = 0; r < count; r++) sums[r] += values[i * count + r];
  const estimate = first.reduce((sum, share) => sum + share.estimate, 0);
  const [low, high] = percentileInterval({ count, size: 1, values: sums }, 0, LEVEL);
  const doubt = twoSided(LEVEL) * Math.hypot(...first.map((share) => share.doubt));
  return { estimate, interval: [Math.min(low, estimate) - doubt, Math.max(high, estimate) + doubt] };
}

function onlyTotals({ count, values }: Replicates, d: number): Replicates {
  return { count, size: d, values: values.subarray(d * count) };
}

function pairShares(design: PickFreeze, subjects: readonly Subject[]): PairShare[] {
  const list = subjects.flatMap((one, i) =>
    subjects.slice(i + 1).map((other, k): PairShare => {
      const e = secondOrder(design, i, i + 1 + k);
      return { a: one.name, b: other.name, estimate: e.estimate, interval: doubtfulInterval(e, LEVEL) };
    }),
  );
  return list.sort((p, q) => q.estimate - p.estimate);
}

function meanOf(values: Float64Array): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}
