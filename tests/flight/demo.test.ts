/**
 * The demo study against an independent native implementation of the same model: its nominal flight in all printed
 * digits, and 2,000 flights by each rule against its 20,000, within four standard errors of the difference (false alarm
 * 6e-5 a number). Its noise and inputs were its own.
 */
import { describe, expect, it } from 'vitest';
import { ROW_LENGTH } from '../../src/flight/flightMaker.ts';
import { OUTCOMES, type Outcome, outputIndex } from '../../src/flight/outputs.ts';
import { CATALOGUE } from '../../src/inputs/catalogue.ts';
import { near } from '../helpers/near.ts';
import { flyOne, kitOf, smoothStudy } from '../helpers/oneFlight.ts';
import { demoStudy } from '../helpers/studyForTests.ts';

describe('the nominal flight, without rounding', () => {
  const { out, outcome } = flyOne(smoothStudy());
  // Half the last printed digit.
  it.each([
    ['apogee', 47.16, 0.005],
    ['believedApogee', 43.98, 0.005],
    ['ignitionHeight', 13.34, 0.005],
    ['believedIgnitionHeight', 9.42, 0.005],
    ['ignitionSpeed', 22.94, 0.005],
    ['sink', 1.62, 0.005],
    ['impulseLeft', 23.3, 0.05],
  ] as const)('%s is %d', (key, value, tolerance) => {
    near(out(key), value, tolerance);
  });
  it('lands', () => expect(outcome).toBe('landed'));
});

const FLIGHTS = 2000;
const THEIRS = 20_000;

/** Per cent of flights by outcome, as printed, and sink quantiles at 5, 50 and 95 %. */
const TABLE: readonly { rule: string; shares: readonly [Outcome, number][]; sink: readonly [number, number, number] }[] = [
  {
    rule: 'fixed height',
    shares: [
      ['landed', 40.9],
      ['lit too low', 20],
      ['lit too high', 19.4],
      ['slid', 10.8],
      ['tipped over', 5.5],
      ['leg gave way', 1.5],
      ['no landing thrust', 2.1],
    ],
    sink: [1.15, 2.62, 12.1],
  },
  {
    rule: 'apogee line',
    shares: [
      ['landed', 44.1],
      ['lit too low', 18.7],
      ['lit too high', 16.7],
      ['slid', 11.2],
      ['tipped over', 5.6],
      ['leg gave way', 1.7],
      ['no landing thrust', 2.1],
    ],
    sink: [1.02, 2.52, 10.9],
  },
  {
    rule: 'speed curve',
    shares: [
      ['landed', 43.5],
      ['lit too low', 17.1],
      ['lit too high', 18.7],
      ['slid', 11.2],
      ['tipped over', 5.8],
      ['leg gave way', 1.7],
      ['no landing thrust', 2.1],
    ],
    sink: [1.04, 2.55, 11],
  },
];

describe.each(TABLE)('2,000 flights by $rule', ({ rule, shares, sink }) => {
  const kit = kitOf(demoStudy({ seed: 'against another writing' }), rule);
  const row = new Float64Array(ROW_LENGTH);
  const counts = new Map<Outcome, number>();
  const sinks: number[] = [];
  for (let flight = 1; flight <= FLIGHTS; flight++) {
    kit.fly(flight, row);
    const outcome = OUTCOMES[row[CATALOGUE.length + outputIndex('outcome')]];
    counts.set(outcome, (counts.get(outcome) ?? 0) + 1);
    sinks.push(row[CATALOGUE.length + outputIndex('sink')]);
  }

  it.each(shares.map(([outcome, percent]) => ({ outcome, percent })))('$outcome: $percent %', ({ outcome, percent }) => {
    const share = percent / 100;
    const error = Math.sqrt(share * (1 - share) * (1 / FLIGHTS + 1 / THEIRS));
    near((counts.get(outcome) ?? 0) / FLIGHTS, share, 4 * error + 0.0005);
  });

  it('hardly any flight ends otherwise, and each has a sink', () => {
    const named = shares.reduce((sum, [outcome]) => sum + (counts.get(outcome) ?? 0), 0);
    // The printed shares sum to within 0.3 of 100.
    expect(FLIGHTS - named).toBeLessThanOrEqual(FLIGHTS * 0.01);
    expect(counts.get('no result') ?? 0).toBe(0);
    expect(sinks.every(Number.isFinite)).toBe(true);
  });

  it.each([0.05, 0.5, 0.95].map((p, i) => ({ p, value: sink[i] })))('sink quantile $p: $value m/s', ({ p, value }) => {
    // Distribution-free: of our flights the share below their quantile is binomial about p; theirs is uncertain too,
    // and rounded.
    const reach = 4 * Math.sqrt(p * (1 - p) * (1 / FLIGHTS + 1 / THEIRS));
    const half = value >= 10 ? 0.05 : 0.005;
    const below = (x: number): number => sinks.filter((s) => s < x).length / FLIGHTS;
    expect(below(value - half)).toBeLessThanOrEqual(p + reach);
    expect(below(value + half)).toBeGreaterThanOrEqual(p - reach);
  });
});
