/**
 * Clopper and Pearson's interval of a share, in the reader's browser: the same as the page's own, by sums that need no
 * library.
 */

/** Steps of bisection: as many as a double has bits in its fraction, and some. */
const STEPS = 60;
/** Weight, over the greatest, from which on further terms add nothing to a double. */
const NOTHING = 1e-18;

/**
 * @param good whole, 0..counted   @param counted whole, at least 1   @param level in (0, 1)
 * @returns the ends at which as few, or as many, good ones have a chance of (1 - level)/2
 * Source: C. J. Clopper and E. S. Pearson, Biometrika 26 (1934) 404-413.
 */
export function exactShareInterval(good: number, counted: number, level: number): readonly [number, number] {
  const tail = (1 - level) / 2;
  return [
    good === 0 ? 0 : whereCrossed((p) => atLeast(good, counted, p) > tail),
    good === counted ? 1 : whereCrossed((p) => 1 - atLeast(good + 1, counted, p) < tail),
  ];
}

/** The p in (0, 1) from which on a condition holds. */
function whereCrossed(holds: (p: number) => boolean): number {
  let [low, high] = [0, 1];
  for (let step = 0; step < STEPS; step++) {
    const middle = (low + high) / 2;
    if (holds(middle)) high = middle;
    else low = middle;
  }
  return (low + high) / 2;
}

/** P(X >= k) of a binomial of n and p: weights over that of the mode, outward until they vanish. */
function atLeast(k: number, n: number, p: number): number {
  const mode = Math.min(n, Math.floor((n + 1) * p));
  const odds = p / (1 - p);
  let [all, upper] = [0, 0];
  const add = (j: number, weight: number): void => {
    all += weight;
    if (j >= k) upper += weight;
  };
  add(mode, 1);
  for (let j = mode, weight = 1; j < n && weight > NOTHING; ) {
    weight *= ((n - j) / (j + 1)) * odds;
    j++;
    add(j, weight);
  }
  for (let j = mode, weight = 1; j > 0 && weight > NOTHING; ) {
    weight *= j / (n - j + 1) / odds;
    j--;
    add(j, weight);
  }
  return upper / all;
}
