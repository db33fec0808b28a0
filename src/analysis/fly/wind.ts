/** The mean wind over flights flown: how strong, and whether its directions agree enough to speak of one. */
import { inputIndex } from '../../inputs/catalogue.ts';
import { nominalInputs } from '../../study/nominal.ts';
import type { Study } from '../../study/study.ts';
import type { FlightColumns } from '../flights/flightColumns.ts';

/** Length of the mean wind vector, over the mean speed, from which on one direction is spoken of. Our choice. */
const AGREES = 0.5;

export interface MeanWind {
  /** m/s, mean over all flights of the mean wind at 10 m; null without flights. */
  readonly speed: number | null;
  /** The direction it blows toward, as a unit vector; null where directions agree too little, or there is no wind. */
  readonly toward: null | { readonly east: number; readonly north: number };
}

/** @param flights with the columns of the wind inputs that vary */
export function meanWind(study: Study, flights: FlightColumns): MeanWind {
  const n = flights.outcome.length;
  if (n === 0) return { speed: null, toward: null };
  const nominal = nominalInputs(study);
  const values = (key: 'wind.speed' | 'wind.direction'): Float64Array =>
    flights.columns[key] ?? new Float64Array(n).fill(nominal[inputIndex(key)]);
  const speeds = values('wind.speed');
  const from = values('wind.direction');
  const mean = (f: (i: number) => number): number => speeds.reduce((sum, _, i) => sum + f(i), 0) / n;
  const speed = mean((i) => speeds[i]);
  const east = mean((i) => -speeds[i] * Math.sin(from[i]));
  const north = mean((i) => -speeds[i] * Math.cos(from[i]));
  const resultant = Math.hypot(east, north);
  const agrees = speed > 0 && resultant > AGREES * speed;
  return { speed, toward: agrees ? { east: east / resultant, north: north / resultant } : null };
}
