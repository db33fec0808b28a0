/** Several tests at once: p values that hold together. */

/**
 * Holm's step-down adjustment: rejecting what is at or under alpha errs anywhere with probability at most alpha,
 * however the tests depend. Repeated p values (groupSequential.ts) may be adjusted too.
 * @param p values in [0, 1]
 * @returns adjusted values in the same order, at most 1; ties get the same value
 * @throws RangeError for a value outside [0, 1]
 * Source: S. Holm, Scandinavian Journal of Statistics 6 (1979) 65-70.
 */
export function holm(p: readonly number[]): number[] {
  for (const value of p) if (!(value >= 0 && value <= 1)) throw new RangeError(`a p value lies in [0, 1], not ${value}`);
  const rising = p.map((value, index) => ({ value, index })).sort((a, b) => a.value - b.value);
  const adjusted = new Array<number>(p.length).fill(1);
  let greatest = 0;
  rising.forEach(({ value, index }, step) => {
    greatest = Math.max(greatest, Math.min(1, (p.length - step) * value));
    adjusted[index] = greatest;
  });
  return adjusted;
}
