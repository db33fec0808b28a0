/** An interval of numbers, and the checks at the doors of the functions that make one. Holds no method of its own. */

/** Both ends belong to it. */
export type Interval = readonly [low: number, high: number];

/** @throws RangeError unless 0 < level < 1. */
export function checkLevel(level: number): void {
  if (!(level > 0 && level < 1)) throw new RangeError(`a confidence level lies between 0 and 1, not ${level}`);
}

/** @throws RangeError unless each count is a whole number, 0 or more. */
export function checkCounts(counts: Readonly<Record<string, number>>): void {
  for (const [name, count] of Object.entries(counts)) {
    if (!Number.isSafeInteger(count) || count < 0) throw new RangeError(`${name} counts whole things, 0 or more, not ${count}`);
  }
}

/** @throws RangeError unless k and n are whole, n >= 1 and 0 <= k <= n. */
export function checkSuccesses(k: number, n: number): void {
  checkCounts({ k, n });
  if (n < 1) throw new RangeError('a share needs at least one trial, got none');
  if (k > n) throw new RangeError(`${k} successes in only ${n} trials`);
}
