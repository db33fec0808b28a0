/**
 * What flying two rules on the same luck is worth, measured by doing it both ways again and again: the variance of the
 * difference in landing share over repeats with separate luck, over that with the same luck. Beside it the ratio that
 * `alight compare` estimates from one run's pairs. Usage: node tests/bench/commonLuck.mjs [repeats] [flights a repeat]
 * [first rule] [second rule]
 */

import { pairOff } from '../../dist/analysis/compare/rulePair.js';
import { Collector } from '../../dist/analysis/flights/collector.js';
import { outcomeIndex } from '../../dist/analysis/flights/flightColumns.js';
import { flying } from '../../dist/fleet/session.js';
import { flightsOf } from '../../dist/fleet/work.js';
import { betaQuantile } from '../../dist/maths/beta.js';
import { pairingGain } from '../../dist/statistics/proportions/pairingGain.js';
import { openStudy } from '../../dist/study/load.js';

const [repeats = 100, size = 50] = process.argv.slice(2, 4).map(Number);
const [first = 'fixed-height', second = 'apogee-line'] = process.argv.slice(4);
const flights = repeats * size;

/**
 * Outcomes of flights 1.. by one rule with one seed. Draws are independent, so each stretch of `size` flights is a
 * repeat.
 */
async function outcomes(rule, seed) {
  const { study } = await openStudy('studies/thistledown.yaml', { set: [`seed=${seed}`, `flights=${flights}`, 'design=independent'] });
  const collector = new Collector([]);
  const work = flightsOf(study, { rule, plan: { kind: 'study', flights } });
  await flying({}, (session) => session.fly(work, { count: flights, onBatch: (batch) => collector.add(batch) }));
  return collector.flights().outcome;
}

/** Variance over the repeats of the difference in landing share. */
function varianceOfDifference(a, b) {
  const landed = outcomeIndex('landed');
  const shares = Array.from({ length: repeats }, (_, r) => {
    let difference = 0;
    for (let i = r * size; i < (r + 1) * size; i++) difference += (a[i] === landed) - (b[i] === landed);
    return difference / size;
  });
  const mean = shares.reduce((sum, x) => sum + x, 0) / repeats;
  return shares.reduce((sum, x) => sum + (x - mean) ** 2, 0) / (repeats - 1);
}

const [a, b] = [await outcomes(first, 'same'), await outcomes(second, 'same')];
const [c, d] = [await outcomes(first, 'one'), await outcomes(second, 'another')];
const ratio = varianceOfDifference(c, d) / varianceOfDifference(a, b);
// Two independent variances of nearly normal differences: the F interval.
// F of equal freedoms f is x/(1 - x), x beta distributed with shapes f/2.
const x975 = betaQuantile((repeats - 1) / 2, (repeats - 1) / 2)(0.975);
const wide = x975 / (1 - x975);
const estimated = pairingGain(pairOff(a, b, flights).counts, 0.95);
const digits = (x) => x.toFixed(2);
console.log(`${first} against ${second}, ${repeats} repeats of ${size} flights each way, 95 % intervals`);
console.log(`measured by repeating:   ${digits(ratio)} (${digits(ratio / wide)} to ${digits(ratio * wide)})`);
if (estimated === null) console.log('estimated from pairs:    cannot say');
else console.log(`estimated from pairs:    ${digits(estimated.ratio)} (${estimated.interval.map(digits).join(' to ')})`);
