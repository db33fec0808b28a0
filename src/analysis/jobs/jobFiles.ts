/**
 * A run in parts as job files for engines that are there: which command flies a part, which joins them, and the files
 * that an engine takes (slurm.ts, kubernetes.ts). Writes nothing, flies nothing, and is no scheduler.
 */
import { UserError } from '../../errors.ts';
import { programVersion } from '../../results/header.ts';
import { type JobFile, type JobPlan, type PartCommands, quoted } from './jobPlan.ts';
import { kubernetesFiles } from './kubernetes.ts';
import { slurmFiles } from './slurm.ts';

const COMMANDS = ['fly', 'compare', 'sweep', 'campaign', 'rank', 'tune'];
/** Options that the files set themselves. */
const OURS = ['--out', '--part', '--resume', '--force', '--threads', '--json', '--open'];
/** Options that no part can be flown with (flights/keptResults.ts). */
const GO_BY_ALL = ['--half-width', '--until-resolved', '--until-separated', '--toward', '--control'];

/** @throws UserError when the command flies nothing, or an option is one that the files set */
export function jobFiles(plan: JobPlan): JobFile[] {
  const { study, parts, command, options, folder, program, engine } = plan;
  const problems: string[] = [];
  if (!COMMANDS.includes(command)) problems.push(`--run: read "${command}"; expected one of ${COMMANDS.join(', ')}`);
  for (const option of options.filter((one) => OURS.includes(one.split('=')[0]))) {
    problems.push(`${option}: the job files say that themselves; leave it out`);
  }
  for (const option of options.filter((one) => GO_BY_ALL.includes(one.split('=')[0]))) {
    problems.push(`${option}: goes by what the flights of all parts find, so every part would refuse it; leave it out`);
  }
  if (engine === 'kubernetes') {
    if (plan.image === null) problems.push('--image: missing; name the container image that holds the program (Containerfile makes one)');
    if (plan.claim === null) problems.push('--claim: missing; name the volume claim that all parts share');
  }
  if (problems.length > 0) throw new UserError(problems);
  const flown = [program, command, quoted(study), ...options.map(quoted)].join(' ');
  const folders = `${quoted(folder)}/part-*[0-9]`;
  const results = quoted(`${folder}/results`);
  const commands: PartCommands = {
    plan,
    head: `# Made by alight ${programVersion()}: ${command} of ${study.replace(/[^\w./ -]/g, '?')} in ${parts} parts.`,
    flyPart: (part, threads) => `${flown} --part ${part}/${parts} --out ${quoted(folder)}/part-${part} --threads ${threads} --resume`,
    join: `[ -e ${results}/run.json ] || ${program} join ${folders} --out ${results} --force`,
  };
  switch (engine) {
    case 'slurm':
      return slurmFiles(commands);
    case 'kubernetes':
      return kubernetesFiles(commands);
    case 'shell':
      return shellFiles(commands);
  }
}

/** A plain list of commands, for whatever runs commands; each can be given again. */
function shellFiles({ plan, head, flyPart, join }: PartCommands): JobFile[] {
  const lines = Array.from({ length: plan.parts }, (_, i) => flyPart(String(i + 1), String(plan.cpus)));
  return [
    { name: 'parts.txt', text: `${lines.join('\n')}\n`, executable: false },
    { name: 'join.sh', text: `#!/bin/sh\n${head}\n# After every line of parts.txt has been run.\nset -eu\n${join}\n`, executable: true },
  ];
}
