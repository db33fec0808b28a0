import { describe, expect, it } from 'vitest';
import { readLegs } from '../../../src/analysis/nominal/legs.ts';
import { legsText } from '../../../src/cli/legsText.ts';
import type { Study } from '../../../src/study/study.ts';
import { near } from '../../helpers/near.ts';
import { demoStudy, springsStudy } from '../../helpers/studyForTests.ts';

function legsOf(legs: Partial<Study['vehicle']['legs']> = {}, changes: Partial<Study> = {}) {
  const study = springsStudy();
  const read = readLegs({ ...study, ...changes, vehicle: { ...study.vehicle, legs: { ...study.vehicle.legs, ...legs } } });
  if (read === null) throw new Error('no legs');
  return read;
}

describe('the legs read', () => {
  it('judged by rules there is nothing to say', () => {
    expect(readLegs(demoStudy())).toBeNull();
  });

  it('of the demo: 0.987 kg on four legs of 600 N/m, 17 N s/m and 60 N', () => {
    const r = legsOf();
    near(r.mass, 0.987, 1e-12);
    near(r.sag, (0.987 * 9.80665) / 2400, 1e-12);
    near(r.room, 0.04, 1e-12);
    near(r.dampingRatio, 17 / (2 * Math.sqrt(600 * (0.987 / 4))), 1e-12);
    expect(r.breaksFirst).toBe('strength');
    near(r.survivable, 60 / 17, 1e-12);
    near(r.standsFallFrom, r.survivable ** 2 / (2 * 9.80665), 1e-12);
    expect(r.usefulDamping[0]).toBeLessThan(17);
    expect(r.usefulDamping[1]).toBeGreaterThan(17);
    near(r.tippingFriction, (0.27 * Math.SQRT1_2) / r.height, 1e-12);
  });

  it('without a strength the base is what reaches the ground', () => {
    expect(legsOf({ strength: null })).toMatchObject({ strength: null, breaksAt: null, breaksFirst: 'base' });
    expect(legsOf({ strength: null }).survivable).toBe(legsOf().bottomsAt);
  });

  it('on soft ground the useful damping is the leg’s own, before the ground takes its part', () => {
    const r = legsOf({}, { ground: { friction: 0.5, stiffness: 600 } });
    expect(r.damping).toBeCloseTo(17 / 4, 12);
    const at = legsOf({ damping: r.usefulDamping[0] }, { ground: { friction: 0.5, stiffness: 600 } });
    near(at.dampingRatio, 0.6, 1e-12);
  });
});

describe('in words', () => {
  it('what they stand, what breaks first, sag, damping, tipping, and how to measure', () => {
    const text = legsText(legsOf());
    expect(text).toMatch(/stand an upright touchdown of 3\.53 m\/s; beyond it a leg breaks first\./);
    expect(text).toMatch(/within the useful 0\.6 to 0\.8/);
    expect(text).toMatch(/slides on and does not tip/);
    expect(text).toMatch(/kitchen scale/);
  });

  it('other legs, other words', () => {
    expect(legsText(legsOf({ damping: 5 }))).toMatch(/below the useful 0\.6 to 0\.8 it bounces\. Legs of 14\.6 to 19\.5 N s\/m/);
    expect(legsText(legsOf({ damping: 30 }))).toMatch(/hits hard at the touch itself/);
    expect(legsText(legsOf({ strength: null }))).toMatch(/the base reaches the ground first\.\n {2}They never break/);
    expect(legsText(legsOf({ radius: 0.1 }))).toMatch(/what slides fast enough tips over/);
  });
});
