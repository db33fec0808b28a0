/**
 * How high a vehicle rebounds that was dropped upright on springing legs, and what damping a rebound shows: spring and
 * dashpot that cannot pull, gravity kept. Knows no recording.
 *
 * Source: T. Schwager and T. Poeschel, Granular Matter 9 (2007) 465-469, for the end of contact without gravity; with
 * it, the same linear equation's own solution.
 */
import { Bracket } from '../../maths/bracket.ts';

const GRAVITY = 9.80665;
/** Damping ratios looked at: beyond, nothing comes up that a film shows. */
const MOST_RATIO = 3;

/** Motion in contact from touching at a speed: depth and its rate at a time, per the closed form. */
function motion(ratio: number, w0: number, speed: number, gravity: number, t: number): readonly [depth: number, rate: number] {
  // About the sag at which weight and spring are even.
  const sag = gravity / (w0 * w0);
  const [y0, v0] = [-sag, speed];
  const b = ratio * w0;
  const fade = Math.exp(-b * t);
  if (ratio === 1) {
    const slope = v0 + b * y0;
    return [sag + fade * (y0 + slope * t), fade * (slope - b * (y0 + slope * t))];
  }
  const under = ratio < 1;
  const w = w0 * Math.sqrt(Math.abs(1 - ratio * ratio));
  const [c, s] = under ? [Math.cos(w * t), Math.sin(w * t)] : [Math.cosh(w * t), Math.sinh(w * t)];
  const amplitude = (v0 + b * y0) / w;
  const y = fade * (y0 * c + amplitude * s);
  return [sag + y, -b * y + fade * w * ((under ? -y0 : y0) * s + amplitude * c)];
}

/** Steps in which the end of contact is looked for, in each radian of the undamped motion. */
const STEPS = 50;
/** Radians of the undamped motion after which contact that has not ended does not end. */
const LONGEST = 8;

/**
 * How the feet leave the ground: speed upward and depth that is left then; null when they do not.
 * @param ratio of critical damping, >= 0   @param w0 rad/s, undamped   @param speed m/s at the touch, > 0
 * @param gravity m/s^2, 0 or more
 */
export function leaving(
  ratio: number,
  w0: number,
  speed: number,
  gravity: number,
): { readonly speed: number; readonly depth: number } | null {
  const end = contactEnd(ratio, w0, speed, gravity);
  if (end === null) return null;
  const [depth, rate] = motion(ratio, w0, speed, gravity, end);
  return { speed: -rate, depth };
}

/** Height above where the feet touched, m, to which they come up again; 0 when they do not. @param drop m, > 0 */
export function reboundHeight(ratio: number, w0: number, drop: number): number {
  const left = leaving(ratio, w0, Math.sqrt(2 * GRAVITY * drop), GRAVITY);
  return left === null ? 0 : Math.max(0, (left.speed * left.speed) / (2 * GRAVITY) - left.depth);
}

/** Time at which the legs would begin to pull: their force there is zero. */
function contactEnd(ratio: number, w0: number, speed: number, gravity: number): number | null {
  const force = (t: number): number => {
    const [depth, rate] = motion(ratio, w0, speed, gravity, t);
    return w0 * w0 * depth + 2 * ratio * w0 * rate;
  };
  const step = 1 / (STEPS * w0);
  // At the touch an undamped force is zero too: begin one step on.
  for (let t = step; t < LONGEST / w0; t += step) if (force(t + step) <= 0) return change(t, t + step, (middle) => force(middle) <= 0);
  return null;
}

/**
 * The damping ratio that a rebound shows.
 * @param rebound m, > 0   @returns null where it is higher than without damping, or lower than any that is looked for
 */
export function ratioOf(drop: number, rebound: number, w0: number): number | null {
  const miss = (ratio: number): number => reboundHeight(ratio, w0, drop) - rebound;
  return miss(0) < 0 || miss(MOST_RATIO) > 0 ? null : change(0, MOST_RATIO, (ratio) => miss(ratio) < 0);
}

/** Halvings that leave nothing of a bracket that a double could tell. */
const HALVINGS = 60;

/** Where a condition that does not hold at `low` begins to hold. */
function change(low: number, high: number, holds: (x: number) => boolean): number {
  const bracket = new Bracket();
  bracket.start(low, high);
  for (let k = 0; k < HALVINGS; k++) bracket.narrow(holds(bracket.middle()));
  return bracket.middle();
}
