/** How many flights a run says it flew, and how fast. */
import { expect, it } from 'vitest';
import { flownText } from '../../src/cli/flownText.ts';

const run = { seconds: 4, threads: 2, flightsPerSecond: 2500, node: 'v20' };

it.each([
  ['all of them in one go', 10_000, '10,000 flights in 4.0 s on 2 threads: 2,500 flights/s'],
  ['some before a run went on', 20_000, '20,000 flights, 10,000 of them now, in 4.0 s on 2 threads: 2,500 flights/s'],
  ['more than the results hold, to retune', 8000, '8,000 flights in 4.0 s on 2 threads: 2,500 flights/s'],
  ['as other lines say', null, '4.0 s on 2 threads: 2,500 flights/s'],
])('%s', (_, flights, words) => {
  expect(flownText(run, flights)).toBe(words);
});
