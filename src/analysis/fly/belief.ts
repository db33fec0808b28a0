/**
 * Where belief and truth parted: the height error at the ignition command, over the flights that landed and those that
 * did not.
 */
import { OUTCOMES, type Outcome } from '../../flight/outputs.ts';
import type { Interval } from '../../statistics/samples/interval.ts';
import { quantile, quantileInterval, sorted } from '../../statistics/samples/quantiles.ts';
import { column, type FlightColumns, outcomeIndex } from '../flights/flightColumns.ts';
import { LEVEL } from './summary.ts';

export interface BeliefGroup {
  readonly outcome: Outcome;
  /** Flights of this outcome that gave the ignition command. */
  readonly flights: number;
  /** m, believed minus true height at the command: median, with its distribution-free interval; null where too few. */
  readonly median: number;
  readonly interval: Interval | null;
  /**
   * This median minus that of the flights that landed, with an interval of at least the level: both medians' intervals
   * at half the error each, taken apart (Bonferroni). null for the landed themselves, or when either has too few
   * flights.
   */
  readonly toLanded: null | { readonly difference: number; readonly interval: Interval };
}

/** @param flights with the column ignitionHeightError   @returns outcomes with at least one command, landed first */
export function beliefByOutcome(flights: FlightColumns): readonly BeliefGroup[] {
  const errors = column(flights, 'ignitionHeightError');
  const groups = OUTCOMES.map((): number[] => []);
  errors.forEach((error, i) => {
    if (Number.isFinite(error)) groups[flights.outcome[i]].push(error);
  });
  const half = 1 - (1 - LEVEL) / 2;
  const samples = groups.map((values) => sorted(values));
  const landed = samples[outcomeIndex('landed')];
  const landedWide = landed.length > 0 ? quantileInterval(landed, 0.5, half) : null;
  const order = (['landed', 'lit too high', 'lit too low'] as const).map(outcomeIndex);
  const rest = OUTCOMES.map((_, i) => i).filter((i) => !order.includes(i) && OUTCOMES[i] !== 'no result');
  return [...order, ...rest]
    .filter((i) => samples[i].length > 0)
    .map((i): BeliefGroup => {
      const sample = samples[i];
      const median = quantile(sample, 0.5);
      const wide = quantileInterval(sample, 0.5, half);
      return {
        outcome: OUTCOMES[i],
        flights: sample.length,
        median,
        interval: quantileInterval(sample, 0.5, LEVEL),
        toLanded:
          OUTCOMES[i] === 'landed' || wide === null || landedWide === null
            ? null
            : { difference: median - quantile(landed, 0.5), interval: [wide[0] - landedWide[1], wide[1] - landedWide[0]] },
      };
    });
}
