/**
 * How many rows a second the main thread can carry, whatever flies them: a fleet whose flights take no time, and what a
 * command does with their rows, one thing after the other. What the main thread could carry is rows over the time that it
 * had a core (Linux counts it), which is its bound also on a machine whose cores others use.
 */
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { performance } from 'node:perf_hooks';
import { Collector, SUMMARY_KEYS } from '../../dist/analysis/flights/collector.js';
import { Fleet } from '../../dist/fleet/fleet.js';
import { OUTPUTS } from '../../dist/flight/outputs.js';
import { CATALOGUE } from '../../dist/inputs/catalogue.js';
import { JournalFile } from '../../dist/results/journal.js';
import { FlightsWriter } from '../../dist/results/writer.js';

const ROWS = Number(process.argv[2] ?? 200_000);
const FLIGHT_SECONDS = 1e-3;
const folder = mkdtempSync(join(tmpdir(), 'alight-bench-'));
const work = () => ({
  name: 'instant',
  kind: 'flights',
  study: { title: 'instant' },
  variation: {},
  rowLength: CATALOGUE.length + OUTPUTS.length,
  lostRow: () => undefined,
});
const header = {
  title: 'A',
  study: 'title: A\n',
  seed: '1',
  design: 'independent',
  flightsAsked: ROWS,
  firstFlight: 1,
  rules: ['a'],
  overrides: [],
};

/** s for which the main thread had a core. */
const busySeconds = () => Number(readFileSync(`/proc/self/task/${process.pid}/schedstat`, 'utf8').split(' ')[0]) / 1e9;

/** Rows a second by the clock, and by the time that the main thread was busy. */
async function carried(threads, { keep, collect, journaled }) {
  const fleet = new Fleet({ threads, workerFile: new URL('./instant.mjs', import.meta.url) });
  const run = (limit, onBatch, journal) =>
    fleet.fly({
      work: work(),
      stop: { limit, checkEvery: null, enough: () => false },
      onBatch,
      stopSignal: new AbortController().signal,
      ...(journal === null ? {} : { journal }),
    });
  await run(20_000, () => undefined, null);
  const collector = new Collector(SUMMARY_KEYS);
  const writer = keep ? FlightsWriter.create(join(folder, 'flights.arrow'), header) : null;
  const journal = journaled ? JournalFile.create(join(folder, 'flights.journal'), '{}') : null;
  const before = busySeconds();
  const begun = performance.now();
  await run(
    ROWS,
    (batch) => {
      writer?.append(batch);
      if (collect) collector.add(batch);
    },
    journal,
  );
  writer?.finish();
  const seconds = (performance.now() - begun) / 1000;
  const busy = busySeconds() - before;
  journal?.close();
  await fleet.close();
  rmSync(join(folder, 'flights.arrow'), { force: true });
  rmSync(join(folder, 'flights.journal'), { force: true });
  return { byClock: ROWS / seconds, ofMainThread: ROWS / busy };
}

const CASES = [
  ['hand over and nothing more', {}],
  ['  and keep the columns of a summary', { collect: true }],
  ['  and write the flights file', { collect: true, keep: true }],
  ['  and keep the journal (all that fly does)', { collect: true, keep: true, journaled: true }],
];
for (const threads of [2, 16]) {
  for (const [label, what] of CASES) {
    const { byClock, ofMainThread } = await carried(threads, what);
    const feeds = Math.floor(ofMainThread * FLIGHT_SECONDS);
    console.log(
      `${threads} threads, ${label}`.padEnd(62),
      `${byClock.toFixed(0)} rows/s; the main thread could carry ${ofMainThread.toFixed(0)}, ${feeds} threads of 1 ms a flight`,
    );
  }
}
rmSync(folder, { recursive: true });
