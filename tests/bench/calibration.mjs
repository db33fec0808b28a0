/**
 * Simulation-based calibration of `alight learn`: logbooks simulated from the prior of a small study of the demo, each
 * learnt from; the rank of each true standing score among thinned particles must be uniform.
 *
 *   npm run bench:calibration -- --logbooks 200 --particles 120 --rounds 12
 *
 * Prints the ranks and a chi-square a score, as JSON. 200 logbooks of 3 attempts with these sizes are 0.9 million flights;
 * --first N begins with logbook N, so that they can be learnt from in parts; --rate 50 flies half the ticks a second.
 * Source: S. Talts, M. Betancourt, D. Simpson, A. Vehtari and A. Gelman, arXiv 1804.06788.
 */
import { parseArgs } from 'node:util';
import { posteriorOf } from '../../dist/analysis/learn/posterior.js';
import { scoresOf } from '../../dist/analysis/learn/scores.js';
import { Simulator } from '../../dist/analysis/learn/simulate.js';
import { flying } from '../../dist/fleet/session.js';
import { OUTCOMES, outputIndex } from '../../dist/flight/outputs.js';
import { CATALOGUE } from '../../dist/inputs/catalogue.js';
import { incompleteGamma } from '../../dist/maths/incompleteGamma.js';
import { normalQuantile } from '../../dist/maths/normal.js';
import { stream } from '../../dist/maths/streams.js';
import { openStudy } from '../../dist/study/load.js';

const { values } = parseArgs({
  options: {
    logbooks: { type: 'string', default: '200' },
    particles: { type: 'string', default: '120' },
    rounds: { type: 'string', default: '12' },
    seed: { type: 'string', default: '1' },
    first: { type: 'string', default: '1' },
    rate: { type: 'string', default: '100' },
  },
});
const [logbooks, particles, rounds, first] = [values.logbooks, values.particles, values.rounds, values.first].map(Number);
/** Particles ranked among: thinned, since neighbours may share an ancestor. */
const DRAWS = 19;
/** Of equal width, with some 20 logbooks in each where there are many. */
const BINS = logbooks < 100 ? 4 : 10;
const ATTEMPTS = 3;
const MISJUDGED = 0.02;

const path = new URL('../../studies/thistledown.yaml', import.meta.url).pathname;
const { study: demo } = await openStudy(path, { set: [`computer.rate=${values.rate} Hz`] });
const KEPT = {
  'ascent.impulseFactor': { batch: 0.7, flight: 0.3 },
  'air.axialFactor': { airframe: 1 },
  'accelerometer.biasX': { electronics: 0.8, flight: 0.2 },
  'landing.ignitionDelay': { flight: 1 },
};
const inputs = Object.fromEntries(Object.keys(KEPT).map((key) => [key, demo.inputs[key]]));
const stays = Object.fromEntries(Object.entries(KEPT).filter(([, shares]) => shares.flight !== 1));
const rule = demo.rules[0].name;
const having = { electronics: 'e', airframe: 'a', batch: 'b', day: 'd' };
const setting = { rule, constants: {}, pins: {}, having };
/** What is seen of each attempt, and how well. */
const SEEN = { apogee: 2, believedIgnitionHeight: 0.3, landingDistance: 3 };

/** A logbook of a vehicle drawn from the prior, and its standing scores. */
async function simulated(session, study, number) {
  const scores = scoresOf(study, new Array(ATTEMPTS).fill(having), ATTEMPTS);
  const uniform = stream(`${values.seed}/calibration/${number}`);
  const truth = Float64Array.from({ length: scores.dimensions }, () => normalQuantile(uniform()));
  const luck = Float64Array.from({ length: ATTEMPTS }, () => Math.floor(uniform() * 2 ** 32));
  const keys = Object.keys(SEEN);
  const columns = [...keys, 'outcome'].map((key) => CATALOGUE.length + outputIndex(key));
  const simulator = new Simulator(study, scores, new Array(ATTEMPTS).fill(setting));
  const flown = await simulator.fly(session, truth, luck, new Array(ATTEMPTS).fill(columns), `calibration ${number}`);
  const attempts = flown.map((seen, a) => {
    const numbers = keys.flatMap((key, o) => {
      const value = seen[o][0];
      if (Number.isNaN(value)) return [{ key, sight: { kind: 'never' }, misjudged: MISJUDGED, place: '', words: '' }];
      return [
        {
          key,
          sight: { kind: 'value', value: value + SEEN[key] * normalQuantile(uniform()), error: SEEN[key] },
          misjudged: MISJUDGED,
          place: '',
          words: '',
        },
      ];
    });
    const true_ = seen[keys.length][0];
    const others = OUTCOMES.map((_, i) => i).filter((i) => i > 0 && i !== true_);
    const word = uniform() < MISJUDGED ? others[Math.floor(uniform() * others.length)] : true_;
    const outcome = { key: 'outcome', sight: { kind: 'exactly', value: word }, misjudged: MISJUDGED, place: '', words: '' };
    return { name: `hop ${a + 1}`, ...setting, observations: [...numbers, outcome], notSeen: [], log: null };
  });
  return { logbook: { title: `${number}`, columns: null, attempts, next: setting }, scores, truth };
}

/** A standing score's value by its place. */
function standing(scores) {
  return scores.columns.flatMap((column, k) =>
    scores.parts[0][k]
      .filter(({ level }) => level !== 'flight')
      .map(({ place, level }) => ({ name: `${CATALOGUE[column].key} (${level})`, place })),
  );
}

const ranks = {};
const begun = performance.now();
let flights = 0;
await flying({}, async (session) => {
  for (let number = first; number < first + logbooks; number++) {
    const study = { ...demo, seed: `${values.seed}/${number}`, inputs, stays, correlations: [] };
    const { logbook, scores, truth } = await simulated(session, study, number);
    const { runs, scores: found } = await posteriorOf(study, logbook, session, { particles, rounds });
    for (const { name, place } of standing(scores)) {
      // The next attempt adds places behind; those of the attempts come first in both.
      const draws = Array.from({ length: DRAWS }, (_, d) => {
        const run = runs[d % runs.length];
        return run.scores[Math.floor((d * run.particles) / DRAWS) * found.dimensions + place];
      });
      ranks[name] ??= [];
      ranks[name].push(draws.filter((draw) => draw < truth[place]).length);
    }
  }
  flights = session.flown;
});
const chiSquare = Object.fromEntries(
  Object.entries(ranks).map(([name, all]) => {
    const counts = new Array(BINS).fill(0);
    for (const rank of all) counts[Math.floor((rank * BINS) / (DRAWS + 1))]++;
    const expected = all.length / BINS;
    const value = counts.reduce((sum, count) => sum + (count - expected) ** 2 / expected, 0);
    return [name, { counts, chiSquare: value, degrees: BINS - 1, p: 1 - incompleteGamma((BINS - 1) / 2, value / 2) }];
  }),
);
console.log(
  JSON.stringify({ logbooks, particles, rounds, flights, seconds: (performance.now() - begun) / 1000, ranks, chiSquare }, null, 1),
);
