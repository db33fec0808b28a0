/**
 * How long the ranking of flights already flown takes, without reading them: made-up flights, so that any size can be
 * asked for. Usage: node tests/bench/ranking.mjs [flights] [inputs]
 */
import { rankFlown } from '../../dist/analysis/rank/rankFlown.js';
import { reweigh } from '../../dist/analysis/rank/reweigh.js';
import { OUTCOMES } from '../../dist/flight/outputs.js';
import { CATALOGUE } from '../../dist/inputs/catalogue.js';
import { normalQuantile } from '../../dist/maths/normal.js';
import { stream } from '../../dist/maths/streams.js';

const [flights = 100_000, inputs = 60] = process.argv.slice(2).map(Number);
const keys = CATALOGUE.filter(({ type }) => type === 'number')
  .slice(0, inputs)
  .map(({ key }) => key);
const draw = stream('bench/ranking');
// Small spreads about a middle, so that no draw is held at a bound.
const middle = (key) => {
  const { low, high } = CATALOGUE.find((row) => row.key === key);
  return (Math.max(low, -1) + Math.min(high, 3)) / 2;
};
const columns = Object.fromEntries(
  keys.map((key) => [key, Float64Array.from({ length: flights }, () => middle(key) + 0.01 * normalQuantile(draw()))]),
);
const sink = new Float64Array(flights);
const outcome = new Uint8Array(flights);
for (let i = 0; i < flights; i++) {
  const size = keys.slice(0, 10).reduce((sum, key, k) => sum + ((columns[key][i] - middle(key)) * 100) / (k + 1), 0);
  sink[i] = 2 + Math.abs(size) + draw();
  outcome[i] = sink[i] < 3.2 ? OUTCOMES.indexOf('landed') : 1 + Math.floor(draw() * (OUTCOMES.length - 2));
}
const table = { outcome, columns: { ...columns, sink }, number: Float64Array.from({ length: flights }, (_, i) => i + 1) };
const singles = keys.map((key) => ({ name: key, kind: 'input', keys: [key] }));
const groups = Array.from({ length: Math.ceil(keys.length / 5) }, (_, g) => ({
  name: `group ${g + 1}`,
  kind: 'group',
  keys: keys.slice(5 * g, 5 * g + 5),
}));
const study = { inputs: Object.fromEntries(keys.map((key) => [key, { kind: 'normal', mean: middle(key), sd: 0.01 }])), correlations: [] };

const begun = performance.now();
rankFlown(table, keys, groups, 'bench', new Set());
const ranked = performance.now();
reweigh(study, table, [...groups, ...singles]);
const done = performance.now();
const seconds = (ms) => (ms / 1000).toFixed(2);
console.log(
  `${flights} flights x ${keys.length} inputs: ranked in ${seconds(ranked - begun)} s, spreads halved in ${seconds(done - ranked)} s`,
);
