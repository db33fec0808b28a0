/**
 * The thrust curve of several firings of one motor: each drawn to the same burn time and impulse, averaged, and thinned
 * to the corners that matter. Reads no recording.
 */
import { impulseOf } from '../../maths/thrustCurve.ts';
import type { ThrustCurve } from '../../study/study.ts';
import type { Firing } from './firing.ts';

/** Steps of the common grid in a burn time: at most, and at least. */
const MOST_STEPS = 400;
const FEWEST_STEPS = 50;
/** Corners kept at most. */
const MOST_CORNERS = 60;
/** Share of the peak by which the thinned curve may miss the mean. */
const FIRST_TOLERANCE = 0.004;

export interface MeanCurve {
  /** From first to last thrust, 0 N at both ends; its impulse is the mean one. */
  readonly curve: ThrustCurve;
  /** From its start to the start of the burn time, s. */
  readonly lead: number;
  /** Greatest distance of any firing from it, each at the mean's burn time and impulse; share of the peak. */
  readonly farthest: number;
}

/**
 * @param firings at least one   @param burnTime s, their mean   @param impulse N s, their mean
 */
export function meanCurve(firings: readonly Firing[], burnTime: number, impulse: number): MeanCurve {
  const readings = Math.min(...firings.map((f) => f.time.length));
  const steps = Math.min(MOST_STEPS, Math.max(FEWEST_STEPS, readings));
  const shapes = firings.map(shapeOf);
  const from = shapes.reduce((sum, s) => sum + s.x[0], 0) / shapes.length;
  const to = Math.max(...shapes.map((s) => s.x[s.x.length - 1]));
  const h = 1 / steps;
  const count = Math.ceil((to - from) / h) + 1;
  const grid = Float64Array.from({ length: count }, (_, i) => from + i * h);
  const drawn = shapes.map((shape) => grid.map((x) => (running(shape, x + 0.5 * h) - running(shape, x - 0.5 * h)) / h));
  const mean = grid.map((_, i) => drawn.reduce((sum, y) => sum + y[i], 0) / drawn.length);
  mean[0] = 0;
  mean[mean.length - 1] = 0;
  const peak = mean.reduce((a, b) => Math.max(a, b));
  const farthest = drawn.reduce((far, y) => y.reduce((d, value, i) => Math.max(d, Math.abs(value - mean[i])), far), 0) / peak;
  const kept = corners(grid, mean, peak);
  const time = kept.map((i) => (grid[i] - grid[0]) * burnTime);
  const shape = kept.map((i) => Math.max(0, mean[i]));
  const scale = impulse / impulseOf(time, shape);
  return { curve: { time, thrust: shape.map((y) => y * scale) }, lead: -grid[0] * burnTime, farthest };
}

/** A firing in burn times from the start of the burn, and in thrusts that make an impulse of 1. */
interface Shape {
  readonly x: Float64Array;
  readonly y: Float64Array;
  /** Impulse up to each point. */
  readonly sum: Float64Array;
}

function shapeOf({ time, force, start, burnTime, impulse }: Firing): Shape {
  const x = time.map((t) => (t - start) / burnTime);
  const y = force.map((f) => (f * burnTime) / impulse);
  const sum = new Float64Array(x.length);
  for (let i = 1; i < x.length; i++) sum[i] = sum[i - 1] + 0.5 * (x[i] - x[i - 1]) * (y[i] + y[i - 1]);
  return { x, y, sum };
}

/** Impulse of a shape up to x: exact for what is linear between its points, nothing outside. */
function running({ x, y, sum }: Shape, place: number): number {
  if (place <= x[0]) return 0;
  const last = x.length - 1;
  if (place >= x[last]) return sum[last];
  let low = 0;
  let high = last;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (x[middle] <= place) low = middle;
    else high = middle;
  }
  const d = place - x[low];
  const slope = (y[high] - y[low]) / (x[high] - x[low]);
  return sum[low] + d * (y[low] + 0.5 * slope * d);
}

/**
 * Places of the corners of a line that stays within a tolerance of all points, by halving at the farthest.
 * Source: D. H. Douglas and T. K. Peucker, The Canadian Cartographer 10 (1973) 112-122, with distances taken along y.
 */
function corners(x: Float64Array, y: Float64Array, peak: number): readonly number[] {
  for (let tolerance = FIRST_TOLERANCE * peak; ; tolerance *= 1.3) {
    const kept = new Set([0, x.length - 1]);
    const open: [number, number][] = [[0, x.length - 1]];
    for (let span = open.pop(); span !== undefined; span = open.pop()) {
      const [a, b] = span;
      let far = 0;
      let place = -1;
      for (let i = a + 1; i < b; i++) {
        const line = y[a] + ((y[b] - y[a]) * (x[i] - x[a])) / (x[b] - x[a]);
        if (Math.abs(y[i] - line) > far) [far, place] = [Math.abs(y[i] - line), i];
      }
      if (far <= tolerance) continue;
      kept.add(place);
      open.push([a, place], [place, b]);
    }
    if (kept.size <= MOST_CORNERS) return [...kept].sort((a, b) => a - b);
  }
}
