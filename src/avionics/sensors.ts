/**
 * What the sensors say of what they feel: errors, rounding, clipping. Knows neither where the truth comes from nor who
 * reads it.
 */
import { exp } from '../maths/elementary/exponential.ts';
import type { NormalNoise } from '../maths/normalNoise.ts';
import type { AxisTriple, BarometerParameters } from './parameters.ts';

/** One axis: scale, bias, noise; rounded to its smallest step; clipped at its range. */
export function reading(truth: number, scale: number, bias: number, noise: number, lsb: number, range: number): number {
  const raw = (1 + scale) * truth + bias + noise;
  const rounded = lsb > 0 ? lsb * Math.floor(raw / lsb + 0.5) : raw;
  return rounded > range ? range : Math.max(rounded, -range);
}

/** Three axes at once: `truth` from `from` into `out` at `at`. `noise` null: none. */
export function readTriple(out: Float64Array, at: i32, truth: Float64Array, from: i32, axes: AxisTriple, noise: NormalNoise | null): void {
  if (noise !== null) noise.prepare(3);
  const nx = noise === null ? 0.0 : axes.noiseX * noise.next();
  const ny = noise === null ? 0.0 : axes.noiseY * noise.next();
  const nz = noise === null ? 0.0 : axes.noiseZ * noise.next();
  out[at] = reading(truth[from], axes.scaleX, axes.biasX, nx, axes.lsb, axes.range);
  out[at + 1] = reading(truth[from + 1], axes.scaleY, axes.biasY, ny, axes.lsb, axes.range);
  out[at + 2] = reading(truth[from + 2], axes.scaleZ, axes.biasZ, nz, axes.lsb, axes.range);
}

/** The barometer's lagged height after `elapsed` seconds at true `height`: exact for a height held meanwhile. */
export function laggedHeight(lagged: number, height: number, elapsed: number, lag: number): number {
  return lag > 0 ? height + (lagged - height) * exp(-elapsed / lag) : height;
}

/** What the barometer says of its lagged height. */
export function barometerReading(lagged: number, b: BarometerParameters, noise: NormalNoise | null): number {
  if (noise !== null) noise.prepare(1);
  return lagged + b.bias + (noise === null ? 0.0 : b.noise * noise.next());
}
