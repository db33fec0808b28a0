/**
 * Whole flights with a simulated touchdown: what the sensors feel of it, what is watched until then, standing with
 * thrust just under the weight, and the steps it all takes (model sections 19 and 22).
 */
import { describe, expect, it } from 'vitest';
import type { FlightLoop, FlightRecorder } from '../../src/flight/loop.ts';
import { STANDS } from '../../src/plant/contact/groundContact.ts';
import { STANDING } from '../../src/plant/rates.ts';
import type { Study } from '../../src/study/study.ts';
import { near } from '../helpers/near.ts';
import { flyOne } from '../helpers/oneFlight.ts';
import { springsStudy } from '../helpers/studyForTests.ts';

const SPRINGS = springsStudy();
const study = springsStudy({ sensors: { ...SPRINGS.sensors, rounding: false }, site: { ...SPRINGS.site, windSpeed: 0 } });
const watching = (tick: (loop: FlightLoop) => void): FlightRecorder => ({ tick, contact: () => undefined });

/** A landing motor whose sustain goes above the weight once more after the vehicle stands. */
const lifting: Study = {
  ...study,
  landing: {
    ...study.landing,
    curve: { time: [0, 0.05, 0.15, 0.64, 0.79, 0.99, 4.2, 4.4, 4.7, 4.8, 9], thrust: [0, 30, 44, 37.7, 10.6, 9.6, 7.7, 10.8, 10.8, 7, 0] },
  },
};

describe('the nominal flight', () => {
  const believed: number[] = [];
  const flown = flyOne(
    study,
    {},
    {
      recorder: watching((loop) => {
        if (loop.ground.contacts > 0) believed.push(loop.computer.navigator.v[2] - loop.motion.s.vz);
      }),
    },
  );

  it('lands, and reports what its feet went through', () => {
    expect(flown.outcome).toBe('landed');
    expect(flown.out('peakFootForce')).toBeGreaterThan(5);
    expect(flown.out('peakFootForce')).toBeLessThan(60);
    expect(flown.out('peakSpecificForce')).toBeGreaterThan(9.8);
    expect(flown.out('greatestLean')).toBeGreaterThanOrEqual(flown.out('tilt') - 1e-12);
    expect(flown.out('slidPath')).toBeGreaterThanOrEqual(0);
    expect(flown.out('flightTime')).toBeGreaterThan(flown.out('contactTime') + 0.2);
    // Where it lies at the end, not where it touched.
    near(flown.out('landingEast'), flown.loop.motion.s.rx, 0);
    near(flown.out('landingNorth'), flown.loop.motion.s.ry, 0);
  });

  it('is felt: belief follows the stop, as far as it was right before', () => {
    // It was wrong by some tenths when it touched; samples 10 ms apart make 0.1 m/s of a blow of ten gravities.
    expect(Math.max(...believed) - Math.min(...believed)).toBeLessThan(0.3);
  });
});

describe('held on its feet', () => {
  const holds: boolean[] = [];
  const places: number[] = [];
  const flown = flyOne(
    lifting,
    {},
    {
      recorder: watching((loop) => {
        const held = loop.motion.hold === STANDING;
        holds.push(held);
        if (held) places.push(loop.motion.s.rz - (lifting.vehicle.legs.footStation - loop.motion.load.xcg));
      }),
    },
  );

  it('it stands still while thrust is under the weight, lifts off when it is over, and comes down again', () => {
    expect(flown.outcome).toBe('landed');
    expect(holds.some(Boolean)).toBe(true);
    expect(flown.out('hops')).toBe(1);
    // It was held, let go, and held again or done.
    const changes = holds.filter((held, i) => i > 0 && held !== holds[i - 1]).length;
    expect(changes).toBeGreaterThanOrEqual(2);
  });

  it('its feet stay where they are while the centre of mass moves in it', () => {
    const first = places.slice(0, 20);
    // A lean of a degree makes so much of the centre's way of a tenth of a millimetre.
    expect(Math.max(...first) - Math.min(...first)).toBeLessThan(1e-6);
  });
});

describe('after the first touchdown', () => {
  it('a fall over is no loss of control, and no flip', () => {
    // On ice it would slide; on rubber and on a narrow stance what drifts sideways trips.
    const narrow = { ...study, vehicle: { ...study.vehicle, legs: { ...study.vehicle.legs, radius: 0.06 } } };
    const flown = flyOne(narrow, { 'ground.friction': 5, 'wind.speed': 4, 'landing.misalignmentY': 0.01 });
    expect(flown.outcome).toBe('tipped over');
    expect(flown.out('greatestLean')).toBeGreaterThan(1);
    expect(flown.out('tiltFalling')).toBeLessThan(0.8);
    expect(flown.out('lostControlBurning')).toBe(0);
  });

  it('a limit that is broken at the touch ends the flight there', () => {
    const strict = { ...study, limits: { ...study.limits, sink: 0.01 } };
    const flown = flyOne(strict);
    expect(flown.outcome).toBe('lit too low');
    expect(flown.out('flightTime')).toBe(flown.out('contactTime'));
    expect(flown.out('peakFootForce')).toBeNaN();
  });
});

describe('steps', () => {
  it('from the first touch on states are accepted on the grid of contact steps, but for touches and curve points', () => {
    let touched = false;
    const times: number[] = [];
    const flown = flyOne(
      study,
      {},
      {
        recorder: watching((loop) => {
          if (touched) return;
          touched = true;
          const { ground } = loop;
          const accepted = ground.accepted.bind(ground);
          ground.accepted = (s, load, share, p, time, crossed) => {
            if (ground.contacts > 0 && !crossed) times.push(time);
            return accepted(s, load, share, p, time, crossed);
          };
        }),
      },
    );
    const step = study.touchdown.step;
    const off = times.filter((t) => Math.abs(t / step - Math.round(t / step)) > 1e-6);
    expect(flown.loop.ground.verdict).toBe(STANDS);
    expect(times.length).toBeGreaterThan(400);
    // The landing motor's curve has eight points.
    expect(off.length).toBeLessThan(9);
  });
});
