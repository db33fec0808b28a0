/**
 * Spoilt files against everything that reads one: each is read, or refused with lines that a user can act on, within a
 * bound of time and memory. Never a stack, a hang or a crash. A case comes back from the seed and its number; one that
 * failed is written to tests/fuzz/kept, where `.ci/fuzz` tries it again for ever.
 *
 *     npm run fuzz -- [cases] [seed]        many, over an hour say; `.ci/fuzz` runs 2,000
 *     npm run fuzz -- --kept                those that failed once
 *
 * Exits with 1 when a case failed. Memory is bounded by the caller (--max-old-space-size).
 */
import { execFileSync } from 'node:child_process';
import { cpSync, existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { measureLegs } from '../../dist/analysis/measure/measureLegs.js';
import { measureMotor } from '../../dist/analysis/measure/measureMotor.js';
import { measureSensor } from '../../dist/analysis/measure/measureSensor.js';
import { measureValues } from '../../dist/analysis/measure/measureValues.js';
import { readResults } from '../../dist/analysis/read/readResults.js';
import { UserError } from '../../dist/errors.js';
import { makeKit, ROW_LENGTH } from '../../dist/flight/flightMaker.js';
import { builtKernel } from '../../dist/flight/kernel/file.js';
import { stream } from '../../dist/maths/streams.js';
import { openStudy } from '../../dist/study/load.js';
import { oneOf, spoiltFlights, spoiltJson, spoiltTable, spoiltYaml } from './mutate.mjs';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const KEPT = join(ROOT, 'tests/fuzz/kept');
/** s: a case that takes longer is a failure; flying the longest study that is allowed takes seconds. */
const LONGEST = 20;
/** Characters of all lines together that a person may be given. */
const LONGEST_WORDS = 200_000;

const folder = mkdtempSync(join(tmpdir(), 'alight-fuzz-'));
const kernel = builtKernel();

/** Studies with what they read beside them, and one folder with an answer of each kind. */
function prepare() {
  cpSync(join(ROOT, 'studies'), join(folder, 'studies'), { recursive: true });
  const alight = (...words) => execFileSync(process.execPath, [join(ROOT, 'dist/run/alight.js'), ...words], { cwd: folder, stdio: 'pipe' });
  const study = 'studies/thistledown.yaml';
  const few = ['--flights', '60', '--threads', '1', '--out'];
  alight('fly', study, ...few, 'flown');
  alight('compare', study, ...few, 'compared');
  alight('tune', '--drops', '--steps', '3', study, '--out', 'dropped');
  alight('rank', study, '--fix', 'wind.speed=2 m/s', ...few, 'ranked');
  alight('sweep', study, '--over', 'vehicle.airframe.mass=0.85..1.05kg', '--steps', '3', '--as-programmed', ...few, 'swept');
}

/** Opens a study and, where it is sound, flies one flight of it. */
async function study(path) {
  const { study } = await openStudy(path);
  makeKit(study, { rule: study.rules[0].name, plan: { kind: 'study', flights: study.flights } }, kernel).fly(
    1,
    new Float64Array(ROW_LENGTH),
  );
}

/** Measures what the recording is of. */
function recording(path) {
  if (path.includes('firings')) return measureMotor([path], { columns: null, motor: 'landing', commandAt: null });
  if (path.includes('still')) return measureSensor([path], { columns: null, gravity: 9.80665 });
  if (path.includes('drops')) return measureLegs(path, { columns: null, mass: 1.28, legs: 4, stiffness: 600 });
  return measureValues(path, { column: 'delay_ms', unit: null, input: 'landing.ignitionDelay', relative: false });
}

/** Reads back all that a folder of results holds, as the page does. */
const results = (path) => readResults([dirname(path)]);

/** What is spoilt, how, and who reads it. */
const TARGETS = {
  study: {
    files: ['studies/thistledown.yaml', 'studies/dandelion.yaml', 'studies/stitchwort.yaml'],
    spoil: spoiltYaml,
    read: (path) => study(path),
  },
  table: {
    files: ['studies/thistledown-landing.csv', 'studies/stitchwort-bench.csv'],
    spoil: spoiltTable,
    read: (path) => study(join(folder, path.includes('bench') ? 'studies/stitchwort.yaml' : 'studies/thistledown.yaml')),
  },
  recording: {
    files: [
      'studies/stitchwort-firings.csv',
      'studies/stitchwort-still.csv',
      'studies/stitchwort-bench.csv',
      'studies/stitchwort-drops.csv',
    ],
    spoil: spoiltTable,
    read: (path) => recording(path),
  },
  flights: { files: ['flown/flights.arrow', 'compared/flights.arrow'], spoil: spoiltFlights, read: results },
  answers: {
    files: [
      'flown/summary.json',
      'flown/run.json',
      'compared/comparison.json',
      'dropped/drops.json',
      'ranked/ranking.json',
      'swept/sweep.json',
    ],
    spoil: spoiltJson,
    read: results,
  },
};
/** How many of twelve cases each takes. */
const SHARES = ['study', 'study', 'study', 'study', 'table', 'table', 'flights', 'flights', 'answers', 'answers', 'recording', 'recording'];

/** @returns what is wrong with how the file was taken, or null; and whether it was read */
async function judge(read, path) {
  const begun = performance.now();
  let wrong = null;
  let taken = false;
  try {
    await read(path);
    taken = true;
  } catch (error) {
    if (!(error instanceof UserError)) wrong = error instanceof Error ? (error.stack ?? error.message) : String(error);
    else if (error.problems.length === 0 || error.problems.some((line) => line.trim() === '')) wrong = 'refused without a word';
    else if (error.problems.join('\n').length > LONGEST_WORDS) wrong = `refused with ${error.problems.join('\n').length} characters`;
  }
  const seconds = (performance.now() - begun) / 1000;
  if (wrong === null && seconds > LONGEST) wrong = `took ${seconds.toFixed(1)} s`;
  return { wrong, taken };
}

/** A spoilt file in place of the sound one, judged, and the sound one put back. */
async function tried(target, file, content) {
  const path = join(folder, file);
  const sound = readFileSync(path);
  writeFileSync(path, content);
  try {
    return await judge(target.read, path);
  } finally {
    writeFileSync(path, sound);
  }
}

async function many(cases, seed) {
  const taken = {};
  let failed = 0;
  for (let number = 1; number <= cases; number++) {
    const random = stream(`${seed}/fuzz/${number}`);
    const name = SHARES[number % SHARES.length];
    const target = TARGETS[name];
    const file = oneOf(random, target.files);
    const content = target.spoil(name === 'flights' ? readFileSync(join(folder, file)) : readFileSync(join(folder, file), 'utf8'), random);
    const { wrong, taken: read } = await tried(target, file, content);
    taken[name] ??= { cases: 0, read: 0 };
    taken[name].cases++;
    if (read) taken[name].read++;
    if (wrong === null) continue;
    failed++;
    mkdirSync(KEPT, { recursive: true });
    const kept = `${name}-${seed}-${number}-${basename(file)}`;
    writeFileSync(join(KEPT, kept), content);
    console.error(`case ${number} of seed ${seed}, kept as tests/fuzz/kept/${kept}: ${wrong}\n`);
  }
  for (const [name, { cases: all, read }] of Object.entries(taken))
    console.log(`${name}: ${all} cases, ${read} read all the same, the others refused`);
  return failed;
}

async function again() {
  let failed = 0;
  const names = existsSync(KEPT) ? readdirSync(KEPT) : [];
  for (const kept of names) {
    const [, name, original] = /^([a-z]+)-.+-\d+-(.+)$/.exec(kept) ?? [];
    const target = TARGETS[name];
    const file = target?.files.find((path) => basename(path) === original);
    if (file === undefined) throw new Error(`tests/fuzz/kept/${kept}: no such case any more; remove it`);
    const { wrong } = await tried(target, file, readFileSync(join(KEPT, kept)));
    if (wrong === null) continue;
    failed++;
    console.error(`${kept}: ${wrong}\n`);
  }
  console.log(`${names.length} kept cases, ${failed} failed`);
  return failed;
}

try {
  prepare();
  const [first = '2000', seed = 'fuzz'] = process.argv.slice(2);
  const failed = first === '--kept' ? await again() : await many(Number(first), seed);
  if (failed > 0) process.exitCode = 1;
} finally {
  rmSync(folder, { recursive: true, force: true });
}
