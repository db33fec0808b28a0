/**
 * Where truth and belief meet: what the sensors feel, what is watched on the way, timing faults in a whole flight.
 * Model section 7.
 */
import { describe, expect, it } from 'vitest';
import type { FlightLoop, FlightRecorder } from '../../src/flight/loop.ts';
import { axisZ } from '../../src/flight/motion.ts';
import { NO_RESULT_REASONS, OUTPUTS } from '../../src/flight/outputs.ts';
import { FINISHED } from '../../src/flight/reasons.ts';
import { StallSchedule } from '../../src/flight/stalls.ts';
import { noiseSeed, noiseStream } from '../../src/maths/streams.ts';
import { clearance } from '../../src/plant/contact/clearance.ts';
import { SANK, STANDS, type Verdict } from '../../src/plant/contact/groundContact.ts';
import { FREE, STANDING } from '../../src/plant/rates.ts';
import type { Study } from '../../src/study/study.ts';
import { near } from '../helpers/near.ts';
import { flyOne, inputsOf, kitOf, outputsOf, smoothStudy } from '../helpers/oneFlight.ts';
import { inSpace } from '../helpers/plantForTests.ts';
import { demoStudy, springsStudy } from '../helpers/studyForTests.ts';

const BASE = smoothStudy();
const SPUN = { 'air.rollAsymmetry': 0.05, 'ascent.misalignmentY': 0.01, 'imu.offsetY': 0.02, 'imu.offsetZ': -0.03, 'wind.speed': 4 };
const watching = (tick: FlightRecorder['tick'], contact: FlightRecorder['contact'] = () => undefined): FlightRecorder => ({
  tick,
  contact,
});

describe('what the sensor feels', () => {
  it('is the second derivative of its own place, gravity taken off, in body axes', () => {
    // The sensor’s place at each tick, from the trace of a fine loop without control, and its second difference.
    const rate = 1000;
    const fine = smoothStudy({ computer: { ...BASE.computer, rate, transitionGap: 0 }, control: { ...BASE.control, kp: 0, kd: 0, ki: 0 } });
    const places: number[][] = [];
    const felt: number[][] = [];
    const smooth: boolean[] = [];
    flyOne(fine, SPUN, {
      recorder: watching((loop, setup) => {
        const { s, load } = loop.motion;
        const at = inSpace(s, load.xcg - setup.imuStation, setup.imuY, setup.imuZ);
        places.push([s.rx + at[0], s.ry + at[1], s.rz + at[2]]);
        felt.push(inSpace(s, loop.felt[0], loop.felt[1], loop.felt[2]));
        // While nothing burns the centre of mass stays where it is in the vehicle; that is also when forces have no
        // kinks but the legs’.
        smooth.push(loop.motion.hold === FREE && load.ascentThrust === 0 && load.landingThrust === 0 && loop.motion.time < 4.6);
      }),
    });
    const errors: number[] = [];
    for (let k = 2; k < places.length - 2; k++) {
      if (!smooth.slice(k - 2, k + 3).every(Boolean)) continue;
      for (let i = 0; i < 3; i++) {
        const second = (places[k + 1][i] - 2 * places[k][i] + places[k - 1][i]) * rate ** 2;
        errors.push(Math.abs(felt[k][i] - second - (i === 2 ? 9.80665 : 0)));
      }
    }
    // Forces change by a jerk of some 10 m/s^3 at most between ticks of 1 ms; where the flow passes from nose to tail
    // they have a kink.
    errors.sort((a, b) => a - b);
    expect(errors.length).toBeGreaterThan(3000);
    expect(errors[Math.floor(0.99 * errors.length)]).toBeLessThan(0.003);
    expect(errors[errors.length - 1]).toBeLessThan(0.03);
  });

  it('on the pad it is gravity along the axis, and the turning part shows where the sensor sits', () => {
    const readings: number[][] = [];
    flyOne(BASE, SPUN, {
      recorder: watching((loop) => {
        if (readings.length === 0) readings.push([...loop.felt]);
      }),
    });
    near(readings[0][0], 9.80665, 1e-12);
    near(Math.hypot(...readings[0].slice(1)), 0, 1e-12);
  });

  it('a sensor beside the axis of a spinning vehicle feels w^2 r inward', () => {
    const at = (offset: number) => {
      const seen: number[][] = [];
      // No feedback from the reading: gains off.
      const open = smoothStudy({ control: { ...BASE.control, kp: 0, kd: 0, ki: 0 } });
      flyOne(
        open,
        { 'air.rollAsymmetry': 0.05, 'imu.offsetY': offset, 'imu.offsetZ': 0 },
        { recorder: watching((loop) => seen.push([loop.felt[1], loop.motion.s.wx, loop.motion.s.wz])) },
      );
      return seen;
    };
    const [centre, beside] = [at(0), at(0.1)];
    let spinning = 0;
    // The first three seconds: the thrust phase, the same in both.
    for (let k = 50; k < 300; k++) {
      const [, wx, wz] = beside[k];
      near(beside[k][0] - centre[k][0], -0.1 * (wx ** 2 + wz ** 2), 1e-9 * (1 + wx ** 2));
      if (Math.abs(wx) > 2) spinning++;
    }
    expect(spinning).toBeGreaterThan(50);
  });
});

describe('what is watched', () => {
  it('apogee is the greatest height, between ticks too', () => {
    const ticks: { time: number; height: number }[] = [];
    const f = flyOne(BASE, {}, { recorder: watching(({ motion }) => ticks.push({ time: motion.time, height: motion.height() })) });
    // The parabola through the highest tick and its neighbours: their spacing is even, and drag's change over two ticks
    // is 1e-4 of g.
    const k = ticks.reduce((best, { height }, i) => (height > ticks[best].height ? i : best), 0);
    const [a, b, c] = [k - 1, k, k + 1].map((i) => ticks[i].height);
    const part = (0.5 * (a - c)) / (a - 2 * b + c);
    near(f.out('apogee'), b - 0.25 * (a - c) * part, 1e-7);
    near(f.out('apogeeTime'), ticks[k].time + part * 0.01, 1e-5);
    expect(f.out('apogee')).toBeGreaterThan(b);
  });

  it('apogee is that of the way up, however high the landing burn throws it, and the tilts are told apart there', () => {
    const changes = { 'landing.impulseFactor': 1.6 };
    const early = smoothStudy({ rules: [{ ...BASE.rules[0], constants: { height: 25 } }] });
    let highest = 0;
    const f = flyOne(early, changes, { recorder: watching(({ motion }) => (highest = Math.max(highest, motion.height()))) });
    expect(highest).toBeGreaterThan(100);
    const plain = flyOne(BASE);
    expect([f.out('apogee'), f.out('apogeeTime'), f.out('tiltRising')]).toEqual([
      plain.out('apogee'),
      plain.out('apogeeTime'),
      plain.out('tiltRising'),
    ]);
  });

  it('of two tops the higher is the apogee, and all before it is the way up', () => {
    // The first stroke ends at 0.9 s: it falls again before the second, at 1.9 s.
    const twice = smoothStudy({
      ascent: { ...BASE.ascent, curve: { time: [0, 0.04, 0.9, 1, 1.9, 1.95, 3, 3.1], thrust: [0, 18, 18, 0, 0, 35, 35, 0] } },
      rules: [{ ...BASE.rules[0], constants: { height: -100 } }],
    });
    const seen: { time: number; rise: number; tilt: number }[] = [];
    const f = flyOne(
      twice,
      {},
      {
        recorder: watching(({ motion: { s, time, hold } }) =>
          seen.push({ time, rise: hold === FREE ? s.vz : 0, tilt: Math.acos(axisZ(s)) }),
        ),
      },
    );
    const tops = seen.flatMap(({ rise, time }, k) => (k > 0 && seen[k - 1].rise > 0 && rise <= 0 ? [time] : []));
    expect(tops.length).toBeGreaterThan(1);
    expect(f.out('apogeeTime')).toBeGreaterThan(tops[0] + 0.5);
    const before = seen.filter(({ time }) => time <= f.out('apogeeTime'));
    near(f.out('tiltRising'), Math.max(...before.map(({ tilt }) => tilt)), 1e-12);
  });

  it('lit while it still rises, or never lit and not yet at its top, it is highest there', () => {
    const short = flyOne(smoothStudy({ limits: { ...BASE.limits, time: 3 } }));
    near(short.out('apogee'), short.loop.motion.height(), 0);
    expect(short.out('apogeeTime')).toBe(short.out('flightTime'));
    // A clock that is fast by a tenth, and gravity believed too great: the computer thinks it falls while it rises.
    const hasty = smoothStudy({
      computer: { ...BASE.computer, gravity: 12 },
      rules: [{ ...BASE.rules[0], constants: { height: 500 }, tiltGuard: 3 }],
    });
    const lit = flyOne(hasty, { 'landing.ignitionDelay': 0.001 });
    expect(lit.loop.motion.thrustStartRise).toBeGreaterThan(0);
    expect([lit.out('apogee'), lit.out('apogeeTime')]).toEqual([lit.out('thrustHeight'), lit.loop.motion.thrustStartTime]);
  });

  it('the tilt of the rail counts among those of the way up and of the ascent burn', () => {
    // Strongly controlled, it comes upright at once: the rail is the most it leans while it burns.
    const f = flyOne(smoothStudy({ rail: { ...BASE.rail, tilt: 0.3 } }), { 'rail.tilt': 0.3, 'wind.speed': 0 });
    expect(f.out('tiltAscentBurn')).toBeGreaterThanOrEqual(0.3 - 1e-12);
    expect(f.out('tiltRising')).toBeGreaterThanOrEqual(0.3 - 1e-12);
    // The very first tick, on the pad, is enough.
    const pad = flyOne(smoothStudy({ limits: { ...BASE.limits, time: 0.005 } }), { 'rail.tilt': 0.3 });
    near(pad.out('tiltRising'), 0.3, 1e-12);
    near(pad.out('tiltAscentBurn'), 0.3, 1e-12);
  });

  it('largest acceleration, roll rate and tilts are those of the ticks', () => {
    const top = { pull: 0, roll: 0 };
    const tilts: { time: number; tilt: number }[] = [];
    const f = flyOne(BASE, SPUN, {
      recorder: watching((loop) => {
        const { s, k1, hold, time } = loop.motion;
        top.roll = Math.max(top.roll, Math.abs(s.wx));
        if (hold === STANDING) return;
        if (hold === FREE) top.pull = Math.max(top.pull, Math.hypot(k1.vx, k1.vy, k1.vz));
        tilts.push({ time, tilt: Math.acos(Math.min(1, inSpace(s, 1, 0, 0)[2])) });
      }),
    });
    // Which part of the flight a tick belongs to is judged afterwards, from the flight's own times.
    const most = (from: number, to: number): number => Math.max(...tilts.filter((x) => x.time > from && x.time <= to).map((x) => x.tilt));
    const burnout = f.loop.motion.ascentBurnoutTime;
    const turned = f.out('apogeeTime');
    expect(burnout).toBeLessThan(turned);
    near(f.out('largestAcceleration'), top.pull, 1e-12);
    near(f.out('rollRate'), top.roll, 1e-12);
    near(f.out('tiltRising'), most(-1, turned), 1e-12);
    near(f.out('tiltFalling'), most(turned, 1e9), 1e-12);
    // A tick that falls on the burnout is after it.
    near(f.out('tiltAscentBurn'), most(-1, burnout - 1e-9), 1e-12);
    near(f.out('tiltLandingBurn'), most(f.loop.motion.thrustStartTime - 1e-12, f.loop.motion.thrustEndTime - 1e-9), 1e-12);
  });

  it('ignition: truth and belief of the same tick, or of the instant inside it', () => {
    const seen: number[] = [];
    const f = flyOne(
      BASE,
      {},
      {
        recorder: watching((loop) => {
          if (loop.computer.commandWait >= 0)
            seen.push(loop.motion.time, loop.motion.height(), -loop.motion.s.vz, loop.computer.navigator.height);
        }),
      },
    );
    expect([f.out('ignitionTime'), f.out('ignitionHeight'), f.out('ignitionSpeed'), f.out('believedIgnitionHeight')]).toEqual(seen);
    expect(f.out('ignitionHeightError')).toBe(f.out('believedIgnitionHeight') - f.out('ignitionHeight'));
    const inside = flyOne(smoothStudy({ rules: [{ ...BASE.rules[0], insideTick: true }] }));
    // Inside the tick the believed height, less the way in the lead time, is the rule’s 7 m.
    near(inside.out('believedIgnitionHeight') - 0.11 * inside.out('believedIgnitionSpeed'), 7, 1e-3);
    // And truth is that of the same instant: between its two ticks, on a parabola.
    const ticks: number[][] = [];
    const wait: number[] = [];
    flyOne(
      smoothStudy({ rules: [{ ...BASE.rules[0], insideTick: true }] }),
      {},
      {
        recorder: watching((loop) => {
          ticks.push([loop.motion.height(), -loop.motion.s.vz]);
          if (loop.computer.commandWait >= 0) wait.push(ticks.length - 1, loop.computer.commandWait / 0.01);
        }),
      },
    );
    const [k, part] = wait;
    expect(part).toBeGreaterThan(0.02);
    // The parabola's bulge over its chord: g dt^2/8; the speed is a straight line.
    near(inside.out('ignitionHeight'), ticks[k][0] + part * (ticks[k + 1][0] - ticks[k][0]), 2e-4);
    near(inside.out('ignitionSpeed'), ticks[k][1] + part * (ticks[k + 1][1] - ticks[k][1]), 1e-4);
    expect(inside.out('ignitionTime')).toBeGreaterThan(f.out('ignitionTime') - 0.01);
    expect(inside.out('ignitionTime')).toBeLessThan(f.out('ignitionTime'));
  });

  it('thrust starts one ignition delay after the command, inside a tick', () => {
    const f = flyOne(BASE, { 'landing.ignitionDelay': 0.1234 });
    near(f.loop.motion.thrustStartTime, f.out('ignitionTime') + 0.1234, 1e-12);
    near(f.loop.motion.casingLeftTime, f.out('ignitionTime') + 0.1234 + 0.02, 1e-12);
  });
});

describe('timing faults in a whole flight', () => {
  it('a clock error stretches the true tick, and the belief does not know', () => {
    for (const clockError of [0.02, -0.02]) {
      const times: number[] = [];
      flyOne(BASE, { 'timing.clockError': clockError }, { recorder: watching((loop) => times.push(loop.motion.time)) });
      times.slice(0, 500).forEach((t, k) => {
        near(t, k * 0.01 * (1 + clockError), 1e-12 * (1 + t));
      });
    }
    // A slow tick: the same accelerations are believed to last less long, so the apogee is believed lower.
    const believed = (e: number): number =>
      flyOne(BASE, { 'timing.clockError': e }).out('believedApogee') - flyOne(BASE, { 'timing.clockError': e }).out('apogee');
    expect(believed(0.02)).toBeLessThan(believed(0) - 1);
    expect(believed(-0.02)).toBeGreaterThan(believed(0) + 1);
  });

  it('the late start costs what the model says: acceleration times confirm time in speed, and so in height', () => {
    // No gap: what is missing is the motion up to detection, and gravity’s belief is exact. Upright, still air, sensor
    // on the axis.
    const quiet = { 'wind.speed': 0, 'imu.offsetY': 0, 'imu.offsetZ': 0, 'timing.transitionGap': 0 };
    let atDetection = { v: 0, h: 0 };
    let worst = 0;
    flyOne(BASE, quiet, {
      recorder: watching((loop) => {
        const { s } = loop.motion;
        const n = loop.computer.navigator;
        if (loop.computer.phases.phase === 0) return;
        if (n.v[2] === 0) atDetection = { v: s.vz, h: loop.motion.height() };
        if (loop.motion.time > 2.5) return;
        const since = loop.motion.time - loop.computer.liftoffTime;
        worst = Math.max(worst, Math.abs(loop.motion.height() - n.height - atDetection.h - atDetection.v * since));
      }),
    });
    expect(atDetection.v).toBeGreaterThan(0.3);
    // The trapezoid’s own error on a thrust curve with corners: 10 ms, 100 N/s/kg: 1e-2 m/s over a corner at most.
    expect(worst).toBeLessThan(0.02);
  });

  it('in a stall nothing runs and commands hold, sensors included; ticks are counted by true time', () => {
    const study = demoStudy();
    let stalledTicks = 0;
    let ticks = 0;
    let before: number[] = [];
    const f = flyOne(
      study,
      { 'timing.stallRate': 4, 'timing.stallDuration': 0.05 },
      {
        noise: 'stalls',
        recorder: watching((loop) => {
          const { computer } = loop;
          const now = [
            ...computer.sample,
            computer.navigator.height,
            computer.control.command1,
            computer.control.command2,
            computer.phases.phase,
          ];
          ticks++;
          if (loop.stalled) {
            stalledTicks++;
            expect(now).toEqual(before);
          }
          before = now;
        }),
      },
    );
    expect(f.out('stalls')).toBeGreaterThan(10);
    // Share of time stalled: (1/20)/(1/4 + 1/20) = 1/6, and counted stalls 20/6 a second; wide bounds, one flight.
    expect(stalledTicks / ticks).toBeGreaterThan(0.05);
    expect(stalledTicks / ticks).toBeLessThan(0.35);
  });
});

describe('spin', () => {
  it('past what a step can follow takes more of them by itself: as good as with many, and bounded', () => {
    const spun = { 'air.rollAsymmetry': 3, 'air.rollDamping': -0.05, 'wind.speed': 3 };
    const [one, many] = [1, 32].map((substeps) => flyOne(smoothStudy({ substeps }), spun));
    // Far past 2.8 rad a step of 10 ms, where one step a tick would blow up.
    expect(many.out('rollRate')).toBeGreaterThan(350);
    expect([one.loop.reason, many.loop.reason]).toEqual([FINISHED, FINISHED]);
    near(one.out('rollRate'), many.out('rollRate'), 1e-3 * many.out('rollRate'));
    near(one.out('apogee'), many.out('apogee'), 0.05);
  });
});

describe('the stall schedule', () => {
  it('is an alternating Poisson process: exponential gaps from the end of the last stall, exponential durations', () => {
    const schedule = new StallSchedule();
    schedule.reset(noiseSeed('stalls'), 2, 0.3);
    const uniform = noiseStream('stalls');
    const start = -0.5 * Math.log(uniform());
    const end = start - 0.3 * Math.log(uniform());
    const next = end - 0.5 * Math.log(uniform());
    for (const [t, expected] of [
      [0, false],
      [start - 1e-9, false],
      [start + 1e-9, true],
      [end - 1e-9, true],
      [end + 1e-9, false],
      [next - 1e-9, false],
      [next + 1e-9, true],
    ] as const)
      expect(schedule.stalled(t)).toBe(expected);
    // The second is still going on, and asking again counts nothing.
    expect(schedule.begun).toBe(2);
    schedule.stalled(next + 1e-6);
    expect(schedule.begun).toBe(2);
  });

  it('counts what has begun, those that fell between two ticks too, and never stalls without rate or duration', () => {
    const schedule = new StallSchedule();
    schedule.reset(noiseSeed('many'), 100, 1e-4);
    const uniform = noiseStream('many');
    let begun = -1;
    for (let t = 0; t <= 1; begun++) t -= 0.01 * Math.log(uniform()) + 1e-4 * Math.log(uniform());
    schedule.stalled(1);
    // One that has begun at 1 s but not ended is counted too.
    expect(begun).toBeGreaterThan(50);
    expect([begun, begun + 1]).toContain(schedule.begun);
    for (const [rate, duration] of [
      [0, 1],
      [1, 0],
    ]) {
      schedule.reset(noiseSeed('none'), rate, duration);
      expect(schedule.stalled(1e9)).toBe(false);
      expect(schedule.begun).toBe(0);
    }
  });
});

describe('contacts and hops', () => {
  /** Lit so high that the vehicle is slow at the ground, on a sustain a little over the weight, so that it hops. */
  const strong: Study = smoothStudy({
    landing: {
      ...BASE.landing,
      curve: { time: [0, 0.05, 0.15, 0.64, 0.79, 2, 2.5, 3, 3.5, 6], thrust: [0, 30, 44, 37.7, 9, 9, 10.6, 9, 10.4, 10.4] },
    },
    limits: { ...BASE.limits, sink: 6 },
  });
  const contactsOf = (study: Study, inputs = {}) => {
    const seen: { verdict: Verdict; time: number; sink: number }[] = [];
    const f = flyOne(study, inputs, {
      recorder: watching(
        () => undefined,
        ({ ground, motion }: FlightLoop) => seen.push({ verdict: ground.verdict, time: motion.time, sink: ground.lastSink }),
      ),
    });
    return { f, seen };
  };

  it('one that is lifted by its motor after a good contact hops, and each contact is judged; the worst is kept', () => {
    const { f, seen } = contactsOf(strong, { 'wind.speed': 0 });
    expect(f.out('hops')).toBeGreaterThan(0);
    expect(f.out('contacts')).toBe(seen.length);
    expect(f.out('contacts')).toBeGreaterThanOrEqual(f.out('hops'));
    expect(f.out('sink')).toBe(Math.max(...seen.map((c) => c.sink)));
    expect(f.out('contactTime')).toBe(seen[0].time);
    for (const c of seen.slice(0, -1)) expect(c.verdict).toBe(STANDS);
  });

  it('the slowest sink is that before any contact', () => {
    let slowest = Number.POSITIVE_INFINITY;
    const f = flyOne(
      strong,
      { 'wind.speed': 0 },
      {
        recorder: watching((loop) => {
          const { motion, ground } = loop;
          if (ground.contacts === 0 && motion.time >= motion.thrustStartTime) slowest = Math.min(slowest, -motion.s.vz);
        }),
      },
    );
    expect(f.out('contacts')).toBeGreaterThan(1);
    expect(f.out('slowestSink')).toBe(slowest);
  });

  it('a sink over the limit after a good contact was lit too high, however narrowly the first was good', () => {
    // Still braking hard at the first contact: within the limit there, beyond it on the tick before; then thrown up and
    // dropped, still burning.
    const curve = { time: [0, 0.05, 0.15, 0.84, 0.99, 30], thrust: [0, 30, 44, 37.7, 1, 1] };
    const thrower = (sink: number): Study =>
      smoothStudy({
        landing: { ...BASE.landing, curve },
        limits: { ...BASE.limits, sink, slide: 99, tilt: 1.5 },
        rules: [{ ...BASE.rules[0], constants: { height: 4.5 } }],
      });
    const still = { 'wind.speed': 0, 'landing.propellantMass': 0.001 };
    const free = contactsOf(thrower(99), still);
    const narrow = 0.5 * (free.seen[0].sink + free.f.out('slowestSink'));
    expect(free.f.out('slowestSink')).toBeGreaterThan(free.seen[0].sink);
    const { f, seen } = contactsOf(thrower(narrow), still);
    expect(seen.map((c) => c.sink > narrow)).toEqual([false, true]);
    expect(f.out('slowestSink')).toBeGreaterThan(narrow);
    expect(f.loop.motion.time).toBeLessThan(f.loop.motion.thrustEndTime);
    expect(f.outcome).toBe('lit too high');
  });

  it('the end of thrust ends a standing flight, at its instant', () => {
    const f = flyOne(BASE);
    expect([f.outcome, f.loop.motion.hold]).toEqual(['landed', STANDING]);
    near(f.out('flightTime'), f.loop.motion.thrustEndTime, 1e-12);
    expect(f.out('flightTime')).toBeGreaterThan(f.out('contactTime'));
  });

  it('the eighth good contact ends it, with thrust left', () => {
    // Thrust that saws across the weight of 9.4 N, under it for longer than over it, every fifth of a second: it lifts
    // off with each rise and has come down before the next.
    const time = [0, 0.05, 0.15, 0.64, 0.79];
    const thrust = [0, 30, 44, 37.7, 9];
    for (let k = 0; k < 120; k++) {
      time.push(1 + k * 0.1);
      thrust.push(k % 2 === 0 ? 7 : 10.2);
    }
    const sawing = smoothStudy({ landing: { ...BASE.landing, curve: { time, thrust } }, limits: { ...BASE.limits, sink: 8, slide: 8 } });
    const { f, seen } = contactsOf(sawing, { 'wind.speed': 0, 'wind.gustScale': 0, 'landing.propellantMass': 0.001 });
    expect(seen.map((c) => c.verdict)).toEqual(Array(8).fill(STANDS));
    expect(f.out('flightTime')).toBe(seen[7].time);
    expect(f.out('hops')).toBe(7);
    // Real hops, each in the air: they lie apart as the rises of thrust do.
    const apart = seen.slice(1).map((c, k) => c.time - seen[k].time);
    for (const t of apart) expect(t).toBeGreaterThan(0.1);
    for (const c of seen.slice(1)) expect(c.sink).toBeGreaterThan(0);
    expect(f.loop.motion.landingImpulseLeft(f.setup.plant)).toBeGreaterThan(0);
  });

  it('a hop is one: thrust that rises through the weight lifts it off its feet, and it falls when thrust is spent', () => {
    const curve = {
      time: [0, 0.05, 0.15, 0.64, 0.79, 0.99, 1.9, 2.2, 2.6, 4.4, 4.55],
      thrust: [0, 30, 44, 37.7, 10.6, 9.6, 8.9, 9, 11.5, 11.5, 0],
    };
    const { f, seen } = contactsOf(smoothStudy({ landing: { ...BASE.landing, curve } }));
    expect(seen.map((c) => c.verdict)).toEqual([STANDS, SANK]);
    expect([f.out('hops'), f.out('contacts'), f.outcome]).toEqual([1, 2, 'lit too high']);
    // After the end of thrust, and free fall from some 5 m: sqrt(2 g 5).
    expect(seen[1].time).toBeGreaterThan(f.loop.motion.thrustEndTime + 0.8);
    near(seen[1].sink, 9.9, 0.3);
  });

  it('while it stands its feet stay, whatever its centre of mass does, and it lifts off with the lowest exactly on the ground', () => {
    // 0.1 kg of propellant well above the centre of mass: burning it moves the centre of mass aft while it stands.
    const heavy = smoothStudy({ landing: { ...strong.landing, station: 0.3 }, limits: { ...BASE.limits, sink: 9, slide: 9, tilt: 0.5 } });
    const feet: number[] = [];
    const stations: number[] = [];
    flyOne(
      heavy,
      { 'wind.speed': 0, 'landing.propellantMass': 0.1 },
      {
        recorder: watching(({ motion, ground }, setup) => {
          if (motion.hold !== STANDING || ground.contacts > 1) return;
          feet.push(clearance(motion.s, motion.load.xcg, motion.held.legShare, setup.plant));
          stations.push(motion.load.xcg);
        }),
      },
    );
    expect(Math.abs(stations[stations.length - 1] - stations[0])).toBeGreaterThan(5e-4);
    for (const height of feet) near(height, feet[0], 1e-12);
  });

  it('impulse left is all of it when it touches in the ignition delay', () => {
    const f = flyOne(BASE, { 'landing.ignitionDelay': 0.9 });
    expect(f.out('contactTime')).toBeGreaterThan(f.out('ignitionTime'));
    expect(f.out('landingThrust')).toBe(0);
    near(f.out('impulseLeft'), 59.2, 0.05);
  });

  it('a standing flight whose landing motor was never commanded ends at its contact', () => {
    // A drop so low that it lands softly by itself: generous limits, a rule that never fires.
    const soft = smoothStudy({
      limits: { ...BASE.limits, sink: 100, slide: 100, tilt: 3 },
      rules: [{ ...BASE.rules[0], constants: { height: -100 } }],
    });
    const f = flyOne(soft, { 'wind.speed': 0 });
    expect([f.outcome, f.out('contacts'), f.out('ignitionCommanded')]).toEqual(['landed', 1, 0]);
    expect(f.out('flightTime')).toBe(f.out('contactTime'));
  });
});

describe('the record', () => {
  const some = [
    flyOne(BASE),
    flyOne(BASE, { 'landing.igniterFails': 1 }),
    flyOne(BASE, { 'airframe.mass': 20 }),
    flyOne(smoothStudy({ limits: { ...BASE.limits, time: 3 } })),
    flyOne(smoothStudy({ rules: [{ ...BASE.rules[0], constants: { height: 30 } }] })),
    flyOne(springsStudy()),
  ];

  it('has a number for every row of the table that did happen, NaN for what did not', () => {
    const happened = (f: (typeof some)[number]): Record<string, boolean> => {
      const { motion, ground } = f.loop;
      const contact = ground.contacts > 0;
      const commanded = f.out('ignitionCommanded') === 1;
      const lit = f.out('landingThrust') === 1;
      const lights = f.setup.plant.landingLights;
      const left = !Number.isNaN(motion.railExitTime);
      return {
        ...Object.fromEntries(
          ['sink', 'slide', 'tilt', 'tiltRate', 'legsLocked', 'landingEast', 'landingNorth', 'landingDistance', 'contactTime'].map((k) => [
            k,
            contact,
          ]),
        ),
        ...Object.fromEntries(
          [
            'ignitionTime',
            'ignitionHeight',
            'believedIgnitionHeight',
            'ignitionSpeed',
            'believedIgnitionSpeed',
            'ignitionHeightError',
            'ignitionSpeedError',
            'ignitionTilt',
          ].map((k) => [k, commanded]),
        ),
        // Judged by rules, there are no feet to press.
        ...Object.fromEntries(
          ['peakFootForce', 'peakSpecificForce', 'slidPath', 'greatestLean', 'rebounds'].map((k) => [k, contact && f.setup.plant.springs]),
        ),
        thrustHeight: lit,
        slowestSink: lit,
        tiltLandingBurn: lit,
        impulseLeft: commanded && lights && contact,
        heightMiss: lit && contact,
        landingBurnoutHeight: lit && contact && motion.thrustEndTime < ground.contactTime,
        ascentBurnoutHeight: motion.time > 3.1,
        apogee: left,
        apogeeTime: left,
        tiltFalling: ground.contacts > 0,
        believedApogee: ground.contacts > 0,
        liftoffTime: left,
        railExitSpeed: left,
        liftoffDetectedTime: left,
        saturationShare: left,
      };
    };
    for (const f of some) {
      const wanted = happened(f);
      for (const [key, x] of Object.entries(outputsOf(f.row))) expect([key, !Number.isNaN(x)]).toEqual([key, wanted[key] ?? true]);
    }
    // Each kind of NaN was seen both ways.
    for (const key of Object.keys(happened(some[0])))
      expect(new Set(some.map((f) => happened(f)[key])), key).toEqual(new Set([true, false]));
  });

  it('is written in the order of the table after the inputs, which are copied', () => {
    const inputs = inputsOf(BASE);
    expect([...some[0].row.slice(0, inputs.length)]).toEqual([...inputs]);
    expect(some[0].row.length).toBe(inputs.length + OUTPUTS.length);
    expect(NO_RESULT_REASONS[some[2].out('noResultReason')]).toBe('never left the rail');
    expect(kitOf(BASE).sampler.flights).toBe(Number.POSITIVE_INFINITY);
  });
});
