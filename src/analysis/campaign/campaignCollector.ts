/**
 * Keeps, of campaigns streaming by, which attempts landed, and the rows for their file. A campaign whose worker failed
 * is counted and left out of all answers.
 */
import type { Batch } from '../../fleet/fleet.ts';
import { OCCASION_KEYS } from '../../flight/campaignMaker.ts';
import { NO_RESULT_REASONS, OUTCOMES, outputIndex } from '../../flight/outputs.ts';
import { CATALOGUE } from '../../inputs/catalogue.ts';

/** Whether each attempt of a campaign landed, in order. */
export type Attempts = readonly boolean[];

const OUTCOME = OCCASION_KEYS.length + CATALOGUE.length + outputIndex('outcome');
const REASON = OCCASION_KEYS.length + CATALOGUE.length + outputIndex('noResultReason');
const LANDED = OUTCOMES.indexOf('landed');
const NO_RESULT = OUTCOMES.indexOf('no result');
const WORKER_FAILED = NO_RESULT_REASONS.indexOf('worker failed');

export class CampaignCollector {
  readonly campaigns: Attempts[] = [];
  readonly batches: Batch[] = [];
  /** Attempts flown, those without a result among them. */
  attempts = 0;
  /** Attempts that ended without a result; each counts as one that did not land. */
  noResult = 0;

  add(batch: Batch): void {
    this.batches.push(batch);
    const { rowsOf, columns } = batch;
    const rows = rowsOf.reduce((sum, n) => sum + n, 0);
    let row = 0;
    for (const attempts of rowsOf) {
      const lost = columns[REASON * rows + row] === WORKER_FAILED;
      const landed: boolean[] = [];
      for (let i = 0; i < attempts; i++, row++) {
        const outcome = columns[OUTCOME * rows + row];
        landed.push(outcome === LANDED);
        if (outcome === NO_RESULT && !lost) this.noResult++;
      }
      if (lost) continue;
      this.campaigns.push(landed);
      this.attempts += attempts;
    }
  }
}
