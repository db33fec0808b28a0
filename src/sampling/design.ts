/**
 * Sampling designs: the uniforms of one flight, for the inputs that vary. Knows columns and keys of the catalogue, no
 * distributions.
 *
 * Every design is keyed by names so that one more varying input disturbs the others as little as it can:
 * - independent: one stream a flight, one draw for every row of the catalogue whether it varies or not. No other input
 * changes.
 * - Latin hypercube: the order of an input's strata is keyed by the input's name, the place inside a stratum is the
 * independent
 *   design's draw. No other input changes.
 * - Sobol': inputs take the dimensions in catalogue order, the ones that vary only, since low dimensions are the more
 * even ones; scrambling
 *   is keyed by name. Inputs before the new one do not change, those after it move one dimension on.
 */

import { CATALOGUE } from '../inputs/catalogue.ts';
import { stream } from '../maths/streams.ts';
import { permutation } from './permutation.ts';
import { SOBOL_POINTS, type SobolDimension, scrambledSobolDimension, sobolPoint } from './sobol.ts';

export interface Design {
  /** Flights it has; Infinity when it has no end. */
  readonly flights: number;
  /**
   * Writes the uniforms of one flight, each in (0, 1).
   * @param flight 1-based
   * @param u one place per varying column, in their order.
   */
  readonly fill: (flight: number, u: Float64Array) => void;
}

/** Largest double below 1. */
const BELOW_ONE = 1 - 2 ** -53;

/** @param columns of the catalogue, ascending */
export function independentDesign(seed: string, columns: readonly number[]): Design {
  return { flights: Number.POSITIVE_INFINITY, fill: flightStreams(seed, columns) };
}

/** @param flights exactly one flight falls into each of so many equal shares of every input; whole, 1..2^31 */
export function latinHypercubeDesign(seed: string, columns: readonly number[], flights: number): Design {
  const inside = flightStreams(seed, columns);
  const strata = columns.map((column) => permutation(flights, stream(`${seed}/latinHypercube/${CATALOGUE[column].key}`)));
  return {
    flights,
    fill: (flight, u) => {
      inside(flight, u);
      for (let k = 0; k < strata.length; k++) u[k] = Math.min((strata[k](flight - 1) + u[k]) / flights, BELOW_ONE);
    },
  };
}

/** Extensible: a flight is the same however many there are. Most even at powers of two. */
export function sobolDesign(seed: string, columns: readonly number[]): Design {
  return sobolPoints(
    columns.map((column, k) => scrambledSobolDimension(k, stream(`${seed}/sobol/${CATALOGUE[column].key}`))),
    SOBOL_POINTS,
  );
}

/**
 * One block of a variance-based sensitivity study (A. Saltelli et al., Comput. Phys. Commun. 181 (2010) 259-270):
 * scrambled Sobol' points in twice as many dimensions as inputs, matrix A the first half, B the second. Row n of every
 * block of one seed is made of the same two points.
 * @param fromB per column: true takes the input from B
 */
export function pickFreezeDesign(seed: string, columns: readonly number[], size: number, fromB: readonly boolean[]): Design {
  return sobolPoints(
    columns.map((column, k) => {
      const { key } = CATALOGUE[column];
      return fromB[k]
        ? scrambledSobolDimension(columns.length + k, stream(`${seed}/pickFreeze/B/${key}`))
        : scrambledSobolDimension(k, stream(`${seed}/pickFreeze/A/${key}`));
    }),
    size,
  );
}

function sobolPoints(dimensions: readonly SobolDimension[], flights: number): Design {
  return {
    flights,
    fill: (flight, u) => {
      for (let k = 0; k < dimensions.length; k++) u[k] = sobolPoint(dimensions[k], flight - 1);
    },
  };
}

function flightStreams(seed: string, columns: readonly number[]): (flight: number, u: Float64Array) => void {
  return (flight, u) => {
    // The number first: what ends a key mixes least, and neighbouring flights' first draws would go a little together.
    const next = stream(`${flight}/inputs/${seed}`);
    let column = 0;
    for (let k = 0; k < columns.length; k++) {
      for (; column < columns[k]; column++) next();
      u[k] = next();
      column++;
    }
  };
}
