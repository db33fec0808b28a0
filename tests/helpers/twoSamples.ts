/** Two samples given apart, as the split of one column. */
import { type KolmogorovSmirnov, kolmogorovSmirnovSplit } from '../../src/statistics/samples/kolmogorovSmirnov.ts';
import { ranked } from '../../src/statistics/samples/ranks.ts';

export function kolmogorovSmirnov(a: Float64Array, b: Float64Array): KolmogorovSmirnov {
  const pooled = new Float64Array(a.length + b.length);
  pooled.set(a);
  pooled.set(b, a.length);
  return kolmogorovSmirnovSplit(ranked(pooled), new Uint8Array(pooled.length).fill(1, 0, a.length));
}
