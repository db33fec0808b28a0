/**
 * Looking a number of times, fixed in advance, at a comparison that grows, and stopping when it is decided: how much
 * stricter each look must be so that all together keep their level. Knows only when the looks are; what is compared is
 * the caller's, as long as its standardised difference is about normal and grows by independent parts.
 *
 * At the share t of all pairs a look's bound on the standardised difference is c t^(SHAPE - 1/2): between bounds that
 * are alike at every look (shape 1/2, S. J. Pocock, Biometrika 64 (1977) 191-199) and bounds that hardly let the first
 * looks stop (shape 0, P. C. O'Brien and T. R. Fleming, Biometrics 35 (1979) 549-556): the family of S. K. Wang and A. A.
 * Tsiatis, Biometrics 43 (1987) 193-199. The chance of ever crossing is found by integrating from look to look, after P.
 * Armitage, C. K. McPherson and B. C. Rowe, J. R. Stat. Soc. A 132 (1969) 235-244. Sources not opened.
 */
import { normalCdf } from '../../maths/normal.ts';

/** Half way between the two: early stops where a difference is plain, and little lost at the last look. */
const SHAPE = 0.25;
/** Deviations of a step between looks from one place of the grid to the next, and of all that is kept on it. */
const STEP = 0.2;
const KEPT = 9;
const HALVINGS = 36;
/** Beyond it nothing that is drawn is found. */
const GREATEST = 38;

/** Shares of all pairs at which there is a look: rising, the last 1. */
export type Looks = readonly number[];

/** Looks every so many pairs, and at the end. @param most,every whole, > 0 */
export function looksEvery(most: number, every: number): Looks {
  return Array.from({ length: Math.ceil(most / every) }, (_, k) => Math.min(1, ((k + 1) * every) / most));
}

/** Bound on the standardised difference at the share t of all pairs. */
export function boundAt(constant: number, t: number, shape = SHAPE): number {
  return constant * t ** (shape - 0.5);
}

/** The constant of a bound that a standardised difference z at the share t just reaches. */
export function constantOf(z: number, t: number, shape = SHAPE): number {
  return z * t ** (0.5 - shape);
}

/**
 * The constant with which the looks together find a difference where there is none with probability alpha.
 * @param alpha in (0, 1), both sides together
 */
export function criticalConstant(alpha: number, looks: Looks, shape = SHAPE): number {
  let [low, high] = [0, GREATEST];
  for (let i = 0; i < HALVINGS; i++) {
    const middle = (low + high) / 2;
    if (crossing(middle, looks, shape) > alpha) low = middle;
    else high = middle;
  }
  return high;
}

/**
 * Chance that any look crosses its bound, on either side, where there is no difference. Error below 1e-6 of it and, for
 * tiny chances, a few per cent.
 * @param constant >= 0
 */
export function crossing(constant: number, looks: Looks, shape = SHAPE): number {
  if (!(constant > 0)) return 1;
  let crossed = 0;
  // The sum of all pairs so far, in units of its deviation at the end: a normal walk, kept within the bounds so far.
  let places = Float64Array.of(0);
  let weights = Float64Array.of(1);
  let before = 0;
  for (const t of looks) {
    const deviation = Math.sqrt(t - before);
    const bound = boundAt(constant, t, shape) * Math.sqrt(t);
    for (let i = 0; i < places.length; i++) {
      // on either side as often: the walk is symmetric
      crossed += 2 * weights[i] * normalCdf((places[i] - bound) / deviation);
    }
    const next = grid(Math.min(bound, KEPT * Math.sqrt(t)), STEP * deviation);
    weights = moved(places, weights, next, deviation);
    places = next.places;
    before = t;
  }
  return Math.min(1, crossed);
}

interface Grid {
  readonly places: Float64Array<ArrayBuffer>;
  /** Simpson's. */
  readonly widths: Float64Array<ArrayBuffer>;
}

/** From -end to end in an even number of steps no wider than asked. */
function grid(end: number, step: number): Grid {
  const steps = 2 * Math.ceil(end / step);
  const width = (2 * end) / steps;
  return {
    places: Float64Array.from({ length: steps + 1 }, (_, i) => -end + i * width),
    widths: Float64Array.from({ length: steps + 1 }, (_, i) => (width / 3) * (i === 0 || i === steps ? 1 : i % 2 === 1 ? 4 : 2)),
  };
}

/**
 * Weights of the places of the next grid after a normal step from those of the last, alike on both sides of 0; a step of
 * more than KEPT deviations is none.
 */
function moved(from: Float64Array, weights: Float64Array, { places, widths }: Grid, deviation: number): Float64Array<ArrayBuffer> {
  const height = 1 / (deviation * Math.sqrt(2 * Math.PI));
  const reach = KEPT * deviation;
  const next = new Float64Array(places.length);
  let first = 0;
  for (let k = 0; 2 * k < places.length; k++) {
    const x = places[k];
    let density = 0;
    while (first < from.length && from[first] < x - reach) first++;
    for (let i = first; i < from.length && from[i] <= x + reach; i++) {
      const z = (x - from[i]) / deviation;
      density += weights[i] * Math.exp(-0.5 * z * z);
    }
    next[k] = widths[k] * height * density;
    next[places.length - 1 - k] = next[k];
  }
  return next;
}
