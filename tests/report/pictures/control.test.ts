/** The page's section on tuning the control, from answers made up. */
import { describe, expect, test } from 'vitest';
import type { ControlTuning, GainPoint } from '../../../src/analysis/tune/controlTuning.ts';
import { controlOpening } from '../../../src/report/controlWords.ts';
import { controlSection } from '../../../src/report/pictures/control.ts';
import { clopperPearson } from '../../../src/statistics/proportions/binomial.ts';
import { drawing, facts, oddsOf } from './madeUp.ts';
import { expectKept } from './readable.ts';

const present = { kp: 0.5, kd: 0.12, ki: 0.25, driftDamping: 0, driftTilt: 0.14 };
const best = { ...present, kp: 0.8 };
const point = (value: number, landed: number, verdict: GainPoint['verdict']): GainPoint => ({
  value,
  landed,
  counted: 100,
  share: landed / 100,
  interval: clopperPearson(landed, 100, 0.95),
  adjustedP: verdict === 'best' ? null : 0.2,
  verdict,
});
const control: ControlTuning = {
  ...facts,
  rule: 'fixed height',
  budget: 10_000,
  flown: 9000,
  finished: true,
  free: [{ key: 'kp', low: 0, high: 100 }],
  present,
  best,
  bestIs: 'searched',
  search: [],
  fresh: {
    flights: 1000,
    best: { gains: best, odds: oddsOf(200) },
    present: { gains: present, odds: oddsOf(150) },
    counts: { both: 140, firstOnly: 60, secondOnly: 10, neither: 190 },
    difference: { difference: 0.12, interval: [0.08, 0.17] },
    p: 1e-6,
    heightMiss: null,
  },
  lineFlights: 100,
  lines: [
    {
      key: 'kp',
      points: [point(0.2, 10, 'worse'), point(0.4, 38, 'alike'), point(0.8, 45, 'best'), point(1.6, 44, 'alike')],
      flat: { low: 0.4, high: 1.6, opensLow: false, opensHigh: true },
    },
  ],
  lost: [],
};

describe('gains', () => {
  test('as when last looked at', () => expectKept('control', controlSection(drawing, control)));

  test('without fresh flights are a section all the same', () => {
    const none = controlSection(drawing, { ...control, finished: false, fresh: null, lines: [] });
    expect(none).toContain('what the gains below are worth is not known');
    expect(none).not.toMatch(/NaN|undefined|Infinity/);
  });
});

describe('the opening', () => {
  const said = (low: number, high: number): string => {
    const { fresh } = control;
    return controlOpening({
      ...control,
      fresh: fresh && { ...fresh, difference: { difference: (low + high) / 2, interval: [low, high] } },
    });
  };
  test('advises a change only where one is shown to gain', () => {
    expect(said(0.01, 0.05)).toMatch(/^Change the gains \(kp 0\.5 to 0\.8\): they land /);
    expect(said(-0.01, 0.05)).toMatch(
      /^Keep the gains, or change them: .* is not told from the study’s own, 2.0 \(-1.0 to 5.0\) points\.$/,
    );
    expect(said(-0.05, -0.01)).toMatch(/^Keep the gains: on fresh flights what the search found \(kp 0\.5 to 0\.8\) lands -3.0 /);
  });
  test('keeps the study’s own where nothing better was found', () => {
    expect(controlOpening({ ...control, bestIs: 'present' })).toMatch(/^Keep the gains: the search found none that land more; they land /);
  });
});
