/** The regularised incomplete gamma function: what chi-square is made of. Knows no statistics. */
import { exp } from './elementary/exponential.ts';
import { log } from './elementary/logarithm.ts';
import { stirlingRemainder } from './stirling.ts';

const MOST_TERMS = 100_000;
const HALF_LOG_TURN = 0.5 * log(2 * Math.PI);

/** log Gamma(a), a > 0: raised to 10 and more, where Stirling's remainder is known to 1e-16. */
function logGamma(a: number): number {
  let x = a;
  let product = 1;
  while (x < 10) {
    product *= x;
    x += 1;
  }
  return (x - 0.5) * log(x) - x + HALF_LOG_TURN + stirlingRemainder(x) - log(product);
}

/**
 * P(a, x), the share below x. Relative accuracy about 1e-12 for a up to some thousands.
 * @param a > 0   @param x >= 0   @throws RangeError otherwise
 * Source: NIST Digital Library of Mathematical Functions, 8.11.4 (series) and 8.9.2 (continued fraction), the latter by
 * the modified Lentz method.
 */
export function incompleteGamma(a: number, x: number): number {
  if (!(a > 0 && x >= 0)) throw new RangeError(`no incomplete gamma function at ${a} and ${x}`);
  if (x === 0) return 0;
  const front = exp(a * log(x) - x - logGamma(a));
  return x < a + 1 ? front * series(a, x) : 1 - front * fraction(a, x);
}

/** sum of x^n/(a (a + 1) ... (a + n)). */
function series(a: number, x: number): number {
  let term = 1 / a;
  let sum = term;
  for (let n = 1; n < MOST_TERMS; n++) {
    term *= x / (a + n);
    sum += term;
    if (term < sum * Number.EPSILON) return sum;
  }
  throw new Error(`the incomplete gamma function's series did not converge at ${a} and ${x}`);
}

/** 1/(x + 1 - a - 1 (1 - a)/(x + 3 - a - ...)). */
function fraction(a: number, x: number): number {
  const tiny = 1e-300;
  let b = x + 1 - a;
  let c = 1 / tiny;
  let d = 1 / b;
  let h = d;
  for (let n = 1; n < MOST_TERMS; n++) {
    const step = -n * (n - a);
    b += 2;
    d = step * d + b;
    if (Math.abs(d) < tiny) d = tiny;
    c = b + step / c;
    if (Math.abs(c) < tiny) c = tiny;
    d = 1 / d;
    h *= c * d;
    if (Math.abs(c * d - 1) < 4 * Number.EPSILON) return h;
  }
  throw new Error(`the incomplete gamma function's fraction did not converge at ${a} and ${x}`);
}

/**
 * The point below which chi-square of so many degrees of freedom lies with probability p, by halving.
 * @param freedom > 0   @param p in (0, 1)   @throws RangeError otherwise
 */
export function chiSquareQuantile(freedom: number, p: number): number {
  if (!(freedom > 0 && p > 0 && p < 1)) throw new RangeError(`no chi-square quantile of ${p} for ${freedom} degrees of freedom`);
  let low = 0;
  let high = Math.max(1, freedom);
  while (incompleteGamma(0.5 * freedom, 0.5 * high) < p) high *= 2;
  for (;;) {
    const middle = 0.5 * (low + high);
    if (!(middle > low && middle < high)) return middle;
    if (incompleteGamma(0.5 * freedom, 0.5 * middle) < p) low = middle;
    else high = middle;
  }
}
