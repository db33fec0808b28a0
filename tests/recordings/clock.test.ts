/** What times say of the clock that wrote them. */
import { describe, expect, it } from 'vitest';
import { UserError } from '../../src/errors.ts';
import { checkRising, readClock } from '../../src/recordings/clock.ts';
import { parseRecording } from '../../src/recordings/recording.ts';

const recording = (times: readonly number[]) =>
  parseRecording(`t [s]\n${times.join('\n')}\n`, 'log.csv', [{ name: 'time', unit: 's', titles: ['t'] }], null);

const problems = (times: readonly number[]): readonly string[] => {
  try {
    checkRising(recording(times));
  } catch (error) {
    if (error instanceof UserError) return error.problems;
    throw error;
  }
  return [];
};

const steady = (n: number): number[] => Array.from({ length: n }, (_, i) => i / 8);

describe('intervals', () => {
  it('of a steady clock are all alike', () => {
    const clock = readClock(Float64Array.from(steady(9)));
    expect(clock).toEqual({ interval: 0.125, jitter: 0, shortest: 0.125, longest: 0.125, gaps: [], length: 1 });
  });

  it('with samples missing: where, and how many', () => {
    const times = steady(20).filter((_, i) => i !== 5 && i !== 6 && i !== 12);
    const clock = readClock(Float64Array.from(times));
    expect(clock.gaps).toEqual([
      { row: 4, time: 0.5, length: 0.375, missing: 2 },
      { row: 9, time: 11 / 8, length: 0.25, missing: 1 },
    ]);
    expect(clock.jitter).toBe(0);
  });

  it('jitter is the standard deviation about the mean of what is no gap', () => {
    const times = [0, 1, 1.9, 3, 4, 10];
    // intervals 1, 0.9, 1.1, 1 and a gap of 6: sd sqrt(0.02 / 3)
    expect(readClock(Float64Array.from(times)).jitter).toBeCloseTo(Math.sqrt(0.02 / 3), 12);
  });

  it('needs times that rise, two at least', () => {
    expect(() => readClock(Float64Array.of(1))).toThrow(RangeError);
    expect(() => readClock(Float64Array.of(1, 1))).toThrow(RangeError);
  });
});

describe('a clock that was set back', () => {
  it('is said with its line', () => {
    expect(problems([...steady(20), ...steady(20)])).toEqual([
      'log.csv:22:1: read the time 0 s after 2.375 s; expected times that rise. The clock was set back there; cut the file in two.',
    ]);
  });

  it('a time that stands twice, too', () => {
    expect(problems([...steady(20), 19 / 8, 3])).toEqual([
      'log.csv:22:1: read the time 2.375 s twice; expected times that rise. Give each time once; a clock that is too coarse needs another unit or more digits.',
    ]);
  });

  it('what falls every few rows is another column', () => {
    expect(problems([1, 2, 1, 2, 1, 2, 3])).toEqual([
      'log.csv:2:1: read times that do not rise in 2 of 6 rows; expected times. Columns may be swapped: name them in --columns.',
    ]);
  });

  it('times that rise are fine', () => {
    expect(problems(steady(5))).toEqual([]);
  });
});
