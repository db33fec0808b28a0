/**
 * How much of a number's variance lies between groups and how much within them: analysis of variance in one way with
 * random groups. Says nothing of its noise; bootstrap over whole groups for that.
 */

export interface VarianceSplit {
  /** Between the groups' own means, the scatter within taken off; negative where groups differ less than chance has them. */
  readonly between: number;
  /** Within groups. */
  readonly within: number;
}

/**
 * @param groups finite numbers; groups of one tell only of what lies between, empty ones nothing
 * @returns null unless there are two groups and one of them has two numbers
 * Source: R. A. Fisher, Statistical Methods for Research Workers, ch. VII, in the form for groups of unequal size
 * (not opened; the estimator without bias is derived in any text on variance components).
 */
export function varianceSplit(groups: readonly (readonly number[])[]): VarianceSplit | null {
  let k = 0;
  let n = 0;
  let squaredSizes = 0;
  let total = 0;
  for (const group of groups) {
    if (group.length === 0) continue;
    k++;
    n += group.length;
    squaredSizes += group.length * group.length;
    total += sumOf(group);
  }
  if (k < 2 || n === k) return null;
  const mean = total / n;
  let between = 0;
  let within = 0;
  for (const group of groups) {
    if (group.length === 0) continue;
    const own = sumOf(group) / group.length;
    between += group.length * (own - mean) ** 2;
    for (const value of group) within += (value - own) ** 2;
  }
  const size = (n - squaredSizes / n) / (k - 1);
  const meanSquareWithin = within / (n - k);
  return { between: (between / (k - 1) - meanSquareWithin) / size, within: meanSquareWithin };
}

function sumOf(values: readonly number[]): number {
  let sum = 0;
  for (const value of values) sum += value;
  return sum;
}
