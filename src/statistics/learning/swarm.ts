/** The particles as they stand: scores, luck, and what these came to. Moves and weighs none. */
import { normalQuantile } from '../../maths/normal.ts';
import type { Stream } from '../../maths/streams.ts';
import type { Likelihood, ParticleSet, TemperedProblem } from './particleProblem.ts';

const LUCKS = 2 ** 32;

/** Noise nobody learns anything of. */
export function newLuck(uniform: Stream): number {
  return Math.floor(uniform() * LUCKS);
}

export interface Kept extends ParticleSet {
  readonly residuals: Float64Array;
  readonly families: Int32Array;
}

export class Swarm {
  particles: number;
  /** particles x dimensions */
  scores: Float64Array;
  /** particles x factors */
  luck: Float64Array;
  /** particles x factors */
  logs: Float64Array;
  /** particles x factors x residuals */
  residuals: Float64Array;
  /** By particle: the one that it descends from, as last marked by {@link mark}. */
  families: Int32Array;
  readonly #dimensions: number;
  readonly #factors: number;
  readonly #observations: number;

  /** Drawn from the prior; nothing is worked out yet. */
  constructor({ dimensions, factors, residuals }: TemperedProblem, particles: number, uniform: Stream) {
    this.particles = particles;
    this.#dimensions = dimensions;
    this.#factors = factors;
    this.#observations = residuals;
    this.scores = Float64Array.from({ length: particles * dimensions }, () => normalQuantile(uniform()));
    this.luck = Float64Array.from({ length: particles * factors }, () => newLuck(uniform));
    this.logs = new Float64Array(particles * factors);
    this.residuals = new Float64Array(particles * factors * residuals);
    this.families = Int32Array.from({ length: particles }, (_, i) => i);
  }

  /** As it stands, for keeping. */
  copy(): Kept {
    const { scores, luck, logs, residuals, families } = this;
    return { scores: scores.slice(), luck: luck.slice(), logs: logs.slice(), residuals: residuals.slice(), families: families.slice() };
  }

  /** Families begin anew. @param families by particle */
  mark(families: Int32Array): void {
    this.families = families;
  }

  /** Takes what was found of one factor of one particle. */
  take(i: number, factor: number, luck: Float64Array, found: Likelihood): void {
    const place = i * this.#factors + factor;
    const m = this.#observations;
    this.luck[place] = luck[place];
    this.logs[place] = found.logs[place];
    for (let k = place * m; k < (place + 1) * m; k++) this.residuals[k] = found.residuals[k];
  }

  /** @param kept by particle: which of the old ones it becomes; there may be fewer */
  become(kept: Int32Array): void {
    const taken = (rows: Float64Array, width: number): Float64Array => {
      const out = new Float64Array(kept.length * width);
      for (const [i, from] of kept.entries()) out.set(rows.subarray(from * width, (from + 1) * width), i * width);
      return out;
    };
    this.scores = taken(this.scores, this.#dimensions);
    this.luck = taken(this.luck, this.#factors);
    this.logs = taken(this.logs, this.#factors);
    this.residuals = taken(this.residuals, this.#factors * this.#observations);
    this.families = kept.map((from) => this.families[from]);
    this.particles = kept.length;
  }

  /** Becomes all the particles of these, one after the other. */
  gather(each: readonly Kept[]): void {
    this.scores = joined(each.map(({ scores }) => scores));
    this.luck = joined(each.map(({ luck }) => luck));
    this.logs = joined(each.map(({ logs }) => logs));
    this.residuals = joined(each.map(({ residuals }) => residuals));
    this.families = Int32Array.from(each.flatMap(({ families }) => Array.from(families)));
    this.particles = this.luck.length / this.#factors;
  }

  /** Equal particles were made by resampling, and agree in all. */
  distinct(): number {
    const seen = new Set<string>();
    const size = this.#dimensions;
    for (let i = 0; i < this.particles; i++) seen.add(this.scores.subarray(i * size, (i + 1) * size).join(' '));
    return seen.size;
  }
}

/** One after the other. */
export function joined(parts: readonly Float64Array[]): Float64Array {
  const all = new Float64Array(parts.reduce((sum, part) => sum + part.length, 0));
  let before = 0;
  for (const part of parts) {
    all.set(part, before);
    before += part.length;
  }
  return all;
}
