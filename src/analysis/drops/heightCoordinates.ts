/**
 * A rule's constants turned into coordinates that are fit to search in: metres of lighting height, root mean square
 * over a set of descents. The first is the mean height, the second the slope that is left, then the curvature; so
 * constants that undo each other (c0 and c1 of a line far from its origin) come apart, for any rule, with no knowledge
 * of its formula.
 *
 * They are the triangular factor of the heights' slopes by the constants, in the order in which the kind lists them:
 * the last coordinate is the last constant alone.
 */
import { ruleKind } from '../../avionics/rules/kinds.ts';
import type { OnboardModel } from '../../avionics/rules/rule.ts';
import type { RuleChoice } from '../../study/study.ts';
import { type BurnPoint, heightSlope, lightingHeights, withConstants } from './burnHeights.ts';

/** Inclusive bounds of a constant. */
export interface Bounds {
  readonly low: number;
  readonly high: number;
}

/** A constant that is searched over, with its bounds. */
export interface FreeConstant extends Bounds {
  readonly key: string;
  readonly unit: string;
}

/** The constants that may move; one whose bounds are equal is held. @param bounds narrower ones, by key */
export function freeConstants(kind: string, bounds: Readonly<Record<string, Bounds>>): FreeConstant[] {
  return ruleKind(kind)
    .constants.map(({ key, unit, low, high }) => ({ key, unit, ...(bounds[key] ?? { low, high }) }))
    .filter(({ low, high }) => low < high);
}

export class HeightCoordinates {
  readonly rule: RuleChoice;
  readonly free: readonly FreeConstant[];
  /** Upper triangle, row by row: metres per unit of each constant. */
  readonly #r: readonly (readonly number[])[];
  /**
   * @param rule whose constants are the origin   @param widths m: how far one wants to go along each coordinate. A
   * constant that hardly
   *   moves the heights gets a coordinate such that this much reaches across its whole range
   */
  constructor(
    rule: RuleChoice,
    free: readonly FreeConstant[],
    onboard: OnboardModel,
    points: readonly BurnPoint[],
    widths: readonly number[],
  ) {
    this.rule = rule;
    this.free = free;
    const slopes = free.map(({ key }) => heightSlope(rule, key, onboard, points));
    this.#r = triangle(slopes, (k) => (2 * widths[k]) / (free[k].high - free[k].low)).r;
  }

  /** Coordinates of constants. */
  of(constants: Readonly<Record<string, number>>): number[] {
    const moved = this.free.map(({ key }) => constants[key] - this.rule.constants[key]);
    return this.#r.map((row) => row.reduce((sum, value, k) => sum + value * moved[k], 0));
  }

  /** All constants of the rule at a place, whether within bounds or not. */
  constantsAt(z: readonly number[]): Record<string, number> {
    const moved = new Array<number>(z.length).fill(0);
    for (let k = z.length - 1; k >= 0; k--) {
      let rest = z[k];
      for (let j = k + 1; j < z.length; j++) rest -= this.#r[k][j] * moved[j];
      moved[k] = rest / this.#r[k][k];
    }
    return { ...this.rule.constants, ...Object.fromEntries(this.free.map(({ key }, k) => [key, this.rule.constants[key] + moved[k]])) };
  }

  within(constants: Readonly<Record<string, number>>): boolean {
    return this.free.every(({ key, low, high }) => constants[key] >= low && constants[key] <= high);
  }

  /** m: half of what the bounds leave of each coordinate, at most. */
  reach(): number[] {
    return this.#r.map((row) => row.reduce((sum, value, j) => sum + (Math.abs(value) * (this.free[j].high - this.free[j].low)) / 2, 0));
  }

  /** m: how far the lighting heights move from here to a constant's bounds, by that constant alone. */
  room(constants: Readonly<Record<string, number>>, k: number): { readonly low: number; readonly high: number } {
    const perUnit = Math.hypot(...this.#r.map((row) => row[k]));
    const { key, low, high } = this.free[k];
    return { low: perUnit * (constants[key] - low), high: perUnit * (high - constants[key]) };
  }
}

/**
 * Columns made orthogonal one after the other (modified Gram-Schmidt), lengths as root mean squares. `floor` keeps the
 * diagonal up.
 */
function triangle(columns: readonly (readonly number[])[], floor: (k: number) => number): { r: number[][]; q: number[][] } {
  const n = columns[0]?.length ?? 0;
  const mean = (a: readonly number[], b: readonly number[]): number => a.reduce((sum, value, i) => sum + value * b[i], 0) / n;
  const r = columns.map(() => new Array<number>(columns.length).fill(0));
  const q: number[][] = [];
  columns.forEach((column, k) => {
    let rest = [...column];
    q.forEach((unit, j) => {
      r[j][k] = mean(unit, rest);
      rest = rest.map((value, i) => value - r[j][k] * unit[i]);
    });
    const length = Math.sqrt(mean(rest, rest));
    q.push(rest.map((value) => (length > 0 ? value / length : 0)));
    r[k][k] = Math.max(length, floor(k));
  });
  return { r, q };
}

/** Steps toward the constants nearest to the drops; rules that are linear in their constants need one. */
const STEPS = 8;

/**
 * The constants within bounds under which the rule lights nearest to given heights, in the mean square: steps of Gauss
 * and Newton, each held within the bounds from the last constant to the first, so that the mean height is met whatever
 * the others may not do.
 */
export function nearestTo(
  points: readonly BurnPoint[],
  rule: RuleChoice,
  free: readonly FreeConstant[],
  onboard: OnboardModel,
): RuleChoice {
  const held = (value: number, { low, high }: Bounds): number => Math.min(high, Math.max(low, value));
  const misses = (choice: RuleChoice): number[] => lightingHeights(choice, onboard, points).map((height, i) => points[i].height - height);
  const square = (values: readonly number[]): number => values.reduce((sum, value) => sum + value * value, 0);
  let best = withConstants(rule, Object.fromEntries(free.map((constant) => [constant.key, held(rule.constants[constant.key], constant)])));
  let least = square(misses(best));
  let here = best;
  for (let step = 0; step < STEPS; step++) {
    const slopes = free.map(({ key }) => heightSlope(here, key, onboard, points));
    const { r, q } = triangle(slopes, () => 0);
    const missed = misses(here);
    const moved = new Array<number>(free.length).fill(0);
    for (let k = free.length - 1; k >= 0; k--) {
      let rest = q[k].reduce((sum, unit, i) => sum + unit * missed[i], 0) / points.length;
      for (let j = k + 1; j < free.length; j++) rest -= r[k][j] * moved[j];
      const value = here.constants[free[k].key];
      moved[k] = settles(r, k) ? held(value + rest / r[k][k], free[k]) - value : 0;
    }
    here = withConstants(here, Object.fromEntries(free.map(({ key }, k) => [key, here.constants[key] + moved[k]])));
    const now = square(misses(here));
    if (!(now < least)) break;
    least = now;
    best = here;
  }
  return best;
}

/**
 * Share of a constant's effect that is its own, not that of constants before it, below which the drops do not settle
 * it.
 */
const OWN = 1e-4;

function settles(r: readonly (readonly number[])[], k: number): boolean {
  return r[k][k] > OWN * Math.hypot(...r.map((row) => row[k]));
}
