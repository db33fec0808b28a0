import { describe, expect, it } from 'vitest';
import { normalQuantile } from '../../../src/maths/normal.ts';
import { stream } from '../../../src/maths/streams.ts';
import { fUpperTail } from '../../../src/statistics/samples/fTail.ts';
import { firstOrder, shareInterval } from '../../../src/statistics/sensitivity/givenData.ts';
import { gFunction, ishigami, sampleOf, sumOfTwo, twoUniformFailure } from '../../helpers/closedForms.ts';
import { coverageOf, fourErrors } from '../../helpers/coverage.ts';

const REPEATS = 300;

describe('firstOrder', () => {
  for (const [name, form] of Object.entries({
    ishigami,
    'g-function': gFunction([0, 1, 4.5, 9]),
    'two-uniform failure': twoUniformFailure,
    'sum of two': sumOfTwo,
  })) {
    it(`covers the ${name}'s shares 95 times in 100 at n = 1,000 (300 repeats, 4 binomial standard errors), without bias`, () => {
      const samples = Array.from({ length: REPEATS }, (_, r) => sampleOf(form, 1000, stream(`${name}/${r}`)));
      for (const [i, truth] of form.first.entries()) {
        const found = coverageOf(truth, REPEATS, (r) => {
          const e = firstOrder(samples[r].inputs[i], samples[r].output);
          return { ...e, interval: shareInterval(e, 0.95) };
        });
        // a share of 0 is covered from above only, so more often
        expect(found.covered).toBeGreaterThan(0.95 - fourErrors(REPEATS));
        if (truth > 0.1) expect(found.covered).toBeLessThan(0.95 + fourErrors(REPEATS));
        // 4 standard errors, and the curvature left inside 10 classes: 0.5 % of the share for the Ishigami's double
        // wave
        expect(Math.abs(found.bias)).toBeLessThan((4 * found.spread) / Math.sqrt(REPEATS) + 0.005 * truth);
        // 4 standard errors of a standard deviation from 300 repeats are 0.16; with 1,000 repeats the ratio was between
        // 0.93 and 1.16
        expect(found.statedOverTrue).toBeGreaterThan(0.8);
        expect(found.statedOverTrue).toBeLessThan(1.3);
      }
    });
  }

  it('finds an effect where there is none in 5 of 100 at most: no effect, an effect on the spread only, a rare yes/no input (1,000 repeats each, 4 binomial standard errors)', () => {
    const cases: Record<string, (draw: () => number) => [x: number, y: number]> = {
      none: (draw) => [draw(), normalQuantile(draw())],
      'spread only': (draw) => {
        const x = draw();
        return [x, (0.2 + x * x) * normalQuantile(draw())];
      },
      'rare chance': (draw) => [draw() < 0.05 ? 1 : 0, normalQuantile(draw())],
    };
    for (const [name, row] of Object.entries(cases)) {
      let found = 0;
      for (let r = 0; r < 1000; r++) {
        const draw = stream(`${name}/${r}`);
        const rows = Array.from({ length: 500 }, () => row(draw));
        const e = firstOrder(
          Float64Array.from(rows, ([x]) => x),
          Float64Array.from(rows, ([, y]) => y),
        );
        if (shareInterval(e, 0.95)[0] > 0 || e.pValue <= 0.05) found++;
      }
      // neither more often nor, the test being asleep, much less
      expect(Math.abs(found / 1000 - 0.05), name).toBeLessThan(fourErrors(1000));
    }
  });

  it('tests a yes/no input by Welch’s t, here with n - 2 degrees of freedom', () => {
    const draw = stream('welch');
    const x = Float64Array.from({ length: 80 }, () => (draw() < 0.2 ? 1 : 0));
    const y = x.map((v) => (1 + 2 * v) * (draw() - 0.5));
    const side = (which: number): { n: number; mean: number; variance: number } => {
      const part = y.filter((_, i) => x[i] === which);
      const mean = part.reduce((s, v) => s + v, 0) / part.length;
      return { n: part.length, mean, variance: part.reduce((s, v) => s + (v - mean) ** 2, 0) / (part.length - 1) };
    };
    const [a, b] = [side(0), side(1)];
    const t = (a.mean - b.mean) / Math.sqrt(a.variance / a.n + b.variance / b.n);
    const { pValue } = firstOrder(x, y);
    // the square of t with f degrees of freedom is F with 1 and f
    expect(pValue).toBeCloseTo(fUpperTail(t * t, 1, 78), 12);
    // neither so small nor so near 1 that agreement would mean nothing
    expect(pValue).toBeGreaterThan(0.001);
    expect(pValue).toBeLessThan(0.9);
  });

  it('starts its interval at 0 unless the test finds an effect', () => {
    const e = { estimate: 0.1, standardError: 0.01, influence: new Float32Array(9), classes: 2 };
    expect(shareInterval({ ...e, pValue: 0.06 }, 0.95)[0]).toBe(0);
    expect(shareInterval({ ...e, pValue: 0.04 }, 0.95)[0]).toBeCloseTo(0.0804, 4);
    expect(shareInterval({ ...e, estimate: -0.1, pValue: 0.9 }, 0.95)).toEqual([0, 0]);
  });

  it('finds a chance input of 1 in 100 that moves the mean', () => {
    const draw = stream('rare cause');
    const x = Float64Array.from({ length: 20_000 }, () => (draw() < 0.01 ? 1 : 0));
    const e = firstOrder(
      x,
      x.map((v) => v + normalQuantile(draw())),
    );
    // variance of the mean 0.01 x 0.99, of the rest 1
    const truth = 0.0099 / 1.0099;
    expect(e.classes).toBe(2);
    expect(Math.abs(e.estimate - truth)).toBeLessThan(4 * e.standardError);
    expect(e.standardError).toBeLessThan(truth / 4);
    expect(e.pValue).toBeLessThan(1e-10);
  });

  it('is exact for a linear input: line in each class, no matter how long the tails', () => {
    const draw = stream('tails');
    const x = Float64Array.from({ length: 2000 }, () => Math.exp(2 * normalQuantile(draw())));
    expect(
      firstOrder(
        x,
        x.map((v) => 3 - 2 * v),
      ).estimate,
    ).toBeCloseTo(1, 12);
  });

  it('has nothing to say of an input that does not vary, and refuses an output that does not', () => {
    const draw = stream('constant');
    const y = Float64Array.from({ length: 100 }, draw);
    const one = new Float64Array(100).fill(0.1);
    expect(firstOrder(one, y)).toMatchObject({ estimate: 0, standardError: 0, pValue: 1 });
    expect(() => firstOrder(y, one)).toThrow('does not vary');
    expect(() =>
      firstOrder(
        y,
        y.map((v, i) => (i === 7 ? Number.NaN : v)),
      ),
    ).toThrow('not finite');
    expect(() => firstOrder(y.slice(0, 20), y.slice(0, 20))).toThrow('20 rows are too few');
  });
});
