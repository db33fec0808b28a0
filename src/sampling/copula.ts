/**
 * Rank correlation between inputs by a Gaussian copula: turns independent uniforms into dependent ones and leaves each
 * of them uniform. Knows no distributions; for inputs of few values (chances, discrete) the rank correlation reached is
 * smaller than asked for.
 *
 * Source: R. B. Nelsen, An Introduction to Copulas, 2006.
 */
import { normalCdf, normalQuantile } from '../maths/normal.ts';

/** Largest double below 1: what stands in for an upper tail that rounds to 1. */
const BELOW_ONE = 1 - 2 ** -53;

/**
 * Makes the uniforms of one group dependent, in place: u -> z -> L z -> Phi. The first stays as it is.
 * @param u uniforms in (0, 1)   @param places where in `u` each of the group's inputs stands   @param z room for as
 * many numbers
 */
export function correlate(u: Float64Array, places: Int32Array, factor: Float64Array, z: Float64Array): void {
  const n = places.length;
  for (let i = 0; i < n; i++) z[i] = normalQuantile(u[places[i]]);
  for (let i = 1; i < n; i++) {
    let sum = 0;
    for (let j = 0; j <= i; j++) sum += factor[i * n + j] * z[j];
    u[places[i]] = Math.min(normalCdf(sum), BELOW_ONE);
  }
}
