/**
 * The compiled kernel against the one before it: another commit is built into a folder of its own, and both fly the
 * same demo flights in turns. Processor time of this process where one thread flies, wall time where the whole program
 * does; the least of several turns each. On a shared machine only the ratios mean anything.
 *
 *     npm run bench:kernel -- [commit]      by default the last one with a kernel of tsc's build alone
 */
import { execFile, execFileSync } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, rmSync, symlinkSync } from 'node:fs';
import { availableParallelism, tmpdir } from 'node:os';
import { join } from 'node:path';
import { performance } from 'node:perf_hooks';
import { makeKit, ROW_LENGTH } from '../../dist/flight/flightMaker.js';
import { setInputs, setNoise } from '../../dist/flight/inputSetup.js';
import { builtKernel } from '../../dist/flight/kernel/file.js';
import { putRecord } from '../../dist/flight/recordRow.js';
import { CATALOGUE } from '../../dist/inputs/catalogue.js';
import { openStudy } from '../../dist/study/load.js';

const BEFORE = process.argv[2] ?? '9c13eaa';
const ROOT = new URL('../..', import.meta.url).pathname;
const FLIGHTS = 400;
const TURNS = 4;

const line = (label, value) => console.log(`${label.padEnd(62)}${value}`);
const processor = (work) => {
  const start = process.cpuUsage();
  work();
  const { user, system } = process.cpuUsage(start);
  return user + system;
};
const wall = (work) => {
  const start = performance.now();
  work();
  return 1000 * (performance.now() - start);
};
/** Microseconds a turn of each, measured in turns so that a busy machine slows all alike; the least of each. */
const inTurns = (clock, turns, works) => {
  const least = works.map(() => Number.POSITIVE_INFINITY);
  for (let t = 0; t < turns; t++) {
    works.forEach((work, i) => {
      least[i] = Math.min(least[i], clock(work));
    });
  }
  return least;
};

/** Builds another commit. @returns its dist folder */
function built(commit, folder) {
  mkdirSync(folder);
  const archive = execFileSync('git', ['archive', commit], { cwd: ROOT, maxBuffer: 1 << 28 });
  execFileSync('tar', ['-x', '-C', folder], { input: archive });
  symlinkSync(join(ROOT, 'node_modules'), join(folder, 'node_modules'));
  execFileSync(process.execPath, ['node_modules/typescript/bin/tsc', '-p', 'src/tsconfig.json'], { cwd: folder, stdio: 'inherit' });
  for (const script of ['src/flight/kernel/build.mjs', 'src/bundle.mjs']) {
    if (existsSync(join(folder, script))) execFileSync(process.execPath, [script], { cwd: folder, stdio: 'inherit' });
  }
  return join(folder, 'dist');
}

const folder = mkdtempSync(join(tmpdir(), 'alight-bench-'));
try {
  const before = built(BEFORE, join(folder, 'before'));
  // The older program's own demo: what it did not know yet it could not read.
  const STUDY = join(folder, 'before', 'studies/thistledown.yaml');
  const oldest = existsSync(join(before, 'inputs/openStudy.js'));
  const { openStudy: openBefore } = await import(join(before, oldest ? 'inputs/openStudy.js' : 'study/load.js'));
  const { makeKit: kitBefore } = await import(join(before, oldest ? 'flight/kit.js' : 'flight/flightMaker.js'));

  const { study } = await openStudy(STUDY);
  const variation = { rule: study.rules[0].name, plan: { kind: 'study', flights: study.flights } };
  const row = new Float64Array(ROW_LENGTH);
  const kernel = builtKernel();
  const now = makeKit(study, variation, kernel);
  const then = kitBefore((await openBefore(STUDY)).study, variation);
  const flyNow = (from, count) => {
    for (let i = from; i < from + count; i++) now.fly(i, row);
  };
  const flyThen = (from, count) => {
    for (let i = from; i < from + count; i++) then.fly(i, row);
  };

  const [coldThen, coldNow] = [processor(() => flyThen(1, 200)), processor(() => flyNow(1, 200))];
  line('first 200 flights of a process, time over before’s', (coldNow / coldThen).toFixed(2));

  const [warmThen, warmNow] = inTurns(processor, TURNS, [() => flyThen(201, FLIGHTS), () => flyNow(201, FLIGHTS)]);
  line('one thread, drawn, set up, flown: flights/s before, now', `${rate(warmThen)}, ${rate(warmNow)}`);
  line('  ratio', (warmThen / warmNow).toFixed(2));

  // What a worker does for a flight, and the kernel's part of it, by one clock.
  const inputs = new Float64Array(CATALOGUE.length);
  let [kernelTime, allTime] = [0, 0];
  for (let i = 201; i < 201 + TURNS * FLIGHTS; i++) {
    const start = performance.now();
    now.sampler.draw(i, inputs);
    setInputs(kernel.parameters, study, inputs);
    setNoise(kernel.parameters, now.sampler.noiseKey(i));
    const ready = performance.now();
    kernel.fly();
    const flown = performance.now();
    row.set(inputs);
    putRecord(kernel.record, row, CATALOGUE.length);
    allTime += performance.now() - start;
    kernelTime += flown - ready;
  }
  line('  share of a flight’s time that is the kernel’s', (kernelTime / allTime).toFixed(3));
  const [draw, setUp] = inTurns(processor, 3 * TURNS, [
    () => {
      for (let i = 1; i <= 1000; i++) now.sampler.draw(i, inputs);
    },
    () => {
      for (let i = 1; i <= 1000; i++) {
        setInputs(kernel.parameters, study, inputs);
        setNoise(kernel.parameters, now.sampler.noiseKey(i));
      }
    },
  ]);
  line('µs a flight for its draw, for its setting up', `${(draw / 1000).toFixed(1)}, ${(setUp / 1000).toFixed(1)}`);

  const program = (dist, ...args) => execFileSync(process.execPath, [entry(dist), ...args], { stdio: 'ignore' });
  const fly = (dist, threads, flights) => () =>
    program(
      dist,
      'fly',
      STUDY,
      '--set',
      `flights=${flights}`,
      '--threads',
      String(threads),
      '--out',
      join(folder, dist === before ? 'then' : 'now'),
      '--force',
    );
  const here = join(ROOT, 'dist');
  const [oneThen, oneNow] = inTurns(wall, 4, [fly(before, 1, 2000), fly(here, 1, 2000)]);
  line('whole program, one thread, 2,000 flights: time before over now', (oneThen / oneNow).toFixed(2));
  const threads = availableParallelism();
  const [allThen, allNow] = inTurns(wall, 5, [fly(before, threads, 10_000), fly(here, threads, 10_000)]);
  line(`whole program, ${threads} threads, 10,000 flights: time before over now`, (allThen / allNow).toFixed(2));
  // As many programs of one thread each, side by side, as one program has threads: what the machine itself can do.
  const each = 10_000 / threads;
  const oneOf = (i) =>
    runOf(here, 'fly', STUDY, '--set', `flights=${each}`, '--threads', '1', '--out', join(folder, `apart-${i}`), '--force');
  let [together, side] = [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY];
  for (let t = 0; t < 2; t++) {
    together = Math.min(together, wall(fly(here, threads, 10_000)));
    const start = performance.now();
    await Promise.all(Array.from({ length: threads }, (_, i) => oneOf(i)));
    side = Math.min(side, 1000 * (performance.now() - start));
  }
  line(`${threads} threads of one program over ${threads} programs of one: flights/s`, (side / together).toFixed(2));
  const [helpThen, helpNow] = inTurns(wall, 8, [() => program(before, '--help'), () => program(here, '--help')]);
  line('--help: time over before’s', (helpNow / helpThen).toFixed(2));
} finally {
  rmSync(folder, { recursive: true });
}

/** A build's command line: older builds had no bundle. */
function entry(dist) {
  const bundled = join(dist, 'run/alight.js');
  return existsSync(bundled) ? bundled : join(dist, 'cli/main.js');
}

function runOf(dist, ...args) {
  return new Promise((resolve, reject) => {
    execFile(process.execPath, [entry(dist), ...args], (error) => (error ? reject(error) : resolve()));
  });
}

function rate(microseconds) {
  return ((1e6 * FLIGHTS) / microseconds).toFixed(0);
}
