/** Job files: what they call, quoted; the list of commands run by a shell gives the bytes of one run. Slurm itself is .ci/jobs. */
import { spawnSync } from 'node:child_process';
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { parse } from 'yaml';
import { jobFiles } from '../../../src/analysis/jobs/jobFiles.ts';
import { type JobPlan, quoted } from '../../../src/analysis/jobs/jobPlan.ts';
import { UserError } from '../../../src/errors.ts';
import { alight, alightHere, demoFolder, PROGRAM } from '../../helpers/commandLine.ts';
import { filesOf } from '../../helpers/everyCommand.ts';

const plan: JobPlan = {
  study: 'my studies/a.yaml',
  parts: 64,
  engine: 'slurm',
  command: 'fly',
  options: ['--set', "title=it's"],
  folder: 'big',
  program: 'alight',
  cpus: 8,
  image: null,
  claim: null,
};
const file = (files: ReturnType<typeof jobFiles>, name: string): string => files.find((one) => one.name === name)?.text ?? '';

test('a Slurm array has a task a part that may be requeued, and a join that depends on all of them', () => {
  const files = jobFiles(plan);
  const parts = file(files, 'parts.sbatch');
  expect(parts).toMatch(/^#!\/bin\/bash\n# Made by alight [\d.]+: fly of my studies\/a\.yaml in 64 parts\.\n#SBATCH /);
  for (const line of ['--array=1-64', '--cpus-per-task=8', '--requeue', '--open-mode=append', '--output="big/part-%a.log"']) {
    expect(parts).toContain(`#SBATCH ${line}\n`);
  }
  expect(parts).toContain(
    `exec alight fly 'my studies/a.yaml' --set 'title=it'\\''s' --part "$SLURM_ARRAY_TASK_ID"/64 --out big/part-"$SLURM_ARRAY_TASK_ID" --threads "$SLURM_CPUS_PER_TASK" --resume\n`,
  );
  expect(file(files, 'join.sbatch')).toContain('[ -e big/results/run.json ] || alight join big/part-*[0-9] --out big/results --force\n');
  expect(file(files, 'submit.sh')).toContain('--dependency=afterok:"$parts" big/join.sbatch');
});

test('a Kubernetes Job has an index a part, on one volume, and goes on when a pod is lost', () => {
  expect(() => jobFiles({ ...plan, engine: 'kubernetes' })).toThrow(
    new UserError([
      '--image: missing; name the container image that holds the program (Containerfile makes one)',
      '--claim: missing; name the volume claim that all parts share',
    ]),
  );
  const files = jobFiles({ ...plan, engine: 'kubernetes', image: 'alight:1', claim: 'studies' });
  const { apiVersion, kind, spec } = parse(file(files, 'parts.yaml'));
  expect([apiVersion, kind, spec.completionMode, spec.completions, spec.podReplacementPolicy]).toEqual([
    'batch/v1',
    'Job',
    'Indexed',
    64,
    'Failed',
  ]);
  const pod = spec.template.spec;
  expect(pod.volumes).toEqual([{ name: 'work', persistentVolumeClaim: { claimName: 'studies' } }]);
  expect(pod.containers[0]).toMatchObject({ image: 'alight:1', workingDir: '/work', volumeMounts: [{ name: 'work', mountPath: '/work' }] });
  expect(pod.containers[0].command[2]).toMatch(/^part=\$\(\(JOB_COMPLETION_INDEX \+ 1\)\)\n.*\nexec alight fly .* --part "\$part"\/64 /);
  expect(parse(file(files, 'join.yaml')).spec.template.spec.containers[0].command[2]).toContain('alight join big/part-*[0-9]');
});

test('what the files say themselves, and what flies nothing, is refused', () => {
  expect(() => jobFiles({ ...plan, command: 'report', options: ['--out', 'x', '--threads=3', '--toward=80%'] })).toThrow(
    new UserError([
      '--run: read "report"; expected one of fly, compare, sweep, campaign, rank, tune',
      '--out: the job files say that themselves; leave it out',
      '--threads=3: the job files say that themselves; leave it out',
      '--toward=80%: goes by what the flights of all parts find, so every part would refuse it; leave it out',
    ]),
  );
});

test.each(['plain-1.yaml', 'a b', "it's", '$(rm -rf x)', '`x`', 'ü', '"', '\\', '*', '#'])('a shell reads %s as one word again', (word) => {
  const { stdout } = spawnSync('sh', ['-c', `printf %s ${quoted(word)}`], { encoding: 'utf8' });
  expect(stdout).toBe(word);
});

test('the list of commands, run in any order and some of them twice, is one run', async () => {
  const folder = demoFolder();
  const program = `${process.execPath} ${PROGRAM}`;
  const made = alight(
    folder,
    'jobs',
    'thistledown.yaml',
    '--parts',
    '3',
    '--for',
    'shell',
    '--program',
    program,
    '--cpus',
    '1',
    '--',
    '--flights',
    '40',
  );
  expect([made.err, made.code]).toEqual(['', 0]);
  const jobs = join(folder, 'thistledown-jobs');
  const lines = readFileSync(join(jobs, 'parts.txt'), 'utf8').trimEnd().split('\n');
  expect(lines.length).toBe(3);
  const sh = (line: string) => spawnSync('sh', ['-c', line], { cwd: folder, encoding: 'utf8' });
  for (const i of [2, 0, 2, 1]) expect(sh(lines[i] as string).status).toBe(0);
  for (const _ of [1, 2]) expect(sh('thistledown-jobs/join.sh').status).toBe(0);
  expect((await alightHere(folder, 'fly', 'thistledown.yaml', '--flights', '40', '--out', 'one')).code).toBe(0);
  expect(filesOf(join(jobs, 'results'))).toEqual(filesOf(join(folder, 'one')));
  const again = await alightHere(folder, 'jobs', 'thistledown.yaml', '--parts', '2', '--for', 'shell');
  expect(again.code).toBe(2);
  expect((await alightHere(folder, 'jobs', 'thistledown.yaml', '--parts', '2', '--for', 'shell', '--force')).code).toBe(0);
  expect(readdirSync(jobs).sort()).toEqual(['join.sh', 'part-1', 'part-2', 'part-3', 'parts.txt', 'results']);
  expect((await alightHere(folder, 'jobs', 'absent.yaml', '--parts', '2', '--for', 'shell')).code).toBe(2);
});
