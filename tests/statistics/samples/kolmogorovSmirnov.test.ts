import { describe, expect, it } from 'vitest';
import { stream } from '../../../src/maths/streams.ts';
import {
  distanceInterval,
  kolmogorovSmirnovByKind,
  kolmogorovSmirnovSplit,
  limitTail,
} from '../../../src/statistics/samples/kolmogorovSmirnov.ts';
import { ranked } from '../../../src/statistics/samples/ranks.ts';
import { sampleOf, twoUniformFailure } from '../../helpers/closedForms.ts';
import { coverageOf } from '../../helpers/coverage.ts';
import { kolmogorovSmirnov } from '../../helpers/twoSamples.ts';

/** Every way to mark `first` of the rows as the first group. */
function* markings(rows: number, first: number): Generator<Uint8Array> {
  for (let bits = 0; bits < 2 ** rows; bits++) {
    const marks = Uint8Array.from({ length: rows }, (_, i) => (bits >> i) & 1);
    if (marks.reduce((a, b) => a + b, 0) === first) yield marks;
  }
}

describe('kolmogorovSmirnov', () => {
  it('has the exact p-value that counting all groupings gives, with and without ties', () => {
    for (const pool of [
      [1, 2, 3, 4, 5, 6, 7, 8, 9, 10],
      [1, 1, 2, 2, 2, 3, 4, 4, 5, 5],
      [0, 0, 0, 0, 0, 0, 0, 1, 1, 1],
    ]) {
      const column = ranked(Float64Array.from(pool));
      const all = [...markings(10, 4)].map((marks) => kolmogorovSmirnovSplit(column, marks));
      for (const one of all) {
        const asFar = all.filter((other) => other.estimate > one.estimate - 1e-9).length;
        expect(one.method).toBe('exact');
        expect(one.pValue).toBeCloseTo(asFar / all.length, 12);
      }
    }
  });

  it('says where and which way: bad flights lie lower', () => {
    const ks = kolmogorovSmirnov(Float64Array.of(1, 2, 3, 10), Float64Array.of(4, 5, 6, 11));
    expect(ks).toMatchObject({ estimate: 0.75, at: 3, direction: 1 });
    expect(kolmogorovSmirnov(Float64Array.of(4, 5, 6, 11), Float64Array.of(1, 2, 3, 10))).toMatchObject({
      estimate: 0.75,
      at: 3,
      direction: -1,
    });
  });

  it('has no distance between groups alike, and says so', () => {
    expect(kolmogorovSmirnov(Float64Array.of(1, 2), Float64Array.of(1, 2))).toMatchObject({ estimate: 0, direction: 0, pValue: 1 });
  });

  it('changes over from exact count to limit law where the two differ by less than 0.02', () => {
    // groups of 100, the last size counted exactly, shifted so that D = 0.15
    const a = Float64Array.from({ length: 100 }, (_, i) => i);
    const { estimate, pValue, method } = kolmogorovSmirnov(
      a,
      a.map((v) => v + 14.5),
    );
    expect(method).toBe('exact');
    expect(estimate).toBeCloseTo(0.15, 14);
    expect(pValue).toBeGreaterThan(0.1);
    expect(Math.abs(limitTail(0.15 * Math.sqrt(50)) - pValue)).toBeLessThan(0.02);
    expect(
      kolmogorovSmirnov(
        a,
        Float64Array.from({ length: 101 }, (_, i) => i + 14.5),
      ).method,
    ).toBe('limit');
  });

  it('holds its level between groups alike: p under 0.05 in at most 5 of 100, n = 60 (400 repeats, 4 binomial standard errors)', () => {
    let found = 0;
    for (let r = 0; r < 400; r++) {
      const draw = stream(`alike/${r}`);
      const column = Float64Array.from({ length: 60 }, draw);
      if (
        kolmogorovSmirnovSplit(
          ranked(column),
          Uint8Array.from(column, () => (draw() < 0.4 ? 1 : 0)),
        ).pValue <= 0.05
      )
        found++;
    }
    expect(found / 400).toBeLessThan(0.05 + 4 * Math.sqrt((0.05 * 0.95) / 400));
    // and is not asleep: the exact test is at most a little below its level
    expect(found / 400).toBeGreaterThan(0.01);
  });

  it('covers the distance of the two-uniform failure at least 88 times in 100 at n = 1,000 and errs upward, as documented', () => {
    const found = coverageOf(0.5, 300, (r) => {
      const { inputs, output } = sampleOf(twoUniformFailure, 1000, stream(`split/${r}`));
      const ks = kolmogorovSmirnovSplit(ranked(inputs[0]), Uint8Array.from(output));
      return { ...ks, interval: distanceInterval(ks, 0.95) };
    });
    // 0.93 measured with 1,000 repeats, less 4 binomial standard errors of 300
    expect(found.covered).toBeGreaterThan(0.93 - 4 * Math.sqrt((0.93 * 0.07) / 300));
    // bias 0.013 measured, +-4 standard errors of 300 repeats
    expect(Math.abs(found.bias - 0.013)).toBeLessThan(4 * (0.026 / Math.sqrt(300)));
  });

  it('gives for kinds at once what each against the rest gives, ties and small groups too', () => {
    const draw = stream('kinds at once');
    const column = ranked(Float64Array.from({ length: 300 }, () => Math.floor(40 * draw())));
    // kind 3 has one row, kind 4 none
    const kind = Uint8Array.from({ length: 300 }, (_, i) => (i === 7 ? 3 : Math.min(2, Math.floor(4 * draw() ** 3))));
    const together = kolmogorovSmirnovByKind(column, kind, 5);
    for (const k of [0, 1, 2]) {
      const alone = kolmogorovSmirnovSplit(
        column,
        kind.map((value) => (value === k ? 1 : 0)),
      );
      expect(together[k]?.distance).toBeCloseTo(alone.estimate, 14);
      expect(together[k]?.pValue).toBeCloseTo(alone.pValue, 12);
    }
    expect(together.slice(3)).toEqual([null, null]);
    expect(() => kolmogorovSmirnovByKind(column, kind.slice(1), 5)).toThrow('299 kinds for 300 rows');
  });

  it('starts its interval at 0 unless the test finds a difference', () => {
    const alike = kolmogorovSmirnov(Float64Array.of(1, 2, 3, 4, 5, 6, 7), Float64Array.of(3.5, 4.5, 5.5, 6.5, 7.5, 2.5, 8.5));
    expect(alike.pValue).toBeGreaterThan(0.05);
    expect(distanceInterval({ ...alike, standardError: 0.01 }, 0.95)[0]).toBe(0);
    expect(distanceInterval({ ...alike, standardError: 0.01, pValue: 0.04 }, 0.95)[0]).toBeCloseTo(alike.estimate - 0.0196, 5);
  });

  it('refuses groups too small and marks that do not fit', () => {
    const column = ranked(Float64Array.of(1, 2, 3));
    expect(() => kolmogorovSmirnovSplit(column, Uint8Array.of(0, 0, 1))).toThrow('groups of 1 and 2 rows');
    expect(() => kolmogorovSmirnovSplit(column, Uint8Array.of(0, 1))).toThrow('2 group marks for 3 rows');
  });
});

describe('limitTail', () => {
  it('has two series that meet', () => {
    const small = limitTail(1 - 1e-12);
    expect(small).toBeCloseTo(limitTail(1), 11);
    expect(limitTail(0)).toBe(1);
    expect(limitTail(0.04)).toBe(1);
    expect(limitTail(5)).toBeGreaterThan(0);
    expect(() => limitTail(Number.NaN)).toThrow(RangeError);
  });
});
