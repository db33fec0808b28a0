/**
 * Keeps, of campaigns streaming by, which attempts landed, what was rebuilt and what misses they showed; and the rows
 * for their file, where wanted. A campaign whose worker failed is counted and left out of all answers.
 */
import type { Batch } from '../../fleet/fleet.ts';
import { FLIGHT, OBSERVED, OCCASION_KEYS } from '../../flight/campaignMaker.ts';
import { NO_RESULT_REASONS, OUTCOMES, outputIndex } from '../../flight/outputs.ts';
import { CATALOGUE } from '../../inputs/catalogue.ts';

/** Whether each attempt of a campaign landed, in order. */
export type Attempts = readonly boolean[];

export interface FlownCampaign {
  /** From 1. */
  readonly number: number;
  readonly landed: Attempts;
  /** m, of each attempt as the builder read it; NaN where there was none to be seen. */
  readonly observed: readonly number[];
  /** m, the miss itself. */
  readonly misses: readonly number[];
  /** Times the airframe was built anew before its first landing, or before its last attempt. */
  readonly rebuilds: number;
}

const AIRFRAME = OCCASION_KEYS.indexOf('airframe');
const OUTPUT = FLIGHT + CATALOGUE.length;
const OUTCOME = OUTPUT + outputIndex('outcome');
const REASON = OUTPUT + outputIndex('noResultReason');
const MISS = OUTPUT + outputIndex('heightMiss');
const LANDED = OUTCOMES.indexOf('landed');
const NO_RESULT = OUTCOMES.indexOf('no result');
const WORKER_FAILED = NO_RESULT_REASONS.indexOf('worker failed');

export class CampaignCollector {
  readonly campaigns: FlownCampaign[] = [];
  readonly batches: Batch[] = [];
  /** Attempts flown, those without a result among them. */
  attempts = 0;
  /** Attempts that ended without a result; each counts as one that did not land. */
  noResult = 0;
  readonly #keepRows: boolean;

  /** @param keepRows for the file of attempts */
  constructor(keepRows: boolean) {
    this.#keepRows = keepRows;
  }

  add(batch: Batch): void {
    if (this.#keepRows) this.batches.push(batch);
    const { first, rowsOf, columns } = batch;
    const rows = rowsOf.reduce((sum, n) => sum + n, 0);
    let row = 0;
    for (let i = 0; i < rowsOf.length; i++) {
      const from = row;
      row += rowsOf[i];
      if (columns[REASON * rows + from] === WORKER_FAILED) continue;
      const column = (place: number): number[] => Array.from(columns.subarray(place * rows + from, place * rows + row));
      const outcomes = column(OUTCOME);
      const landed = outcomes.map((outcome) => outcome === LANDED);
      const last = landed.includes(true) ? landed.indexOf(true) : landed.length - 1;
      this.campaigns.push({
        number: first + i,
        landed,
        observed: column(OBSERVED),
        misses: column(MISS),
        rebuilds: columns[AIRFRAME * rows + from + last] - 1,
      });
      this.attempts += landed.length;
      this.noResult += outcomes.filter((outcome) => outcome === NO_RESULT).length;
    }
  }
}
