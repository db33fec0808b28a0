/**
 * Seeded random streams, keyed by name. The only place that knows which generator is used, but for its recurrence
 * (alea.ts).
 */
import alea from 'seedrandom/lib/alea.js';
import { Alea, AleaSeed } from './alea.ts';

/** Uniform on (0, 1), never 0 or 1. */
export type Stream = () => number;

/**
 * A stream of its own for a key such as `seed/inputs/17`: same key, same numbers, anywhere.
 * Alea: of the generators that make good neighbouring streams from neighbouring keys it is among the fastest.
 * 53 bits a draw, for inputs; see {@link noiseStream} for what is drawn thousands of times a flight.
 */
export function stream(key: string): Stream {
  const generator = alea(key);
  return () => {
    const u = generator.double();
    return u > 0 ? u : 2 ** -54;
  };
}

/** The same with 32 bits a draw, centred in their cells: enough for noise, and half the time. */
export function noiseStream(key: string): Stream {
  const alea = new Alea();
  alea.start(noiseSeed(key));
  return () => alea.next();
}

/** Where the noise stream of a key starts. @param seed written and given back */
export function noiseSeed(key: string, seed: AleaSeed = new AleaSeed()): AleaSeed {
  const { s0, s1, s2 } = alea(key, { state: true }).state();
  seed.s0 = s0;
  seed.s1 = s1;
  seed.s2 = s2;
  return seed;
}
