/**
 * What the kernel offers, the same in both builds: asc makes a WebAssembly module of this file and all that it reaches,
 * tsc a module like any other. Objects are made once; a flight reads `parameters` and fills `record`.
 */
import { FlightLoop } from '../loop.ts';
import { FlightParameters } from '../parameters.ts';
import { FlightRecord, writeRecord } from '../record.ts';

const PARAMETERS = new FlightParameters();
const RECORD = new FlightRecord();
const LOOP = new FlightLoop();

export function parameters(): FlightParameters {
  return PARAMETERS;
}

export function record(): FlightRecord {
  return RECORD;
}

/** One flight with the parameters as they stand, into the record. */
export function fly(): void {
  LOOP.fly(PARAMETERS, null);
  writeRecord(RECORD, LOOP, PARAMETERS);
}

/** Room for so many numbers, for an array of the parameters. */
export function newNumbers(length: i32): Float64Array {
  return new Float64Array(length);
}
