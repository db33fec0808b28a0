/** Nearest names and names with a star. */
import { describe, expect, it } from 'vitest';
import { nearest } from '../../src/maths/nearest.ts';
import { matcher } from '../../src/study/wildcard.ts';

describe('the nearest known name', () => {
  const names = ['wind.speed', 'wind.direction', 'rail.tilt', 'sd'];
  it.each([
    ['wind.sped', 'wind.speed'],
    ['Wind.Speed', 'wind.speed'],
    ['wnid.speed', 'wind.speed'],
    ['rail.tlit', 'rail.tilt'],
    ['ds', 'sd'],
  ])('of %s is %s', (word, name) => {
    expect(nearest(word, names)).toBe(name);
  });
  it('is none when nothing is near', () => {
    expect(nearest('temperature', names)).toBeUndefined();
    expect(nearest('x', [])).toBeUndefined();
  });
});

describe('a name with a star', () => {
  it.each([
    ['gyro.bias*', 'gyro.biasX', true],
    ['gyro.bias*', 'gyro.bias', true],
    ['gyro.bias*', 'gyro.scaleX', false],
    ['*.bias*', 'gyro.biasX', true],
    ['*bias*X', 'gyro.biasX', true],
    ['*bias*bias*', 'gyro.biasX', false],
    ['gyro.bias', 'gyro.biasX', false],
    ['gyro.biasX', 'gyro.biasX', true],
    ['gyro?bias*', 'gyro.biasX', false],
    ['ab*ba', 'aba', false],
  ])('%s and %s: %s', (pattern, key, expected) => {
    expect(matcher(pattern)(key)).toBe(expected);
  });
});
