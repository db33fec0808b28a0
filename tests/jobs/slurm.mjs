/**
 * Job files given to a real Slurm of one machine, started here and ended here: an array and its dependent join are one
 * run, byte for byte, also when a task is killed and requeued. `.ci/jobs` installs Slurm and runs this, as root.
 */
import assert from 'node:assert/strict';
import { execFileSync, spawn } from 'node:child_process';
import { cpSync, existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { hostname, tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { after, before, test } from 'node:test';
import { setTimeout as wait } from 'node:timers/promises';

const PROGRAM = resolve('dist/run/alight.js');
const folder = mkdtempSync(join(tmpdir(), 'alight-slurm-'));
const host = hostname().split('.')[0];
const environment = { ...process.env, SLURM_CONF: join(folder, 'slurm.conf') };
const daemons = [];

const run = (command, ...args) => execFileSync(command, args, { cwd: folder, env: environment, encoding: 'utf8' });

function start(command, ...args) {
  const daemon = spawn(command, args, { env: environment, stdio: 'ignore' });
  daemons.push(daemon);
}

/** Asks again until it is so. */
async function until(what, is) {
  for (let asked = 0; asked < 1200; asked++) {
    if (is()) return;
    await wait(250);
  }
  throw new Error(`not within five minutes: ${what}\n${run('squeue')}\n${logs()}`);
}

const logs = () =>
  readdirSync(folder, { recursive: true })
    .filter((name) => /(part-\d+|join)\.log$/.test(name))
    .map((name) => `${name}:\n${readFileSync(join(folder, name), 'utf8').slice(-600)}`)
    .join('\n');

function filesOf(name) {
  const path = join(folder, name);
  return Object.fromEntries(
    readdirSync(path)
      .filter((file) => file !== 'run.json')
      .sort()
      .map((file) => [file, readFileSync(join(path, file)).toString('base64')]),
  );
}

before(async () => {
  for (const name of ['state', 'spool']) mkdirSync(join(folder, name));
  writeFileSync(
    join(folder, 'slurm.conf'),
    `ClusterName=trial
SlurmctldHost=${host}(127.0.0.1)
SlurmUser=root
SlurmdUser=root
AuthType=auth/munge
CredType=cred/munge
StateSaveLocation=${folder}/state
SlurmdSpoolDir=${folder}/spool
SlurmctldPidFile=${folder}/slurmctld.pid
SlurmdPidFile=${folder}/slurmd.pid
SlurmctldLogFile=${folder}/slurmctld.log
SlurmdLogFile=${folder}/slurmd.log
ProctrackType=proctrack/pgid
TaskPlugin=task/none
MpiDefault=none
JobAcctGatherType=jobacct_gather/none
AccountingStorageType=accounting_storage/none
SelectType=select/cons_tres
SelectTypeParameters=CR_Core
ReturnToService=2
KillWait=2
NodeName=${host} NodeAddr=127.0.0.1 CPUs=2 RealMemory=1000 State=UNKNOWN
PartitionName=main Nodes=${host} Default=YES MaxTime=INFINITE State=UP
`,
  );
  mkdirSync('/run/munge', { recursive: true });
  execFileSync('chown', ['munge:', '/run/munge']);
  start(
    'setpriv',
    '--reuid',
    'munge',
    '--regid',
    'munge',
    '--clear-groups',
    '/usr/sbin/munged',
    '--foreground',
    `--pid-file=/run/munge/munged.pid`,
  );
  await until('munge listens', () => existsSync('/run/munge/munge.socket.2'));
  start('slurmctld', '-D');
  start('slurmd', '-D');
  await until('the node is idle', () => {
    try {
      return run('sinfo', '-h', '-o', '%t').trim() === 'idle';
    } catch {
      // Not listening yet.
      return false;
    }
  });
  for (const name of ['thistledown.yaml', 'thistledown-ascent.csv', 'thistledown-landing.csv']) {
    cpSync(resolve('studies', name), join(folder, name));
  }
});

after(async () => {
  for (const daemon of daemons.reverse()) {
    const gone = new Promise((done) => daemon.once('exit', done));
    if (daemon.exitCode === null && daemon.kill()) await gone;
  }
  rmSync(folder, { recursive: true, force: true });
});

/** Writes the job files and submits them. @returns ids of the array and of the join */
function submitted(out, flights) {
  const options = ['--parts', '4', '--for', 'slurm', '--cpus', '1', '--program', `${process.execPath} ${PROGRAM}`, '--out', out];
  run(process.execPath, PROGRAM, 'jobs', 'thistledown.yaml', ...options, '--', '--flights', String(flights));
  const said = run('bash', join(out, 'submit.sh'));
  return /job (\d+), their join is job (\d+)/.exec(said).slice(1);
}

const isOver = (id) => run('squeue', '-h', '-o', '%i', '-j', id).trim() === '';

async function isOneRun(out, id, flights) {
  await until(`the join of ${out} has ended`, () => isOver(id));
  assert.ok(existsSync(join(folder, out, 'results', 'run.json')), logs());
  run(process.execPath, PROGRAM, 'fly', 'thistledown.yaml', '--flights', String(flights), '--out', `${out}-whole`, '--json');
  assert.deepEqual(filesOf(join(out, 'results')), filesOf(`${out}-whole`));
}

test('an array of four tasks and its dependent join are one run, byte for byte', async () => {
  const [, id] = submitted('plain', 400);
  await isOneRun('plain', id, 400);
});

test('a task that is killed and requeued goes on by itself', async () => {
  const [array, id] = submitted('killed', 4000);
  const journal = join(folder, 'killed', 'part-1', 'flights.journal');
  await until('the first task has flown something', () => existsSync(journal) && statSync(journal).size > 20_000);
  run('scontrol', 'requeue', `${array}_1`);
  await until('it is off the node', () => run('squeue', '-h', '-o', '%t', '-j', `${array}_1`).trim() === 'PD');
  const flown = statSync(journal).size;
  assert.ok(flown > 20_000);
  // Slurm would wait two minutes.
  run('scontrol', 'update', `jobid=${array}_1`, 'starttime=now');
  await isOneRun('killed', id, 4000);
  assert.match(run('bash', '-c', 'cat killed/part-1.log'), /part 1\/4 is flown/);
});
