/**
 * When a hopping vehicle touches again: not with a foot that turns down into the ground, not under thrust that holds
 * it, never at once. Model section 13.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Motion } from '../../../src/flight/motion.ts';
import { curveTable } from '../../../src/maths/thrustCurve.ts';
import { clearance, normalSpeed } from '../../../src/plant/contact/clearance.ts';
import type { RulesContact } from '../../../src/plant/contact/rulesContact.ts';
import type { PlantParameters } from '../../../src/plant/parameters.ts';
import { FREE, STANDING } from '../../../src/plant/rates.ts';
import { near } from '../../helpers/near.ts';
import { freeMotion, motorForTests, plantForTests } from '../../helpers/plantForTests.ts';

const UPRIGHT = { qw: 0.5, qx: -0.5, qy: -0.5, qz: -0.5 };
const LIMITS = { sink: 99, slide: 99, tilt: 1.5 };
const G = 9.80665;

/** A vehicle of 1 kg standing at time 0 with this thrust ahead of it. */
function standing(time: readonly number[], thrust: readonly number[], changes: Partial<PlantParameters> = {}) {
  const p = plantForTests({ landing: motorForTests({ curve: curveTable(time, thrust) }), ...changes });
  const motion = freeMotion(p, { ...UPRIGHT, rz: 0.5 });
  motion.ground.begin(LIMITS, p);
  motion.light(p, 0);
  motion.derive(p);
  motion.stand();
  return { motion, p };
}

/** Flies on in ticks of 10 ms, judging as the flight loop does, until `end` s or `most` contacts. */
function flown(motion: Motion, p: PlantParameters, end: number, most: number): { time: number; sink: number; clearance: number }[] {
  const contacts: { time: number; sink: number; clearance: number }[] = [];
  for (let k = Math.floor(motion.time / 0.01 + 1e-9) + 1; motion.time < end && contacts.length < most; k++) {
    while (motion.time < k * 0.01 && contacts.length < most) {
      if (!motion.advance(p, k * 0.01, 1)) continue;
      motion.derive(p);
      const height = clearance(motion.s, motion.load.xcg, 0, p);
      motion.ground.judge(motion.s, motion.load, 0, p, motion.time);
      contacts.push({ time: motion.time, sink: motion.ground.lastSink, clearance: height });
      motion.stand();
    }
    motion.normalise();
  }
  return contacts;
}

describe('a hop', () => {
  it('is flown by the same equations from rest: thrust of 2 weights for a while, then a fall, in closed form', () => {
    // Up with g for 0.3 s, then down with g from there: back on the ground after 0.3 (1 + sqrt 2 + 1) s.
    const { motion, p } = standing([0, 0.105, 0.105 + 1e-9, 0.405, 0.405 + 1e-9, 9], [0, 0, 2 * G, 2 * G, 0, 0]);
    const [contact] = flown(motion, p, 3, 1);
    near(contact.time, 0.105 + 0.3 * (2 + Math.SQRT2), 1e-7);
    near(contact.sink, G * 0.3 * Math.SQRT2, 1e-6);
    expect(motion.hops).toBe(1);
  });

  it('thrust that a gimbal turns aside lifts it off by its amount but carries it not: it sinks in, and touches when thrust falls under the weight', () => {
    // 1.002 weights along the axis, at 6 degrees to it 0.9965 of them upward. From 0.5 s on 0.9 weights.
    const ty = Math.tan(0.105);
    const { motion, p } = standing([0, 0.5, 0.5 + 1e-9, 9], [1.002 * G, 1.002 * G, 0.9 * G, 0.9 * G], {
      landing: motorForTests({
        curve: curveTable([0, 0.5, 0.5 + 1e-9, 9], [1.002 * G, 1.002 * G, 0.9 * G, 0.9 * G]),
        angleY: 0.105,
        nozzleStation: 0.5,
      }),
    });
    const [contact] = flown(motion, p, 3, 1);
    near(contact.time, 0.5, 1e-6);
    // Half a second at this acceleration.
    near(contact.sink, (1 - 1.002 / Math.sqrt(1 + ty * ty)) * G * 0.5, 1e-6);
    expect(contact.clearance).toBeLessThan(-1e-4);
    expect(motion.hops).toBe(1);
  });

  it('a foot that turns down into the ground while the vehicle rises is no contact', () => {
    // Lifted by 1.2 weights while it turns at 1 rad/s about the body's y: its feet at 0.2 m dip by more than it has
    // risen.
    const { motion, p } = standing([0, 0.3, 0.3 + 1e-9, 9], [1.2 * G, 1.2 * G, 0, 0]);
    motion.held.legShare = 1;
    motion.advance(p, 1e-6, 1);
    expect(motion.hold).toBe(FREE);
    motion.s.wy = 1;
    let deepest = 0;
    for (let k = 1; k <= 29; k++) {
      expect(motion.advance(p, k * 0.01, 1)).toBe(false);
      motion.derive(p);
      deepest = Math.min(deepest, clearance(motion.s, motion.load.xcg, 1, p));
    }
    expect(deepest).toBeLessThan(-0.001);
    expect(normalSpeed(motion.s, p)).toBeGreaterThan(0);
  });

  it('turned under the ground at its top, it touches where it begins to fall', () => {
    const { motion, p } = standing([0, 0.1, 0.1 + 1e-9, 9], [1.2 * G, 1.2 * G, 0.5 * G, 0.5 * G]);
    motion.held.legShare = 1;
    motion.advance(p, 1e-6, 1);
    motion.s.wy = 2;
    let stopped = false;
    for (let k = 1; k <= 99 && !stopped; k++) stopped = motion.advance(p, k * 0.01, 1);
    expect(stopped).toBe(true);
    // 1.2 g cos 2t - g for 0.1 s, then 0.5 g cos 2t - g: its speed over g is 0.6 sin 0.2 + 0.25 (sin 2t - sin 0.2) - t.
    near(0.35 * Math.sin(0.2) + 0.25 * Math.sin(2 * motion.time), motion.time, 1e-6);
    near(normalSpeed(motion.s, p), 0, 1e-6);
    motion.derive(p);
    expect(clearance(motion.s, motion.load.xcg, 1, p)).toBeLessThan(0);
  });

  it('no two contacts share an instant, every one after the first comes down, whatever the thrust', () => {
    const level = fc.double({ min: 0.6, max: 1.5, noNaN: true });
    fc.assert(
      fc.property(fc.array(level, { minLength: 4, maxLength: 14 }), fc.double({ min: 0, max: 0.1, noNaN: true }), (levels, aside) => {
        const time = levels.map((_, k) => 0.07 * k);
        const curve = curveTable(
          time,
          levels.map((x) => x * G),
        );
        const { motion, p } = standing([0, 1], [0, 0], { landing: motorForTests({ curve, angleY: aside, nozzleStation: 0.5 }) });
        const contacts = flown(motion, p, 4, 8);
        for (let k = 1; k < contacts.length; k++) expect(contacts[k].time - contacts[k - 1].time).toBeGreaterThan(1e-6);
        for (const c of contacts) expect(c.sink).toBeGreaterThan(-1e-8);
        // Thrust is spent after a second: whatever was in the air is down again.
        expect(motion.hold).toBe(STANDING);
        expect(contacts.length === 8 || contacts.length === motion.hops).toBe(true);
      }),
      { seed: 4, numRuns: 200 },
    );
  });
});

describe('a first contact', () => {
  it('needs no fall: a foot that turns down into the ground is one', () => {
    const p = plantForTests();
    const quick = freeMotion(p, { ...UPRIGHT, rz: 0.51, vz: 0.5, wy: 9 });
    quick.held.legShare = 1;
    let stopped = false;
    for (let k = 1; k <= 8 && !stopped; k++) stopped = quick.advance(p, k * 0.01, 1);
    expect(stopped).toBe(true);
    expect(quick.s.vz).toBeGreaterThan(0);
    expect((quick.ground as RulesContact).hopping).toBe(false);
  });
});
