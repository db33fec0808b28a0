/** How an input varies, in words and in the units people use. */

import type { Distribution } from '../inputs/distributions.ts';
import { greatest, least } from '../maths/extremes.ts';
import { plain, shown } from './words.ts';

/** "normal, mean 1, sd 0.03"; the unit once, at the end. */
export function distributionWords(d: Distribution, unit: string): string {
  const to = shown(unit);
  const v = (x: number): string => plain(x * to.factor);
  const u = to.unit === '' ? '' : ` ${to.unit}`;
  switch (d.kind) {
    case 'fixed':
      return `fixed at ${v(d.value)}${u}`;
    case 'normal':
      return `normal, mean ${v(d.mean)}, sd ${v(d.sd)}${u}`;
    case 'student':
      return `Student’s, mean ${v(d.mean)}, scale ${v(d.scale)}${u}, ${plain(d.freedom)} degrees of freedom`;
    case 'truncatedNormal':
      return `normal, mean ${v(d.mean)}, sd ${v(d.sd)}, within ${v(d.low)} to ${v(d.high)}${u}`;
    case 'lognormal':
      return `lognormal, median ${v(d.median)}${u}, log-sd ${plain(d.logSd)}`;
    case 'uniform':
      return `uniform, ${v(d.low)} to ${v(d.high)}${u}`;
    case 'triangular':
      return `triangular, ${v(d.low)}, ${v(d.mode)}, ${v(d.high)}${u}`;
    case 'beta':
      return `beta ${plain(d.alpha)}, ${plain(d.beta)} on ${v(d.low)} to ${v(d.high)}${u}`;
    case 'discrete':
      return `one of ${d.values.length} values, ${v(least(d.values))} to ${v(greatest(d.values))}${u}`;
    case 'chance':
      return `happens with ${plain(100 * d.probability)} %`;
    case 'measured':
      return `${d.values.length} bench values, ${d.as === 'smooth' ? 'smoothed' : 'drawn as they are'}, ${v(least(d.values))} to ${v(greatest(d.values))}${u}`;
  }
}
