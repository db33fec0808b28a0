/**
 * What an evenly spread design is worth on the odds: how many independent flights say as much as one of its own,
 * measured over separately scrambled repeats. The variance of independent flights is known, p (1 - p)/n; that of the
 * design is what the repeats show, with the interval of a variance of nearly normal shares (chi-square, its quantile by
 * E. B. Wilson and M. M. Hilferty, PNAS 17 (1931) 684-688; formula from memory).
 * Usage: node tests/bench/designs.mjs [design] [repeats] [flights a repeat ...]
 */
import { Collector } from '../../dist/analysis/flights/collector.js';
import { outcomeIndex } from '../../dist/analysis/flights/flightColumns.js';
import { flying } from '../../dist/fleet/session.js';
import { flightsOf } from '../../dist/fleet/work.js';
import { normalQuantile } from '../../dist/maths/normal.js';
import { openStudy } from '../../dist/study/load.js';

const [design = 'sobol', asked = '16', ...sizes] = process.argv.slice(2);
const repeats = Number(asked);

/** Share that lands by the study's first rule, each repeat with a seed of its own. */
async function shares(flights) {
  const found = [];
  await flying({}, async (session) => {
    for (let repeat = 1; repeat <= repeats; repeat++) {
      const set = [`seed=repeat ${repeat}`, `flights=${flights}`, `design=${design}`];
      const { study } = await openStudy('studies/thistledown.yaml', { set });
      const collector = new Collector([]);
      const work = flightsOf(study, { rule: study.rules[0].name, plan: { kind: 'study', flights } });
      await session.fly(work, { count: flights, onBatch: (batch) => collector.add(batch) });
      found.push(collector.counts[outcomeIndex('landed')] / flights);
    }
  });
  return found;
}

const f = repeats - 1;
const chiSquareOverFreedom = (u) => (1 - 2 / (9 * f) + normalQuantile(u) * Math.sqrt(2 / (9 * f))) ** 3;

console.log(`${design}, ${repeats} repeats each; independent flights that one of its flights is worth on the odds, 95 % interval`);
for (const flights of sizes.length === 0 ? [256, 1024, 4096] : sizes.map(Number)) {
  const found = await shares(flights);
  const mean = found.reduce((sum, x) => sum + x, 0) / repeats;
  const variance = found.reduce((sum, x) => sum + (x - mean) ** 2, 0) / f;
  const ratio = (mean * (1 - mean)) / flights / variance;
  const [low, high] = [0.025, 0.975].map((u) => ratio * chiSquareOverFreedom(u));
  console.log(`${String(flights).padStart(6)} flights   ${ratio.toFixed(2)} (${low.toFixed(2)} to ${high.toFixed(2)})`);
}
