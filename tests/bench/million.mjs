/**
 * What a million flights cost each command that reads them: its peak memory and its time. The million is made of fewer
 * flights, flown once and repeated with every varying number moved a little, so that no two rows tie which did not
 * before; of a flight's physics nothing is claimed. Usage: node tests/bench/million.mjs [rows] [folder to keep them in]
 */
import { execFileSync, spawnSync } from 'node:child_process';
import { copyFileSync, existsSync, mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { performance } from 'node:perf_hooks';
import { OUTPUTS } from '../../dist/flight/outputs.js';
import { CATALOGUE } from '../../dist/inputs/catalogue.js';
import { stream } from '../../dist/maths/streams.js';
import { openFlights } from '../../dist/results/reader.js';
import { FlightsWriter } from '../../dist/results/writer.js';

const ROWS = Number(process.argv[2] ?? 1_000_000);
const FLOWN = Math.min(ROWS, 20_000);
/** Largest relative move of a number that is repeated. */
const MOVE = 1e-4;
const kept = process.argv[3];
const folder = kept ?? mkdtempSync(join(tmpdir(), 'alight-bench-'));
const cli = new URL('../../dist/run/alight.js', import.meta.url).pathname;
const study = new URL('../../studies/thistledown.yaml', import.meta.url).pathname;
const results = join(folder, 'results');

/** The rows of a flights file again and again, numbered on, until there are enough. */
async function repeat(from, to) {
  const file = await openFlights(from);
  const columns = [...CATALOGUE, ...OUTPUTS];
  const values = file.numbers(columns.map(({ key }) => key));
  const single = values.map((column) => column.every((value) => value === column[0]));
  const constants = Object.fromEntries(
    CATALOGUE.flatMap(({ key, type }, c) => (type === 'number' && single[c] ? [[key, values[c][0]]] : [])),
  );
  const writer = FlightsWriter.create(to, { ...file.header, flightsAsked: ROWS, constants });
  await file.close();
  const draw = stream('bench/million');
  const piece = 1000;
  for (let first = 1; first <= ROWS; first += piece) {
    const count = Math.min(piece, ROWS - first + 1);
    const rows = new Float64Array(count * columns.length);
    columns.forEach(({ type }, c) => {
      const moves = type === 'number' && !single[c];
      for (let i = 0; i < count; i++) {
        const value = values[c][(first - 1 + i) % file.rows];
        rows[c * count + i] = moves ? value * (1 + MOVE * (2 * draw() - 1)) : value;
      }
    });
    writer.append({ first, count, columns: rows });
  }
  writer.finish();
}

const MEASURED = `data:text/javascript,process.on('exit',()=>{const u=process.resourceUsage();process.stderr.write('@'+JSON.stringify([u.maxRSS/1024,(u.userCPUTime+u.systemCPUTime)/1e6])+'@')})`;

function measure(name, args) {
  const begun = performance.now();
  const { status, stderr } = spawnSync(process.execPath, ['--import', MEASURED, cli, ...args], { encoding: 'utf8', maxBuffer: 2 ** 28 });
  const seconds = (performance.now() - begun) / 1000;
  const found = /@(\[.*?\])@/.exec(stderr);
  if (status !== 0 || found === null) throw new Error(`${name}: ended with ${status}\n${stderr}`);
  const [memory, busy] = JSON.parse(found[1]);
  console.log(
    `${name.padEnd(16)} ${memory.toFixed(0).padStart(5)} MB ${seconds.toFixed(1).padStart(6)} s, of CPU ${busy.toFixed(1).padStart(6)} s`,
  );
}

if (!existsSync(join(results, 'flights.arrow'))) {
  const flown = join(folder, 'flown');
  execFileSync(process.execPath, [cli, 'fly', study, '--flights', String(FLOWN), '--out', flown, '--json'], { stdio: 'ignore' });
  mkdirSync(results, { recursive: true });
  await repeat(join(flown, 'flights.arrow'), join(results, 'flights.arrow'));
  copyFileSync(join(flown, 'study.yaml'), join(results, 'study.yaml'));
}
console.log(`${ROWS} flights`);
measure('report', ['report', results, '--out', join(folder, 'page.html'), '--force']);
measure('card', ['card', results, '--out', join(folder, 'card.html'), '--force']);
measure('rank', ['rank', results, '--json']);
if (kept === undefined) rmSync(folder, { recursive: true });
