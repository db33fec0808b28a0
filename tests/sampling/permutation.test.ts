/** Keyed permutations: whole, different, and as good as random. */
import { describe, expect, it } from 'vitest';
import { stream } from '../../src/maths/streams.ts';
import { permutation } from '../../src/sampling/permutation.ts';

const whole = (n: number, key: string): number[] => {
  const at = permutation(n, stream(key));
  return Array.from({ length: n }, (_, i) => at(i));
};

describe('a keyed permutation', () => {
  it.each([1, 2, 3, 4, 5, 7, 8, 9, 31, 32, 33, 1000, 1024, 1025, 4097])('of %d has each place once', (n) => {
    for (let k = 0; k < 5; k++) {
      const seen = new Set(whole(n, `whole ${k}`));
      expect(seen.size).toBe(n);
      expect(Math.min(...seen)).toBe(0);
      expect(Math.max(...seen)).toBe(n - 1);
    }
  });

  it.each([2, 3, 4, 5, 6])('of %d: every order is about equally frequent over keys', (n) => {
    const orders = [1, 1, 2, 6, 24, 120, 720][n];
    const each = 40;
    const counts = new Map<string, number>();
    for (let k = 0; k < orders * each; k++) {
      const order = whole(n, `orders ${k}`).join(' ');
      counts.set(order, (counts.get(order) ?? 0) + 1);
    }
    expect(counts.size).toBe(orders);
    let chiSquare = 0;
    for (const count of counts.values()) chiSquare += (count - each) ** 2 / each;
    // Mean orders - 1, variance 2 (orders - 1): 5 standard deviations with these keys (the square's tail is longer than
    // a normal's).
    expect(chiSquare).toBeLessThanOrEqual(orders - 1 + 5 * Math.sqrt(2 * (orders - 1)));
  });

  it('of two keys are uncorrelated, and with the places themselves', () => {
    const n = 4097;
    const columns = [Array.from({ length: n }, (_, i) => i), ...Array.from({ length: 7 }, (_, k) => whole(n, `pairs ${k}`))];
    const middle = (n - 1) / 2;
    const variance = (n * n - 1) / 12;
    for (let a = 0; a < columns.length; a++) {
      for (let b = 0; b < a; b++) {
        const sum = columns[a].reduce((s, v, i) => s + (v - middle) * (columns[b][i] - middle), 0);
        // 4.5 standard errors of 1/sqrt(n - 1): 28 pairs, false alarm 2e-4 with these keys.
        expect(Math.abs(sum / n / variance)).toBeLessThanOrEqual(4.5 / Math.sqrt(n - 1));
      }
    }
  });

  it('reaches the largest size without a sign bit in the way', () => {
    const at = permutation(2 ** 31, stream('large'));
    const some = Array.from({ length: 1000 }, (_, i) => at(2 ** 31 - 1 - i * 2_000_003));
    expect(new Set(some).size).toBe(1000);
    expect(some.every((v) => v >= 0 && v < 2 ** 31)).toBe(true);
    expect(Math.max(...some)).toBeGreaterThan(2 ** 30);
  });

  it.each([0, -1, 2.5, Number.NaN, 2 ** 31 + 1])('of %d places is refused', (n) => {
    expect(() => permutation(n, stream('x'))).toThrow(RangeError);
  });
});
