/** The F distribution's upper tail. Its tests are made where the ratio is. */
import { incompleteBeta } from '../../maths/incompleteBeta.ts';

/**
 * P(F > f) for d1 and d2 degrees of freedom, whole or not.
 * @throws RangeError unless f >= 0 and both are positive. Source: DLMF 8.17.
 */
export function fUpperTail(f: number, d1: number, d2: number): number {
  if (!(f >= 0)) throw new RangeError(`an F ratio is 0 or more, not ${f}`);
  return f === Number.POSITIVE_INFINITY ? 0 : incompleteBeta(d2 / 2, d1 / 2, d2 / (d2 + d1 * f));
}
