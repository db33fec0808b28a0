/**
 * Job files for Kubernetes: an Indexed Job with an index a part on a volume that all share, the Job that joins them, and
 * the few commands that give one after the other. A pod that is lost is made anew and goes on. Applies nothing.
 */
import { stringify } from 'yaml';
import type { JobFile, PartCommands } from './jobPlan.ts';
import { quoted } from './jobPlan.ts';

/** Where the shared volume is seen; study and folder are named from here. */
const MOUNT = '/work';

export function kubernetesFiles({ plan, head, flyPart, join }: PartCommands): JobFile[] {
  const { parts, cpus, image, claim, folder } = plan;
  const pod = (name: string, command: string, threads: number, job: unknown): object => ({
    metadata: { labels: { app: name } },
    spec: {
      restartPolicy: 'Never',
      containers: [
        {
          name: 'alight',
          image,
          workingDir: MOUNT,
          command: ['/bin/sh', '-euc', command],
          env: [job],
          resources: { requests: { cpu: String(threads), memory: '1Gi' }, limits: { memory: '2Gi' } },
          volumeMounts: [{ name: 'work', mountPath: MOUNT }],
        },
      ],
      volumes: [{ name: 'work', persistentVolumeClaim: { claimName: claim } }],
    },
  });
  const kind = { apiVersion: 'batch/v1', kind: 'Job' };
  // A pod is replaced only once it has ended: a lock left by an earlier one of the index holds nobody.
  const indexed = {
    ...kind,
    metadata: { name: 'alight-parts' },
    spec: {
      completions: parts,
      parallelism: parts,
      completionMode: 'Indexed',
      backoffLimitPerIndex: 5,
      podReplacementPolicy: 'Failed',
      template: pod(
        'alight-parts',
        `part=$((JOB_COMPLETION_INDEX + 1))\nexport ALIGHT_JOB="$JOB_UID-$part"\nexec ${flyPart('"$part"', String(cpus))}`,
        cpus,
        fieldOf('JOB_UID', "metadata.labels['batch.kubernetes.io/controller-uid']"),
      ),
    },
  };
  const after = {
    ...kind,
    metadata: { name: 'alight-join' },
    spec: {
      backoffLimit: 5,
      podReplacementPolicy: 'Failed',
      template: pod('alight-join', join, 1, fieldOf('ALIGHT_JOB', "metadata.labels['batch.kubernetes.io/controller-uid']")),
    },
  };
  const submit = `#!/bin/sh
${head}
# The volume of claim ${claim} holds the study; paths are as seen from its root.
set -eu
here=$(dirname "$0")
kubectl apply -f "$here/parts.yaml"
kubectl wait --for=condition=complete --timeout=-1s job/alight-parts
kubectl apply -f "$here/join.yaml"
kubectl wait --for=condition=complete --timeout=-1s job/alight-join
echo results are in ${quoted(`${folder}/results`)} on the volume
`;
  const yaml = (value: object): string => `${head}\n${stringify(value, { lineWidth: 0 })}`;
  return [
    { name: 'parts.yaml', text: yaml(indexed), executable: false },
    { name: 'join.yaml', text: yaml(after), executable: false },
    { name: 'submit.sh', text: submit, executable: true },
  ];
}

function fieldOf(name: string, fieldPath: string): object {
  return { name, valueFrom: { fieldRef: { fieldPath } } };
}
