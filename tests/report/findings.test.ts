/** Titles claim no more than the intervals allow. */
import { describe, expect, test } from 'vitest';
import { bands } from '../../src/analysis/fly/bands.ts';
import type { BeliefGroup } from '../../src/analysis/fly/belief.ts';
import { causes } from '../../src/analysis/fly/causes.ts';
import { odds } from '../../src/analysis/fly/odds.ts';
import { OUTCOMES, type Outcome } from '../../src/flight/outputs.ts';
import {
  answerSentence,
  bandRange,
  bandsFinding,
  beliefFinding,
  causesFinding,
  countsSentence,
  drawnFinding,
  mapFinding,
} from '../../src/report/findings.ts';

const counts = (of: Partial<Record<Outcome, number>>): number[] => OUTCOMES.map((outcome) => of[outcome] ?? 0);
const oddsOf = (of: Partial<Record<Outcome, number>>) => odds(counts(of), 0.95);

describe('the answer', () => {
  test('carries its interval', () => {
    // Exact 95 % interval of 81 in 263: Newcombe 1998, Statistics in Medicine 17, 857-872, table I: 0.2527 to 0.3676.
    expect(answerSentence(oddsOf({ landed: 81, slid: 182 }))).toBe('31 % of simulated flights land (95 % interval 25 to 37 %).');
  });

  test('of none and of all is a bound, not a certainty', () => {
    expect(answerSentence(oddsOf({ slid: 100 }))).toMatch(/^None of 100 .* at most 3\.6 % \(95 % interval 0 to 3\.6 %\)\.$/);
    expect(answerSentence(oddsOf({ landed: 100 }))).toMatch(/^All 100 .* at least 96\.4 % \(95 % interval 96\.4 % to 100 %\)\.$/);
  });

  test('without results or flights says so', () => {
    expect(answerSentence(oddsOf({ 'no result': 7 }))).toBe('None of 7 flights has a result: nothing can be said about landing.');
    expect(answerSentence(oddsOf({}))).toMatch(/^No flight was flown/);
    expect(answerSentence(oddsOf({ landed: 1 }))).toMatch(/^One flight alone says little: it landed \(95 % interval .* 3 to 100 %\)/);
  });

  test('shows the flights without a result, and what they leave open', () => {
    expect(countsSentence(oddsOf({ landed: 40, slid: 50, 'no result': 10 }))).toBe(
      '40 of 90 flights with a result landed; 100 flown, 10 have no result and are in no share. Had none or all of those landed, it would be 40 % or 50 %.',
    );
    expect(countsSentence(oddsOf({ landed: 40, slid: 50, 'no result': 1 }))).toContain('1 has no result and is in no share');
    expect(countsSentence(oddsOf({ landed: 40, slid: 60 }))).toContain('every flight has a result');
  });
});

describe('causes', () => {
  test('names the first only when it is settled', () => {
    expect(causesFinding(causes(counts({ landed: 100, slid: 80, leaned: 20 }), 0.95))).toMatch(
      /^“Slid” is the most frequent failure \(40 %/,
    );
    expect(causesFinding(causes(counts({ landed: 100, slid: 51, leaned: 49 }), 0.95))).toMatch(/^“Slid” and “leaned” .* may be luck$/);
    expect(causesFinding(causes(counts({ landed: 3 }), 0.95))).toBe('No failure was seen in 3 flights');
    expect(causesFinding(causes(counts({ 'no result': 3 }), 0.95))).toMatch(/no cause is known/);
  });
});

describe('belief', () => {
  const group = (
    outcome: Outcome,
    median: number,
    difference: number | null,
    interval: readonly [number, number] = [0, 0],
  ): BeliefGroup => ({
    outcome,
    flights: 100,
    median,
    interval: null,
    toLanded: difference === null ? null : { difference, interval },
  });

  test('says which way, with ends in that way’s sign', () => {
    const title = beliefFinding([
      group('landed', -4, null),
      group('lit too high', -5, -1, [-1.2, -0.8]),
      group('lit too low', -3, 1, [0.7, 1.3]),
    ]);
    expect(title).toBe(
      'Against flights that landed, those lit too high believed themselves 1.00 m lower (0.80 to 1.20); those lit too low believed themselves 1.00 m higher (0.70 to 1.30)',
    );
  });

  test('sees no difference where the interval holds 0', () => {
    expect(beliefFinding([group('landed', -4, null), group('lit too high', -5, -1, [-2.2, 0.2])])).toContain('no difference is seen');
  });
});

describe('bands', () => {
  const flights = (shares: readonly number[], each: number) => {
    const values = Float64Array.from({ length: shares.length * each }, (_, i) => i);
    const outcome = Uint8Array.from(values, (_, i) => OUTCOMES.indexOf(i % each < shares[Math.floor(i / each)] * each ? 'landed' : 'slid'));
    return bands(values, outcome, shares.length);
  };

  test('says where success is most and where least', () => {
    expect(bandsFinding('wind', flights([0.2, 0.4, 0.7], 200), 'm/s')).toMatch(
      /^Along wind success is most, 70 % at \d+ to 599 m\/s; least, 20 % at 0 to \d+ m\/s$/,
    );
  });

  test('does not hide a hump or a hollow', () => {
    expect(bandsFinding('tilt', flights([0.2, 0.7, 0.3], 200), '')).toMatch(
      /most, 70 % at .* and less on either side of that; least, 20 % at [^;]*(?<!of that)$/,
    );
    expect(bandsFinding('tilt', flights([0.7, 0.2, 0.6], 200), '')).toMatch(
      /most, 70 % at [^;]*; least, 20 % at .* and more on either side of that$/,
    );
  });

  test('sees nothing in what luck can do', () => {
    expect(bandsFinding('wind', flights([0.45, 0.5, 0.55], 100), 'm/s')).toMatch(/^No change of success is seen along wind/);
  });

  test('ends are rounded by the width', () => {
    expect(bandRange({ low: 0.1, high: 0.3 }, 'rad')).toBe('5.7 to 17.2 deg');
    expect(bandRange({ low: 2, high: 2 }, '')).toBe('2.00');
  });
});

test('a distance without an interval is not given', () => {
  expect(mapFinding(0.95, 12.34, null)).not.toContain('12');
  expect(mapFinding(0.95, 12.34, [11.9, 12.8])).toBe('95 % of landing places lie within 12.3 m of the pad (11.9 to 12.8 m)');
});

test('a mean far off what was asked is not called as asked', () => {
  expect(drawnFinding({ key: 'wind.speed', departure: -2.2 }, 46)).toBe(
    'All 46 varying inputs were drawn as asked: no mean is more than 2.2 standard errors off',
  );
  expect(drawnFinding({ key: 'wind.speed', departure: -9 }, 46)).toMatch(/^The mean of wind speed lies 9\.0 standard errors/);
});
