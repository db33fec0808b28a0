/**
 * A piece of work for the fleet: what its workers do with a study, unit by unit, and what stands in for a unit that was
 * lost. Flights are one kind; a kind whose units are larger than a flight has an entry in worker.ts and a maker like
 * `flightsOf`.
 */
import type { CampaignVariation } from '../flight/campaignMaker.ts';
import type { Variation } from '../flight/flightMaker.ts';
import type { GivenVariation } from '../flight/givenMaker.ts';
import { NO_RESULT_REASONS, OUTCOMES, OUTPUTS, outputIndex } from '../flight/outputs.ts';
import { CATALOGUE } from '../inputs/catalogue.ts';
import { makeCampaignSampler } from '../sampling/campaignSampler.ts';
import { makeSampler, type Sampler } from '../sampling/sampler.ts';
import type { Study } from '../study/study.ts';

/**
 * The same object is the same work: workers prepare it once. Study and variation are plain data, not changed
 * afterwards.
 */
export interface Work {
  /** What the user knows it by: `the study as it is`, a rule, a fix. */
  readonly name: string;
  /** A name in the worker's table (worker.ts). */
  readonly kind: string;
  readonly study: object;
  readonly variation: object;
  /** Numbers in a row. */
  readonly rowLength: number;
  /** Writes the one row of a unit whose worker failed; it comes filled with NaN. */
  lostRow(unit: number, row: Float64Array): void;
}

/** A unit whose worker failed on it twice. */
export interface LostFlight {
  readonly flight: number;
  readonly reason: string;
}

const OUTCOME = CATALOGUE.length + outputIndex('outcome');
const REASON = CATALOGUE.length + outputIndex('noResultReason');
const NO_RESULT = OUTCOMES.indexOf('no result');
const WORKER_FAILED = NO_RESULT_REASONS.indexOf('worker failed');

/**
 * Flights of a study, one row each: inputs in catalogue order, then outputs. A lost one keeps its inputs and has no
 * result.
 */
export function flightsOf(study: Study, variation: Variation, name = variation.rule): Work {
  let sampler: Sampler | null = null;
  return {
    name,
    kind: 'flights',
    study,
    variation,
    rowLength: CATALOGUE.length + OUTPUTS.length,
    lostRow: (flight, row) => {
      sampler ??= makeSampler(study, variation.plan);
      sampler.draw(flight, row.subarray(0, CATALOGUE.length));
      row[OUTCOME] = NO_RESULT;
      row[REASON] = WORKER_FAILED;
    },
  };
}

/** Of a campaign's row (flight/campaignMaker.ts): attempt, airframe, batch and day; then shift, miss seen, the flight's own numbers. */
const OCCASION = 4;
const FLIGHT = 6;

/**
 * Campaigns of a study, a row an attempt: attempt, airframe, batch and day, shift of the lighting height and miss seen,
 * then inputs and outputs as of a flight. A lost one is a single attempt, the first, with its inputs and no result.
 */
export function campaignsOf(study: Study, variation: CampaignVariation, name = variation.rule): Work {
  return {
    name,
    kind: 'campaigns',
    study,
    variation,
    rowLength: FLIGHT + CATALOGUE.length + OUTPUTS.length,
    lostRow: (campaign, row) => {
      row.fill(1, 0, OCCASION);
      const first = { campaign, attempt: 1, airframe: 1, batch: 1, day: 1 };
      row[OCCASION] = 0;
      makeCampaignSampler(study, variation.held, variation.changes).draw(first, row.subarray(FLIGHT, FLIGHT + CATALOGUE.length));
      row[FLIGHT + OUTCOME] = NO_RESULT;
      row[FLIGHT + REASON] = WORKER_FAILED;
    },
  };
}

/** Flights of given input vectors, a row of the columns asked for each. A lost one keeps its inputs and has no result. */
export function givenFlightsOf(study: Study, variation: GivenVariation, name: string): Work {
  const { inputs, columns } = variation;
  return {
    name,
    kind: 'given',
    study,
    variation,
    rowLength: columns.length,
    lostRow: (flight, row) => {
      for (const [c, column] of columns.entries()) {
        if (column < CATALOGUE.length) row[c] = inputs[(flight - 1) * CATALOGUE.length + column];
        else if (column === OUTCOME) row[c] = NO_RESULT;
        else if (column === REASON) row[c] = WORKER_FAILED;
      }
    },
  };
}
