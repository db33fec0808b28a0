/** What the fleet's tests share: a study that only has to arrive, the stand-in worker, and a run that keeps its rows. */
import { Fleet, type FleetOptions, type FleetReport, type FleetRequest } from '../../src/fleet/fleet.ts';
import type { Variation } from '../../src/flight/flightMaker.ts';
import { OUTPUTS } from '../../src/flight/outputs.ts';
import { CATALOGUE } from '../../src/inputs/catalogue.ts';
import type { Study } from '../../src/study/study.ts';

export const ROW_LENGTH = CATALOGUE.length + OUTPUTS.length;

const study = { title: 'stand-in', flights: 4321 } as Study;

export function standInFleet(options: Partial<FleetOptions> = {}): Fleet {
  return new Fleet({ study, threads: 2, workerFile: new URL('./standIn.mjs', import.meta.url), ...options });
}

/** A variation whose constants tell the stand-in what to do. */
export function told(constants: Record<string, number> = {}): Variation {
  return { rule: 'stand-in', constants, plan: {} } as unknown as Variation;
}

export interface Run {
  readonly report: FleetReport;
  /** The rows in the order in which they came. */
  readonly rows: Float64Array[];
  readonly batches: { first: number; count: number }[];
}

/** Flies and keeps every row; checks that the batches follow each other. */
export async function flown(fleet: Fleet, variation: Variation, limit: number, more: Partial<FleetRequest> = {}): Promise<Run> {
  const rows: Float64Array[] = [];
  const batches: { first: number; count: number }[] = [];
  let next = more.first ?? 1;
  const report = await fleet.fly({
    variation,
    stop: { limit, checkEvery: null, enough: () => false },
    blankRow: (flight, row) => row.fill(flight, 0, CATALOGUE.length),
    stopSignal: new AbortController().signal,
    ...more,
    onBatch: (batch) => {
      if (batch.first !== next) throw new Error(`batch begins at ${batch.first}, expected ${next}`);
      if (batch.columns.length !== batch.count * ROW_LENGTH) throw new Error('batch of a wrong size');
      next += batch.count;
      batches.push({ first: batch.first, count: batch.count });
      for (let i = 0; i < batch.count; i++) {
        rows.push(Float64Array.from({ length: ROW_LENGTH }, (_, c) => batch.columns[c * batch.count + i] as number));
      }
      more.onBatch?.(batch);
    },
  });
  return { report, rows, batches };
}

/** Every bit of the rows, NaNs included. */
export function bytes(rows: readonly Float64Array[]): Buffer {
  return Buffer.concat(rows.map((row) => Buffer.from(row.buffer, row.byteOffset, row.byteLength)));
}
