/** The step between neighbouring values that readings can have. Knows no sensor. */
import type { Interval } from '../samples/interval.ts';

export interface Step {
  readonly value: number;
  /** Where steps lie that fit all values as written: rounding of the digits is in it. */
  readonly interval: Interval;
}

/** Values that a step is told from, at least. */
const FEWEST = 2;
/** Readings for each value, at least: fewer and the values are not those of a grid. */
const CROWDED = 2;
/** Share of a step by which values may lie beside the grid: digits that were rounded away. */
const BESIDE = 0.25;

/**
 * A grid laid through the values that occur. Gaps of several steps are taken as such.
 * @param sorted readings, ascending
 * @returns null where no grid is seen: too few values, or nearly as many values as readings
 */
export function quantisationStep(sorted: Float64Array): Step | null {
  const values: number[] = [];
  for (const x of sorted) if (x !== values[values.length - 1]) values.push(x);
  const n = values.length;
  if (n < FEWEST || sorted.length < CROWDED * n) return null;
  const gaps = Float64Array.from({ length: n - 1 }, (_, i) => values[i + 1] - values[i]).sort();
  // Where most values occur the lower quartile is one step; the tails leave some out.
  const first = gaps[Math.floor(gaps.length / 4)];
  const places = new Float64Array(n);
  for (let i = 1; i < n; i++) places[i] = places[i - 1] + Math.max(1, Math.round((values[i] - values[i - 1]) / first));
  const middle = places.reduce((a, b) => a + b) / n;
  const mean = values.reduce((a, b) => a + b) / n;
  let [xy, xx] = [0, 0];
  for (let i = 0; i < n; i++) {
    xy += (places[i] - middle) * (values[i] - mean);
    xx += (places[i] - middle) ** 2;
  }
  const step = xy / xx;
  let worst = 0;
  for (let i = 0; i < n; i++) worst = Math.max(worst, Math.abs(values[i] - mean - step * (places[i] - middle)));
  if (worst > BESIDE * step) return null;
  const half = (2 * worst) / (places[n - 1] - places[0]);
  return { value: step, interval: [step - half, step + half] };
}
