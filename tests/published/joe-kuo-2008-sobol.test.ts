/**
 * S. Joe and F. Y. Kuo, Constructing Sobol sequences with better two-dimensional projections, SIAM J. Sci. Comput. 30
 * (2008) 2635-2654, data set new-joe-kuo-6.21201. Points: two independent computations (the paper's recurrence, and
 * SciPy 1.17.1) that agree bit for bit; exact. Direction numbers: rows of the authors' table.
 */
import { describe, expect, it } from 'vitest';
import { SOBOL_DIMENSIONS, sobolDimension, sobolPoint } from '../../src/sampling/sobol.ts';
import { SOBOL_DIRECTIONS } from '../../src/sampling/sobolDirections.ts';

const point = (index: number, dimensions: number): number[] =>
  Array.from({ length: dimensions }, (_, d) => sobolPoint(sobolDimension(d), index));

describe('the table of direction numbers', () => {
  it('reaches 256 dimensions', () => {
    expect(SOBOL_DIMENSIONS).toBe(256);
  });

  it.each([
    [2, [0, 1]],
    [3, [1, 1, 3]],
    [4, [1, 1, 3, 1]],
    [5, [2, 1, 1, 1]],
    [10, [7, 1, 1, 7, 11, 19]],
    [13, [14, 1, 3, 5, 5, 31]],
    [14, [1, 1, 3, 3, 9, 7, 49]],
    [21, [4, 1, 3, 7, 13, 13, 15, 69]],
    [37, [62, 1, 3, 3, 5, 3, 55, 33]],
    [40, [22, 1, 3, 1, 11, 11, 11, 77, 249]],
  ])('dimension %d', (dimension, row) => {
    expect(SOBOL_DIRECTIONS[dimension - 2]).toEqual(row);
  });
});

describe('unscrambled points, in the order of the sequence', () => {
  it.each([
    [0, [0, 0, 0, 0, 0]],
    [1, [0.5, 0.5, 0.5, 0.5, 0.5]],
    [2, [0.75, 0.25, 0.25, 0.25, 0.75]],
    [3, [0.25, 0.75, 0.75, 0.75, 0.25]],
    [4, [0.375, 0.375, 0.625, 0.875, 0.375]],
    [5, [0.875, 0.875, 0.125, 0.375, 0.875]],
    [6, [0.625, 0.125, 0.875, 0.625, 0.625]],
    [7, [0.125, 0.625, 0.375, 0.125, 0.125]],
    [8, [0.1875, 0.3125, 0.9375, 0.4375, 0.5625]],
    [15, [0.0625, 0.9375, 0.5625, 0.3125, 0.6875]],
  ])('point %d', (index, coordinates) => {
    expect(point(index, 5)).toEqual(coordinates);
  });

  it('point 513, printed to 8 digits, multiples of 1/1024', () => {
    const printed = [0.50292969, 0.75097656, 0.45410156, 0.49121094, 0.95800781, 0.06542969, 0.11425781, 0.40917969];
    expect(point(513, 8)).toEqual(printed.map((x) => Math.round(x * 1024) / 1024));
  });

  it('point 1000, dimensions 1 to 6, 21 and 40', () => {
    const x = point(1000, 40);
    const printed = [0.21972656, 0.09667969, 0.51855469, 0.67675781, 0.28027344, 0.90722656];
    expect(x.slice(0, 6)).toEqual(printed.map((p) => Math.round(p * 1024) / 1024));
    expect(x[20]).toBe(0.5224609375);
    expect(x[39]).toBe(0.4794921875);
  });
});
