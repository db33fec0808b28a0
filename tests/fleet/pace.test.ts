import { expect, test } from 'vitest';
import { Pace } from '../../src/fleet/pace.ts';

test('a steady stream has its own rate from the first arrival on', () => {
  const pace = new Pace(10);
  expect(pace.rate).toBe(0);
  for (let i = 1; i <= 100; i++) {
    pace.arrived(30, 10 + i / 10);
    // 50 roundings of sums of about 30.
    expect(pace.rate).toBeCloseTo(300, 9);
  }
});

test('a clock that is set back makes no rate below nothing, and is forgotten', () => {
  const pace = new Pace(0);
  for (let t = 1; t <= 60; t++) pace.arrived(100, t);
  pace.arrived(100, -3000);
  expect(pace.rate).toBeGreaterThan(0);
  for (let t = -2999; t <= -2900; t++) pace.arrived(100, t);
  // exp(-20) of what was.
  expect(pace.rate).toBeCloseTo(100, 6);
});

test('a change of speed is followed within some seconds, and a burst is smoothed', () => {
  const pace = new Pace(0);
  for (let t = 1; t <= 60; t++) pace.arrived(100, t);
  for (let t = 61; t <= 65; t++) pace.arrived(400, t);
  // After one memory of 5 s: 400 - 300 / e in the continuous limit, exact here since arrivals are whole seconds in both
  // states.
  expect(pace.rate).toBeCloseTo(400 - 300 * Math.exp(-1), 2);
  const steady = new Pace(0);
  for (let t = 1; t <= 60; t++) steady.arrived(100, t);
  steady.arrived(100, 60);
  expect(steady.rate).toBeGreaterThan(100);
  expect(steady.rate).toBeLessThan(125);
});
