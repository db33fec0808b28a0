/** From a study and an input vector to one flight's numbers: every input arrives, in the place it is meant for. */
import { describe, expect, it } from 'vitest';
import { chosenRule } from '../../src/flight/flightMaker.ts';
import { setInputs, setNoise } from '../../src/flight/inputSetup.ts';
import { FlightParameters } from '../../src/flight/parameters.ts';
import { onboardModel, setShared, studyTables } from '../../src/flight/setup.ts';
import { CATALOGUE } from '../../src/inputs/catalogue.ts';
import { nominalValue } from '../../src/study/nominal.ts';
import type { Study } from '../../src/study/study.ts';
import { near } from '../helpers/near.ts';
import { flyOne, inputsOf, smoothStudy } from '../helpers/oneFlight.ts';
import { springsStudy } from '../helpers/studyForTests.ts';

const BASE = smoothStudy();
const SPRINGS = springsStudy();
/** With a barometer, eight legs that spring on soft ground, a slope and a motor that goes with its temperature, so that no input is ignored. */
const FULL: Study = smoothStudy({
  touchdown: SPRINGS.touchdown,
  ground: { friction: 0.5, stiffness: 5000 },
  sensors: { ...BASE.sensors, rounding: false, barometer: { noise: 0.02, lag: 0.1, speedGain: 0.4, heightGain: 0.6 } },
  vehicle: { ...BASE.vehicle, legs: { ...SPRINGS.vehicle.legs, count: 8 } },
  site: { ...BASE.site, groundSlope: 0.05 },
  landing: { ...BASE.landing, temperature: { reference: 293.15, impulsePerKelvin: 0.001, burnTimePerKelvin: 0, stated: null } },
});
const setupOf = (study: Study, inputs = {}) => flyOne(study, inputs).setup;
/** As text, typed arrays included; functions apart. */
const text = (setup: unknown): string =>
  JSON.stringify(setup, (_, x) => (ArrayBuffer.isView(x) ? [...(x as Float64Array)] : typeof x === 'function' ? 'rule' : x));

describe('every input', () => {
  const nominal = text(setupOf(FULL));
  it.each(CATALOGUE.map((row) => [row.key, row] as const))('%s changes the flight it is given to', (key, row) => {
    const value = nominalValue(row, FULL);
    const other = row.type === 'yesNo' ? 1 : value + 0.01 * (row.high - value) + 1e-4 * (row.high - row.low);
    expect(text(setupOf(FULL, { [key]: other }))).not.toBe(nominal);
  });
});

describe('nothing is left out', () => {
  /**
   * Makes every number of an object, and of all that hangs on it, one that no flight has; the seeds of streams and
   * other rules apart.
   */
  const spoil = (object: object, path: string, left: string[], look: boolean): void => {
    for (const [name, value] of Object.entries(object)) {
      const here = `${path}${name}`;
      if (/Seed$|^computer\.rule\./.test(here)) continue;
      if (ArrayBuffer.isView(value)) {
        if (look && (value as Float64Array).length === 0) left.push(here);
      } else if (typeof value === 'object') spoil(value, `${here}.`, left, look);
      else if (typeof value === 'number') {
        if (look && Number.isNaN(value)) left.push(here);
        if (!look) (object as Record<string, number>)[name] = Number.NaN;
      }
    }
  };

  it('study and inputs together write every number of the parameters', () => {
    const p = new FlightParameters();
    spoil(p, '', [], false);
    setShared(p, FULL, studyTables(FULL), FULL.rules[0]);
    setInputs(p, FULL, inputsOf(FULL));
    const left: string[] = [];
    spoil(p, '', left, true);
    expect(left).toEqual([]);
  });

  it('and the noise has a start of its own for each stream', () => {
    const p = new FlightParameters();
    setShared(p, FULL, studyTables(FULL), FULL.rules[0]);
    setNoise(p, 'key');
    expect(p.noisy).toBe(true);
    expect(new Set([p.inertialSeed, p.barometerSeed, p.gustSeed, p.stallSeed].map((seed) => seed.s0)).size).toBe(4);
    setNoise(p, null);
    expect(p.noisy).toBe(false);
  });
});

describe('values by hand', () => {
  it('wind is given by where it comes from: from the west it blows east', () => {
    const { plant } = setupOf(BASE, { 'wind.direction': (3 * Math.PI) / 2 });
    near(plant.windEast, 1, 1e-15);
    near(plant.windNorth, 0, 1e-15);
  });

  it('the ground falls toward its azimuth: its normal leans there', () => {
    const { plant } = setupOf(BASE, { 'ground.slope': 0.1, 'ground.azimuth': Math.PI / 2 });
    near(plant.groundX, Math.sin(0.1), 1e-15);
    near(plant.groundY, 0, 1e-15);
    near(plant.groundZ, Math.cos(0.1), 1e-15);
  });

  it('thrust is scaled by impulse over burn time', () => {
    const { plant } = setupOf(BASE, { 'landing.impulseFactor': 1.2, 'landing.burnTimeFactor': 0.8 });
    near(plant.landing.thrustScale, 1.5, 1e-15);
    expect(plant.landing.burnTimeFactor).toBe(0.8);
    expect(plant.ascent.thrustScale).toBe(1);
  });

  describe('a motor that says how it goes with its temperature', () => {
    const temperature = { reference: 293.15, impulsePerKelvin: 0.001, burnTimePerKelvin: -0.002, stated: null };
    const warm = smoothStudy({ landing: { ...BASE.landing, temperature } });

    it('has its curve at the reference, and shifts by the air’s temperature and what it is warmer', () => {
      const { plant } = setupOf(warm, { 'site.temperature': 283.15, 'motors.warmer': 5 });
      near(plant.landing.burnTimeFactor, 1 + 0.002 * 5, 1e-12);
      near(plant.landing.thrustScale * plant.landing.burnTimeFactor, 1 - 0.001 * 5, 1e-12);
      const { plant: there } = setupOf(warm, { 'site.temperature': 293.15 });
      near(there.landing.thrustScale, 1, 1e-12);
    });

    it('takes a stated temperature in place of the air’s, on top of what varies', () => {
      const stated = smoothStudy({ landing: { ...BASE.landing, temperature: { ...temperature, stated: 303.15 } } });
      const { plant } = setupOf(stated, { 'site.temperature': 253.15, 'landing.impulseFactor': 1.1 });
      near(plant.landing.thrustScale * plant.landing.burnTimeFactor, 1.1 * 1.01, 1e-12);
    });

    it('leaves the other motor alone', () => {
      const { plant } = setupOf(warm, { 'site.temperature': 253.15, 'motors.warmer': 5 });
      expect([plant.ascent.thrustScale, plant.ascent.burnTimeFactor]).toEqual([1, 1]);
    });
  });

  it('the trim is both motors’, misalignments their own', () => {
    const { plant } = setupOf(BASE, {
      'gimbal.trimY': 0.01,
      'gimbal.trimZ': 0.02,
      'ascent.misalignmentY': 0.003,
      'landing.misalignmentZ': -0.004,
    });
    near(plant.ascent.angleY, 0.013, 1e-15);
    near(plant.ascent.angleZ, 0.02, 1e-15);
    near(plant.landing.angleY, 0.01, 1e-15);
    near(plant.landing.angleZ, 0.016, 1e-15);
  });

  it('noise of a sample is density times the root of the rate', () => {
    near(setupOf(BASE).computer.accelerometer.noiseX, 0.0015 * 10, 1e-15);
    near(setupOf(BASE).computer.gyro.noiseZ, 8.7e-4, 1e-15);
  });

  it('a motor lights unless its igniter fails or the casing sticks', () => {
    const lights = (igniter: number, stuck: number): boolean =>
      setupOf(BASE, { 'landing.igniterFails': igniter, 'ascent.casingStuck': stuck }).plant.landingLights;
    expect([lights(0, 0), lights(1, 0), lights(0, 1), lights(1, 1)]).toEqual([true, false, false, false]);
  });

  it('the navigator starts from the nominal rail, the plant from the drawn one', () => {
    const { computer, plant } = setupOf(BASE, { 'rail.tilt': 0.1, 'rail.azimuth': 2 });
    expect([computer.railTilt, computer.railAzimuth, plant.railTilt, plant.railAzimuth]).toEqual([0, 0, 0.1, 2]);
  });

  it('a clock error is the true tick’s, not the believed one’s', () => {
    const setup = setupOf(BASE, { 'timing.clockError': 0.02 });
    near(setup.tick, 0.0102, 1e-17);
    expect(setup.computer.tick).toBe(0.01);
  });

  it('a servo too quick for the step gets more steps, within RK4’s reach', () => {
    expect(setupOf(BASE).substeps).toBe(1);
    expect(setupOf(BASE, { 'gimbal.lag': 0.002 }).substeps).toBe(3);
    expect(flyOne(BASE, { 'gimbal.lag': 0.002 }).outcome).toBe('landed');
  });

  it('gravity is standard without a latitude, normal gravity with one', () => {
    expect(setupOf(BASE).plant.gravity).toBe(9.80665);
    // WGS 84 at the equator.
    near(setupOf(smoothStudy({ site: { ...BASE.site, latitude: 0 } })).plant.gravity, 9.7803253359, 5e-11);
  });

  it('the computer’s own model of the vehicle holds nominal values whatever is drawn', () => {
    const model = onboardModel(BASE);
    near(model.mass, 0.93 + 0.03 + 0.027 + 0.03, 1e-15);
    near(model.dragConstant, 0.5 * 1.225 * (Math.PI / 4) * 0.094 ** 2 * (0.95 + 0.7), 1e-8);
  });
});

describe('a chosen rule', () => {
  it('takes replaced constants, lead and guard, and refuses what it does not have', () => {
    const rule = chosenRule(BASE, { rule: 'apogee line', constants: { c1: 0.3, lead: 0, tiltGuard: 1 } });
    expect([rule.constants.c0, rule.constants.c1, rule.lead, rule.tiltGuard]).toEqual([-3.4, 0.3, 0, 1]);
    expect(BASE.rules[1].constants.c1).toBe(0.24);
    expect(() => chosenRule(BASE, { rule: 'apogee line', constants: { height: 3 } })).toThrow('has no constant height');
    expect(() => chosenRule(BASE, { rule: 'luck' })).toThrow('no rule luck');
  });
});
