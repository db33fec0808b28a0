/** The worker's entry, and the only file here that knows the flight: the study comes once, as worker data, chunks as tasks. */
import { workerData } from 'node:worker_threads';
import { makeKit, ROW_LENGTH, type Variation } from '../flight/flightMaker.ts';
import type { Study } from '../study/study.ts';
import { serve } from './serve.ts';

const { study } = workerData as { readonly study: Study };

export default serve((variation: Variation) => makeKit(study, variation), ROW_LENGTH);
