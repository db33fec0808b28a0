/** Constants as coordinates, and constants nearest to given heights: for every kind of rule, from its margin alone. */
import { describe, expect, it } from 'vitest';
import { type BurnPoint, lightingHeights, roundedConstants, withConstants } from '../../../src/analysis/drops/burnHeights.ts';
import { freeConstants, HeightCoordinates, nearestTo } from '../../../src/analysis/drops/heightCoordinates.ts';
import { onboardModel } from '../../../src/flight/setup.ts';
import type { RuleChoice } from '../../../src/study/study.ts';
import { near } from '../../helpers/near.ts';
import { demoStudy } from '../../helpers/studyForTests.ts';

const study = demoStudy();
const onboard = onboardModel(study);
const POINTS: readonly BurnPoint[] = Array.from({ length: 9 }, (_, i) => ({
  height: 5 + 0.35 * i + 0.01 * i * i,
  speed: 21 + 0.4 * i,
  apogee: 36 + 1.7 * i,
}));
const rule = (kind: string, constants: Record<string, number>): RuleChoice => {
  return { name: kind, kind, constants, lead: 0.11, tiltGuard: 0.6, insideTick: false };
};
const RULES = [
  rule('fixedHeight', { height: 7 }),
  rule('apogeeLine', { c0: -3.4, c1: 0.24 }),
  rule('speedCurve', { c0: 11.04, c1: -1.6, c2: 0.0623 }),
  rule('predictedStop', { margin: -2, speed: 5 }),
];
const rms = (values: readonly number[]): number => Math.sqrt(values.reduce((sum, value) => sum + value * value, 0) / values.length);
const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;

describe.each(RULES)('coordinates of $kind', (choice) => {
  const free = freeConstants(choice.kind, {});
  const coordinates = new HeightCoordinates(
    choice,
    free,
    onboard,
    POINTS,
    free.map(() => 1e-3),
  );
  const moved = (z: readonly number[]): number[] => {
    const after = lightingHeights(withConstants(choice, coordinates.constantsAt(z)), onboard, POINTS);
    const before = lightingHeights(choice, onboard, POINTS);
    return after.map((height, i) => height - before[i]);
  };

  it('go there and back', () => {
    const z = free.map((_, k) => 0.3 - 0.2 * k);
    for (const [k, value] of coordinates.of(coordinates.constantsAt(z)).entries()) near(value, z[k], 1e-9);
  });

  it('are metres of lighting height, root mean square, and the first is their mean', () => {
    const origin = free.map(() => 0);
    // How the speed that counts as slowed moves the heights is no straight line: of that rule the margin alone is
    // tried.
    const linear = choice.kind === 'predictedStop' ? free.slice(0, 1) : free;
    for (const k of linear.keys()) {
      const z = origin.map((zero, i) => (i === k ? 1 : zero));
      near(rms(moved(z)), 1, 1e-9);
      near(mean(moved(z)), k === 0 ? 1 : 0, 1e-9);
    }
  });

  it('reach across the whole range of a constant that hardly moves the heights', () => {
    const wide = new HeightCoordinates(
      choice,
      free,
      onboard,
      POINTS,
      free.map(() => 1e4),
    );
    for (const [k, { key, low, high }] of free.entries()) {
      const there = wide.constantsAt(free.map((_, i) => (i === k ? 1e4 : 0)));
      expect(Math.abs(there[key] - choice.constants[key])).toBeLessThanOrEqual(((high - low) / 2) * (1 + 1e-12));
    }
  });
});

describe('nearestTo', () => {
  it.each(RULES)('gives back the constants of $kind that made the heights', (choice) => {
    const heights = lightingHeights(choice, onboard, POINTS);
    const points = POINTS.map((point, i) => ({ ...point, height: heights[i] }));
    const wrong = withConstants(choice, Object.fromEntries(Object.entries(choice.constants).map(([key, value]) => [key, 0.8 * value])));
    const found = nearestTo(points, wrong, freeConstants(choice.kind, {}), onboard);
    for (const [i, height] of lightingHeights(found, onboard, points).entries()) near(height, heights[i], 1e-3);
  });

  it('keeps to bounds and still meets the mean height', () => {
    const [c0, c1] = [
      { low: -500, high: 500 },
      { low: 0, high: 0.1 },
    ];
    const found = nearestTo(POINTS, rule('apogeeLine', { c0: 0, c1: 0.05 }), freeConstants('apogeeLine', { c0, c1 }), onboard);
    expect(found.constants.c1).toBe(0.1);
    near(mean(lightingHeights(found, onboard, POINTS)), mean(POINTS.map(({ height }) => height)), 1e-9);
  });
});

describe('roundedConstants', () => {
  it.each(RULES)('moves no lighting height of $kind by more than it says', (choice) => {
    const long = withConstants(
      choice,
      Object.fromEntries(Object.entries(choice.constants).map(([key, value]) => [key, value * 1.0123456789])),
    );
    const short = roundedConstants(long, onboard, POINTS, 0.001);
    const before = lightingHeights(long, onboard, POINTS);
    const constants = Object.keys(choice.constants).length;
    for (const [i, height] of lightingHeights(short, onboard, POINTS).entries()) near(height, before[i], 0.001 * constants);
    for (const [key, value] of Object.entries(short.constants)) {
      expect(String(value).length).toBeLessThan(10);
      expect(value).not.toBe(long.constants[key]);
    }
  });
});
