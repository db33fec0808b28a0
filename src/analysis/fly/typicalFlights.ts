/** A few flights worth looking at, chosen by plain rules from those flown, and flown again. */
import type { Outcome } from '../../flight/outputs.ts';
import { Places } from '../../statistics/samples/places.ts';
import type { Study } from '../../study/study.ts';
import { type HeldLimits, heldLimits } from '../../study/touchdownLimits.ts';
import { column, type FlightColumns, outcomeIndex, rowsWhere, valuesAt } from '../flights/flightColumns.ts';
import type { Causes } from './causes.ts';
import { type TracedFlight, traceFlight } from './traceFlight.ts';

/** Causes of failure of which a flight is shown. */
const MOST_CAUSES = 4;

export interface TypicalFlight {
  readonly number: number;
  readonly outcome: Outcome;
  /** Why this one: completes "Flight 17, ...". */
  readonly why: string;
  /** null when this program flies it to another outcome than the file says: an older one flew it. */
  readonly traced: TracedFlight | null;
}

/** Picks flights and flies them again. @param flights with columns sink, slide and tilt */
export function typicalFlights(study: Study, rule: string, flights: FlightColumns, causes: Causes): TypicalFlight[] {
  return choose(flights, causes, heldLimits(study)).map(({ row, outcome, why }) => {
    const number = flights.number[row];
    const traced = number > study.flights ? null : traceFlight(study, number, rule);
    return { number, outcome, why, traced: traced?.outputs.outcome === outcome ? traced : null };
  });
}

interface Choice {
  readonly row: number;
  readonly outcome: Outcome;
  readonly why: string;
}

/** The rows chosen, each once. */
export function choose(flights: FlightColumns, causes: Causes, limits: HeldLimits): Choice[] {
  const sink = column(flights, 'sink');
  const slide = column(flights, 'slide');
  const tilt = column(flights, 'tilt');
  const rows = (outcome: Outcome): Uint32Array => {
    const index = outcomeIndex(outcome);
    return rowsWhere(flights.outcome.length, (i) => flights.outcome[i] === index);
  };
  const chosen: Choice[] = [];
  const add = (row: number | undefined, outcome: Outcome, why: string): void => {
    if (row !== undefined && !chosen.some((c) => c.row === row)) chosen.push({ row, outcome, why });
  };
  const landed = rows('landed');
  const worst = (i: number): number => Math.max(sink[i] / limits.sink, slide[i] / limits.slide, tilt[i] / limits.tilt);
  add(
    landed.reduce<number | undefined>((best, i) => (best === undefined || worst(i) < worst(best) ? i : best), undefined),
    'landed',
    limits.slide === Number.POSITIVE_INFINITY && limits.tilt === Number.POSITIVE_INFINITY
      ? 'the softest landing: farthest within the sink that the legs stand'
      : 'the cleanest landing: farthest within all three touchdown limits',
  );
  add(middle(landed, sink), 'landed', 'the landing of median sink speed');
  for (const { outcome } of causes.ranked.slice(0, MOST_CAUSES)) {
    add(middle(rows(outcome), sink), outcome, `of median sink speed among those “${outcome}”`);
  }
  add(rows('no result')[0], 'no result', 'the first without a result');
  return chosen;
}

/** The row of the lower median value; the first row when none has a value. */
function middle(rows: Uint32Array, values: Float64Array): number | undefined {
  const valued = rows.filter((i) => Number.isFinite(values[i]));
  if (valued.length === 0) return rows[0];
  const place = (valued.length - 1) >> 1;
  const { value, start } = new Places(valuesAt(valued, values)).tieAt(place);
  // Of equal values the one that comes as many rows later as the place lies within them.
  return valued.filter((i) => values[i] === value)[place - start];
}
