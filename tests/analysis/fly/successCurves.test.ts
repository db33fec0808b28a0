/**
 * Success made up to hang on one input alone: that input must come first, and the day's conditions must not be named
 * twice.
 */
import { expect, test } from 'vitest';
import { successCurves } from '../../../src/analysis/fly/successCurves.ts';
import { OUTCOMES } from '../../../src/flight/outputs.ts';
import { CATALOGUE } from '../../../src/inputs/catalogue.ts';
import { varyingInputs } from '../../../src/inputs/varying.ts';
import { stream } from '../../../src/maths/streams.ts';
import { openStudy } from '../../../src/study/load.ts';

const { study } = await openStudy('studies/thistledown.yaml');
const n = 3000;
const draw = stream('success curves');
const columns = Object.fromEntries(
  varyingInputs(study).map((c) => [CATALOGUE[c].key, Float64Array.from({ length: n }, () => (CATALOGUE[c].type === 'yesNo' ? 0 : draw()))]),
);
const tilt = columns['rail.tilt'];
const outcome = Uint8Array.from(tilt, (value) => OUTCOMES.indexOf(Math.abs(value - 0.5) < 0.25 ? 'landed' : 'slid'));
const found = successCurves(study, { outcome, columns, number: Float64Array.from(tilt, (_, i) => i + 1) });

test('the day’s conditions, then the strongest input first', () => {
  expect(found.day.map(({ what }) => what)).toEqual(['wind', 'launch mass']);
  const [first] = found.strongest;
  expect(typeof first.what === 'string' ? first.what : first.what.key).toBe('rail.tilt');
  expect(found.strongest.length).toBeLessThanOrEqual(3);
  expect(found.pickedFrom).toBeGreaterThanOrEqual(found.strongest.length);
});

test('shares are those of the flights in each band', () => {
  const [first] = found.strongest;
  expect(first.bands.reduce((sum, band) => sum + band.landed, 0)).toBe(outcome.reduce((sum, o) => sum + (o === 1 ? 1 : 0), 0));
  expect(first.bands[0].landed).toBe(0);
  expect(first.bands[4].share).toBe(1);
});
