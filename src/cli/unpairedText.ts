/** Results of different studies side by side, as text for a terminal. Computes nothing. */
import type { UnpairedComparison } from '../analysis/read/compareFolders.ts';
import { levelText, pText } from '../report/verdict.ts';
import { count, percent, percentInterval, withInterval } from '../report/words.ts';
import { heading, table } from './terminal.ts';

export function unpairedText({ sides, pairs, level }: UnpairedComparison): string {
  const rows = sides.map(({ path, title, rule, odds, causes }) => {
    const landed = odds.share === null ? 'unknown' : percent(odds.share, odds.interval);
    const interval = odds.interval === null ? '' : percentInterval(odds.interval);
    const [worst] = causes.ranked;
    const cause = worst === undefined ? 'none seen' : `${worst.outcome} ${percent(worst.share, worst.interval)}`;
    return [path, title, rule, landed, interval, count(odds.counted), count(odds.noResult), cause];
  });
  const heads = ['', 'study', 'rule', 'landed', `${levelText(level)} interval`, 'of flights', 'no result', 'most often lost by'];
  const statements = pairs.map(({ first, second, difference, p, adjustedP }) => {
    if (difference === null) return `  ${first} against ${second}: nothing can be said, for one has no flight with a result`;
    const [low, high] = difference.interval;
    const sure = low > 0 || high < 0;
    const words = withInterval(100 * difference.difference, [100 * low, 100 * high]);
    const together = pairs.length === 1 ? '' : `, ${pText(adjustedP)} for all ${pairs.length} pairs together`;
    return `  ${first} minus ${second}: ${words} points${sure ? '' : ': no difference seen'}; p ${pText(p)}${together}`;
  });
  return [
    heading('Results of separate flights side by side: unpaired'),
    table(heads, rows, [0, 1, 2, 7]),
    ...statements,
    '  flights of one number are not taken for pairs: intervals and Fisher’s exact test are those of separate groups and see less than the same',
    '  luck would. Designs of one study are compared in pairs by `alight compare STUDY --variants`',
  ].join('\n');
}
