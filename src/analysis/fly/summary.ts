/**
 * All answers about a set of flights under one rule, as plain data in SI: what summary.json and `--json` hold. Prints
 * nothing.
 */
import type { Study } from '../../study/study.ts';
import type { FlightColumns } from '../flights/flightColumns.ts';
import { countOutcomes } from '../flights/flightColumns.ts';
import { type AttemptPlan, attemptPlan } from './attemptPlan.ts';
import { type Causes, causes } from './causes.ts';
import { type ContactAnswer, contactAnswer } from './contact.ts';
import { type Odds, odds } from './odds.ts';
import { type Scatter, scatter } from './scatter.ts';
import { type Touchdown, touchdown } from './touchdown.ts';
import { type MeanWind, meanWind } from './wind.ts';

/** The confidence level of every interval in a summary. */
export const LEVEL = 0.95;

export interface Answers {
  readonly odds: Odds;
  /** null without a flight that has a result. */
  readonly attempts: AttemptPlan | null;
  readonly causes: Causes;
  readonly touchdown: Touchdown;
  /** null where touchdown is judged by rules. */
  readonly contact: ContactAnswer | null;
  readonly scatter: Scatter;
  readonly wind: MeanWind;
}

/**
 * @param flights with the columns of SUMMARY_KEYS; of the wind, what varies is enough
 * @param nominal of the success interval (odds.ts)
 */
export function answers(flights: FlightColumns, study: Study, nominal = LEVEL): Answers {
  const counts = countOutcomes(flights.outcome);
  const found = odds(counts, LEVEL, nominal);
  return {
    odds: found,
    attempts: attemptPlan(found),
    causes: causes(counts, LEVEL),
    touchdown: touchdown(flights, study, LEVEL),
    contact: contactAnswer(flights, study, LEVEL),
    scatter: scatter(flights, LEVEL),
    wind: meanWind(study, flights),
  };
}
