/**
 * What the legs and the ground go through, where touchdown is simulated: force on a foot, lean, slid path and rebounds
 * over the flights that touched. How hard they touch is touchdown.ts.
 */
import { clopperPearson } from '../../statistics/proportions/binomial.ts';
import { edgesOnLimit, type Histogram, histogram } from '../../statistics/samples/histogram.ts';
import { checkLevel, type Interval } from '../../statistics/samples/interval.ts';
import { quantile, quantileInterval, sorted } from '../../statistics/samples/quantiles.ts';
import type { Study } from '../../study/study.ts';
import { nominalLegs } from '../../study/touchdownLimits.ts';
import { column, type FlightColumns, hasResult } from '../flights/flightColumns.ts';

/** The measures of a simulated contact: keys of the output table. */
export const CONTACT_MEASURES = ['peakFootForce', 'greatestLean', 'slidPath'] as const;
export type ContactMeasure = (typeof CONTACT_MEASURES)[number];

const SHARES = [0.05, 0.25, 0.5, 0.75, 0.95, 0.99];
/** Ten bins up to the strength and thirty past it; without a mark forty up to what 99 in 100 stay under. */
const BINS_WITHIN = 10;
const BINS_BEYOND = 30;
const MOST_SHOWN = 0.99;

export interface ContactAnswer {
  readonly level: number;
  /** Flights with a result in which a foot touched: the denominator of everything here. */
  readonly touched: number;
  /** Flights with a result that touched the ground with no foot, or not at all, or broke a limit at the touch. */
  readonly unpressed: number;
  /** N, nominal; null: any. */
  readonly strength: number | null;
  /** Flights in which all feet came off the ground again, and their share with Clopper and Pearson's interval. */
  readonly rebounded: number;
  readonly shareRebounded: number | null;
  readonly shareReboundedInterval: Interval | null;
  readonly measures: Readonly<Record<ContactMeasure, MeasuredContact>>;
}

export interface MeasuredContact {
  /** SI; the nominal strength under the forces, else null. */
  readonly mark: number | null;
  /** Contacts at or under the mark; with Clopper and Pearson's interval; null without a mark or a contact. */
  readonly shareWithin: number | null;
  readonly shareWithinInterval: Interval | null;
  readonly quantiles: readonly { readonly share: number; readonly value: number; readonly interval: Interval | null }[];
  readonly histogram: Histogram;
}

/**
 * @param flights with the columns of CONTACT_MEASURES and rebounds   @param level in (0, 1)
 * @returns null where touchdown is judged by rules
 */
export function contactAnswer(flights: FlightColumns, study: Study, level: number): ContactAnswer | null {
  const legs = nominalLegs(study);
  if (legs === null) return null;
  checkLevel(level);
  const force = column(flights, 'peakFootForce');
  const rebounds = column(flights, 'rebounds');
  const rows: number[] = [];
  let unpressed = 0;
  let rebounded = 0;
  for (let i = 0; i < force.length; i++) {
    if (!hasResult(flights, i)) continue;
    if (Number.isNaN(force[i])) unpressed++;
    else {
      rows.push(i);
      if (rebounds[i] > 0) rebounded++;
    }
  }
  const strength = Number.isFinite(legs.strength) ? legs.strength : null;
  const measure = (key: ContactMeasure): MeasuredContact => {
    const values = column(flights, key);
    return measured(
      rows.map((i) => values[i]),
      key === 'peakFootForce' ? strength : null,
      level,
    );
  };
  const touched = rows.length;
  return {
    level,
    touched,
    unpressed,
    strength,
    rebounded,
    shareRebounded: touched > 0 ? rebounded / touched : null,
    shareReboundedInterval: touched > 0 ? clopperPearson(rebounded, touched, level) : null,
    measures: { peakFootForce: measure('peakFootForce'), greatestLean: measure('greatestLean'), slidPath: measure('slidPath') },
  };
}

function measured(values: readonly number[], mark: number | null, level: number): MeasuredContact {
  const sample = sorted(values);
  const n = sample.length;
  const within = mark === null ? 0 : sample.reduce((count, value) => (value <= mark ? count + 1 : count), 0);
  const known = n > 0 && mark !== null;
  const most = n > 0 ? quantile(sample, MOST_SHOWN) : 0;
  const edges =
    mark === null ? edgesOnLimit(most > 0 ? most : 1, BINS_WITHIN + BINS_BEYOND, 0) : edgesOnLimit(mark, BINS_WITHIN, BINS_BEYOND);
  return {
    mark,
    shareWithin: known ? within / n : null,
    shareWithinInterval: known ? clopperPearson(within, n, level) : null,
    quantiles:
      n > 0 ? SHARES.map((share) => ({ share, value: quantile(sample, share), interval: quantileInterval(sample, share, level) })) : [],
    histogram: histogram(sample, edges),
  };
}
