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
    expect(scatter(flights(rows, keys, 20), 0.95)).toMatchObject({
      placed: 3,
      unplaced: 1,
      noResult: 1,
      farthest: { distance: 6, number: 22 },
    });
  });

  it('fits a drawn cloud: places east of the pad, spread to the north', () => {
    const draw = stream('scatter cloud');
    const rows = Array.from({ length: 4000 }, () => place(5 + normalQuantile(draw()), -2 + 3 * normalQuantile(draw())));
    const { cloud } = scatter(flights(rows, keys), 0.95);
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
    for (const [value, interval] of [
      [cloud.meanEast, cloud.meanEastInterval],
      [cloud.meanNorth, cloud.meanNorthInterval],
      [cloud.cepCounted, cloud.cepInterval ?? [1, 0]],
    ] as const) {
      expect(interval[0]).toBeLessThan(value);
      expect(interval[1]).toBeGreaterThan(value);
    }
    expect(Math.abs(cloud.cepCounted - cloud.cep)).toBeLessThanOrEqual(4 * (0.5 / (63 * 0.3)));
  });

  it('says within what distance of the pad places lie, with the interval of a quantile', () => {
    const rows = Array.from({ length: 101 }, (_, i) => place(i / 10, 0));
    const { distances } = scatter(flights(rows, keys), 0.95);
    // Places 0.1 m apart from 0 to 10 m: the quantile of share p lies at 10 p.
    expect(distances.map(({ share, value }) => [share, Number(value.toFixed(9))])).toEqual([
      [0.5, 5],
      [0.95, 9.5],
      [0.99, 9.9],
    ]);
    // Ranks 41 and 61 of 101 hold the median at 95 % (Hahn and Meeker's rule); 101 are too few for the 99 % quantile.
    expect(distances.map(({ interval }) => interval)).toEqual([[4, 6], [expect.any(Number), expect.any(Number)], null]);
  });

  it('below three places has no cloud; without any, no farthest', () => {
    expect(scatter(flights([], keys), 0.95)).toEqual({ placed: 0, unplaced: 0, noResult: 0, distances: [], farthest: null, cloud: null });
    expect(scatter(flights([{ outcome: 'no result' }], keys), 0.95)).toMatchObject({ placed: 0, noResult: 1, farthest: null, cloud: null });
    const two = scatter(flights([place(0, 0), place(0, 0)], keys), 0.95);
    expect(two).toMatchObject({ placed: 2, farthest: { distance: 0, number: 0 }, cloud: null });
  });

  it('never skips a number that should be there', () => {
    expect(() => scatter(flights([{ outcome: 'landed', landingEast: 1, landingNorth: 1 }], keys), 0.95)).toThrow(RangeError);
    const short: FlightColumns = { ...flights([place(1, 1)], keys), columns: { landingEast: new Float64Array(2) } };
    expect(() => scatter(short, 0.95)).toThrow(/2 rows for 1 flights/);
  });
});
