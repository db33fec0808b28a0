/**
 * What the reader has chosen: kinds of ending, a band drawn in one picture, one flight. Knows no element of the page.
 */
import type { Flights } from './flights.ts';

/** A band in one picture, in the picture's own coordinates. */
export interface Band {
  readonly figure: string;
  readonly x: readonly [number, number];
  readonly y: readonly [number, number] | null;
}

/** Where a flight stands in a picture; y is null in one that is chosen along x alone. */
export interface Places {
  readonly x: (row: number) => number;
  readonly y: ((row: number) => number) | null;
}

export interface Choice {
  /** 1 for each flight of the page that is chosen. */
  readonly chosen: Uint8Array;
  band: Band | null;
  picked: number | null;
  /** Whether nothing is left out. */
  all: boolean;
}

export function everyFlight(count: number): Choice {
  return { chosen: new Uint8Array(count).fill(1), band: null, picked: null, all: true };
}

/**
 * Marks the flights whose ending is shown and that lie in the band.
 * @param places in the picture of the band; null: no band
 */
export function markChosen(choice: Choice, flights: Flights, endings: ReadonlySet<number>, places: Places | null): void {
  const { band, chosen } = choice;
  const inside = (v: number, [low, high]: readonly [number, number]): boolean => v >= low && v <= high;
  for (let i = 0; i < flights.count; i++) {
    let keep = endings.has(flights.outcome[i]);
    if (keep && band !== null && places !== null) {
      keep = inside(places.x(i), band.x) && (places.y === null || band.y === null || inside(places.y(i), band.y));
    }
    chosen[i] = keep ? 1 : 0;
  }
}
