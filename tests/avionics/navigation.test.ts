/** Dead reckoning on motions that the trapezoid rule integrates without error, or to a known one. Model section 9. */
import { describe, expect, it } from 'vitest';
import { Navigator, SAMPLE_SIZE } from '../../src/avionics/navigation.ts';
import { STANDARD_GRAVITY as G } from '../../src/plant/gravity.ts';
import { TrueState } from '../../src/plant/state.ts';
import { computerForTests } from '../helpers/computerForTests.ts';
import { near } from '../helpers/near.ts';
import { inSpace } from '../helpers/plantForTests.ts';

const started = (changes = {}): Navigator => {
  const n = new Navigator();
  n.reset(computerForTests(changes));
  return n;
};
const sample = (...numbers: number[]): Float64Array => {
  const out = new Float64Array(SAMPLE_SIZE);
  out.set(numbers);
  return out;
};
const axis = (n: Navigator): readonly number[] =>
  inSpace(Object.assign(new TrueState(), { qw: n.q[0], qx: n.q[1], qy: n.q[2], qz: n.q[3] }), 1, 0, 0);

describe('the start', () => {
  it('leans as the nominal rail, turned by the alignment errors about body y and z', () => {
    const rail = started({ railTilt: 0.2, railAzimuth: Math.PI / 2 });
    near(axis(rail)[0], Math.sin(0.2), 1e-15);
    near(rail.cosTilt(), Math.cos(0.2), 1e-15);
    // Upright, a turn about body y (east) takes the nose from up toward south, about body z (north) toward east.
    near(axis(started({ alignmentY: 0.1 }))[1], -Math.sin(0.1), 1e-15);
    near(axis(started({ alignmentZ: 0.1 }))[0], Math.sin(0.1), 1e-15);
  });

  it('forgets the flight before', () => {
    const n = started();
    n.integrate(sample(30, 1, 2, 0.1, 0.2, 0.3), 0, sample(31, 0, 1, 1, 2, 3), 0, 0.5, G);
    n.reset(computerForTests());
    const fresh = started();
    expect([...n.q, ...n.v, n.height, n.verticalAcceleration]).toEqual([...fresh.q, ...fresh.v, 0, 0]);
  });
});

describe('one interval', () => {
  it('takes the mean of both accelerations to speed, and of both speeds to height', () => {
    const n = started();
    n.integrate(sample(G + 10), 0, sample(G + 30), 0, 0.5, G);
    near(n.v[2], 10, 1e-14);
    near(n.height, 2.5, 1e-14);
    near(n.verticalAcceleration, 30, 1e-14);
    n.integrate(sample(G), 0, sample(G), 0, 2, G);
    near(n.v[2], 10, 1e-14);
    near(n.height, 22.5, 1e-13);
  });

  it('uses the gravity it was given', () => {
    const n = started();
    n.integrate(sample(9.78), 0, sample(9.78), 0, 1, 9.8);
    near(n.v[2], -0.02, 1e-14);
  });

  it('turns the earlier sample with the earlier attitude, the later with the later', () => {
    const n = started();
    // Mean rate pi/2 per s about body y for 1 s: from up to south, so the later push goes along the ground.
    n.integrate(sample(4, 0, 0, 0, Math.PI / 4, 0), 0, sample(8, 0, 0, 0, (3 * Math.PI) / 4, 0), 0, 1, 0);
    near(n.v[2], 2, 1e-14);
    near(n.v[1], -4, 1e-14);
    near(n.v[0], 0, 1e-14);
    near(n.cosTilt(), 0, 1e-15);
  });

  it('reads side forces along the body axes: y east and z north when upright', () => {
    const n = started();
    const both = sample(G, 2, 3);
    n.integrate(both, 0, both, 0, 1, G);
    near(n.v[0], 2, 1e-14);
    near(n.v[1], 3, 1e-14);
  });
});

describe('a steady turn', () => {
  it('is followed exactly, about any axis, for the attitude', () => {
    const n = started();
    const w = sample(0, 0, 0, 0.6, 0.8, -1.2);
    for (let k = 0; k < 500; k++) n.integrate(w, 0, w, 0, 0.01, G);
    const once = started();
    once.integrate(w, 0, w, 0, 5, G);
    n.q.forEach((x, i) => {
      near(x, once.q[i], 500 * Number.EPSILON);
    });
  });
});

describe('blending a barometer', () => {
  it('pulls speed and height by its gains times the error times the interval', () => {
    const n = started();
    n.height = 10;
    n.v[2] = 3;
    n.blend(14, 0.5, 0.2, 0.7);
    near(n.v[2], 3 + 0.2 * 4 * 0.5, 1e-15);
    near(n.height, 10 + 0.7 * 4 * 0.5, 1e-15);
  });
});
