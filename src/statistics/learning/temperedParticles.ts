/**
 * Particles brought from the prior to the posterior by tempered sequential Monte Carlo, over standard normal scores:
 * the likelihood's exponent grows from 0 to 1 as fast as an effective sample size allows, and at each stop particles
 * are resampled and moved. Flies nothing: whoever asks works the likelihood out, all particles at a time.
 *
 * The likelihood is a product of factors (attempts), and each block of scores touches some of them. Blocks of one turn
 * share no factor, so that all of them are proposed at once and each is accepted or not by itself. Beside its scores a
 * particle has a number a factor, its luck, which stands for noise nobody learns anything of: it is kept while the
 * scores move, or every move would be drowned in it, and drawn anew now and then.
 *
 * Source: P. Del Moral, A. Doucet and A. Jasra, J. Royal Statistical Society B 68 (2006) 411-436, section 3.3.2.3.
 */
import { normalQuantile } from '../../maths/normal.ts';
import { type Stream, stream } from '../../maths/streams.ts';
import { CrankNicolson } from './crankNicolson.ts';
import { Slopes } from './slopes.ts';
import { effectiveSize, logMeanWeight, nextExponent, systematicResample } from './weights.ts';

export interface Block {
  /** Places of its scores in a particle. */
  readonly places: Int32Array;
  /** Factors that depend on them. */
  readonly factors: readonly number[];
  /** The luck of these factors is drawn anew now and then with the move. */
  readonly renewsLuck: boolean;
}

/** Blocks that are moved at once; none shares a factor with another. */
export type Turn = readonly Block[];

export interface TemperedProblem {
  /** Scores of a particle. */
  readonly dimensions: number;
  readonly factors: number;
  /** Observations of each factor that have a residual, at most. */
  readonly residuals: number;
  /** Taken one after the other. */
  readonly turns: readonly Turn[];
  /** @param scores particles x dimensions   @param luck particles x factors, whole numbers below 2^32 */
  likelihood(scores: Float64Array, luck: Float64Array): Promise<Likelihood>;
}

export interface Likelihood {
  /** Logarithms, finite: particles x factors. */
  readonly logs: Float64Array;
  /**
   * Observed less simulated in standard errors, particles x factors x residuals; NaN where there is none. They steer
   * the moves, and change no answer.
   */
  readonly residuals: Float64Array;
}

export interface TemperedOptions {
  readonly particles: number;
  /** Key of the sampler's own random streams. */
  readonly seed: string;
  /** Of the particles, that each step of the exponent must leave as effective; 0.5 when left out. */
  readonly share?: number;
  /** Turns taken at each stop, at least 1. */
  readonly turnsEach: number;
  /** Turns taken at the last stop at least; more while calls are fewer than aimed at. */
  readonly turnsAtEnd: number;
  readonly callsAimed?: number;
  /** Calls of the likelihood at most; where they run out the exponent reached stays below 1. */
  readonly mostCalls: number;
}

export interface ParticleSet {
  /** particles x dimensions */
  readonly scores: Float64Array;
  /** particles x factors */
  readonly luck: Float64Array;
  /** particles x factors */
  readonly logs: Float64Array;
}

export interface Tempered extends ParticleSet {
  readonly particles: number;
  /** As drawn from the prior. */
  readonly prior: ParticleSet;
  /** Exponents of the stops after 0; the last is 1 unless the calls ran out. */
  readonly exponents: readonly number[];
  readonly logEvidence: number;
  /** Share of moves accepted at each turn. */
  readonly acceptance: readonly number[];
  /** Calls of the likelihood. */
  readonly calls: number;
  /** Particles that differ. */
  readonly distinct: number;
}

/** Share of moves accepted that a step is steered toward. */
const AIM = 0.3;
const LEAST_STEP = 0.02;
const FIRST_STEP = 1;
/** The other moves shorten their step by a factor from this to 1: no scale of the target is left out. */
const SHORTEST = 0.2;
/** Share of moves of full length. */
const FULL = 0.6;
/** Share of moves about the prior whatever the slopes, so that poor ones hold nothing fast. */
const PLAIN = 0.1;
/** Share of moves that draw luck anew. */
const RENEWAL = 0.25;
const LUCKS = 2 ** 32;

/** The whole way. @throws whatever `logLikelihood` throws */
export async function temper(problem: TemperedProblem, options: TemperedOptions): Promise<Tempered> {
  return new Tempering(problem, options).run();
}

/** How each particle's block was moved. */
interface Moves {
  readonly kernels: CrankNicolson[];
  readonly steps: Float64Array;
}

class Tempering {
  readonly #problem: TemperedProblem;
  readonly #options: TemperedOptions;
  readonly #uniform: Stream;
  #scores: Float64Array;
  #luck: Float64Array;
  #logs: Float64Array = new Float64Array(0);
  #residuals: Float64Array = new Float64Array(0);
  /** Of each factor, each observation's. */
  readonly #slopes: readonly (readonly Slopes[])[];
  #calls = 0;
  #nextTurn = 0;
  readonly #steps: number[];
  readonly #acceptance: number[] = [];

  constructor(problem: TemperedProblem, options: TemperedOptions) {
    this.#problem = problem;
    this.#options = options;
    this.#uniform = stream(`${options.seed}/tempering`);
    const n = options.particles;
    this.#scores = Float64Array.from({ length: n * problem.dimensions }, () => normalQuantile(this.#uniform()));
    this.#luck = Float64Array.from({ length: n * problem.factors }, () => this.#newLuck());
    this.#steps = problem.turns.map(() => FIRST_STEP);
    this.#slopes = Array.from({ length: problem.factors }, (_, factor) => {
      const places = problem.turns.flatMap((turn) => turn.filter((b) => b.factors.includes(factor)).flatMap((b) => Array.from(b.places)));
      const own = Int32Array.from([...new Set(places)].sort((a, b) => a - b));
      return Array.from({ length: problem.residuals }, () => new Slopes(own));
    });
  }

  async run(): Promise<Tempered> {
    const { particles, share = 0.5, turnsEach, turnsAtEnd, callsAimed = 0, mostCalls } = this.#options;
    ({ logs: this.#logs, residuals: this.#residuals } = await this.#evaluate(this.#scores, this.#luck));
    const prior = { scores: this.#scores.slice(), luck: this.#luck.slice(), logs: this.#logs.slice() };
    const exponents: number[] = [];
    let exponent = 0;
    let logEvidence = 0;
    while (exponent < 1 && this.#calls < mostCalls) {
      const total = this.#totals();
      const next = nextExponent(total, exponent, share);
      const logWeights = total.map((log) => (next - exponent) * log);
      logEvidence += logMeanWeight(logWeights);
      exponent = next;
      exponents.push(exponent);
      if (effectiveSize(logWeights) < particles) this.#resample(logWeights);
      const turns = exponent < 1 ? turnsEach : Math.max(turnsAtEnd, callsAimed - this.#calls);
      for (let turn = 0; turn < turns && this.#calls < mostCalls; turn++) await this.#move(exponent);
    }
    return {
      particles,
      scores: this.#scores,
      luck: this.#luck,
      logs: this.#logs,
      prior,
      exponents,
      logEvidence,
      acceptance: this.#acceptance,
      calls: this.#calls,
      distinct: this.#distinct(),
    };
  }

  async #evaluate(scores: Float64Array, luck: Float64Array): Promise<Likelihood> {
    this.#calls++;
    const { dimensions, factors, residuals } = this.#problem;
    const found = await this.#problem.likelihood(scores, luck);
    for (const [f, own] of this.#slopes.entries()) {
      for (const [m, slopes] of own.entries()) slopes.add(scores, dimensions, found.residuals, f * residuals + m, factors * residuals);
    }
    return found;
  }

  #totals(): Float64Array {
    const { factors } = this.#problem;
    return Float64Array.from({ length: this.#options.particles }, (_, i) => {
      let sum = 0;
      for (let f = 0; f < factors; f++) sum += this.#logs[i * factors + f];
      return sum;
    });
  }

  #resample(logWeights: Float64Array): void {
    const { dimensions, factors } = this.#problem;
    const kept = systematicResample(logWeights, this.#uniform);
    const taken = (rows: Float64Array, width: number): Float64Array<ArrayBuffer> => {
      const out = new Float64Array(rows.length);
      for (const [i, from] of kept.entries()) out.set(rows.subarray(from * width, (from + 1) * width), i * width);
      return out;
    };
    this.#scores = taken(this.#scores, dimensions);
    this.#luck = taken(this.#luck, factors);
    this.#logs = taken(this.#logs, factors);
    this.#residuals = taken(this.#residuals, factors * this.#problem.residuals);
  }

  /** One turn: every block proposed at once, each accepted or not by itself. */
  async #move(exponent: number): Promise<void> {
    const { factors, residuals, turns } = this.#problem;
    const { particles } = this.#options;
    const number = this.#nextTurn++ % turns.length;
    const turn = turns[number];
    const scores = this.#scores.slice();
    const luck = this.#luck.slice();
    const moves = turn.map((block) => this.#propose(block, exponent, this.#steps[number], scores, luck));
    const found = await this.#evaluate(scores, luck);
    let accepted = 0;
    turn.forEach((block, b) => {
      for (let i = 0; i < particles; i++) {
        if (!(Math.log(this.#uniform()) < this.#logRatio(block, moves[b], i, exponent, scores, found))) continue;
        accepted++;
        this.#put(block.places, i, scores);
        for (const f of block.factors) {
          const place = i * factors + f;
          this.#luck[place] = luck[place];
          this.#logs[place] = found.logs[place];
          for (let m = 0; m < residuals; m++) this.#residuals[place * residuals + m] = found.residuals[place * residuals + m];
        }
      }
    });
    const rate = accepted / (particles * turn.length);
    this.#acceptance.push(rate);
    const factor = Math.min(1.6, Math.max(0.5, Math.exp(2 * (rate - AIM))));
    this.#steps[number] = Math.min(1, Math.max(LEAST_STEP, this.#steps[number] * factor));
  }

  /** Writes a proposal for one block of every particle. */
  #propose(block: Block, exponent: number, step: number, scores: Float64Array, luck: Float64Array): Moves {
    const { factors } = this.#problem;
    const { particles } = this.#options;
    const { places, factors: own, renewsLuck } = block;
    const size = places.length;
    const fitted = new CrankNicolson(size, exponent, this.#slopesOf(block));
    const plain = new CrankNicolson(size, exponent, []);
    const moves: Moves = { kernels: [], steps: new Float64Array(particles) };
    const noise = new Float64Array(size);
    const moved = new Float64Array(size);
    for (let i = 0; i < particles; i++) {
      const kernel = this.#uniform() < PLAIN ? plain : fitted;
      const length = this.#uniform() < FULL ? step : step * SHORTEST ** this.#uniform();
      for (let k = 0; k < size; k++) noise[k] = normalQuantile(this.#uniform());
      kernel.propose(this.#block(this.#scores, places, i), this.#residualsOf(this.#residuals, own, i), length, noise, moved);
      for (let k = 0; k < size; k++) scores[i * this.#problem.dimensions + places[k]] = moved[k];
      moves.kernels.push(kernel);
      moves.steps[i] = length;
      if (!renewsLuck || this.#uniform() >= RENEWAL) continue;
      for (const f of own) luck[i * factors + f] = this.#newLuck();
    }
    return moves;
  }

  /** log of the Metropolis-Hastings ratio of one particle's move. */
  #logRatio({ places, factors: own }: Block, moves: Moves, i: number, exponent: number, scores: Float64Array, found: Likelihood): number {
    const { factors } = this.#problem;
    const from = this.#block(this.#scores, places, i);
    const to = this.#block(scores, places, i);
    const kernel = moves.kernels[i];
    const step = moves.steps[i];
    let ratio = 0;
    for (const f of own) ratio += exponent * (found.logs[i * factors + f] - this.#logs[i * factors + f]);
    for (let k = 0; k < places.length; k++) ratio += 0.5 * (from[k] * from[k] - to[k] * to[k]);
    ratio += kernel.logDensity(to, this.#residualsOf(found.residuals, own, i), step, from);
    return ratio - kernel.logDensity(from, this.#residualsOf(this.#residuals, own, i), step, to);
  }

  #block(scores: Float64Array, places: Int32Array, i: number): Float64Array {
    const start = i * this.#problem.dimensions;
    return Float64Array.from(places, (place) => scores[start + place]);
  }

  #put(places: Int32Array, i: number, scores: Float64Array): void {
    const start = i * this.#problem.dimensions;
    for (const place of places) this.#scores[start + place] = scores[start + place];
  }

  /** Residuals of a block's factors at one particle, one factor after the other. */
  #residualsOf(all: Float64Array, own: readonly number[], i: number): Float64Array {
    const { factors, residuals } = this.#problem;
    const out = new Float64Array(own.length * residuals);
    own.forEach((f, n) => {
      const start = (i * factors + f) * residuals;
      out.set(all.subarray(start, start + residuals), n * residuals);
    });
    return out;
  }

  /** The same observations' slopes on the block's scores. */
  #slopesOf({ places, factors: own }: Block): Float64Array[] {
    return own.flatMap((f) =>
      this.#slopes[f].map((slopes) => {
        const all = slopes.slopes();
        return Float64Array.from(places, (place) => all[slopes.places.indexOf(place)]);
      }),
    );
  }

  #newLuck(): number {
    return Math.floor(this.#uniform() * LUCKS);
  }

  /** Equal particles were made by resampling, and agree in all. */
  #distinct(): number {
    const { dimensions } = this.#problem;
    const seen = new Set<string>();
    for (let i = 0; i < this.#options.particles; i++) seen.add(this.#scores.subarray(i * dimensions, (i + 1) * dimensions).join(' '));
    return seen.size;
  }
}
