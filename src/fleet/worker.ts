/** The worker's entry, and the only file here that knows the flight: the study comes once, as worker data, chunks as tasks. */
import { workerData } from 'node:worker_threads';
import { makeKit, ROW_LENGTH, type Variation } from '../flight/flightMaker.ts';
import { builtKernel } from '../flight/kernel/file.ts';
import type { Study } from '../study/study.ts';
import { serve } from './serve.ts';
import type { ChunkReply, ChunkTask } from './task.ts';

const { study } = workerData as { readonly study: Study };

/** One for all variations: their flights come one after another. */
const kernel = builtKernel();
const handle = serve((variation: Variation) => makeKit(study, variation, kernel), ROW_LENGTH);

export default (task: ChunkTask): ChunkReply | Promise<never> => {
  try {
    return handle(task);
  } catch (error) {
    return ofThisStudy(error);
  }
};

/** A fault of ours, with what it takes to see it again beside what flew. Loads what only this needs. */
async function ofThisStudy(fault: unknown): Promise<never> {
  const [{ resolvedYaml }, { studyHash }] = await Promise.all([import('../study/resolved.ts'), import('../study/studyHash.ts')]);
  throw new Error(`${fault instanceof Error ? fault.message : String(fault)} (study ${studyHash(resolvedYaml(study))})`, { cause: fault });
}
