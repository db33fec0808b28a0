/**
 * Lines and curves through the burn heights of drops: what an ignition rule's constants are read from. Flies nothing.
 */
import { leastSquares } from '../../statistics/sensitivity/leastSquares.ts';
import type { Drop } from './drop.ts';

/** A polynomial in what it is fitted against, constant first. */
export interface Fit {
  readonly coefficients: readonly number[];
  readonly rSquared: number;
  /** Largest distance of a drop from it, m. */
  readonly largestResidual: number;
}

export interface DropFits {
  /** True burn height against true apogee. */
  readonly truth: Fit;
  /** Believed burn height against believed apogee. */
  readonly belief: Fit;
  /**
   * Believed burn height against believed speed at the command, quadratic or a line; null when the speeds hardly
   * differ.
   */
  readonly speed: Fit | null;
}

/** Share by which speeds must differ for a curve in them to mean anything. */
const LEAST_SPEED_RANGE = 0.02;
/** A parabola is worth its third constant when it cuts the largest residual to this share. */
const WORTH = 0.7;
export function fitDrops(drops: readonly Drop[]): DropFits {
  const valuesOf = (key: 'apogee' | 'believedApogee' | 'burnHeight' | 'believedBurnHeight' | 'believedCommandSpeed'): number[] =>
    drops.map((drop) => drop[key]);
  const speeds = valuesOf('believedCommandSpeed');
  const [slowest, fastest] = [Math.min(...speeds), Math.max(...speeds)];
  const distinct = fastest - slowest > LEAST_SPEED_RANGE * fastest;
  return {
    truth: polynomial(valuesOf('apogee'), valuesOf('burnHeight'), 1),
    belief: polynomial(valuesOf('believedApogee'), valuesOf('believedBurnHeight'), 1),
    speed: distinct ? curve(speeds, valuesOf('believedBurnHeight')) : null,
  };
}

/** A parabola where it follows the drops clearly better than a line and rises all the way; else the line. */
function curve(speeds: readonly number[], heights: readonly number[]): Fit {
  const line = polynomial(speeds, heights, 1);
  if (speeds.length < 5) return line;
  const parabola = polynomial(speeds, heights, 2);
  const [, b, c] = parabola.coefficients;
  const rises = speeds.every((speed) => b + 2 * c * speed > 0);
  return rises && parabola.largestResidual < WORTH * line.largestResidual ? parabola : line;
}

/** Least squares in powers of (x - mean)/range, turned back into powers of x. */
function polynomial(x: readonly number[], y: readonly number[], degree: 1 | 2): Fit {
  const mean = x.reduce((sum, value) => sum + value, 0) / x.length;
  const scale = Math.max(...x) - Math.min(...x);
  const rows = x.map((value) => Array.from({ length: degree + 1 }, (_, power) => ((value - mean) / scale) ** power));
  const { coefficients, residuals, rSquared } = leastSquares(rows, y);
  const [a, b] = [coefficients[0], coefficients[1] / scale];
  const c = degree === 2 ? coefficients[2] / scale ** 2 : 0;
  const powers = [a - b * mean + c * mean ** 2, b - 2 * c * mean, c].slice(0, degree + 1);
  return { coefficients: powers, rSquared, largestResidual: Math.max(...residuals.map(Math.abs)) };
}
