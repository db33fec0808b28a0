/**
 * Every row of the outcome table reached by a flight built for it, and which row comes first when several hold. Model
 * section 14.
 */
import { describe, expect, it } from 'vitest';
import type { FlightRecorder } from '../../src/flight/loop.ts';
import { NO_RESULT_REASONS, OUTCOMES, type Outcome } from '../../src/flight/outputs.ts';
import type { Limits, RuleChoice, Study } from '../../src/study/study.ts';
import { type Flown, flyOne, smoothStudy } from '../helpers/oneFlight.ts';
import { springsStudy } from '../helpers/studyForTests.ts';

const BASE = smoothStudy();

const withLimits = (limits: Partial<Limits>): Study => smoothStudy({ limits: { ...BASE.limits, ...limits } });
const withRule = (changes: Partial<RuleChoice>): Study => smoothStudy({ rules: [{ ...BASE.rules[0], ...changes }] });
const atHeight = (height: number): Study => withRule({ constants: { height } });
const still = { 'wind.speed': 0 };
const watching = (tick: FlightRecorder['tick']): FlightRecorder => ({ tick, contact: () => undefined });
const reason = (f: Flown): string => NO_RESULT_REASONS[f.out('noResultReason')];

/** Stations too close together to stand on. */
const NARROW = smoothStudy({ vehicle: { ...BASE.vehicle, legs: { ...BASE.vehicle.legs, radius: 0.02 } } });

/** The air acts far ahead of the centre of mass: the gimbal holds it while the motor burns, and nothing after. */
const FORWARD = smoothStudy({
  vehicle: { ...BASE.vehicle, aerodynamics: { ...BASE.vehicle.aerodynamics, normalNose: { slope: 6, station: 0.4 } } },
});

const WAYS: readonly [Outcome, string, () => Flown][] = [
  ['no result', 'the time limit', () => flyOne(withLimits({ time: 5 }))],
  ['landed', 'the nominal flight', () => flyOne(BASE)],
  ['outside the field', 'an allowed radius of a millimetre', () => flyOne(withLimits({ radius: 0.001 }))],
  ['lost control going up', 'an ascent motor pointing 9 degrees aside', () => flyOne(BASE, { 'ascent.misalignmentY': 0.16 })],
  ['flipped', 'air that acts far forward, once nothing steers', () => flyOne(FORWARD)],
  ['held by the guard', 'a guard that no real tilt passes', () => flyOne(withRule({ tiltGuard: 1e-4 }))],
  ['no landing thrust', 'a dead igniter', () => flyOne(BASE, { 'landing.igniterFails': 1 })],
  ['no landing thrust', 'a casing that sticks', () => flyOne(BASE, { 'ascent.casingStuck': 1 })],
  ['no landing thrust', 'a rule that never fires: below the ground', () => flyOne(atHeight(-100))],
  ['lost control coming down', 'a landing motor pointing 10 degrees aside', () => flyOne(BASE, { 'landing.misalignmentY': 0.18 })],
  ['lit too high', 'lit at 30 m', () => flyOne(atHeight(30))],
  ['lit too low', 'lit at 1 m', () => flyOne(atHeight(1))],
  ['slid', 'a limit of 1 mm/s along the ground', () => flyOne(withLimits({ slide: 0.001 }))],
  ['leaned', 'a limit of a tenth of a millirad', () => flyOne(withLimits({ tilt: 1e-4 }))],
  ['leg gave way', 'no leg locked', () => flyOne(BASE, Object.fromEntries([1, 2, 3, 4].map((i) => [`legs.failure${i}`, 1])))],
  ['tipped over', 'feet 2 cm from the axis', () => flyOne(NARROW)],
];

describe('each outcome has a flight', () => {
  it.each(WAYS)('%s: %s', (outcome, _, fly) => {
    expect(fly().outcome).toBe(outcome);
  });

  it('and none is left out', () => {
    expect(new Set(WAYS.map(([outcome]) => outcome))).toEqual(new Set(OUTCOMES));
  });
});

describe('no result keeps its reason', () => {
  it('time limit, reached on the first tick there', () => {
    const f = flyOne(withLimits({ time: 5 }));
    expect([f.outcome, reason(f), f.out('flightTime')]).toEqual(['no result', 'time limit', 5]);
  });

  it('never left the rail: too heavy to lift, noticed at burnout', () => {
    const f = flyOne(BASE, { 'airframe.mass': 20 });
    expect([f.outcome, reason(f)]).toEqual(['no result', 'never left the rail']);
    expect(f.out('liftoffTime')).toBeNaN();
    expect(f.out('flightTime')).toBeCloseTo(3.2, 1);
  });

  it('state absurd: a motor of a million newtons', () => {
    const strong = smoothStudy({ ascent: { ...BASE.ascent, curve: { time: [0, 0.5], thrust: [1e6, 1e6] } } });
    const f = flyOne(strong);
    expect([f.outcome, reason(f)]).toEqual(['no result', 'state absurd']);
  });

  it('state not finite: where the troposphere’s formula ends, 44 km up', () => {
    // 8 km/s for a while without air in the way.
    const far = smoothStudy({ ascent: { ...BASE.ascent, curve: { time: [0, 5], thrust: [1800, 1800] } } });
    const f = flyOne(far, { 'air.axialFactor': 0, 'air.lateralFactor': 0 });
    expect([f.outcome, reason(f)]).toEqual(['no result', 'state not finite']);
  });

  it('has no reason when there is a result', () => {
    for (const [outcome, , fly] of WAYS.filter(([o]) => o !== 'no result')) expect([outcome, reason(fly())]).toEqual([outcome, '']);
  });
});

describe('the order of the table', () => {
  it('a flight that recovers from a lost-control mark and lands has landed, the mark kept', () => {
    const f = flyOne(withLimits({ lostControlTilt: 1e-4 }));
    expect(f.outcome).toBe('landed');
    expect([f.out('lostControlRising'), f.out('lostControlBurning')]).toEqual([1, 1]);
  });

  it('lost control going up comes before a guard, a dead igniter, and what the contact shows', () => {
    const marked = { lostControlTilt: 1e-4 };
    expect(flyOne(withLimits(marked), { 'landing.igniterFails': 1 }).outcome).toBe('lost control going up');
    const guarded = smoothStudy({ limits: { ...BASE.limits, ...marked }, rules: [{ ...BASE.rules[0], tiltGuard: 1e-4 }] });
    expect(flyOne(guarded).outcome).toBe('lost control going up');
    expect(flyOne(withLimits({ ...marked, slide: 0.001 })).outcome).toBe('lost control going up');
  });

  it('a flip comes before a guard, a dead igniter, and what the contact shows; lost control going up before it', () => {
    expect(flyOne(FORWARD, { 'landing.igniterFails': 1 }).outcome).toBe('flipped');
    const guarded = smoothStudy({ vehicle: FORWARD.vehicle, rules: [{ ...BASE.rules[0], tiltGuard: 1e-4 }] });
    expect(flyOne(guarded).outcome).toBe('flipped');
    const marked = smoothStudy({ vehicle: FORWARD.vehicle, limits: { ...BASE.limits, lostControlTilt: 1e-4 } });
    expect(flyOne(marked).outcome).toBe('lost control going up');
  });

  it('a flip that comes only after the landing thrust started is none: that is control lost coming down', () => {
    // Lit at 30 m, so that the burn has the time to turn it over.
    const f = flyOne(atHeight(30), { 'landing.misalignmentY': 0.18 });
    expect(f.out('tiltLandingBurn')).toBeGreaterThan((120 * Math.PI) / 180);
    expect(f.outcome).toBe('lost control coming down');
  });

  it('held by the guard comes before a dead igniter, which nobody tried', () => {
    expect(flyOne(withRule({ tiltGuard: 1e-4 }), { 'landing.igniterFails': 1 }).outcome).toBe('held by the guard');
  });

  it('a time limit hides whatever else', () => {
    expect(flyOne(withLimits({ time: 5, lostControlTilt: 1e-4 })).outcome).toBe('no result');
  });

  it('a landing after which only the radius fails is not a lost one', () => {
    const marked = withLimits({ radius: 0.001, lostControlTilt: 1e-4 });
    expect(flyOne(marked).outcome).toBe('outside the field');
  });
});

describe('too high or too low', () => {
  it('turns from one to the other as the height of ignition falls, with landings between', () => {
    const words = Array.from({ length: 60 }, (_, i) => flyOne(atHeight(20 - i / 3)).outcome);
    const runs = words.filter((w, i) => w !== words[i - 1]);
    expect(runs[0]).toBe('lit too high');
    expect(runs[runs.length - 1]).toBe('lit too low');
    expect(runs).toContain('landed');
    expect(words.lastIndexOf('lit too high')).toBeLessThan(words.indexOf('landed'));
    expect(words.indexOf('lit too low')).toBeGreaterThan(words.lastIndexOf('landed'));
  });

  it('too high: slow enough on the way, or burnt out; too low: never slow enough', () => {
    const high = flyOne(atHeight(30));
    expect(high.out('slowestSink')).toBeLessThanOrEqual(3);
    const low = flyOne(atHeight(1));
    expect(low.out('slowestSink')).toBeGreaterThan(3);
    expect(low.out('impulseLeft')).toBeGreaterThan(0);
    // A motor too weak to slow it at all, burnt out long before the ground.
    const weak = flyOne(atHeight(30), { 'landing.impulseFactor': 0.3, 'landing.burnTimeFactor': 0.3 });
    expect(weak.outcome).toBe('lit too high');
    expect(weak.out('slowestSink')).toBeGreaterThan(3);
    expect(weak.out('impulseLeft')).toBe(0);
  });
});

describe('the height miss (model section 13)', () => {
  it('is none in the nominal flight of each of the demo’s tuned rules', () => {
    for (const rule of BASE.rules) expect([rule.name, flyOne({ ...BASE, rules: [rule] }).out('heightMiss')]).toEqual([rule.name, 0]);
  });

  it('falls with the height of ignition, from where the descent was slowest over none to the height yet needed', () => {
    const flown = Array.from({ length: 40 }, (_, i) => flyOne(atHeight(20 - i / 2)));
    const misses = flown.map((f) => f.out('heightMiss'));
    expect(misses).toEqual([...misses].sort((a, b) => b - a));
    for (const [i, f] of flown.entries())
      expect(Math.sign(misses[i])).toBe(Math.sign(['lit too low', 'landed', 'lit too high'].indexOf(f.outcome) - 1));
  });

  it('is the lowest point where the descent was slowest, seen from outside', () => {
    let [slowest, height] = [Number.POSITIVE_INFINITY, Number.NaN];
    const f = flyOne(atHeight(10.5), still, {
      recorder: watching(({ motion, ground }) => {
        const sink = -motion.s.vz;
        if (ground.contacts > 0 || !(motion.time >= motion.thrustStartTime) || sink >= slowest) return;
        [slowest, height] = [sink, motion.s.rz + motion.load.xcg - BASE.vehicle.legs.footStation];
      }),
    });
    expect([f.outcome, slowest > 0]).toEqual(['lit too high', true]);
    // It hangs upright, but for what its offset motors lean it: far less than a millimetre of height.
    expect(f.out('heightMiss')).toBeCloseTo(height, 3);
  });

  it('is where it first stopped, however slow or far it went afterwards', () => {
    const heights: number[] = [];
    const f = flyOne(
      atHeight(14),
      { ...still, 'landing.impulseFactor': 1.3 },
      {
        recorder: watching(({ motion }) => {
          if (motion.time >= motion.thrustStartTime && motion.s.vz >= 0)
            heights.push(motion.s.rz + motion.load.xcg - BASE.vehicle.legs.footStation);
        }),
      },
    );
    expect(Math.max(...heights)).toBeGreaterThan(heights[0] + 0.1);
    expect(f.out('heightMiss')).toBeCloseTo(heights[0], 2);
  });

  it('is the height yet needed, at the greatest deceleration it had, where it still slowed down', () => {
    let greatest = 0;
    const f = flyOne(atHeight(4), still, {
      recorder: watching(({ motion }) => {
        if (motion.time >= motion.thrustStartTime) greatest = Math.max(greatest, motion.k1.vz);
      }),
    });
    expect(f.outcome).toBe('lit too low');
    expect(f.out('heightMiss')).toBeCloseTo(-(f.out('sink') ** 2) / (2 * greatest), 12);
  });

  it('is the same on springs, whose first touchdown it is read from, whatever the legs do afterwards', () => {
    const springs = (height: number): Study => {
      const study = springsStudy({ sensors: { ...BASE.sensors, rounding: false } });
      return { ...study, rules: [{ ...study.rules[0], constants: { height } }] };
    };
    expect(flyOne(springs(7), still).out('heightMiss')).toBe(0);
    for (const height of [14, 4]) {
      const byRules = flyOne(atHeight(height), still).out('heightMiss');
      // The same flight up to the ground; the contact's instant is found otherwise, within a step of touchdown.
      expect(flyOne(springs(height), still).out('heightMiss')).toBeCloseTo(byRules, 1);
      expect(Math.abs(byRules)).toBeGreaterThan(0.5);
    }
  });

  it('is none to be read without a landing thrust before the contact', () => {
    expect(flyOne(BASE, { 'landing.igniterFails': 1 }).out('heightMiss')).toBeNaN();
    expect(flyOne(BASE, { 'landing.ignitionDelay': 0.9 }).out('heightMiss')).toBeNaN();
  });
});
