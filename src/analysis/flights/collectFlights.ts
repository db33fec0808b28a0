/** Flights flown and kept as columns in memory: what a question asks of a stretch. Asks none itself. */
import type { LostFlight } from '../../fleet/fleet.ts';
import type { Session } from '../../fleet/session.ts';
import type { Work } from '../../fleet/work.ts';
import { Collector } from './collector.ts';
import type { FlightColumns, FlightKey } from './flightColumns.ts';

export interface CollectedFlights {
  readonly flights: FlightColumns;
  /** Those whose worker failed; they are among the flights, without a result. */
  readonly lost: readonly LostFlight[];
}

/**
 * Flies `count` flights from number `first`.
 * @param keys inputs and outputs to keep beside the outcome   @param decides what is found decides what is flown next
 * @returns null when interrupted before all were flown
 */
export async function collectFlights(
  session: Session,
  work: Work,
  first: number,
  count: number,
  keys: readonly FlightKey[],
  decides = false,
): Promise<CollectedFlights | null> {
  const collector = new Collector(keys, { expected: count });
  const { stoppedBy, lost } = await session.fly(work, { first, count, decides, onBatch: (batch) => collector.add(batch) });
  return stoppedBy === 'interrupted' ? null : { flights: collector.flights(), lost };
}
