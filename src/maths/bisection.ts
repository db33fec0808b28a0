/** Where a condition that holds from one end on stops holding, by halving. Not for the kernel, which halves without closures. */

/**
 * The last point found at which the condition holds.
 * @param good where it holds   @param bad where it does not; on either side of `good`
 * @param tolerance width at which to stop; halving also stops when no number is left between
 */
export function bisect(good: number, bad: number, tolerance: number, holds: (x: number) => boolean): number {
  let low = good;
  let high = bad;
  while (Math.abs(high - low) > tolerance) {
    const middle = 0.5 * (low + high);
    if (middle === low || middle === high) break;
    if (holds(middle)) low = middle;
    else high = middle;
  }
  return low;
}
