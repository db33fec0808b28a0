/**
 * The first-order shares of one output's variance: of every input, of groups of them, and the places that the data
 * tell apart. Of a million flights the influence values of all inputs are much, so none outlive this.
 */
import { type FirstOrder, firstOrder, shareInterval } from '../../statistics/sensitivity/givenData.ts';
import { covarianceByInfluence, normalInterval } from '../../statistics/sensitivity/influence.ts';
import { type Place, sharedPlaces } from '../../statistics/sensitivity/sharedPlaces.ts';
import { LEVEL } from '../fly/summary.ts';
import type { GroupShare, Measured, Tested } from './ranking.ts';
import type { Subject } from './rankSubjects.ts';

export interface InputShare {
  readonly share: Tested;
  readonly place: Place;
}

/**
 * @param names of the inputs   @param values of one by its name, over the output's rows   @param output varying
 * @returns one share an input, in their order; and the groups with an input among them, the largest share first
 */
export function firstOrderShares(
  names: readonly string[],
  values: (name: string) => Float64Array,
  output: Float64Array,
  groups: readonly Subject[],
): { readonly inputs: readonly InputShare[]; readonly groups: readonly GroupShare[] } {
  // In one piece, which the system takes back whole.
  const n = output.length;
  const influence = new Float32Array(names.length * n);
  const shares = names.map((name, i): FirstOrder => firstOrder(values(name), output, influence.subarray(i * n, (i + 1) * n)));
  const covariance = covarianceByInfluence(shares);
  const estimates = shares.map(({ estimate }) => estimate);
  const places = sharedPlaces(estimates, covariance, LEVEL);
  return {
    inputs: shares.map((one, i) => ({
      share: { ...within({ estimate: one.estimate, interval: shareInterval(one, LEVEL) }), pValue: one.pValue },
      place: places[i],
    })),
    groups: groupShares(groups, names, estimates, covariance),
  };
}

/**
 * The estimate moved to the nearer end of an interval that is cut where the quantity ends: no share is below nothing.
 */
export function within({ estimate, interval }: Measured): Measured {
  return { estimate: Math.min(interval[1], Math.max(interval[0], estimate)), interval };
}

/** Sums of the inputs' shares, whose covariances are the sums of theirs. */
function groupShares(
  groups: readonly Subject[],
  names: readonly string[],
  estimates: readonly number[],
  covariance: Float64Array,
): GroupShare[] {
  const found = groups.flatMap(({ name, keys: members }) => {
    const inputs = members.map((key) => names.indexOf(key)).filter((i) => i >= 0);
    return inputs.length === 0 ? [] : [{ name, inputs, estimate: inputs.reduce((total, i) => total + estimates[i], 0) }];
  });
  const together = new Float64Array(found.length ** 2);
  for (const [a, { inputs: rows }] of found.entries()) {
    for (const [b, { inputs: columns }] of found.entries()) {
      for (const i of rows) for (const j of columns) together[a * found.length + b] += covariance[i * names.length + j];
    }
  }
  const places = sharedPlaces(
    found.map(({ estimate }) => estimate),
    together,
    LEVEL,
  );
  return found
    .map(({ name, estimate }, g): GroupShare => {
      // Rounding may leave a trace below nothing where no spread is seen.
      const standardError = Math.sqrt(Math.max(0, together[g * found.length + g]));
      const [low, high] = normalInterval({ estimate, standardError }, LEVEL, 0, 1);
      return { name, ...within({ estimate, interval: [low, Math.max(0, high)] }), place: places[g] };
    })
    .sort((a, b) => b.estimate - a.estimate);
}
