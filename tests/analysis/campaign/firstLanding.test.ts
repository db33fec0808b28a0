/** Odds of a first landing by attempt, counted from campaigns made up; and the sentence that opens, true whatever they are. */
import { describe, expect, it } from 'vitest';
import type { Attempts } from '../../../src/analysis/campaign/campaignCollector.ts';
import { campaignFinding } from '../../../src/analysis/campaign/finding.ts';
import { type FirstLanding, firstLanding } from '../../../src/analysis/campaign/firstLanding.ts';
import { clopperPearson } from '../../../src/statistics/proportions/binomial.ts';
import { near } from '../../helpers/near.ts';

/** Campaigns that landed first at so many attempts; 0 for never within `most`. */
const campaigns = (firsts: readonly number[], most: number): Attempts[] =>
  firsts.map((first) => (first === 0 ? new Array<boolean>(most).fill(false) : [...new Array<boolean>(first - 1).fill(false), true]));
const odds = (firsts: readonly number[], most: number): FirstLanding => {
  const found = firstLanding(campaigns(firsts, most), most);
  if (found === null) throw new Error('no campaign');
  return found;
};
const repeated = (counts: readonly (readonly [first: number, times: number])[]): number[] =>
  counts.flatMap(([first, times]) => new Array<number>(times).fill(first));

describe('of 100 campaigns, 40 landed at first, 30 at second, 20 at third and 10 never', () => {
  const found = odds(
    repeated([
      [1, 40],
      [2, 30],
      [3, 20],
      [0, 10],
    ]),
    4,
  );

  it('counts up, with exact intervals, beside fresh luck', () => {
    expect(found.curve.map(({ landed }) => landed)).toEqual([40, 70, 90, 90]);
    expect(found.curve[1].interval).toEqual(clopperPearson(70, 100, 0.95));
    for (const { attempt, naive } of found.curve) near(naive, 1 - 0.6 ** attempt, 1e-15);
    expect(found.never).toEqual({ campaigns: 10, share: 0.1, interval: clopperPearson(10, 100, 0.95) });
  });

  it('finds the attempts for even, 80 % and 95 % odds, or says that there are more than were flown', () => {
    expect(found.needed.map(({ odds: wanted, attempts, naive }) => [wanted, attempts, naive])).toEqual([
      [0.5, 2, 2],
      [0.8, 3, 4],
      [0.95, null, 6],
    ]);
    const [even, most] = [found.needed[0], found.needed[2]];
    // 40 of 100 have an interval that reaches to 50.3 %.
    expect([even.least, even.most]).toEqual([1, 2]);
    expect([most.least, most.most]).toEqual([3, null]);
  });

  it('is the same where every attempt was flown on', () => {
    const flownAll = campaigns([1, 2, 0], 4).map((landed) => [...landed, ...new Array<boolean>(4 - landed.length).fill(true)]);
    expect(firstLanding(flownAll, 4)).toEqual(odds([1, 2, 0], 4));
  });
});

describe('the sentence that opens', () => {
  it.each([
    [null, 'No campaign was flown to its end, so nothing can be said.'],
    [
      odds(new Array<number>(50).fill(0), 5),
      'None of 50 campaigns landed within 5 attempts: the odds of a first landing by then are at most 7.1 %.',
    ],
    [
      odds(
        repeated([
          [1, 5],
          [2, 5],
          [0, 90],
        ]),
        5,
      ),
      'Even odds of a first landing are not reached within 5 attempts: 10 % (4.9 % to 18 %) have landed by attempt 5.',
    ],
  ])('where the odds stay low: %#', (found, sentence) => {
    expect(campaignFinding(found, 5, true)).toBe(sentence);
  });

  it('names the attempts to plan for, and fresh luck only where something stays', () => {
    const found = odds(
      repeated([
        [1, 60],
        [2, 30],
        [3, 10],
      ]),
      5,
    );
    const plain =
      'Plan for 1 attempt (1 to 2), each with its pair of motors, for even odds of a first landing, and for 3 (2 to 3) for 95 % odds';
    expect(campaignFinding(found, 5, false)).toBe(`${plain}.`);
    expect(campaignFinding(found, 5, true)).toBe(`${plain}; if every attempt were fresh luck, 95 % would take 4 (3 to 5).`);
  });
});
