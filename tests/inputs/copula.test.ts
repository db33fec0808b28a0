/** Correlations: grouping, what is refused and with which words, and that uniforms stay uniform. */
import { describe, expect, it } from 'vitest';
import { INPUT_INDEX } from '../../src/inputs/catalogue.ts';
import { correlate, correlatedGroups, correlationProblems } from '../../src/inputs/copula.ts';
import { varyingInputs } from '../../src/inputs/varying.ts';
import { stream } from '../../src/maths/streams.ts';
import type { Correlation } from '../../src/study/study.ts';
import { demoStudy } from '../helpers/studyForTests.ts';

const varying = varyingInputs(demoStudy());
const problems = (...correlations: Correlation[]) => correlationProblems(correlations, varying);
const pair = (a: string, b: string, rank: number): Correlation => ({ a, b, rank });

describe('groups', () => {
  it('join inputs that are tied through others, in catalogue order', () => {
    const groups = correlatedGroups([
      pair('wind.speed', 'site.temperature', 0.2),
      pair('landing.impulseFactor', 'ascent.impulseFactor', 0.3),
      pair('gyro.biasX', 'wind.speed', -0.1),
    ]);
    const column = (key: string) => INPUT_INDEX.get(key);
    expect(groups.map((g) => g.columns)).toEqual([
      [column('ascent.impulseFactor'), column('landing.impulseFactor')],
      [column('wind.speed'), column('site.temperature'), column('gyro.biasX')],
    ]);
  });
});

describe('what is refused', () => {
  it('nothing when all is well', () => {
    expect(problems(pair('wind.speed', 'site.temperature', 0.2), pair('wind.speed', 'rail.tilt', -0.95))).toEqual([]);
  });

  it('an unknown input, one that does not vary, and a rank out of range, all at once', () => {
    expect(problems(pair('wind.sped', 'site.pressure', 1))).toEqual([
      'correlations: wind.sped with site.pressure: there is no input wind.sped. `alight inputs` lists them.',
      'correlations: wind.sped with site.pressure: site.pressure does not vary. Give it a distribution or remove the correlation.',
      'correlations: wind.sped with site.pressure: read a rank correlation of 1; expected a number between -1 and 1, ends excluded.',
    ]);
  });

  it('an input with itself, and a pair given twice in either order', () => {
    expect(problems(pair('wind.speed', 'wind.speed', 0.5))).toEqual([
      'correlations: wind.speed with wind.speed: an input cannot be correlated with itself. Name two inputs.',
    ]);
    expect(problems(pair('wind.speed', 'rail.tilt', 0.5), pair('rail.tilt', 'wind.speed', 0.4))).toEqual([
      'correlations: rail.tilt with wind.speed: given twice. Keep one.',
    ]);
  });

  it('ranks that cannot all hold together', () => {
    const three = [
      pair('wind.speed', 'rail.tilt', 0.9),
      pair('wind.speed', 'site.temperature', 0.9),
      pair('rail.tilt', 'site.temperature', -0.9),
    ];
    expect(problems(...three)).toEqual([
      'correlations: those of rail.tilt, wind.speed, site.temperature cannot all hold together. Bring them closer to 0, or add the missing pairs.',
    ]);
    expect(() => correlatedGroups(three)).toThrow(RangeError);
  });
});

describe('uniforms made dependent', () => {
  it('stay uniform, each of them', () => {
    const [{ factor }] = correlatedGroups([pair('wind.speed', 'rail.tilt', 0.8), pair('wind.speed', 'site.temperature', -0.5)]);
    const next = stream('marginals');
    const n = 20_000;
    const cells = 20;
    const counts = [0, 1, 2].map(() => new Float64Array(cells));
    const u = new Float64Array(3);
    for (let i = 0; i < n; i++) {
      u.set([next(), next(), next()]);
      correlate(u, Int32Array.of(0, 1, 2), factor, new Float64Array(3));
      u.forEach((v, k) => {
        counts[k][Math.floor(v * cells)]++;
      });
    }
    for (const c of counts) {
      const chiSquare = c.reduce((sum, v) => sum + (v - n / cells) ** 2 / (n / cells), 0);
      // 19 degrees of freedom: 4.5 sd above the mean, false alarm about 1e-3 with this seed.
      expect(chiSquare).toBeLessThanOrEqual(19 + 4.5 * Math.sqrt(38));
    }
  });

  it('never reach 1, however strong the tie', () => {
    const [{ factor }] = correlatedGroups([pair('wind.speed', 'rail.tilt', 0.7)]);
    const u = Float64Array.of(1 - 2 ** -53, 1 - 2 ** -53);
    correlate(u, Int32Array.of(0, 1), factor, new Float64Array(2));
    expect(Math.max(...u)).toBeLessThan(1);
    expect(u[1]).toBeGreaterThan(1 - 1e-15);
    const low = Float64Array.of(2 ** -54, 2 ** -54);
    correlate(low, Int32Array.of(0, 1), factor, new Float64Array(2));
    expect(Math.min(...low)).toBeGreaterThan(0);
  });
});
