/**
 * Kills runs at random moments, SIGKILL each time, until they end by themselves, and holds what they leave against a
 * run that never stopped. `node tests/faults/kill.mjs [KILLS] [COMMAND]`, after a build; 200 kills over all commands
 * when nothing is said. Prints one line a run; ends with code 1 when a byte differs.
 */
import { spawn, spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';

const PROGRAM = resolve('dist/run/alight.js');
const kills = Number(process.argv[2] ?? 200);
const only = process.argv[3];

const COMMANDS = {
  fly: ['fly', 'thistledown.yaml', '--flights', '600'],
  retune: ['fly', 'thistledown.yaml', '--flights', '500', '--retune'],
  compare: ['compare', 'thistledown.yaml', '--flights', '200'],
  campaign: ['campaign', 'thistledown.yaml', '--campaigns', '120'],
  sweep: ['sweep', 'thistledown.yaml', '--over', 'wind.speed=1,3,6m/s', '--flights', '200', '--as-programmed'],
  rank: ['rank', 'thistledown.yaml', '--flights', '100', '--fix', 'gusts=off', '--fix', 'wind.speed=half'],
  sobol: ['rank', 'thistledown.yaml', '--sobol', '--size', '256', '--group', 'all=*'],
  tune: ['tune', 'thistledown.yaml', '--rule', 'fixed-height', '--flights', '3000'],
};

const folder = mkdtempSync(join(tmpdir(), 'alight-kill-'));
for (const name of ['thistledown.yaml', 'thistledown-ascent.csv', 'thistledown-landing.csv']) {
  cpSync(resolve('studies', name), join(folder, name));
}

/** Names and contents of a folder, but for what says how it went. */
function contents(name) {
  return readdirSync(join(folder, name))
    .filter((file) => file !== 'run.json')
    .sort()
    .map(
      (file) =>
        `${file} ${createHash('sha256')
          .update(readFileSync(join(folder, name, file)))
          .digest('hex')}`,
    )
    .join('\n');
}

/** Ends by itself or is killed after so many ms. @returns whether it ended by itself */
async function run(args, after) {
  const child = spawn(process.execPath, [PROGRAM, ...args], { cwd: folder, stdio: ['ignore', 'ignore', 'pipe'] });
  let err = '';
  child.stderr.on('data', (data) => {
    err += data;
  });
  const ended = new Promise((done) => child.on('close', (code, signal) => done({ code, signal })));
  const first = await Promise.race([ended, wait(after)]);
  if (first === undefined) child.kill('SIGKILL');
  const { code } = await ended;
  if (code !== null && code !== 0) throw new Error(`${args.join(' ')} ended with ${code}:\n${err}`);
  return code === 0;
}

const took = {};
let killed = 0;
let unlike = 0;
const begun = performance.now();
const chosen = Object.entries(COMMANDS).filter(([name]) => only === undefined || name === only);
for (let turn = 0; killed < kills; turn++) {
  const [name, args] = chosen[turn % chosen.length];
  const whole = `${name}-whole`;
  if (turn < chosen.length) {
    const started = performance.now();
    const straight = spawnSync(process.execPath, [PROGRAM, ...args, '--out', whole], { cwd: folder, encoding: 'utf8' });
    if (straight.status !== 0) throw new Error(straight.stderr);
    took[name] = performance.now() - started;
  }
  const out = `${name}-${turn}`;
  let times = 0;
  // From before anything stands there to after all does.
  while (!(await run([...args, '--out', out, '--resume'], 1.1 * took[name] * Math.random()))) times++;
  killed += times;
  const same = contents(out) === contents(whole);
  if (!same) unlike++;
  process.stdout.write(`${name}: killed ${times} times, ${same ? 'the same bytes' : 'OTHER BYTES'}; ${killed} kills so far\n`);
  rmSync(join(folder, out), { recursive: true });
}
process.stdout.write(`${killed} kills in ${((performance.now() - begun) / 1000).toFixed(0)} s, ${unlike} runs with other bytes\n`);
rmSync(folder, { recursive: true });
process.exitCode = unlike === 0 ? 0 : 1;
