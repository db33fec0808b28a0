/**
 * Burn time and mean thrust by the 5 % convention on curves whose answers are worked out by hand: NFPA 1125, as quoted by
 * a manufacturer; the code itself was not opened.
 */
import { describe, expect, it } from 'vitest';
import { type Firing, readFiring } from '../../src/analysis/measure/firing.ts';

/** Points of a curve with readings as close as asked between them. */
function read(points: readonly (readonly [number, number])[], step: number): Firing {
  const end = points[points.length - 1][0];
  const times = new Set(points.map(([t]) => t));
  for (let k = 0; k * step < end; k++) times.add(k * step);
  const time = Float64Array.from([...times].sort((a, b) => a - b));
  const force = time.map((t) => {
    const i = Math.max(
      1,
      points.findIndex(([x]) => x >= t),
    );
    const [[t0, f0], [t1, f1]] = [points[i - 1], points[i]];
    return f0 + ((f1 - f0) * (t - t0)) / (t1 - t0);
  });
  const found = readFiring('curve', time, force);
  if (typeof found === 'string') throw new Error(found);
  return found;
}

const TRIANGLE = [
  [0, 0],
  [0.4, 20],
  [2, 0],
] as const;
const SUSTAINED = [
  [0, 0],
  [0.05, 0.4],
  [0.2, 12],
  [0.3, 10],
  [0.5, 6],
  [1.5, 5],
  [1.8, 0.5],
  [2, 0],
] as const;

describe.each([0.1, 0.013])('with readings every %d s', (step) => {
  it.each([
    ['a triangle', TRIANGLE, 0.02, 1.92, 20, 10.5],
    ['a peak and a sustain', SUSTAINED, 0.0525862069, 1.7933333333, 10.015, 5.7159595893],
  ])('%s', (_, points, start, end, impulse, average) => {
    const found = read(points, step);
    // Linear between the points, so that crossings are exact: the digits worked out.
    expect(Math.abs(found.start - start)).toBeLessThan(6e-11);
    expect(Math.abs(found.end - end)).toBeLessThan(6e-11);
    expect(Math.abs(found.burnTime - (end - start))).toBeLessThan(1.2e-10);
    expect(Math.abs(found.impulse - impulse)).toBeLessThan(1e-12);
    expect(Math.abs(found.average - average)).toBeLessThan(6e-11);
  });
});
