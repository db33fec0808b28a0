/**
 * Job files for Slurm: an array with a task a part, and the join that waits for all of them. A task that is killed and
 * requeued goes on where it stopped. Submits nothing.
 */
import type { JobFile, PartCommands } from './jobPlan.ts';
import { quoted } from './jobPlan.ts';

export function slurmFiles({ plan, head, flyPart, join }: PartCommands): JobFile[] {
  const { parts, cpus, folder } = plan;
  // In a pattern of Slurm's a backslash or a percent sign would mean something.
  const log = (name: string): string => `#SBATCH --output="${folder.replaceAll('%', '%%')}/${name}.log"`;
  const array = `#!/bin/bash
${head}
#SBATCH --job-name=alight-parts
#SBATCH --array=1-${parts}
#SBATCH --cpus-per-task=${cpus}
#SBATCH --requeue
#SBATCH --open-mode=append
${log('part-%a')}
set -euo pipefail
# Slurm runs a task once at a time: a lock left by an earlier start of it holds nobody.
export ALIGHT_JOB="slurm-$SLURM_ARRAY_JOB_ID-$SLURM_ARRAY_TASK_ID"
exec ${flyPart('"$SLURM_ARRAY_TASK_ID"', '"$SLURM_CPUS_PER_TASK"')}
`;
  const after = `#!/bin/bash
${head}
#SBATCH --job-name=alight-join
#SBATCH --cpus-per-task=1
#SBATCH --requeue
#SBATCH --open-mode=append
${log('join')}
set -euo pipefail
export ALIGHT_JOB="slurm-$SLURM_JOB_ID"
${join}
`;
  const submit = `#!/bin/bash
${head}
# Run it in the folder where alight jobs was: paths are as they were there.
set -euo pipefail
parts=$(sbatch --parsable ${quoted(folder)}/parts.sbatch)
join=$(sbatch --parsable --dependency=afterok:"$parts" ${quoted(folder)}/join.sbatch)
echo "parts are job $parts, their join is job $join; results will be in ${folder.replaceAll(/["$`\\]/g, '?')}/results"
`;
  return [
    { name: 'parts.sbatch', text: array, executable: false },
    { name: 'join.sbatch', text: after, executable: false },
    { name: 'submit.sh', text: submit, executable: true },
  ];
}
