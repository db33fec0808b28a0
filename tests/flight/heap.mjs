/**
 * Flies the demo's first flight again and again once warm, with the kernel as tsc builds it, in a process of its own
 * (what else ran before changes what the compiler boxes), and prints as JSON: ticks flown and bytes a tick left behind;
 * least bytes a tick on the way without noise and with. Run with --expose-gc.
 */
import { makeKit, ROW_LENGTH } from '../../dist/flight/flightMaker.js';
import * as source from '../../dist/flight/kernel/entry.js';
import { outputIndex } from '../../dist/flight/outputs.js';
import { CATALOGUE } from '../../dist/inputs/catalogue.js';
import { openStudy } from '../../dist/study/load.js';

const { study } = await openStudy('studies/thistledown.yaml');
const kit = makeKit(
  study,
  { rule: study.rules[0].name, plan: { kind: 'study', flights: study.flights } },
  { ...source, parameters: source.parameters(), record: source.record(), user: null },
);
const row = new Float64Array(ROW_LENGTH);
const inputs = new Float64Array(CATALOGUE.length);
kit.sampler.draw(1, inputs);
const ticks = () => row[CATALOGUE.length + outputIndex('flightTime')] * 100;
const used = () => process.memoryUsage().heapUsed;
for (let i = 0; i < 300; i++) kit.flyInputs(inputs, `warm ${i}`, row);

globalThis.gc();
const before = used();
let flown = 0;
for (let i = 0; i < 300; i++) {
  kit.flyInputs(inputs, `kept ${i}`, row);
  flown += ticks();
}
globalThis.gc();
const left = (used() - before) / flown;

/** The least of five, for other work in the process may fall between. */
function taken(noise) {
  const each = Array.from({ length: 5 }, () => {
    globalThis.gc();
    const start = used();
    kit.flyInputs(inputs, noise, row);
    return (used() - start) / ticks();
  });
  return Math.min(...each);
}

console.log(JSON.stringify({ flown, left, withoutNoise: taken(null), withNoise: taken('noise') }));
