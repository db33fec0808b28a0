/** The page's section on a staircase of fixes, from answers made up. */
import { describe, expect, test } from 'vitest';
import type { Stage, Staircase, Step } from '../../../src/analysis/rank/staircase.ts';
import { staircaseSection } from '../../../src/report/pictures/staircase.ts';
import { staircaseOpening } from '../../../src/report/staircaseWords.ts';
import { clopperPearson } from '../../../src/statistics/proportions/binomial.ts';
import { drawing, facts, oddsOf } from './madeUp.ts';
import { expectKept } from './readable.ts';

const stage = (landed: number): Stage => {
  const odds = oddsOf(landed);
  return { odds, band: odds.counted === 0 ? null : clopperPearson(landed, odds.counted, 0.99), shift: null };
};
const step = (name: string, strength: Step['strength'], landed: number): Step => ({
  ...stage(landed),
  name,
  kind: strength === null ? 'retuning' : 'group',
  strength,
  keys: [],
  counts: { both: 0, firstOnly: 0, secondOnly: 0, neither: 0 },
  gain: 0.1,
  interval: [0.05, 0.15],
  chosen: strength === null ? null : { gain: 0.12, interval: [0.06, 0.18], candidates: 9 },
  alike: strength === null ? [] : [{ name: 'stalls', strength: 'half' }],
});
const staircase: Staircase = {
  ...facts,
  rule: 'fixed height',
  wish: 0.8,
  strength: 'half',
  flights: 400,
  level: 0.95,
  programmed: stage(120),
  steps: [step('', null, 160), step('accelerometer', 'half', 230), step('phases.replay=on', 'asked', 225), step('wind', 'perfect', 300)],
  everything: stage(390),
  end: 'missed',
  stoppedBy: 'nothing helps',
  refused: [{ name: 'stalls', strength: 'half', gain: 0.01, interval: [-0.02, 0.04] }],
  remaining: [{ outcome: 'slid', flights: 80, share: 0.2, interval: [0.16, 0.25] }],
  lost: [],
};

describe('a staircase', () => {
  test('as when last looked at', () => expectKept('staircase', staircaseSection(drawing, staircase)));

  test('of which nothing was flown is a section all the same', () => {
    const none = staircaseSection(drawing, { ...staircase, programmed: null, steps: [], everything: null, end: null, remaining: [] });
    expect(none).toContain('Interrupted before a step was flown');
    expect(none).not.toMatch(/NaN|undefined|Infinity/);
  });
});

describe('its opening', () => {
  const said = (changes: Partial<Staircase>): string => staircaseOpening({ ...staircase, ...changes });

  test('names the fixes in order, what stands in the way, and what is left', () => {
    expect(said({})).toMatch(
      /^Retuned constants and 3 fixes, in this order, take landing success from 30 % to 76 % .*: accelerometer halved; phases\.replay=on; wind perfect\. The wish of 80 % is not met: no other fix .* With every spread and noise of the list gone it lands 9\d.*What remains: slid 20/,
    );
  });

  test('says that it is met only where the interval is above the wish', () => {
    expect(said({ end: 'reached', stoppedBy: 'wish' })).toMatch(/The wish of 80 % is met\.$/);
    expect(said({ end: 'open', stoppedBy: 'wish' })).toContain('these flights leave open: the luck that chose the steps had it met');
  });

  test('says nothing of retuned constants where they are as programmed', () => {
    expect(said({ steps: staircase.steps.slice(1) })).toMatch(/^3 fixes, in this order, take landing success/);
    expect(said({ steps: staircase.steps.slice(1, 2) })).toMatch(/^One fix takes landing success/);
    expect(said({ steps: [], end: 'reached' })).toMatch(/^As programmed and with nothing mended the vehicle lands .* is met\.$/);
  });

  test('says that an interruption ended it', () => {
    expect(said({ stoppedBy: 'interrupted' })).toMatch(/It was interrupted there\.$/);
  });

  test('blames the design where nothing of the list could be enough', () => {
    expect(said({ everything: stage(250) })).toContain('the rest is in the design');
  });
});
