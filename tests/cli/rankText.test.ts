/** The words a ranking opens with and the places it prints: true whatever the numbers. */
import { describe, expect, it } from 'vitest';
import { adviceOf } from '../../src/analysis/rank/advice.ts';
import type { FixRanking, FixRow } from '../../src/analysis/rank/ranking.ts';
import { placeText, rankingOpening } from '../../src/report/rankAdvice.ts';

describe('placeText', () => {
  it('gives every place that is open', () => {
    expect([placeText({ best: 1, worst: 1 }), placeText({ best: 1, worst: 7 }), placeText(null)]).toEqual(['1', '1 to 7', '']);
  });
});

const row = (name: string, gain: number, low: number, high: number, best: number): FixRow => ({
  name,
  kind: 'group',
  keys: [name],
  place: { best, worst: 4 },
  direction: null,
  leftFree: [],
  half: null,
  perfect: {
    counts: { both: 0, firstOnly: 0, secondOnly: 0, neither: 0 },
    noResult: 0,
    share: 0.5,
    gain,
    interval: [low, high],
    level: 0.99,
    p: 0.01,
    pairsSaved: null,
    causes: [],
  },
});

const ranking = (rows: readonly FixRow[]): FixRanking => {
  const advice = adviceOf(
    rows.map(({ name, place, perfect }) => ({ name, place, estimate: perfect?.gain ?? 0, interval: perfect?.interval ?? [0, 0] })),
  );
  const odds = {
    level: 0.95,
    nominal: 0.95,
    flights: 1500,
    noResult: 0,
    counted: 1500,
    landed: 600,
    share: 0.4,
    interval: null,
    wilson: null,
    open: null,
  };
  return {
    program: 'alight',
    title: 'a study',
    studyHash: '',
    seed: '1',
    design: 'independent',
    overrides: [],
    flightsAsked: 1500,
    warnings: [],
    kind: 'fixes',
    rule: 'r',
    flights: 1500,
    stoppedBy: 'limit',
    odds,
    groups: rows,
    inputs: [],
    leaders: [],
    advice: { groups: advice, inputs: adviceOf([]) },
    bySize: [],
    circles: [],
    heightMiss: null,
    retuned: null,
    campaign: null,
    asked: [],
    unfinished: [],
    cautions: [],
    lost: [],
  };
};

describe('the opening of a ranking of fixes', () => {
  it('says what to fix first, what cannot be told from it, and what does not matter', () => {
    const rows = [row('motor', 0.12, 0.08, 0.16, 1), row('rail', 0.1, 0.06, 0.14, 1), row('ground', 0.001, -0.004, 0.006, 3)];
    expect(rankingOpening(ranking(rows))).toBe(
      'Fix motor first: made perfect, it buys 12 (8 to 16) points of landing success; rail cannot be told from it; none of these moves success by more than a point: ground.',
    );
  });

  it('names nothing where no interval lies above 0, however large the estimate', () => {
    expect(rankingOpening(ranking([row('motor', 0.12, -0.01, 0.25, 1)]))).toBe('No fix is shown to buy landings with 1,500 flights each.');
  });

  it('says so where nothing was flown', () => {
    expect(rankingOpening({ ...ranking([]), odds: null })).toBe('No flight has a result: nothing can be said of any fix.');
  });
});
