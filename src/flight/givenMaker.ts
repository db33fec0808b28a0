/**
 * Flies input vectors that somebody else made, each with a noise key of its own and under one of a few settings of the
 * rule. Draws no input; knows no pool and no file.
 */
import { CATALOGUE } from '../inputs/catalogue.ts';
import type { Study } from '../study/study.ts';
import { type FlightKit, makeKit, ROW_LENGTH, type Variation } from './flightMaker.ts';
import type { Kernel } from './kernel/kernel.ts';

/** Plain data; sent to workers. The arrays lie in shared memory, and are not changed while they are flown. */
export interface GivenVariation {
  /** Each flown equally often, one after the other: the first flights are the first setting's. */
  readonly settings: readonly Pick<Variation, 'rule' | 'constants'>[];
  /** Flights x inputs in catalogue order, SI, within their bounds. */
  readonly inputs: Float64Array;
  /** One number a flight: with `noise` the key of its in-flight noise. */
  readonly luck: Float64Array;
  readonly noise: string;
  /** Numbers of a flight's row that are asked for, in this order: a row holds no others. */
  readonly columns: readonly number[];
}

export interface GivenKit {
  /** Flies number `flight` (1, 2, ...) into the columns asked for. @throws Error that names it when the kernel cannot go on (our fault) */
  fly(flight: number, row: Float64Array): void;
}

/** @param kernel flown with, as in flightMaker.ts */
export function makeGivenKit(study: Study, { settings, inputs, luck, noise, columns }: GivenVariation, kernel: Kernel): GivenKit {
  const plan = { kind: 'study', flights: study.flights } as const;
  const kits: FlightKit[] = settings.map(({ rule, constants }) =>
    makeKit(study, constants === undefined ? { rule, plan } : { rule, constants, plan }, kernel),
  );
  const whole = new Float64Array(ROW_LENGTH);
  const each = luck.length / settings.length;
  return {
    fly: (flight, row) => {
      const place = flight - 1;
      const kit = kits[Math.floor(place / each)];
      try {
        kit.flyInputs(inputs.subarray(place * CATALOGUE.length, flight * CATALOGUE.length), `${luck[place]}/${noise}`, whole);
        for (let c = 0; c < columns.length; c++) row[c] = whole[columns[c]];
      } catch (cause) {
        const why = cause instanceof Error ? cause.message : String(cause);
        throw new Error(`the kernel stopped in given flight ${flight} of ${noise}: ${why}`, { cause });
      }
    },
  };
}
