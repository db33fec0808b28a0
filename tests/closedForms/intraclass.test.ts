/**
 * Intraclass correlation of yes-or-no data: the litters of C. S. Weil (1970) as D. A. Williams, Biometrics 31 (1975)
 * 949-952, has them (data as in a public package, article not opened); digits from an analysis of variance in one way
 * by R, and a row made up whose digits are by hand.
 */
import { expect, it } from 'vitest';
import type { Group } from '../../src/statistics/proportions/betaMixture.ts';
import { betweenGroups } from '../../src/statistics/proportions/intraclass.ts';
import { near } from '../helpers/near.ts';

const groups = (text: string): Group[] =>
  text.split(' ').map((pair) => {
    const [trials, successes] = pair.split(':').map(Number);
    return { trials, successes };
  });
const NONE = { mean: Number.NaN, correlation: Number.NaN, variance: Number.NaN };

it.each([
  ['control', '13:13 12:12 9:9 9:9 8:8 8:8 13:12 12:11 10:9 10:9 9:8 13:11 5:4 7:5 10:7 10:7', 142 / 158, 0.0290913854],
  ['treated', '12:12 11:11 10:10 9:9 11:10 10:9 10:9 9:8 9:8 5:4 9:7 7:4 10:5 6:3 10:3 7:0', 112 / 145, 0.3721348138],
  ['balanced', '5:5 5:5 5:4 5:4 5:2 5:0', 2 / 3, 0.5295698925],
])('%s', (_, text, mean, correlation) => {
  const found = betweenGroups(groups(text)) ?? NONE;
  near(found.mean, mean, 1e-12);
  // printed to ten places
  near(found.correlation, correlation, 1e-10);
});

it('takes the flights’ own scatter off the spread between groups', () => {
  near((betweenGroups(groups('5:5 5:5 5:4 5:4 5:2 5:0')) ?? NONE).variance, 0.1313333333, 1e-10);
});

it('is negative where groups are more alike than chance has them, and is not there without two groups that differ', () => {
  expect((betweenGroups(groups('2:1 2:1 2:1')) ?? NONE).correlation).toBe(-1);
  expect(betweenGroups(groups('2:1'))).toBeNull();
  expect(betweenGroups(groups('1:1 1:0'))).toBeNull();
  expect(betweenGroups(groups('2:2 3:3'))).toBeNull();
});
