/**
 * What the fleet's tests share: a study that only has to arrive, the stand-in worker, and a run that keeps its rows.
 */
import { Fleet, type FleetOptions, type FleetReport, type FleetRequest } from '../../src/fleet/fleet.ts';
import type { Work } from '../../src/fleet/work.ts';
import { NO_RESULT_REASONS, OUTCOMES, OUTPUTS, outputIndex } from '../../src/flight/outputs.ts';
import { CATALOGUE } from '../../src/inputs/catalogue.ts';

export const ROW_LENGTH = CATALOGUE.length + OUTPUTS.length;

const STUDY = { title: 'stand-in', flights: 4321 };

export function standInFleet(options: Partial<FleetOptions> = {}): Fleet {
  return new Fleet({ threads: 2, workerFile: STAND_IN, ...options });
}

/** The worker that flies nothing. */
export const STAND_IN = new URL('./standIn.mjs', import.meta.url);

/** Work whose constants tell the stand-in what to do. */
export function told(constants: Readonly<Record<string, unknown>> = {}, study: object = STUDY): Work {
  return {
    name: 'stand-in',
    kind: 'flights',
    study,
    variation: { constants },
    rowLength: ROW_LENGTH,
    lostRow: (flight, row) => {
      for (const [c, input] of CATALOGUE.entries()) row[c] = input.type === 'yesNo' ? 1 : flight;
      row[CATALOGUE.length + outputIndex('outcome')] = OUTCOMES.indexOf('no result');
      row[CATALOGUE.length + outputIndex('noResultReason')] = NO_RESULT_REASONS.indexOf('worker failed');
    },
  };
}

export interface Run {
  readonly report: FleetReport;
  /** The rows in the order in which they came. */
  readonly rows: Float64Array[];
  readonly batches: { first: number; count: number }[];
}

/** Flies and keeps every row; checks that the batches follow each other. */
export async function flown(fleet: Fleet, work: Work, limit: number, more: Partial<FleetRequest> = {}): Promise<Run> {
  const rows: Float64Array[] = [];
  const batches: { first: number; count: number }[] = [];
  let next = more.first ?? 1;
  const report = await fleet.fly({
    work,
    stop: { limit, checkEvery: null, enough: () => false },
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
