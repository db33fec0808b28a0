/**
 * M. Abramowitz and I. A. Stegun, Handbook of Mathematical Functions (1964), sections 26.5 (incomplete beta function)
 * and 26.6 (F distribution): the definitions; digits made by fixtures/beta-tails.py with mpmath at 40 digits. Table
 * 26.9's printed percentage points are from memory.
 */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { incompleteBeta } from '../../src/maths/incompleteBeta.ts';
import { fUpperTail } from '../../src/statistics/samples/fTail.ts';

const fixture: { fUpperTail: [number, number, number, number][]; incompleteBeta: [number, number, number, number][] } = JSON.parse(
  readFileSync(new URL('fixtures/beta-tails.json', import.meta.url), 'utf8'),
);

/**
 * Relative 1e-11: the front factor's logarithms reach 1e4 and carry their rounding; tails under 1e-300 compare as equal
 * to 0.
 */
function close(got: number, expected: number): boolean {
  return Math.abs(got - expected) <= 1e-11 * expected + 1e-300;
}

describe('the regularised incomplete beta function and the upper tail of F', () => {
  test('incomplete beta function at every shape and place of the fixture', () => {
    const wrong = fixture.incompleteBeta.filter(([a, b, x, p]) => !close(incompleteBeta(a, b, x), p));
    expect(wrong).toEqual([]);
    expect(fixture.incompleteBeta.length).toBe(96);
  });

  test('upper tail of F at every ratio and freedom of the fixture, shape 2 among them', () => {
    const wrong = fixture.fUpperTail.filter(([f, d1, d2, p]) => !close(fUpperTail(f, d1, d2), p));
    expect(wrong).toEqual([]);
    expect(fixture.fUpperTail.length).toBe(180);
  });

  test('Table 26.9: the printed 5 % points of F have a tail of 5 %, to their printed digits', () => {
    expect(fUpperTail(3.33, 5, 10)).toBeCloseTo(0.05, 3);
    expect(fUpperTail(3.48, 4, 10)).toBeCloseTo(0.05, 3);
    expect(fUpperTail(161.4, 1, 1)).toBeCloseTo(0.05, 4);
  });

  test('the ends, and no answer for unfit arguments', () => {
    expect([incompleteBeta(2, 3, 0), incompleteBeta(2, 3, 1), fUpperTail(0, 3, 4)]).toEqual([0, 1, 1]);
    expect(() => incompleteBeta(0, 1, 0.5)).toThrow(RangeError);
    expect(() => fUpperTail(-1, 1, 1)).toThrow(RangeError);
  });
});
