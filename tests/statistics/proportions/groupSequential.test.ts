/** Bounds for looking a number of times: published constants, one look's quantile, and what looking does to the error. */
import { describe, expect, it } from 'vitest';
import { normalQuantile } from '../../../src/maths/normal.ts';
import { stream } from '../../../src/maths/streams.ts';
import { boundAt, constantOf, criticalConstant, crossing, looksEvery } from '../../../src/statistics/proportions/groupSequential.ts';

describe('constants at 5 %, both sides', () => {
  // C. Jennison and B. W. Turnbull, Group Sequential Methods (2000), tables 2.1 and 2.3: from memory, not opened.
  it.each([
    [1, 1.96, 1.96],
    [2, 2.178, 1.977],
    [3, 2.289, 2.004],
    [5, 2.413, 2.04],
    [10, 2.555, 2.087],
    [20, 2.672, 2.126],
  ])('of %i looks are those of Pocock and of O’Brien and Fleming (values from memory)', (looks, pocock, obrienFleming) => {
    const [alike, late] = [0.5, 0].map((shape) => criticalConstant(0.05, looksEvery(looks, 1), shape));
    // Printed with three decimals.
    expect(Math.abs(alike - pocock)).toBeLessThanOrEqual(5.1e-4);
    expect(Math.abs(late - obrienFleming)).toBeLessThanOrEqual(5.1e-4);
  });

  it('of one look is the normal quantile, whatever the shape and the level', () => {
    for (const alpha of [0.2, 0.05, 1e-4]) {
      expect(criticalConstant(alpha, [1])).toBeCloseTo(-normalQuantile(alpha / 2), 8);
    }
  });
});

describe('crossing', () => {
  it('is undone by the constant', () => {
    const looks = looksEvery(7300, 1000);
    expect(looks.length).toBe(8);
    expect(looks[7]).toBe(1);
    for (const alpha of [0.3, 0.01]) expect(crossing(criticalConstant(alpha, looks), looks)).toBeCloseTo(alpha, 8);
    expect(crossing(0, looks)).toBe(1);
    expect(constantOf(boundAt(2.2, 0.3), 0.3)).toBeCloseTo(2.2, 12);
  });

  it('is that of a walk that is looked at', () => {
    const looks = [0.15, 0.4, 0.55, 1];
    const draw = stream('walks looked at');
    const walks = 20_000;
    let crossed = 0;
    for (let i = 0; i < walks; i++) {
      let [sum, before] = [0, 0];
      let found = false;
      for (const t of looks) {
        sum += Math.sqrt(t - before) * normalQuantile(draw());
        before = t;
        found ||= Math.abs(sum) / Math.sqrt(t) >= boundAt(1.8, t);
      }
      if (found) crossed++;
    }
    const chance = crossing(1.8, looks);
    expect(Math.abs(crossed / walks - chance)).toBeLessThan(4 * Math.sqrt((chance * (1 - chance)) / walks));
  });
});
