/**
 * Burn heights of drops in closed form. Own derivation from textbook motion, no source; the braking burn with drag is
 * the one of braking-burn.test.ts, the fall with drag v^2 = vt^2 (1 - e^(-2 g d/vt^2)), vt^2 = m g/k, stands in any
 * mechanics text.
 *
 * Falling from rest at H and braked by constant thrust T without drag, a vehicle of mass m stops at the ground when lit
 * at
 *
 *     h = H m g/T,
 *
 * so burn heights lie on a line through the origin whose slope is weight over thrust. The kernel flies the whole of it:
 * rail, ascent, belief, rule timed inside the tick, and contact. The motor burns on beyond the stop, so that lighting a
 * hair too high carries it up again; the sink limit is set so low that a touchdown worth the name ends the flight,
 * which would else hop and come down hard.
 */
import { describe, expect, it } from 'vitest';
import { flyDrops } from '../../src/analysis/drops/drops.ts';
import type { Motor, Study } from '../../src/study/study.ts';
import { near } from '../helpers/near.ts';
import { demoStudy } from '../helpers/studyForTests.ts';

const G = 9.80665;
const MASS = 0.52;
const THRUST = 14;
/** kg; too light to matter at the accuracy tested, so that mass and centre of mass stand still. */
const WEIGHTLESS = 1e-9;
const DIAMETER = 0.066;
/** m/s; reached 1.2e-5 m below the height that stops at the ground. */
const LIMIT = 0.02;

function motor(thrust: number, duration: number): Motor {
  return {
    curve: { time: [0, duration], thrust: [thrust, thrust] },
    casingMass: WEIGHTLESS,
    propellantMass: WEIGHTLESS,
    station: 0.6,
    length: 0.1,
    radius: 0.01,
    nozzleStation: 0.85,
    ignitionDelay: 0,
    temperature: null,
  };
}

/**
 * A vehicle that the air only slows, if at all, going up and down alike; its computer starts in time and never pauses.
 */
function study(axial: number): Study {
  const demo = demoStudy();
  const none = { slope: 0, station: 0.5 };
  return demoStudy({
    vehicle: {
      ...demo.vehicle,
      body: { length: 0.86, diameter: DIAMETER },
      legs: { ...demo.vehicle.legs, footStation: 0.86 },
      airframe: { ...demo.vehicle.airframe, mass: MASS },
      aerodynamics: {
        ...demo.vehicle.aerodynamics,
        axialNose: axial,
        axialTail: axial,
        legsAxial: 0,
        normalNose: none,
        normalTail: none,
        legsNormal: none,
        crossflowDrag: 0,
        rollDamping: 0,
      },
    },
    ascent: motor(15, 1.3),
    landing: motor(THRUST, 12),
    computer: { ...demo.computer, transitionGap: 0, stallRate: 0 },
    phases: { ...demo.phases, replay: true },
    site: { ...demo.site, windSpeed: 0, gustScale: 0 },
    limits: { ...demo.limits, sink: LIMIT },
    inputs: {},
  });
}

const OPTIONS = { steps: 5, spread: 0.2, lead: 0, tiltGuard: Math.PI / 2 };

describe('drops braked by constant thrust', () => {
  const { drops } = flyDrops(study(0), OPTIONS);

  // The kernel looks for contact at the ends of its 10 ms steps: a dip into the ground may go unseen when it is
  // shorter, which is to say shallower than a t^2/8 = 17 x 0.01^2/8 m = 0.21 mm, and then slower than 0.086 m/s.
  it.each(drops.map((drop) => [drop.apogee, drop] as const))('from %d m are best lit at that times weight over thrust', (apogee, drop) => {
    near(drop.burnHeight, (apogee * MASS * G) / THRUST, 2.2e-4);
    expect(drop.sink).toBeLessThan(0.09);
    expect(drop.end).toBe(null);
  });

  it('need weight over thrust more height for each metre of apogee', () => {
    const [lowest, highest] = [drops[0], drops[drops.length - 1]];
    // Twice the 0.21 mm of a drop over the 19 m between them.
    near((highest.burnHeight - lowest.burnHeight) / (highest.apogee - lowest.apogee), (MASS * G) / THRUST, 2.3e-5);
  });

  it('are believed where they are, by a computer that starts in time and loses nothing', () => {
    // Thrust that jumps inside a tick is integrated by the trapezoid rule: half a tick of the jumps of 29 and 19 m/s^2
    // in speed at most, over the flight of some six seconds.
    for (const drop of drops) near(drop.believedBurnHeight, drop.burnHeight, 0.005 * 48 * 6);
  });
});

describe('drops with quadratic drag', () => {
  const axial = 0.12;
  const { drops } = flyDrops(study(axial), OPTIONS);

  it.each(drops.map((drop) => [drop.apogee, drop] as const))('from %d m are best lit where fall and braking burn meet', (apogee, drop) => {
    // The form takes the air as it is at the ground; 30 m up it is 0.3 % thinner, worth that share of drag's effect of
    // some 0.2 m.
    const k = (1.225 * axial * (Math.PI / 4) * DIAMETER ** 2) / 2;
    const force = THRUST - MASS * G;
    const meets = (h: number): number => {
      const squared = ((MASS * G) / k) * -Math.expm1((-2 * k * (apogee - h)) / MASS);
      return (MASS / (2 * k)) * Math.log1p((k * squared) / force) - h;
    };
    let [low, high] = [0, apogee];
    for (let i = 0; i < 60; i++) {
      const middle = (low + high) / 2;
      if (meets(middle) > 0) low = middle;
      else high = middle;
    }
    near(drop.burnHeight, low, 1e-3);
    // Without drag it would be this much higher: the check sees drag.
    expect((apogee * MASS * G) / THRUST - low).toBeGreaterThan(0.05);
  });
});
