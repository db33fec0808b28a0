/** The page's section on rankings, from answers made up. */
import { describe, expect, test } from 'vitest';
import type { FixRanking, FlownRanking, OutputShares, SobolRanking } from '../../../src/analysis/rank/ranking.ts';
import { rankingSection } from '../../../src/report/pictures/ranking.ts';
import { drawing, facts, oddsOf } from './madeUp.ts';
import { expectKept } from './readable.ts';

const fix = (name: string, gain: number, best: number): FixRanking['groups'][number] => ({
  name,
  kind: name.includes('.') ? 'input' : 'group',
  keys: [name],
  place: { best, worst: 3 },
  perfect: {
    counts: { both: 140, firstOnly: 40, secondOnly: 20, neither: 196 },
    noResult: 4,
    share: 0.45,
    gain,
    interval: [gain - 0.03, gain + 0.03],
    level: 0.99,
    p: 0.01,
    pairsSaved: null,
    causes: [],
  },
  half: null,
  direction: null,
  leftFree: [],
});
const fixes: FixRanking = {
  ...facts,
  kind: 'fixes',
  rule: 'fixed-height',
  flights: 400,
  stoppedBy: 'limit',
  odds: oddsOf(160),
  groups: [fix('landing motor', 0.1, 1), fix('wind', 0.01, 1), fix('chances', -0.02, 2)],
  inputs: [fix('landing.impulseFactor', 0.09, 1), fix('accelerometer.biasX', 0.02, 2)],
  leaders: ['landing motor'],
  advice: {
    groups: { first: 'landing motor', alike: ['wind'], idle: [], little: 0.01 },
    inputs: { first: 'landing.impulseFactor', alike: [], idle: [], little: 0.01 },
  },
  bySize: [],
  circles: [],
  heightMiss: null,
  retuned: null,
  asked: [],
  campaign: {
    attempts: 5,
    campaigns: 200,
    landed: 170,
    share: 0.85,
    interval: [0.79, 0.9],
    rows: [
      { name: 'accelerometer', pairs: 200, share: 0.94, gain: 0.09, interval: [0.03, 0.15] },
      { name: 'wind', pairs: 200, share: 0.84, gain: -0.01, interval: [-0.05, 0.03] },
    ],
  },
  unfinished: [],
  cautions: ['A caution.'],
  lost: [],
};

const measures = (estimate: number): FlownRanking['inputs'][number]['success'] => ({
  rankCorrelation: { estimate: 0.1, interval: [0, 0.2] },
  partialRankCorrelation: null,
  firstOrder: { estimate, interval: [Math.max(0, estimate - 0.02), estimate + 0.02], pValue: 0.01 },
  delta: { estimate: 0.05, atLeast: 0.04, pValue: 0.01 },
  place: { best: 1, worst: 2 },
  shown: true,
});
const input = (key: string, estimate: number): FlownRanking['inputs'][number] => ({
  key,
  success: measures(estimate),
  sink: measures(estimate / 2),
  split: null,
  direction: null,
  drives: null,
});
const flown: FlownRanking = {
  ...facts,
  kind: 'flown',
  rule: 'fixed-height',
  counted: 396,
  noResult: 4,
  landed: 160,
  touched: 396,
  inputs: [input('rail.tilt', 0.05), input('wind.speed', 0.03)],
  groups: { success: [{ name: 'chances', estimate: 0.06, interval: [0.03, 0.09], place: { best: 1, worst: 1 } }], sink: null },
  advice: {
    success: {
      order: ['rail.tilt', 'wind.speed'],
      inputs: { first: 'rail.tilt', alike: ['wind.speed'], idle: [], little: 0.01 },
      groups: { first: 'chances', alike: [], idle: [], little: 0.01 },
    },
    sink: {
      order: ['rail.tilt', 'wind.speed'],
      inputs: { first: null, alike: [], idle: [], little: 0.01 },
      groups: { first: null, alike: [], idle: [], little: 0.01 },
    },
  },
  unvarying: [],
  cautions: [],
  halved: [],
};

const shares: OutputShares = {
  rows: 250,
  leftOut: 6,
  mean: 0.4,
  variance: 0.24,
  subjects: ['chances', 'rail'].map((name, i) => ({
    name,
    kind: 'group',
    keys: [],
    first: { estimate: 0.1, interval: [0, 0.2] },
    total: { estimate: 0.5 - 0.1 * i, interval: [0.4 - 0.1 * i, 0.6 - 0.1 * i] },
    place: { best: 1, worst: 2 },
  })),
  alone: { estimate: 0.2, interval: [0.1, 0.3] },
  advice: { first: 'chances', alike: ['rail'], idle: [], little: 0.01 },
  pairs: null,
};
const sobol: SobolRanking = {
  ...facts,
  kind: 'sobol',
  rule: 'fixed-height',
  by: 'group',
  size: 256,
  flights: 1024,
  noResult: 3,
  stoppedBy: 'limit',
  looks: [{ size: 256, success: shares, sink: null }],
  cautions: [],
  lost: [],
};

describe.each([fixes, flown, sobol])('by $kind', (ranking) => {
  const section = rankingSection(drawing, ranking);
  test('as when last looked at', () => expectKept(`ranking-${ranking.kind}`, section));

  test('in words that fit names of one and of many, without keys', () => {
    expect(section).not.toMatch(/hances (has|explains|buys)|impulseFactor|biasX|rail\.tilt|wind\.speed/);
  });
});
