/**
 * Flies stand-in flights straight into a file, in a process of its own, and prints its peak memory in MB. Arguments:
 * path, flights, threads.
 */
import { Fleet } from '../../dist/fleet/fleet.js';
import { OUTPUTS } from '../../dist/flight/outputs.js';
import { CATALOGUE } from '../../dist/inputs/catalogue.js';
import { FlightsWriter } from '../../dist/results/writer.js';

const [path, flights, threads] = [process.argv[2], Number(process.argv[3]), Number(process.argv[4])];
const fleet = new Fleet({ threads, workerFile: new URL('../fleet/standIn.mjs', import.meta.url) });
const writer = FlightsWriter.create(path, {
  title: 'stream',
  study: 'title: stream\n',
  seed: '0',
  design: 'independent',
  flightsAsked: flights,
  firstFlight: 1,
  rules: ['stand-in'],
  overrides: [],
});
await fleet.fly({
  work: {
    name: 'stand-in',
    kind: 'flights',
    study: {},
    variation: {},
    rowLength: CATALOGUE.length + OUTPUTS.length,
    lostRow: () => undefined,
  },
  stop: { limit: flights, checkEvery: null, enough: () => false },
  stopSignal: new AbortController().signal,
  onBatch: (batch) => writer.append(batch),
});
writer.finish();
await fleet.close();
console.log(Math.round(process.resourceUsage().maxRSS / 1024));
