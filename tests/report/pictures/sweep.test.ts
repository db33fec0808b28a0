/** The page's section on a sweep, from answers made up. */
import { describe, expect, test } from 'vitest';
import type { Sweep, SweepPoint } from '../../../src/analysis/designs/sweep.ts';
import { OUTCOMES } from '../../../src/flight/outputs.ts';
import { sweepSection } from '../../../src/report/pictures/sweep.ts';
import { sweepFinding } from '../../../src/report/sweepWords.ts';
import { clopperPearson } from '../../../src/statistics/proportions/binomial.ts';
import { drawing, facts, oddsOf } from './madeUp.ts';
import { expectKept } from './readable.ts';

const lost = OUTCOMES.indexOf('lit too low');
function point(values: readonly string[], landed: number, verdict: SweepPoint['verdict']): SweepPoint {
  const odds = oddsOf(landed);
  const outcomes = OUTCOMES.map((_, o) => (o === 0 ? odds.noResult : o === 1 ? landed : o === lost ? odds.counted - landed : 0));
  return {
    values,
    odds,
    band: odds.counted === 0 ? null : clopperPearson(landed, odds.counted, 0.99),
    outcomes,
    sink: [{ share: 0.5, value: 2.7, interval: [2.5, 2.9] }],
    impulse: { ascent: 50.1, landing: 59.2 },
    fallEnergy: { value: 470, interval: [460, 480] },
    retuned: null,
    heightMiss: null,
    toBest: verdict === 'best' ? null : { difference: -0.05, interval: [-0.09, -0.01] },
    verdict,
    studyHash: 'f'.repeat(64),
  };
}

const axis = {
  path: 'vehicle.airframe.mass',
  unit: 'kg',
  spread: null,
  values: [0.9, 1, 1.1].map((number) => ({ text: `${number} kg`, number })),
};
const sweep: Sweep = {
  ...facts,
  axes: [axis],
  rule: 'fixed height',
  variant: 'base',
  asProgrammed: true,
  flights: 400,
  level: 0.95,
  bandLevel: 0.99,
  stoppedBy: 'limit',
  points: [point(['0.9 kg'], 100, 'worse'), point(['1 kg'], 180, 'best'), point(['1.1 kg'], 170, 'alike')],
  unfinished: [],
  lost: [],
};

describe('a sweep', () => {
  test('of one number, as when last looked at', () => expectKept('sweep-line', sweepSection(drawing, sweep, 1)));

  test('of two, as when last looked at', async () => {
    const files = { path: 'landing.curve', unit: '', spread: null, values: ['a.csv', 'b.csv'].map((text) => ({ text, number: null })) };
    const points = axis.values.flatMap(({ text }, i) =>
      files.values.map((file, k) => point([text, file.text], 60 + 40 * i + 10 * k, i === 2 ? (k === 1 ? 'best' : 'alike') : 'worse')),
    );
    await expectKept('sweep-map', sweepSection(drawing, { ...sweep, axes: [axis, files], points }, 2));
  });

  test('of which nothing was flown, or nothing landed, is a section all the same', () => {
    const none = sweepSection(drawing, { ...sweep, points: [], unfinished: ['vehicle.airframe.mass=0.9 kg'] }, 1);
    expect(none).toContain('Nothing can be said: no flight has a result.');
    expect(none).toContain('Interrupted: not flown are vehicle.airframe.mass=0.9 kg.');
    const crashed = { ...sweep, points: [point(['0.9 kg'], 0, 'best'), point(['1 kg'], 0, 'alike')] };
    expect(sweepSection(drawing, crashed, 1)).not.toMatch(/NaN|undefined|Infinity/);
  });
});

describe('the finding', () => {
  const withVerdicts = (...verdicts: SweepPoint['verdict'][]): string =>
    sweepFinding({ ...sweep, points: verdicts.map((verdict, i) => point([`${i} kg`], verdict === 'best' ? 180 : 150, verdict)) });

  test.each([
    [withVerdicts('worse', 'best', 'alike'), /^Best of 3: vehicle\.airframe\.mass 1 kg, landing \d+ %; cannot be told from it: 2 kg$/],
    [withVerdicts('worse', 'best'), /; every other value is shown to land less often than some other$/],
    [withVerdicts('alike', 'best'), /; no other value can be told from it: [\d,]+ flights each leave it open$/],
    [withVerdicts('best'), /^Only vehicle\.airframe\.mass 0 kg was flown, landing \d+ %$/],
  ])('%s', (said, expected) => expect(said).toMatch(expected));

  test('says that not one landed', () => {
    expect(sweepFinding({ ...sweep, points: [point(['0.9 kg'], 0, 'best'), point(['1 kg'], 0, 'alike')] })).toMatch(
      /^Not one of [\d,]+ flights landed, whatever the value$/,
    );
  });
});
