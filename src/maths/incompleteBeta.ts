/**
 * The beta function's logarithm and the regularised incomplete beta function: what the beta, binomial and F
 * distributions are made of. Own code: the libraries at hand err by 1e-3 where a shape is 2, or take 0.2 s to import in
 * every worker.
 */
import { exp, expm1 } from './elementary/exponential.ts';
import { log, log1p } from './elementary/logarithm.ts';
import { stirlingRemainder } from './stirling.ts';

/** Near the middle of the binomial distribution of n = 1e7 the fraction takes some thousand terms. */
const MOST_TERMS = 100_000;

/**
 * log B(a, b); a and b > 0. Absolute accuracy near rounding of the largest part. Both are raised to 10 by B(a, b) =
 * B(a+1, b) (a+b)/a, where Stirling's remainder is known to 1e-16; the large terms are combined before they can cancel.
 * Source: A. R. DiDonato and A. H. Morris, ACM Trans. Math. Softw. 18 (1992) 360-373, section on log B.
 */
export function logBeta(a: number, b: number): number {
  let small = Math.min(a, b);
  let large = Math.max(a, b);
  let logFactor = 0;
  while (small < 10) {
    logFactor += log1p(large / small);
    small += 1;
  }
  while (large < 10) {
    logFactor += log1p(small / large);
    large += 1;
  }
  const h = small / large;
  const remainder = stirlingRemainder(small) + stirlingRemainder(large) - stirlingRemainder(small + large);
  const main = (small - 0.5) * log(h / (1 + h)) - large * log1p(h);
  return 0.5 * log((2 * Math.PI) / large) + remainder + main + logFactor;
}

/**
 * I_x(a, b), relative accuracy about 1e-12.
 * @param a,b > 0   @param x in [0, 1]   @throws RangeError otherwise
 * Source: NIST Digital Library of Mathematical Functions, 8.17.1, 8.17.4 (symmetry) and 8.17.22 (continued fraction).
 */
export function incompleteBeta(a: number, b: number, x: number): number {
  if (!(a > 0 && b > 0 && x >= 0 && x <= 1)) throw new RangeError(`no incomplete beta function at shapes ${a} and ${b}, x = ${x}`);
  if (x === 0 || x === 1) return x;
  const front = exp(a * log(x) + b * log1p(-x) - logBeta(a, b));
  return x <= turn(a, b) ? front / (a * betaFraction(a, b, x)) : 1 - front / (b * betaFraction(b, a, 1 - x));
}

/** log I at x = e^t for t < 0, from log B(a, b): for x too small, or 1 - x too small, to be told from 0. */
export function logIncompleteBeta(a: number, b: number, logB: number, t: number): number {
  const x = exp(t);
  const front = a * t + b * logOneMinusExp(t) - logB;
  if (x <= turn(a, b)) return front - log(a * betaFraction(a, b, x));
  const other = exp(front - log(b * betaFraction(b, a, -expm1(t))));
  return other < 1 ? log1p(-other) : Number.NEGATIVE_INFINITY;
}

/** log(1 - e^t) for t < 0, without loss at either end. */
export function logOneMinusExp(t: number): number {
  return t > -Math.LN2 ? log(-expm1(t)) : log1p(-exp(t));
}

/** Up to this x the fraction converges fast; beyond it the other tail's does, and is taken from 1. */
function turn(a: number, b: number): number {
  return (a + 1) / (a + b + 2);
}

/**
 * 1 + d1/(1 + d2/(1 + ...)), by which x^a (1-x)^b/(a B(a, b)) is divided to give I_x(a, b); for x up to (a + 1)/(a + b
 * + 2).
 * Source: DLMF 8.17.22; evaluated forward by the modified Lentz method (I. J. Thompson and A. R. Barnett, J. Comput.
 * Phys. 64 (1986) 490-509).
 */
export function betaFraction(a: number, b: number, x: number): number {
  let f = 1;
  let c = 1;
  let d = 0;
  for (let m = 0; m < MOST_TERMS; m++) {
    if (m > 0) {
      const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
      d = 1 / (1 + even * d);
      c = 1 + even / c;
      f *= c * d;
    }
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / (1 + odd * d);
    c = 1 + odd / c;
    f *= c * d;
    if (Math.abs(c * d - 1) < 2 * Number.EPSILON) return f;
  }
  throw new Error(`the incomplete beta function's fraction did not converge at shapes ${a} and ${b}, x = ${x}`);
}
