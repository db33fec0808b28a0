/**
 * A kernel as whoever flies with it sees it, whichever compiler made it: write the parameters, fly, read the record.
 */
import type { FlightParameters } from '../parameters.ts';
import type { FlightRecord } from '../record.ts';

export interface Kernel {
  /** Of the next flight; what is not written stays as it was. */
  readonly parameters: FlightParameters;
  /** Of the last flight. */
  readonly record: FlightRecord;
  /** One flight, to its end. @throws Error when the kernel cannot go on: a fault of ours */
  fly(): void;
  /** Whoever wrote what its flights share last; another writes it anew before it flies. */
  user: object | null;
}
