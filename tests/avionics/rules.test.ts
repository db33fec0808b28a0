/**
 * The rule that predicts, against the closed form of a constant braking burn (tests/published/braking-burn.test.ts has
 * its derivation), and the list of kinds.
 */
import { describe, expect, it } from 'vitest';
import { preparedMargin, ruleKind, ruleKinds } from '../../src/avionics/rules/kinds.ts';
import type { OnboardModel } from '../../src/avionics/rules/rule.ts';
import { curveTable, impulseIn, pieceAfter, thrustIn } from '../../src/maths/thrustCurve.ts';
import { near } from '../helpers/near.ts';

const K = (1.225 * 0.6 * (Math.PI / 4) * 0.066 ** 2) / 2;
/** 14 N for ten seconds against 0.52 kg. */
const BRAKE: OnboardModel = {
  mass: 0.52,
  casingMass: 0,
  ejectDelay: 0,
  propellantMass: 0,
  ignitionDelay: 0,
  time: [0, 10],
  thrust: [14, 14],
  dragConstant: K,
  gravity: 9.80665,
};
const predicted = (model: OnboardModel, constants: { margin: number; speed: number }, lead: number) =>
  preparedMargin('predictedStop', constants, model, lead);

describe('predictedStop', () => {
  it('fires at the stop distance above the margin: 13.6761017170 m from 22 m/s', () => {
    // Midpoint steps of 20 ms: the cube of the speed's fall, some 1e-3 m; the last, shortened step counts as a
    // trapezoid.
    near(predicted(BRAKE, { margin: 0, speed: 0 }, 0)(20, 22, 50), 20 - 13.676101717, 2e-3);
    near(predicted(BRAKE, { margin: 3, speed: 0 }, 0)(20, 22, 50), 17 - 13.676101717, 2e-3);
  });

  it('or at the distance in which it slows to a speed: v^2 = (v0^2 + F/k) e^(-2kh/m) - F/k', () => {
    const force = 14 - 0.52 * 9.80665;
    const distance = (0.52 / (2 * K)) * Math.log((22 ** 2 + force / K) / (5 ** 2 + force / K));
    near(predicted(BRAKE, { margin: 0, speed: 5 }, 0)(20, 22, 50), 20 - distance, 2e-3);
  });

  it('on a real curve, with corners inside its steps, it foretells the distance of a fine integration to 3.5 mm', () => {
    const landing: OnboardModel = {
      ...BRAKE,
      mass: 1.017,
      casingMass: 0.03,
      ejectDelay: 0.02,
      propellantMass: 0.03,
      time: [0, 0.05, 0.15, 0.64, 0.79, 0.99, 4.2, 4.55],
      thrust: [0, 30, 44, 37.7, 10.6, 9.6, 7.7, 0],
      dragConstant: 0.007,
    };
    const curve = curveTable(landing.time, landing.thrust);
    // Midpoint steps of a hundredth of the rule's.
    const distance = (speed: number, slow: number): number => {
      const h = 2e-4;
      const slowing = (t: number, s: number): number => {
        const piece = pieceAfter(curve, t);
        const burnt = impulseIn(curve, piece, t) / curve.total;
        const mass = landing.mass - landing.propellantMass * burnt - (t > landing.ejectDelay ? landing.casingMass : 0);
        return landing.gravity - (thrustIn(curve, piece, t) + landing.dragConstant * s * Math.abs(s)) / mass;
      };
      let [s, fallen] = [speed, 0];
      for (let t = 0; s > slow; t += h) {
        const next = s + h * slowing(t + h / 2, s + (h / 2) * slowing(t, s));
        fallen += 0.5 * h * (s + next);
        s = next;
      }
      return fallen;
    };
    for (const speed of [8, 12, 16, 20, 22, 24, 26]) {
      near(100 - predicted(landing, { margin: 0, speed: 6 }, 0)(100, speed, 50), distance(speed, 6), 3.5e-3);
    }
  });

  it('counts the speed gained until thrust starts', () => {
    const gain = 9.80665 - (K / 0.52) * 22 ** 2;
    // The height it is given already counts 0.11 s at 22 m/s.
    const later = predicted(BRAKE, { margin: 0, speed: 0 }, 0)(20 - 0.5 * gain * 0.11 ** 2, 22 + 0.11 * gain, 50);
    near(predicted(BRAKE, { margin: 0, speed: 0 }, 0.11)(20, 22, 50), later, 1e-12);
    expect(later).toBeLessThan(predicted(BRAKE, { margin: 0, speed: 0 }, 0)(20, 22, 50));
  });

  it('lets go of the casing and burns propellant: lighter, it stops sooner', () => {
    const stop = (changes: Partial<OnboardModel>): number => predicted({ ...BRAKE, ...changes }, { margin: 0, speed: 0 }, 0)(100, 22, 50);
    expect(stop({ casingMass: 0.05, ejectDelay: 0 })).toBeGreaterThan(stop({}));
    expect(stop({ casingMass: 0.05, ejectDelay: 1 })).toBeLessThan(stop({ casingMass: 0.05, ejectDelay: 0.1 }));
    expect(stop({ propellantMass: 0.1 })).toBeGreaterThan(stop({}));
  });

  it('a motor that never slows it enough is lit for its slowest moment', () => {
    // One second of braking, then a fall again: the distance is that of the burn.
    const short = { ...BRAKE, time: [0, 1], thrust: [14, 14] };
    const force = 14 - 0.52 * 9.80665;
    // Without drag: v0 t - a t^2/2.
    const distance = 22 - (0.5 * force) / 0.52;
    near(predicted({ ...short, dragConstant: 0 }, { margin: 0, speed: 0 }, 0)(100, 22, 50), 100 - distance, 1e-9);
  });
});

describe('the kinds', () => {
  it('have unlike names, bounds that hold something, and constants that each move the margin', () => {
    expect(new Set(ruleKinds().map((k) => k.kind)).size).toBe(ruleKinds().length);
    for (const kind of ruleKinds()) {
      const middle = Object.fromEntries(kind.constants.map(({ key, low, high }) => [key, 0.4 * low + 0.6 * high]));
      const margin = preparedMargin(kind.kind, middle, BRAKE, 0.1)(20, 22, 50);
      for (const { key, low, high } of kind.constants) {
        expect(low).toBeLessThan(high);
        expect(
          preparedMargin(kind.kind, { ...middle, [key]: middle[key] * 0.9 + 0.01 }, BRAKE, 0.1)(20, 22, 50),
          `${kind.kind}.${key}`,
        ).not.toBe(margin);
      }
    }
  });

  it('an unknown one is our fault', () => {
    expect(() => ruleKind('luck')).toThrow('no rule kind luck');
  });
});
