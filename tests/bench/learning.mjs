/**
 * What learning costs over the flights it flies: processor time, all threads, of `alight learn` on the demo's logbook over
 * that of `alight fly` of as many flights, one after the other within one run, so that a busy machine weighs on both.
 *
 *   npm run bench:learning -- --particles 1000 --times 2
 */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseArgs } from 'node:util';

const { values } = parseArgs({ options: { particles: { type: 'string', default: '1000' }, times: { type: 'string', default: '2' } } });
const path = (name) => new URL(`../../${name}`, import.meta.url).pathname;
const folder = mkdtempSync(join(tmpdir(), 'alight-bench-'));
const study = path('studies/thistledown.yaml');
/** s, of the command's whole process: told as it ends. */
const TELL = `process.on('exit', () => {
  const { userCPUTime, systemCPUTime } = process.resourceUsage();
  process.stderr.write('\\ncpu ' + (userCPUTime + systemCPUTime) + '\\n');
})`;

function seconds(...words) {
  const tell = `--import=data:text/javascript,${encodeURIComponent(TELL)}`;
  const shell = ['-c', '"$@" 2>&1 >/dev/null', 'sh', process.execPath, tell, path('dist/cli/main.js'), ...words];
  // Workers load the same line: the last to speak is the process, whose usage is that of all its threads.
  const told = execFileSync('sh', shell, { encoding: 'utf8' }).matchAll(/^cpu (\d+)$/gm);
  return Math.max(...Array.from(told, ([, micros]) => Number(micros))) / 1e6;
}

for (let time = 1; time <= Number(values.times); time++) {
  const [learned, flown] = [join(folder, 'learned'), join(folder, 'flown')];
  const logbook = path('studies/thistledown-logbook.yaml');
  const learning = seconds('learn', study, logbook, '--particles', values.particles, '--out', learned, '--force');
  const { flights } = JSON.parse(readFileSync(join(learned, 'learning.json'), 'utf8'));
  const flying = seconds('fly', study, '--rule', 'speed-curve', '--flights', `${flights}`, '--out', flown, '--force');
  console.log(
    `${flights} flights: learn ${learning.toFixed(1)} s, fly ${flying.toFixed(1)} s of processor time: ${(learning / flying).toFixed(3)}`,
  );
}
rmSync(folder, { recursive: true });
