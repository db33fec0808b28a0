/**
 * Opens and closes over and over: a results folder with its lock, journal and flights file, and a session with its
 * threads. `node --expose-gc tests/faults/cycles.mjs [FOLDERS] [SESSIONS]`, after a build; 5,000 of each when nothing is
 * said. Prints what is held after a tenth of them and after all; ends with code 1 when files, listeners, timers or
 * memory grow.
 */
import { mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { flyStudy } from '../../dist/analysis/fly/flyStudy.js';
import { readFlights } from '../../dist/analysis/read/readFlights.js';
import { ResultsFolder } from '../../dist/results/folder.js';
import { JournalFile } from '../../dist/results/journal.js';
import { openStudy } from '../../dist/study/load.js';

const folders = Number(process.argv[2] ?? 5000);
const sessions = Number(process.argv[3] ?? folders);
/** MB that the heap may differ by between two looks, whatever was collected in between. */
const HEAP = 8;

const scratch = mkdtempSync(join(tmpdir(), 'alight-cycles-'));
const out = join(scratch, 'results');
const opened = await openStudy(resolve('studies/thistledown.yaml'), { set: ['flights=2'] });

/** What a process holds that somebody must give back. */
async function held() {
  // Threads that have ended are taken off a little later.
  await new Promise((done) => setTimeout(done, 100));
  globalThis.gc?.();
  return {
    files: readdirSync('/proc/self/fd').length,
    threads: readdirSync('/proc/self/task').length,
    listeners: process.eventNames().reduce((sum, name) => sum + process.listenerCount(name), 0),
    timers: process.getActiveResourcesInfo().filter((name) => name === 'Timeout').length,
    heap: Math.round((process.memoryUsage().heapUsed + process.memoryUsage().external) / 1e6),
  };
}

const CYCLES = {
  folder: async () => {
    const folder = ResultsFolder.prepare(out, 'older');
    const journal = JournalFile.create(folder.journal, '{}');
    folder.writeJson('summary.json', { program: 'alight 0.1.0' });
    journal.seal();
    folder.finish(true, 'done');
    journal.close();
    folder.close();
  },
  session: async () => {
    const { folder } = await flyStudy(opened, { out, force: true, threads: 1 });
    await readFlights(join(folder, 'flights.arrow'), undefined);
  },
};

let grown = false;
for (const [name, count] of [
  ['folder', folders],
  ['session', sessions],
]) {
  let early = null;
  for (let i = 1; i <= count; i++) {
    await CYCLES[name]();
    if (i === Math.max(2, Math.floor(count / 10))) early = await held();
  }
  const late = await held();
  process.stdout.write(`${name}, ${count} cycles: ${JSON.stringify(early)} -> ${JSON.stringify(late)}\n`);
  for (const key of Object.keys(late)) if (late[key] > early[key] + (key === 'heap' ? HEAP : 0)) grown = true;
}
rmSync(scratch, { recursive: true });
process.stdout.write(grown ? 'GROWN\n' : 'nothing grows\n');
process.exitCode = grown ? 1 : 0;
