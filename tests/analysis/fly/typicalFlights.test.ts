import { describe, expect, test } from 'vitest';
import { countOutcomes } from '../../../src/analysis/flights/flightColumns.ts';
import { causes } from '../../../src/analysis/fly/causes.ts';
import { choose, typicalFlights } from '../../../src/analysis/fly/typicalFlights.ts';
import type { Outcome } from '../../../src/flight/outputs.ts';
import { openStudy } from '../../../src/study/load.ts';
import { flights } from '../flights.ts';

const { study } = await openStudy('studies/thistledown.yaml');
const limits = { sink: 3, slide: 1.5, tilt: 0.26 };
const row = (outcome: Outcome, sink: number, slide = 0.5, tilt = 0.05) => ({ outcome, sink, slide, tilt });
const KEYS = ['sink', 'slide', 'tilt'];

describe('which flights are shown', () => {
  const of = flights(
    [
      row('landed', 0.5, 1.4), // slow, but slides near its limit
      row('slid', 2.5, 2),
      row('landed', 1.2, 0.5),
      row('landed', 2.0, 0.5),
      row('lit too low', 9),
      row('lit too low', 5),
      row('lit too low', 6),
      { outcome: 'no result' },
    ],
    KEYS,
    1,
  );
  const chosen = choose(of, causes(countOutcomes(of.outcome), 0.95), limits);

  test('the cleanest by its worst measure, then each main failure’s median, then one without a result', () => {
    // The landing of median sink is the cleanest too, and stands there once.
    expect(chosen.map(({ row: r, outcome }) => [r, outcome])).toEqual([
      [2, 'landed'],
      [6, 'lit too low'],
      [1, 'slid'],
      [7, 'no result'],
    ]);
  });
});

describe('flown again', () => {
  test('to the end the file says, or not shown as that flight', () => {
    const { traced } = typicalFlights(
      study,
      'fixed-height',
      flights([row('landed', 1)], KEYS, 1),
      causes(countOutcomes(Uint8Array.of(1)), 0.95),
    )[0];
    const actual = traced?.outputs.outcome ?? 'another';
    // Flight 1 of the demo ends one way only: said to have ended otherwise it must not be drawn.
    const said: Outcome = actual === 'landed' ? 'slid' : 'landed';
    const of = flights([row(said, 1)], KEYS, 1);
    const other = typicalFlights(study, 'fixed-height', of, causes(countOutcomes(of.outcome), 0.95))[0];
    expect([traced === null, other.traced === null].sort()).toEqual([false, true]);
  });

  test('not at all when its number is none of the study’s', () => {
    const of = flights([row('landed', 1)], KEYS, study.flights + 1);
    expect(typicalFlights(study, 'fixed-height', of, causes(countOutcomes(of.outcome), 0.95))[0].traced).toBeNull();
  });
});
