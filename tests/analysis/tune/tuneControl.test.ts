/** Tuning the attitude control: found where it is weak, left where it is good, and the same on any number of threads. */
import { describe, expect, it } from 'vitest';
import { controlSchema } from '../../../src/analysis/read/controlSchema.ts';
import type { GainPoint } from '../../../src/analysis/tune/controlTuning.ts';
import { flatAbout, tuneControl } from '../../../src/analysis/tune/tuneControl.ts';
import { controlText } from '../../../src/cli/controlText.ts';
import { controlOpening } from '../../../src/report/controlWords.ts';
import type { OpenedStudy } from '../../../src/study/load.ts';
import { coarseStudy } from '../../helpers/studyForTests.ts';

const study = coarseStudy({ flights: 500 });
const opened = (changes: Partial<typeof study.control>): OpenedStudy => ({
  study: coarseStudy({ flights: 500, control: { ...study.control, ...changes } }),
  warnings: [],
  foretold: [],
  text: 'title: made by a test\n',
});
const held = (value: number) => ({ low: value, high: value });
const { kp, ki, driftDamping, driftTilt } = study.control;
const onlyRate = { kp: held(kp), ki: held(ki), driftDamping: held(driftDamping), driftTilt: held(driftTilt) };

describe('tuneControl', async () => {
  // A quarter of the demo's rate gain: it swings, and hardly lands.
  const { tuning } = await tuneControl(opened({ kd: 0.03 }), { bounds: onlyRate, budget: 6000 });

  it('finds the rate gain that is missing, and shows it on fresh flights', () => {
    expect(tuning.best.kd).toBeGreaterThan(0.06);
    expect(tuning.best).toMatchObject({ kp, ki, driftDamping, driftTilt });
    expect(tuning.fresh?.difference?.interval[0]).toBeGreaterThan(0.1);
    expect(controlOpening(tuning)).toMatch(/^Change the gains \(kd 0\.03 s to /);
    expect(tuning.flown).toBeLessThanOrEqual(6000);
  });

  it('shows how far it may be off: too little is worse', () => {
    const [line] = tuning.lines;
    expect(line.key).toBe('kd');
    expect(line.points.filter(({ verdict }) => verdict === 'best').map(({ value }) => value)).toEqual([tuning.best.kd]);
    expect(line.flat.low).toBeLessThanOrEqual(tuning.best.kd);
    expect(line.flat.high).toBeGreaterThanOrEqual(tuning.best.kd);
    expect(line.flat.low).toBeGreaterThan(0.03);
  });

  it('is read back as it was written, and its text has no hole', () => {
    expect(controlSchema.parse(JSON.parse(JSON.stringify(tuning)))).toEqual(tuning);
    expect(controlText(tuning)).not.toMatch(/NaN|undefined|null|Infinity/);
  });

  it('does not depend on threads and chunks', async () => {
    const again = await tuneControl(opened({ kd: 0.03 }), { bounds: onlyRate, budget: 6000, threads: 1, chunk: 41 });
    expect(again.tuning).toEqual(tuning);
  });
});

it('refuses too few flights before it flies', async () => {
  await expect(tuneControl(opened({}), { budget: 100 })).rejects.toThrow('--flights: read 100; tuning 5 gains takes at least');
});

it('the flat region ends at the first point that is shown to be worse, on either side', () => {
  const point = (value: number, verdict: GainPoint['verdict']): GainPoint => ({
    value,
    verdict,
    landed: 1,
    counted: 2,
    share: 0.5,
    interval: [0, 1],
    adjustedP: null,
  });
  const points = [point(1, 'alike'), point(2, 'worse'), point(3, 'alike'), point(4, 'best'), point(5, 'better'), point(6, 'alike')];
  expect(flatAbout(points)).toEqual({ low: 3, high: 6, opensLow: false, opensHigh: true });
});
