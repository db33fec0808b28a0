/**
 * Tempered particles against posteriors known in closed form: linear observations with normal errors (posterior and
 * evidence by the algebra of normals), and two posteriors of two modes (by quadrature). Digits computed with mpmath at
 * 25 digits or more.
 */
import { describe, expect, it } from 'vitest';
import type { Tempered, Turn } from '../../src/statistics/learning/particleProblem.ts';
import { temper } from '../../src/statistics/learning/temperedParticles.ts';

const all = (size: number): Turn => [{ places: Int32Array.from({ length: size }, (_, k) => k), factors: [0], renewsLuck: false }];

/** Each score a feature by itself. */
const one = (size: number) => Array.from({ length: size }, (_, place) => [{ place, weight: 1, own: true }]);

/** Mean over particles of a function of their scores. */
function mean({ scores, particles }: Tempered, f: (z: Float64Array) => number): number {
  const size = scores.length / particles;
  let sum = 0;
  for (let i = 0; i < particles; i++) sum += f(scores.subarray(i * size, (i + 1) * size));
  return sum / particles;
}

describe('linear observations with normal errors: three of four inputs', () => {
  const H = [
    [1, 0.5, -0.2, 0.1],
    [0, 1, 0.3, -0.4],
    [0.7, -0.1, 1, 0.2],
  ];
  const priorMean = [0, 1, -0.5, 2];
  const priorSd = [1, 0.5, 2, 0.3];
  const noise = [0.1, 0.2, 0.3];
  const y = [1, 1.2, -0.3];
  const value = (z: ArrayLike<number>, k: number): number => priorMean[k] + priorSd[k] * z[k];
  const fly = (seed: string, particles: number, steered: boolean) =>
    temper(
      {
        dimensions: 4,
        factors: 1,
        residuals: 3,
        features: [one(4)],
        turns: [all(4)],
        likelihood: async (scores) => {
          const count = scores.length / 4;
          const logs = new Float64Array(count);
          const residuals = new Float64Array(3 * count).fill(Number.NaN);
          for (let i = 0; i < count; i++) {
            const z = scores.subarray(4 * i, 4 * i + 4);
            for (let m = 0; m < 3; m++) {
              const r = (y[m] - H[m].reduce((sum, h, k) => sum + h * value(z, k), 0)) / noise[m];
              if (steered) residuals[3 * i + m] = r;
              logs[i] -= 0.5 * r * r + Math.log(noise[m] * Math.sqrt(2 * Math.PI));
            }
          }
          return { logs, residuals };
        },
      },
      { particles, seed, movesEach: 4, turnsAtEnd: 12, mostCalls: 300 },
    );

  it.each([true, false])('comes back with mean, spread, covariance and evidence (steered by residuals: %s)', async (steered) => {
    const runs = await Promise.all([1, 2, 3, 4].map((seed) => fly(`${seed}`, 1000, steered)));
    const over = (f: (z: Float64Array) => number): number => runs.reduce((sum, run) => sum + mean(run, f) / runs.length, 0);
    const sds = [0.152278207099, 0.204181025431, 0.249802769354, 0.292304110928];
    const means = [-0.193900849199, 1.89718856507, -0.27167368463, 1.86940744134];
    // 4,000 particles: one standard error is 0.016 sd if they were independent; moves leave some dependence. 0.12 sd is
    // more than 5 of them with a design effect of 2.
    for (const [k, exact] of means.entries()) expect(Math.abs(over((z) => value(z, k)) - exact) / sds[k]).toBeLessThan(0.12);
    const centred = (z: ArrayLike<number>, k: number): number => value(z, k) - means[k];
    // Relative standard error of a variance: sqrt(2/4000) = 2.2 %; five of them with a design effect of 2.
    for (const [k, exact] of sds.entries()) expect(Math.abs(over((z) => centred(z, k) ** 2) / exact ** 2 - 1)).toBeLessThan(0.16);
    expect(Math.abs(over((z) => centred(z, 0) * centred(z, 1)) - -0.0226851993964) / (sds[0] * sds[1])).toBeLessThan(0.12);
    expect(Math.abs(over((z) => centred(z, 0) * centred(z, 3)) - -0.0220037000147) / (sds[0] * sds[3])).toBeLessThan(0.12);
    const evidence = Math.log(runs.reduce((sum, run) => sum + Math.exp(run.logEvidence) / 4, 0));
    // Each step at half the effective size adds a relative variance near 1/N; half a dozen steps, 4,000 particles.
    expect(Math.abs(evidence - -5.09340461905316)).toBeLessThan(0.2);
    for (const run of runs) expect(run.complete).toBe(true);
  });
});

describe('two modes of known weight', () => {
  const particles = 1000;
  const density = (x: number, m: number, s: number): number => Math.exp(-0.5 * ((x - m) / s) ** 2) / (s * Math.sqrt(2 * Math.PI));
  const fly = (log: (z: number) => number, seed: string) =>
    temper(
      {
        dimensions: 1,
        factors: 1,
        residuals: 0,
        features: [[]],
        turns: [all(1)],
        likelihood: async (scores) => ({ logs: scores.map(log), residuals: new Float64Array(0) }),
      },
      { particles, seed, movesEach: 3, turnsAtEnd: 6, mostCalls: 200 },
    );
  const cases = [
    {
      name: 'a mixture far apart, prior N(0, 3^2)',
      log: (z: number) => Math.log(0.7 * density(3 * z, -2, 0.2) + 0.3 * density(3 * z, 3, 0.1) + Number.MIN_VALUE),
      value: (z: number) => 3 * z,
      logEvidence: -2.31624791694522,
      above: 0.245299340212,
      mean: -0.767641288997,
      sd: 2.15364214499,
    },
    {
      name: 'a square observed, prior N(0.3, 1)',
      log: (z: number) => Math.log(density(2, (0.3 + z) ** 2, 0.2) + Number.MIN_VALUE),
      value: (z: number) => 0.3 + z,
      logEvidence: -2.21042976322734,
      above: 0.698671902088,
      mean: 0.558476247395,
      sd: 1.28823588302,
    },
  ];

  it.each(cases)('$name: both modes in their share', async ({ log, value, logEvidence, above, mean: exact, sd }) => {
    const runs = await Promise.all(Array.from({ length: 8 }, (_, seed) => fly(log, `${seed}`)));
    const over = (f: (z: number) => number): number => runs.reduce((sum, run) => sum + mean(run, (z) => f(z[0])) / runs.length, 0);
    // Weight passes between modes only in resampling: one run of 1,000 misses by up to some 0.03, 8 by a third of it.
    expect(Math.abs(over((z) => (value(z) > 0 ? 1 : 0)) - above)).toBeLessThan(0.04);
    expect(Math.abs(over(value) - exact) / sd).toBeLessThan(0.1);
    expect(Math.abs(Math.sqrt(over((z) => (value(z) - exact) ** 2)) / sd - 1)).toBeLessThan(0.05);
    const evidence = Math.log(runs.reduce((sum, run) => sum + Math.exp(run.logEvidence) / runs.length, 0));
    expect(Math.abs(evidence - logEvidence)).toBeLessThan(0.07);
  });
});

it('attempts with scores of their own beside standing ones, moved in turns: mean of a common offset, as attempts come in', async () => {
  // y_a = s + 2 q_a + luck-free noise 0.5: s has posterior precision 1 + 6/(4 + 0.25), mean sum(y)/(4.25 + 6).
  const y = [3, 1, 2, 4, 0, 2.5];
  const particles = 800;
  const standing: Turn = [{ places: Int32Array.of(0), factors: y.map((_, a) => a), renewsLuck: false }];
  const own: Turn = y.map((_, a) => ({ places: Int32Array.of(1 + a), factors: [a], renewsLuck: true }));
  const runs = await Promise.all(
    ['1', '2', '3', '4'].map((seed) =>
      temper(
        {
          dimensions: 1 + y.length,
          factors: y.length,
          residuals: 1,
          features: y.map((_, a) => [
            [
              { place: 0, weight: 1, own: false },
              { place: 1 + a, weight: 2, own: true },
            ],
          ]),
          turns: [standing, own],
          likelihood: async (scores, luck) => {
            const residuals = Float64Array.from({ length: luck.length }, (_, place) => {
              const i = Math.floor(place / y.length);
              const a = place % y.length;
              const z = scores.subarray(i * (1 + y.length), (i + 1) * (1 + y.length));
              return (y[a] - z[0] - 2 * z[1 + a]) / 0.5;
            });
            return { logs: residuals.map((r) => -0.5 * r * r), residuals };
          },
        },
        { particles, seed, movesEach: 2, turnsAtEnd: 12, mostCalls: 200 },
      ),
    ),
  );
  // What the first attempts alone say, to as many standard errors as below.
  for (const [last] of y.entries()) {
    const told = 1 + (last + 1) / 4.25;
    const known = y.slice(0, last + 1).reduce((sum, v) => sum + v, 0) / 4.25 / told;
    const met = runs.reduce((sum, { grown }) => {
      const { scores } = grown[last];
      let total = 0;
      for (let i = 0; i < particles; i++) total += scores[i * (1 + y.length)];
      return sum + total / particles / 4;
    }, 0);
    expect([last, Math.abs(met - known) * Math.sqrt(told) < 0.13]).toEqual([last, true]);
  }
  const precision = 1 + y.length / 4.25;
  const exact = y.reduce((sum, v) => sum + v, 0) / 4.25 / precision;
  const found = runs.reduce((sum, run) => sum + mean(run, (z) => z[0]) / 4, 0);
  const spread = runs.reduce((sum, run) => sum + mean(run, (z) => (z[0] - exact) ** 2) / 4, 0);
  // 3,200 particles: 0.018 sd if independent; five of them with a design effect of 2, and the variance likewise.
  expect(Math.abs(found - exact) * Math.sqrt(precision)).toBeLessThan(0.13);
  expect(Math.abs(spread * precision - 1)).toBeLessThan(0.18);
});

it('attempts without a score of their own: each weighs what the first ones left', async () => {
  const y = [1.2, 0.4, 0.8];
  const common: Turn = [{ places: Int32Array.of(0), factors: y.map((_, a) => a), renewsLuck: false }];
  const runs = await Promise.all(
    ['1', '2', '3', '4'].map((seed) =>
      temper(
        {
          dimensions: 1,
          factors: y.length,
          residuals: 1,
          features: y.map(() => [[{ place: 0, weight: 1, own: false }]]),
          turns: [common],
          likelihood: async (scores) => {
            const residuals = Float64Array.from(
              { length: scores.length * y.length },
              (_, k) => y[k % y.length] - scores[Math.floor(k / y.length)],
            );
            return { logs: residuals.map((r) => -0.5 * r * r), residuals };
          },
        },
        { particles: 400, seed, movesEach: 1, turnsAtEnd: 12, mostCalls: 200 },
      ),
    ),
  );
  const exact = y.reduce((sum, v) => sum + v, 0) / (1 + y.length);
  const found = runs.reduce((sum, run) => sum + mean(run, (z) => z[0]) / 4, 0);
  const spread = runs.reduce((sum, run) => sum + mean(run, (z) => (z[0] - exact) ** 2) / 4, 0);
  // 1,600 particles: 0.025 sd if independent; five of them with a design effect of 2, and the variance likewise.
  expect(Math.abs(found - exact) * Math.sqrt(1 + y.length)).toBeLessThan(0.18);
  expect(Math.abs(spread * (1 + y.length) - 1)).toBeLessThan(0.25);
  const evidence = Math.log(runs.reduce((sum, run) => sum + Math.exp(run.logEvidence) / 4, 0));
  const square = y.reduce((sum, v) => sum + v * v, 0) - y.reduce((sum, v) => sum + v, 0) ** 2 / (1 + y.length);
  expect(Math.abs(evidence - (-0.5 * square - 0.5 * Math.log(1 + y.length)))).toBeLessThan(0.1);
});
