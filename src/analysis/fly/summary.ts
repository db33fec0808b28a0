/** All answers about a set of flights under one rule, as plain data in SI: what summary.json and `--json` hold. Prints nothing. */
import type { Limits } from '../../study/study.ts';
import type { FlightColumns } from '../flights/flightColumns.ts';
import { countOutcomes } from '../flights/flightColumns.ts';
import { type Causes, causes } from './causes.ts';
import { type Odds, odds } from './odds.ts';
import { type Scatter, scatter } from './scatter.ts';
import { type Touchdown, touchdown } from './touchdown.ts';

/** The confidence level of every interval in a summary. */
export const LEVEL = 0.95;

export interface Answers {
  readonly odds: Odds;
  readonly causes: Causes;
  readonly touchdown: Touchdown;
  readonly scatter: Scatter;
}

/** @param flights with the columns of SUMMARY_KEYS */
export function answers(flights: FlightColumns, limits: Limits): Answers {
  const counts = countOutcomes(flights.outcome);
  return {
    odds: odds(counts, LEVEL),
    causes: causes(counts, LEVEL),
    touchdown: touchdown(flights, limits, LEVEL),
    scatter: scatter(flights),
  };
}
