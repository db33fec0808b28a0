import { describe, expect, test } from 'vitest';
import { beliefByOutcome } from '../../../src/analysis/fly/belief.ts';
import type { Outcome } from '../../../src/flight/outputs.ts';
import { flights } from '../flights.ts';

/** `count` errors about a middle, 0.01 m apart. */
const group = (outcome: Outcome, middle: number, count: number) =>
  Array.from({ length: count }, (_, i) => ({ outcome, ignitionHeightError: middle + 0.01 * (i - (count - 1) / 2) }));

describe('height error at ignition by outcome', () => {
  const found = beliefByOutcome(
    flights(
      [...group('slid', -4, 101), ...group('lit too high', -5, 101), ...group('landed', -4, 201), { outcome: 'no landing thrust' }],
      ['ignitionHeightError'],
    ),
  );

  test('landed first, then high and low, then others; none for who never gave the command', () => {
    expect(found.map(({ outcome, flights: n }) => [outcome, n])).toEqual([
      ['landed', 201],
      ['lit too high', 101],
      ['slid', 101],
    ]);
  });

  test('differences are to the landed, signed, inside their interval', () => {
    const [landed, high, slid] = found;
    expect(landed.median).toBeCloseTo(-4, 12);
    expect(landed.toLanded).toBeNull();
    expect(high.toLanded?.difference).toBeCloseTo(-1, 12);
    const [low, up] = high.toLanded?.interval ?? [0, 0];
    expect(low).toBeLessThan(-1);
    expect(up).toBeGreaterThan(-1);
    expect(up).toBeLessThan(0);
    const [slidLow, slidUp] = slid.toLanded?.interval ?? [1, 1];
    expect(slidLow).toBeLessThan(0);
    expect(slidUp).toBeGreaterThan(0);
  });

  test('too few flights have no interval, and so no difference', () => {
    const [, few] = beliefByOutcome(flights([...group('landed', -4, 201), ...group('lit too low', -3, 4)], ['ignitionHeightError']));
    expect([few.outcome, few.interval, few.toLanded]).toEqual(['lit too low', null, null]);
  });
});
