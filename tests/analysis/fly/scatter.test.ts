import { describe, expect, it } from 'vitest';
import type { FlightColumns } from '../../../src/analysis/flights/flightColumns.ts';
import { scatter } from '../../../src/analysis/fly/scatter.ts';
import { normalQuantile } from '../../../src/maths/normal.ts';
import { stream } from '../../../src/maths/streams.ts';
import { flights } from '../flights.ts';

const keys = ['landingEast', 'landingNorth', 'landingDistance'];
const place = (landingEast: number, landingNorth: number) => ({
  outcome: 'landed' as const,
  landingEast,
  landingNorth,
  landingDistance: Math.hypot(landingEast, landingNorth),
});

describe('scatter', () => {
  it('finds the farthest place and whose it is, leaving flights without result or place out and counted', () => {
    const rows = [
      place(3, 4),
      { outcome: 'lost control going up' as const },
      place(0, -6),
      place(1, 1),
      { ...place(50, 0), outcome: 'no result' as const },
    ];
    expect(scatter(flights(rows, keys, 20))).toMatchObject({ placed: 3, unplaced: 1, noResult: 1, farthest: { distance: 6, number: 22 } });
  });

  it('fits a drawn cloud: places east of the pad, spread to the north', () => {
    const draw = stream('scatter cloud');
    const rows = Array.from({ length: 4000 }, () => place(5 + normalQuantile(draw()), -2 + 3 * normalQuantile(draw())));
    const { cloud } = scatter(flights(rows, keys));
    if (cloud === null) throw new Error('no cloud of 4,000 places');
    // 4 standard errors of 4,000: means sd/63, deviations sd/89.
    expect(Math.abs(cloud.meanEast - 5)).toBeLessThanOrEqual(4 / 63);
    expect(Math.abs(cloud.meanNorth + 2)).toBeLessThanOrEqual(12 / 63);
    expect(Math.abs(cloud.axes.major - 3)).toBeLessThanOrEqual(12 / 89);
    expect(Math.abs(cloud.axes.minor - 1)).toBeLessThanOrEqual(4 / 89);
    // The long axis points north; its error is about 1/(sqrt(n) (3 - 1/3)) = 0.006.
    expect(Math.abs(Math.abs(cloud.axes.angle) - Math.PI / 2)).toBeLessThanOrEqual(0.024);
    expect(cloud.ellipses.map(({ share }) => share)).toEqual([0.5, 0.95, 0.99]);
    for (const { share, inside } of cloud.ellipses) {
      expect(Math.abs(inside / 4000 - share)).toBeLessThanOrEqual(4 * Math.sqrt((share * (1 - share)) / 4000));
    }
    // The counted radius is a sample median: standard error 0.5/(sqrt(n) density), density about 0.3 per m.
    expect(Math.abs(cloud.cepCounted - cloud.cep)).toBeLessThanOrEqual(4 * (0.5 / (63 * 0.3)));
  });

  it('below three places has no cloud; without any, no farthest', () => {
    expect(scatter(flights([], keys))).toEqual({ placed: 0, unplaced: 0, noResult: 0, farthest: null, cloud: null });
    expect(scatter(flights([{ outcome: 'no result' }], keys))).toMatchObject({ placed: 0, noResult: 1, farthest: null, cloud: null });
    const two = scatter(flights([place(0, 0), place(0, 0)], keys));
    expect(two).toMatchObject({ placed: 2, farthest: { distance: 0, number: 0 }, cloud: null });
  });

  it('never skips a number that should be there', () => {
    expect(() => scatter(flights([{ outcome: 'landed', landingEast: 1, landingNorth: 1 }], keys))).toThrow(RangeError);
    const short: FlightColumns = { ...flights([place(1, 1)], keys), columns: { landingEast: new Float64Array(2) } };
    expect(() => scatter(short)).toThrow(/2 rows for 1 flights/);
  });
});
