/**
 * Drops of the demo vehicle, and of one whose landing motor is too small. The closed form is
 * tests/published/drops-closed-form.test.ts.
 */
import { describe, expect, it } from 'vitest';
import { burnPoints, flyDrops } from '../../../src/analysis/drops/drops.ts';
import { NominalFlights } from '../../../src/analysis/drops/nominalFlights.ts';
import { UserError } from '../../../src/errors.ts';
import { near } from '../../helpers/near.ts';
import { demoStudy } from '../../helpers/studyForTests.ts';

const OPTIONS = { steps: 3, spread: 0.1, lead: 0.11, tiltGuard: 0.6 };
const demo = demoStudy();
const found = flyDrops(demo, OPTIONS);

describe('drops', () => {
  it('reach the apogees asked for', () => {
    const { apogee } = found.nominal;
    for (const [i, share] of [0.9, 1, 1.1].entries()) near(found.drops[i].apogee, share * apogee, 2e-4);
    expect(found.drops[1]).toEqual(found.nominal);
  });

  it('are softest where they say: any other height within a metre is harder', () => {
    const flights = new NominalFlights(demo);
    const rule = { name: 'any', kind: 'fixedHeight', lead: 0.11, tiltGuard: 0.6, insideTick: true };
    const sink = (height: number): number => flights.fly({ ...rule, constants: { height } }).out('sink');
    // The believed height at the drop's own moment of liftoff, not the mean over moments that the drop reports.
    const own = (() => {
      let [low, high] = [0, 20];
      for (let i = 0; i < 40; i++) {
        const middle = (low + high) / 2;
        if (flights.fly({ ...rule, constants: { height: middle } }).out('ignitionHeight') > found.nominal.commandHeight) high = middle;
        else low = middle;
      }
      return low;
    })();
    near(sink(own), found.nominal.sink, 1e-3);
    for (const away of [-1, -0.3, -0.1, 0.1, 0.3, 1]) expect(sink(own + away)).toBeGreaterThan(found.nominal.sink);
  });

  it('tell true from believed: a late start believes too low, and too fast a fall', () => {
    const { burnHeight, believedBurnHeight, commandSpeed, believedCommandSpeed, commandHeight, thrustHeight } = found.nominal;
    expect(burnHeight - believedBurnHeight).toBeGreaterThan(3);
    expect(believedCommandSpeed).toBeGreaterThan(commandSpeed);
    // The lead is the delay here, and the vehicle still speeds up by less than g over it.
    near(thrustHeight ?? Number.NaN, burnHeight, 0.5 * 9.81 * 0.11 ** 2);
    near(commandHeight - commandSpeed * 0.11, burnHeight, 1e-9);
  });

  it('are as believed when nothing is lost on the way', () => {
    const perfect = demoStudy({
      computer: { ...demo.computer, transitionGap: 0 },
      phases: { ...demo.phases, replay: true },
      site: { ...demo.site, windSpeed: 0 },
    });
    const { nominal } = flyDrops(perfect, OPTIONS);
    near(nominal.believedBurnHeight, nominal.burnHeight, 0.5);
    near(nominal.believedApogee, nominal.apogee, 0.5);
  });

  it('give rules their points', () => {
    expect(burnPoints(found)).toHaveLength(3);
    expect(burnPoints(found)[1]).toEqual({
      height: found.nominal.believedBurnHeight,
      speed: found.nominal.believedCommandSpeed,
      apogee: found.nominal.believedApogee,
    });
  });

  it('say with numbers why a motor cannot land it', () => {
    const { curve } = demo.landing;
    const weak = demoStudy({ landing: { ...demo.landing, curve: { time: curve.time, thrust: curve.thrust.map((n) => 0.3 * n) } } });
    const { fits, verdict, drops } = flyDrops(weak, OPTIONS);
    expect(fits).toBe(null);
    expect([verdict.soft, verdict.stands, verdict.lost]).toEqual([0, 0, []]);
    expect(verdict.bestSink).toBe(Math.min(...drops.map((drop) => drop.sink)));
    expect(verdict.bestSink).toBeGreaterThan(verdict.sinkLimit);
    // 30 % of 59.2 N s against 1.017 kg at the fall's end.
    near(verdict.impulse, 0.3 * 59.223, 1e-9);
    near(verdict.fallMomentum, 1.017 * drops[1].fallSpeed, 1e-9);
    expect(verdict.impulse).toBeLessThan(verdict.fallMomentum);
    expect(drops.every((drop) => drop.sink < drop.fallSpeed)).toBe(true);
  });

  it('reach as far as an ascent impulse does, and say how far that is', () => {
    // At 1.95 times the nominal impulse the model takes hardly more.
    const strong = demoStudy({ inputs: { 'ascent.impulseFactor': { kind: 'fixed', value: 1.95 } } });
    const { reached, drops, nominal } = flyDrops(strong, { ...OPTIONS, spread: 0.15 });
    expect(reached).toBeGreaterThan(0.01);
    expect(reached).toBeLessThan(0.15);
    expect(found.reached).toBe(OPTIONS.spread);
    near(drops[2].apogee, (1 + reached) * nominal.apogee, 1e-3);
  });

  it('refuse what cannot be dropped', () => {
    const grounded = demoStudy({ ascent: { ...demo.ascent, curve: { time: [0, 1], thrust: [1, 1] } } });
    expect(() => flyDrops(grounded, OPTIONS)).toThrow(UserError);
    expect(() => flyDrops(demo, { ...OPTIONS, steps: 2 })).toThrow(RangeError);
  });

  it('judge the whole touchdown: soft is not enough where the feet are too close together', () => {
    const { legs } = demo.vehicle;
    const { verdict, drops } = flyDrops(demoStudy({ vehicle: { ...demo.vehicle, legs: { ...legs, radius: 0.02 } } }), OPTIONS);
    const tipped = drops.filter(({ outcome }) => outcome === 'tipped over').length;
    expect(tipped).toBeGreaterThan(0);
    expect(verdict).toMatchObject({ soft: 3, stands: 3 - tipped, lost: [{ outcome: 'tipped over', count: tipped }] });
    expect([found.verdict.soft, found.verdict.stands, found.verdict.lost]).toEqual([3, 3, []]);
  });
});
