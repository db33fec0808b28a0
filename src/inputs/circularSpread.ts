/**
 * Making a direction on a circle vary less: what spread.ts does for numbers on a line, without depending on where a
 * turn is begun to be counted. A direction that may be any has no middle, and then there is nothing to hold it at.
 */
import { atan2 } from '../maths/elementary/arc.ts';
import { cos, sin } from '../maths/elementary/circular.ts';
import { type Distribution, quantile } from './distributions.ts';
import { centre, scaleSpread } from './spread.ts';

const TURN = 2 * Math.PI;
/** Shortest mean of the unit vectors for a middle to be spoken of: 0 is every direction alike, 1 one direction only. */
const LEAST_LENGTH = 0.1;
/** Quantiles that stand for a distribution. */
const POINTS = 1024;
/** Share of draws on either side that a stretch may leave beyond half a turn from the middle. */
const BEYOND = 1e-3;

/**
 * The middle direction, rad; null where there is none: directions so spread that their unit vectors all but cancel.
 * Of directions from a list it is that of their mean vector. Of others it is their mean on the stretch they are written
 * on.
 * Source: K. V. Mardia and P. E. Jupp, Directional Statistics (2000), section 2.2.
 */
export function middleDirection(d: Distribution): number | null {
  const { length, direction } = meanVector(d);
  if (length < LEAST_LENGTH) return null;
  if (d.kind !== 'discrete' && d.kind !== 'measured') return centre(d);
  const near = centre(d);
  return near + turned(direction - near);
}

/**
 * The distribution with its spread about that middle times `factor`; null where it has none, or where it reaches beyond
 * half a turn from it, so that nobody can say toward which side to draw it in (then only holding it at the middle,
 * factor 0, has a meaning).
 * @param factor in [0, 1]   @throws RangeError otherwise
 */
export function scaleCircularSpread(d: Distribution, factor: number): Distribution | null {
  if (!(factor >= 0 && factor <= 1)) throw new RangeError(`a direction's spread can only be drawn in, by 0 to 1, not ${factor}`);
  if (factor === 1 || d.kind === 'fixed') return d;
  const middle = middleDirection(d);
  if (middle === null) return null;
  if (factor === 0) return { kind: 'fixed', value: middle };
  const draw = (x: number): number => middle + factor * turned(x - middle);
  switch (d.kind) {
    case 'discrete':
      return { ...d, values: d.values.map(draw) };
    case 'measured':
      return { ...d, values: d.values.map(draw).sort((a, b) => a - b), bandwidth: d.bandwidth * factor };
    default: {
      const value = quantile(d);
      const farthest = Math.max(middle - value(BEYOND), value(1 - BEYOND) - middle);
      return farthest <= Math.PI ? scaleSpread(d, factor) : null;
    }
  }
}

/** The angle within half a turn of 0. */
function turned(angle: number): number {
  return angle - TURN * Math.round(angle / TURN);
}

function meanVector(d: Distribution): { readonly length: number; readonly direction: number } {
  let [east, north] = [0, 0];
  const add = (angle: number, weight: number): void => {
    east += weight * sin(angle);
    north += weight * cos(angle);
  };
  if (d.kind === 'discrete') for (const [i, angle] of d.values.entries()) add(angle, d.weights[i]);
  else if (d.kind === 'measured') for (const angle of d.values) add(angle, 1 / d.values.length);
  else {
    const value = quantile(d);
    for (let i = 0; i < POINTS; i++) add(value((i + 0.5) / POINTS), 1 / POINTS);
  }
  return { length: Math.sqrt(east * east + north * north), direction: atan2(east, north) };
}
