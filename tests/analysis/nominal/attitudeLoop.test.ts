/** The linearised loop against closed forms, and its verdicts against a simulation of the same loop, tick by tick. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type AttitudeLoop, growthRate, loopMargins } from '../../../src/analysis/nominal/attitudeLoop.ts';
import { near } from '../../helpers/near.ts';

const DEG = Math.PI / 180;
/** A double integrator steered by 100 rad/s^2 per rad, a quick servo, a short tick. */
const LOOP: AttitudeLoop = { stiffness: 0, damping: 0, steering: 5, inertia: 0.05, lag: 1e-4, tick: 1e-4, kp: 1, kd: 0.2, ki: 0 };
const anyGrowth = (growth: number): boolean => growth > 1e-6;

describe('growth', () => {
  it('of a body that the air turns away is the root of its stiffness over its inertia', () => {
    const free = { ...LOOP, kp: 0, kd: 0, stiffness: -0.8 };
    near(growthRate(free), Math.sqrt(0.8 / 0.05), 1e-6);
  });

  it('of a damped loop is the slower of its two roots: s^2 + 20 s + 100, s = -10 twice', () => {
    // The servo and the tick shift a double root by the root of their share: a fifth at most here.
    near(growthRate({ ...LOOP, lag: 1e-5, tick: 1e-5 }), -10, 2);
    near(growthRate({ ...LOOP, kd: 0.3, lag: 1e-5, tick: 1e-5 }), -15 + Math.sqrt(125), 0.02);
  });

  it('is that of the loop itself, flown tick by tick', () => {
    const number = (min: number, max: number): fc.Arbitrary<number> => fc.double({ min, max, noNaN: true });
    const loops = fc.record({
      stiffness: number(-1, 1),
      damping: number(0, 0.1),
      steering: number(1, 6),
      inertia: number(0.02, 0.1),
      lag: number(0.01, 0.1),
      tick: fc.constant(0.01),
      kp: number(0, 2),
      kd: number(0, 1),
      ki: fc.constantFrom(0, 0.3),
    });
    fc.assert(
      fc.property(loops, (l) => {
        // Where the motion swings, its size does too, by up to fifty times within a swing: over 100 s that is 0.04 a
        // second, and twice that for two swings that beat.
        near(flownGrowth(l, 20_000), growthRate(l), 0.1 * Math.max(1, Math.abs(growthRate(l))));
      }),
      { numRuns: 15, endOnFailure: true },
    );
  });
});

describe('margins', () => {
  it('of a double integrator with rate feedback: phase atan(kd w / kp) at its crossover, less lag and half a tick', () => {
    // |L| = 1 where w^4 = b^2 (kp^2 + kd^2 w^2), b = 100: w^2 = (b^2 kd^2 + sqrt(b^4 kd^4 + 4 b^2 kp^2)) / 2.
    const w = Math.sqrt((400 + Math.sqrt(400 ** 2 + 4 * 1e4)) / 2);
    const plainPhase = Math.atan(0.2 * w);
    const ideal = loopMargins(LOOP, 0.1, anyGrowth);
    near(ideal.crossover ?? Number.NaN, w, 0.01 * w);
    near(ideal.phase ?? Number.NaN, plainPhase - Math.atan(1e-4 * w) - (1e-4 * w) / 2, 0.01 * DEG);
    const slow = loopMargins({ ...LOOP, tick: 0.02 }, 0.1, anyGrowth);
    near(slow.phase ?? Number.NaN, plainPhase - Math.atan(1e-4 * w) - 0.01 * w, 0.01 * DEG);
  });

  it('gains have a lower edge where the air turns the body away: steering times kp is the stiffness', () => {
    const { lower, upper } = loopMargins({ ...LOOP, stiffness: -1 }, 0.1, anyGrowth);
    near(lower ?? Number.NaN, 0.2, 0.002);
    expect(upper).toBeNull();
  });

  it('and an upper edge with lag, by Routh, here below the gains there are', () => {
    // lag I s^3 + (lag c + I) s^2 + (c + k b kd) s + k b kp is stable while (lag c + I)(c + k b kd) > lag I k b kp.
    const l = { ...LOOP, lag: 0.5, damping: 0.05 };
    const edge = ((0.5 * 0.05 + 0.05) * 0.05) / (5 * (0.5 * 0.05 * 1 - (0.5 * 0.05 + 0.05) * 0.2));
    near(loopMargins(l, 0.1, anyGrowth).lower ?? Number.NaN, edge, 0.02 * edge);
  });

  it('are none where nothing steers', () => {
    expect(loopMargins({ ...LOOP, kp: 0, kd: 0 }, 0.1, anyGrowth)).toMatchObject({
      phase: null,
      crossover: null,
      upper: null,
      lower: null,
    });
  });
});

/**
 * 1/s: growth of a disturbance from its size after half of the ticks and after all, by small steps of Runge and Kutta's
 * kind.
 */
function flownGrowth(l: AttitudeLoop, ticks: number): number {
  let [angle, rate, deflection, integral] = [1, 0, 0, 0];
  let log = 0;
  let half = 0;
  for (let k = 1; k <= ticks; k++) {
    if (l.ki !== 0) integral -= angle * l.tick;
    const command = -l.kp * angle - l.kd * rate + l.ki * integral;
    const steps = 8;
    const h = l.tick / steps;
    for (let i = 0; i < steps; i++) {
      const f = (a: number, w: number, d: number): [number, number, number] => [
        w,
        (l.steering * d - l.damping * w - l.stiffness * a) / l.inertia,
        (command - d) / l.lag,
      ];
      const k1 = f(angle, rate, deflection);
      const k2 = f(angle + (h / 2) * k1[0], rate + (h / 2) * k1[1], deflection + (h / 2) * k1[2]);
      const k3 = f(angle + (h / 2) * k2[0], rate + (h / 2) * k2[1], deflection + (h / 2) * k2[2]);
      const k4 = f(angle + h * k3[0], rate + h * k3[1], deflection + h * k3[2]);
      angle += (h / 6) * (k1[0] + 2 * k2[0] + 2 * k3[0] + k4[0]);
      rate += (h / 6) * (k1[1] + 2 * k2[1] + 2 * k3[1] + k4[1]);
      deflection += (h / 6) * (k1[2] + 2 * k2[2] + 2 * k3[2] + k4[2]);
    }
    // Kept near 1, so that neither a growing nor a dying motion leaves the range of numbers.
    const size = Math.hypot(angle, rate, deflection, l.ki === 0 ? 0 : integral);
    log += Math.log(size);
    [angle, rate, deflection, integral] = [angle / size, rate / size, deflection / size, integral / size];
    if (k === ticks / 2) half = log;
  }
  return (log - half) / ((ticks / 2) * l.tick);
}
