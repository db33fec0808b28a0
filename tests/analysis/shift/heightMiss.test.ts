import { describe, expect, it } from 'vitest';
import { NominalFlights } from '../../../src/analysis/drops/nominalFlights.ts';
import type { FlightColumns } from '../../../src/analysis/flights/flightColumns.ts';
import { burnTarget } from '../../../src/analysis/shift/burnWindow.ts';
import { heightMissOf, missFrom } from '../../../src/analysis/shift/heightMiss.ts';
import { heldLimits } from '../../../src/study/touchdownLimits.ts';
import { demoStudy } from '../../helpers/studyForTests.ts';

const target = { height: 14, speed: 22, slope: 1.2, perMetre: 1.3, reach: 2, flown: 0 };

/** Flights that light so far from the target, each a little more than the last. */
function flightsAt(miss: number, spread: number, count = 201): FlightColumns {
  const ignitionSpeed = Float64Array.from({ length: count }, (_, i) => 20 + (4 * i) / count);
  const ignitionHeight = ignitionSpeed.map((speed, i) => {
    const own = miss + spread * ((2 * i) / (count - 1) - 1);
    return target.height + target.slope * (speed - target.speed) + target.perMetre * own;
  });
  return { outcome: new Uint8Array(count), number: new Float64Array(count), columns: { ignitionHeight, ignitionSpeed } };
}

describe('the height miss', () => {
  it('is the median of the misses with its interval, spread and sign', () => {
    const miss = missFrom(flightsAt(-2.1, 1), target, 0.95);
    expect(miss?.median).toBeCloseTo(-2.1, 9);
    expect(miss?.interval[0]).toBeLessThan(-2.1);
    expect(miss?.interval[1]).toBeGreaterThan(-2.1);
    // the middle 68 % of an even spread over 2 m span 1.36 m
    expect(miss?.spread).toBeCloseTo(0.68, 2);
    expect(miss?.stale).toBe(true);
  });

  it.each([
    [0, 1, false],
    [1, 1, false],
    [-1.5, 1, true],
    [1.5, 4, false],
    [3, 4, true],
  ])('of %d m with a spread of %d m: stale is %s', (miss, spread, stale) => {
    expect(missFrom(flightsAt(miss, spread), target, 0.95)?.stale).toBe(stale);
  });

  it('is left open with too few commands, and flies nothing then', () => {
    const none = {
      ...flightsAt(0, 1),
      columns: { ignitionHeight: new Float64Array(201).fill(Number.NaN), ignitionSpeed: new Float64Array(201) },
    };
    expect(missFrom(none, target, 0.95)).toBeNull();
    expect(heightMissOf(demoStudy(), 0.95)(none)).toBeNull();
  });
});

describe('the nominal window', () => {
  const study = demoStudy();

  it('lies about heights from which the nominal vehicle lands softly, and not far outside', () => {
    const found = burnTarget(study);
    if (found === null) throw new Error('the demo has no window');
    const flights = new NominalFlights(study);
    const sinkFrom = (believed: number) => {
      const rule = { name: 'x', kind: 'fixedHeight', constants: { height: believed }, lead: 0, tiltGuard: Math.PI, insideTick: true };
      const flown = flights.fly(rule);
      return { true: flown.out('ignitionHeight'), sink: flown.out('sink') };
    };
    // belief differs from truth by some constant metres: walk down through the heights and look at what is true
    for (const { true: height, sink } of Array.from({ length: 60 }, (_, i) => sinkFrom(0.3 * i))) {
      if (Math.abs(height - found.height) < found.reach - 0.1) expect(sink).toBeLessThanOrEqual(heldLimits(study).sink);
      else if (Math.abs(height - found.height) > found.reach + 0.1) expect(sink).toBeGreaterThan(heldLimits(study).sink);
    }
    expect(found.slope).toBeGreaterThan(0);
    // Of 33 places at each of three impulses only those near the window are flown.
    expect(found.flown).toBeLessThan(90);
  });

  it('is not there for a vehicle that no height lands softly', () => {
    expect(burnTarget(demoStudy({ limits: { ...study.limits, sink: 0.05 } }))).toBeNull();
  });
});
