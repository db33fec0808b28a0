/**
 * D. H. Titterton and J. L. Weston, Strapdown Inertial Navigation Technology (2nd ed. 2004); O. J. Woodman, An
 * introduction to inertial navigation, University of Cambridge UCAM-CL-TR-696 (2007): how sensor errors grow in dead
 * reckoning (from memory; integrals of constants and of white noise, digits recomputed). Judged on the navigator and
 * the flight computer alone, fed by hand. What a gap or a late start costs is common practice, no source: the part of
 * the integral that is missing.
 */
import { describe, it } from 'vitest';
import { Navigator, SAMPLE_SIZE } from '../../src/avionics/navigation.ts';
import type { ComputerParameters } from '../../src/avionics/parameters.ts';
import { reading, readTriple } from '../../src/avionics/sensors.ts';
import { NormalNoise } from '../../src/maths/normalNoise.ts';
import { noiseSeed } from '../../src/maths/streams.ts';
import { STANDARD_GRAVITY as G } from '../../src/plant/gravity.ts';
import { axesForTests, computerForTests, feed, startedComputer } from '../helpers/computerForTests.ts';
import { near } from '../helpers/near.ts';

/** A navigator that stands upright for `t` s at 100 Hz and is told this specific force and rate. */
function reckoned(t: number, sample: readonly number[], changes: Partial<ComputerParameters> = {}): Navigator {
  const n = new Navigator();
  n.reset(computerForTests(changes));
  const both = new Float64Array(SAMPLE_SIZE);
  both.set(sample);
  for (let k = 0; k < Math.round(t * 100); k++) n.integrate(both, 0, both, 0, 0.01, G);
  return n;
}

/** Rounding of 800 sums of numbers up to 10. */
const ROUNDING = 1e-11;

describe('constant errors', () => {
  it('bias 0.05 m/s^2 for 8 s: 0.4 m/s, 1.6 m', () => {
    const n = reckoned(8, [reading(G, 0, 0.05, 0, 0, 1e6)]);
    near(n.v[2], 0.4, ROUNDING);
    near(n.height, 1.6, ROUNDING);
  });

  it('scale 1 % in hover for 8 s: 3.138128 m; in free fall none', () => {
    near(reckoned(8, [reading(G, 0.01, 0, 0, 0, 1e6)]).height, 3.138128, ROUNDING);
    const falling = reckoned(8, [reading(0, 0.01, 0, 0, 0, 1e6)]);
    near(falling.v[2], -8 * G, ROUNDING);
    near(falling.height, -32 * G, 1e-10);
  });

  it('gyro bias 0.5 deg/s, level, for 8 s: tilt 0.0698131701 rad, 2.7385332975 m/s along the ground (small angle)', () => {
    const rate = (0.5 * Math.PI) / 180;
    // Upright, body y is east: turning about it leans the axis toward south, and gravity's reaction is read as a push
    // that way.
    const n = reckoned(8, [G, 0, 0, 0, rate, 0]);
    near(Math.acos(n.cosTilt()), 0.0698131701, 1e-9);
    // The small angle's own error: tilt^2/12 of the speed. Exact: g (1 - cos w t)/w, to the trapezoid's (w dt)^2/12.
    near(-n.v[1], 2.7385332975, (2.74 * 0.0698 ** 2) / 12 + 1e-9);
    near(-n.v[1], (G * (1 - Math.cos(rate * 8))) / rate, 1e-8);
    near(n.v[0], 0, ROUNDING);
    // The vertical channel loses g (1 - cos) only.
    near(n.v[2], (G * Math.sin(rate * 8)) / rate - 8 * G, (8 * G * (rate * 0.01) ** 2) / 12 + ROUNDING);
  });

  it('lever arm 0.05 m at 12 rad/s along the channel: 7.2 m/s^2, after 3 s 32.4 m', () => {
    const n = reckoned(3, [G + 12 ** 2 * 0.05]);
    near(n.verticalAcceleration, 7.2, ROUNDING);
    near(n.height, 32.4, ROUNDING);
  });
});

describe('rounding to a step of 0.0048 g', () => {
  it('errs like white noise of 0.0135884928 m/s^2 a sample, q/sqrt12', () => {
    const q = 0.0048 * G;
    const count = 20_000;
    // Truths even over two hundred steps: the grid's own error is 1/(2 x 100^2) of the result.
    let mean = 0;
    let square = 0;
    for (let i = 0; i < count; i++) {
      const truth = (200 * q * (i + 0.5)) / count - 100 * q;
      const error = reading(truth, 0, 0, 0, q, 1e6) - truth;
      mean += error / count;
      square += error ** 2 / count;
    }
    near(Math.sqrt(square), 0.0135884928, 1e-6);
    near(mean, 0, 1e-4 * q);
  });
});

describe('white noise, 2000 runs of 8 s at 200 Hz', () => {
  const RUNS = 2000;
  const TICKS = 1600;
  const dt = 1 / 200;
  // Densities 0.002 m/s^2 and 0.02 degrees/s per root Hz; a sample has density times the root of the rate.
  const perSample = Math.sqrt(200);
  const accelerometer = axesForTests({ noiseX: 0.002 * perSample });
  const rateDensity = (0.02 * Math.PI) / 180;
  const gyro = axesForTests({ noiseY: rateDensity * perSample, noiseZ: rateDensity * perSample });
  const noise = new NormalNoise();
  noise.reset(noiseSeed('dead reckoning'));
  const truth = Float64Array.of(G, 0, 0, 0, 0, 0);
  const sums = { v: 0, h: 0, vh: 0, ground: 0 };
  const n = new Navigator();
  const samples = [new Float64Array(SAMPLE_SIZE), new Float64Array(SAMPLE_SIZE)];
  for (let run = 0; run < RUNS; run++) {
    n.reset(computerForTests());
    for (let k = 0; k <= TICKS; k++) {
      const [earlier, later] = [samples[k % 2], samples[1 - (k % 2)]];
      readTriple(later, 0, truth, 0, accelerometer, noise);
      readTriple(later, 3, truth, 3, gyro, noise);
      if (k > 0) n.integrate(earlier, 0, later, 0, dt, G);
    }
    sums.v += n.v[2] ** 2;
    sums.h += n.height ** 2;
    sums.vh += n.v[2] * n.height;
    sums.ground += n.v[0] ** 2 + n.v[1] ** 2;
  }
  /** Four standard errors of a standard deviation from so many values, false alarm 6e-5. */
  const fourErrors = (values: number): number => 4 / Math.sqrt(2 * values);
  const deviation = (sum: number, values: number): number => Math.sqrt(sum / values);

  it('speed: standard deviation 0.0056559702970 m/s (trapezoid; N sqrt t = 0.0056568542)', () => {
    near(deviation(sums.v, RUNS) / 0.005655970297, 1, fourErrors(RUNS));
  });
  it('height: 0.0261217648727 m (trapezoid; N sqrt(t^3/3) = 0.0261278906)', () => {
    near(deviation(sums.h, RUNS) / 0.0261217648727, 1, fourErrors(RUNS));
  });
  it('correlation of the two sqrt3/2', () => {
    // The standard error of a correlation r is (1 - r^2)/sqrt n.
    near(sums.vh / Math.sqrt(sums.v * sums.h), 0.8660254, (4 * 0.25) / Math.sqrt(RUNS));
  });
  it('gyro noise: 0.0447200615 m/s along the ground, either way', () => {
    near(deviation(sums.ground, 2 * RUNS) / 0.0447200615, 1, fourErrors(2 * RUNS));
  });
});

describe('an interval that is not integrated', () => {
  /** Height and speed at tick `to` under a constant net acceleration upward from tick 0. */
  const believed = (p: ComputerParameters, a: number, to: number): { v: number; h: number } => {
    const computer = startedComputer(p);
    feed(computer, p, 0, to, () => [a + G]);
    return { v: computer.navigator.v[2], h: computer.navigator.height };
  };

  it('20 ms at 1 g from rest: 0.196133 m/s, and 0.78649333 m 4 s later', () => {
    // Liftoff is recognised at tick 5; the gap ends at tick 7; 4 s later is tick 407.
    const without = believed(computerForTests(), G, 407);
    const gapped = believed(computerForTests({ transitionGap: 0.02 }), G, 407);
    near(gapped.v - without.v, -0.196133, 1e-12);
    near(gapped.h - without.h, -0.78649333, 5e-9);
  });

  it('50 ms at 30 m/s^2 and 20 m/s: -1.5 m/s, -1.0375 m at once, -8.5375 m after 5 s', () => {
    // 60 Hz. Liftoff is recognised at tick 3 and its own gap ends at tick 6, where integration starts from rest; 20 m/s
    // is reached at tick 46, where burnout is confirmed by a run that began at tick 6; that gap ends at tick 49.
    // Without gaps the same motion is three ticks ahead.
    const steady = { tick: 1 / 60, liftoffConfirm: 3 / 60, burnoutThreshold: 50, burnoutConfirm: 40 / 60 };
    const without = (to: number) => believed(computerForTests(steady), 30, to - 3);
    const gapped = (to: number) => believed(computerForTests({ ...steady, transitionGap: 0.05 }), 30, to);
    near(gapped(6).v, 0, 1e-12);
    near(gapped(46).v, 20, 1e-11);
    near(gapped(46).h - without(46).h, 0, 1e-11);
    near(gapped(49).v - without(49).v, -1.5, 1e-11);
    near(gapped(49).h - without(49).h, -1.0375, 1e-11);
    near(gapped(349).v - without(349).v, -1.5, 1e-10);
    near(gapped(349).h - without(349).h, -8.5375, 1e-10);
  });

  it('a start missed by 0.12 s at 50 m/s^2: -6 m/s, and -35.64 m at 6 s; replayed: nothing', () => {
    const late = believed(computerForTests({ liftoffConfirm: 0.12 }), 50, 600);
    near(late.v - 300, -6, 1e-10);
    near(late.h - 900, -35.64, 1e-9);
    const replayed = believed(computerForTests({ liftoffConfirm: 0.12, replay: true }), 50, 600);
    near(replayed.v, 300, 1e-10);
    near(replayed.h, 900, 1e-9);
  });

  it.each([20, 47.5, 90])('a gap of 50 ms at a liftoff acceleration of %d m/s^2 costs 0.05 a m/s and grows linearly in height', (a) => {
    const p = computerForTests({ transitionGap: 0.05 });
    for (const seconds of [0, 1, 3]) {
      const to = 10 + 100 * seconds;
      const lost = {
        v: believed(computerForTests(), a, to).v - believed(p, a, to).v,
        h: believed(computerForTests(), a, to).h - believed(p, a, to).h,
      };
      near(lost.v, 0.05 * a, 1e-10);
      near(lost.h, 0.5 * a * 0.05 ** 2 + 0.05 * a * seconds, 1e-9);
    }
  });
});
