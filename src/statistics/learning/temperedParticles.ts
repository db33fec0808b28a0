/**
 * Particles brought from the prior to the posterior by tempered sequential Monte Carlo, over standard normal scores:
 * from a linear fit of the likelihood, which can be drawn from, its exponent grows from 0 to 1 as fast as an effective
 * sample size allows, and at each stop particles are resampled and moved. Without residuals to fit it starts from the
 * prior. Flies nothing: whoever asks works the likelihood out, all particles at a time.
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
import { CrankNicolson, type StepRow } from './crankNicolson.ts';
import { type LinearRow, LinearStart } from './linearStart.ts';
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
  /**
   * Sums of scores, by factor, through which alone the likelihood depends on scores: what residuals are fitted on, and
   * what stays as it is when shared scores are drawn anew.
   */
  readonly features: readonly (readonly Feature[])[];
  /** Taken one after the other. */
  readonly turns: readonly Turn[];
  /** @param scores particles x dimensions   @param luck particles x factors, whole numbers below 2^32 */
  likelihood(scores: Float64Array, luck: Float64Array): Promise<Likelihood>;
}

/** `own`: of this factor alone, in no other's features. */
export type Feature = readonly { readonly place: number; readonly weight: number; readonly own: boolean }[];

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
const PLAIN = 0.05;
/** Share of moves that draw luck anew. */
const RENEWAL = 0.1;
/** A block is moved whole, or a random part of it: so many parts, in turns. */
const PARTS = [1, 3];
/** The variance that a fit leaves open counts so much more: the start must be wider than the target, not narrower. */
const WIDER = 1.5;
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

/** What was proposed, and what came of it. */
interface Proposed {
  readonly scores: Float64Array;
  readonly found: Likelihood;
  readonly startLogs: Float64Array;
}

/** A score of several factors, each of whose sums with it has a score of its own to give way. */
interface SharedScore {
  readonly place: number;
  /** The own score in each sum, and how much it gives way for one unit. */
  readonly ties: readonly { readonly own: number; readonly ratio: number }[];
}

function sharedScores({ features }: TemperedProblem): SharedScore[] {
  const ties = new Map<number, { own: number; ratio: number }[]>();
  const stiff = new Set<number>();
  for (const feature of features.flat()) {
    const own = feature.find((part) => part.own);
    for (const { place, weight, own: isOwn } of feature) {
      if (isOwn) continue;
      if (own === undefined) stiff.add(place);
      else ties.set(place, [...(ties.get(place) ?? []), { own: own.place, ratio: weight / own.weight }]);
    }
  }
  return [...ties].filter(([place]) => !stiff.has(place)).map(([place, all]) => ({ place, ties: all }));
}

type OnScores = Pick<LinearRow, 'places' | 'coefficients'>;

/** Slopes on features as slopes on the scores that make them up. */
function onScores(slopes: Float64Array, features: readonly Feature[]): OnScores {
  const found = new Map<number, number>();
  for (const [k, feature] of features.entries()) {
    if (slopes[k] === 0) continue;
    for (const { place, weight } of feature) found.set(place, (found.get(place) ?? 0) + weight * slopes[k]);
  }
  return { places: Int32Array.from(found.keys()), coefficients: Float64Array.from(found.values()) };
}

/** The slopes on a block's scores, in its order. */
function inBlock({ places, coefficients }: OnScores, block: Int32Array): Float64Array {
  return Float64Array.from(block, (place) => {
    const k = places.indexOf(place);
    return k < 0 ? 0 : coefficients[k];
  });
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
  /** By turn and by parts. */
  readonly #steps = new Map<string, number>();
  readonly #shared: readonly SharedScore[];
  #start = new LinearStart([]);
  /** Of the start's likelihood: particles x factors. */
  #startLogs: Float64Array = new Float64Array(0);
  readonly #acceptance: number[] = [];

  constructor(problem: TemperedProblem, options: TemperedOptions) {
    this.#problem = problem;
    this.#options = options;
    this.#uniform = stream(`${options.seed}/tempering`);
    const n = options.particles;
    this.#scores = Float64Array.from({ length: n * problem.dimensions }, () => normalQuantile(this.#uniform()));
    this.#luck = Float64Array.from({ length: n * problem.factors }, () => this.#newLuck());
    this.#shared = sharedScores(problem);
    this.#slopes = problem.features.map((own) => Array.from({ length: problem.residuals }, () => new Slopes(own.length)));
  }

  async run(): Promise<Tempered> {
    const { particles, share = 0.5, turnsEach, turnsAtEnd, callsAimed = 0, mostCalls } = this.#options;
    ({ logs: this.#logs, residuals: this.#residuals } = await this.#evaluate(this.#scores, this.#luck));
    const prior = { scores: this.#scores.slice(), luck: this.#luck.slice(), logs: this.#logs.slice() };
    await this.#begin();
    const exponents: number[] = [];
    let exponent = 0;
    let logEvidence = this.#start.logEvidence;
    while (exponent < 1 && this.#calls < mostCalls) {
      const total = this.#totals();
      const next = nextExponent(total, exponent, share);
      const logWeights = total.map((log) => (next - exponent) * log);
      logEvidence += logMeanWeight(logWeights);
      exponent = next;
      exponents.push(exponent);
      if (effectiveSize(logWeights) < particles) this.#resample(logWeights);
      const turns = exponent < 1 ? turnsEach : Math.max(turnsAtEnd, callsAimed - this.#calls);
      for (let turn = 0; turn < turns && this.#calls < mostCalls; turn++) {
        await this.#move(exponent);
        this.#redrawShared();
      }
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
    const { factors, residuals } = this.#problem;
    const found = await this.#problem.likelihood(scores, luck);
    for (const [f, own] of this.#slopes.entries()) {
      const features = this.#featuresOf(f, scores);
      for (const [m, slopes] of own.entries()) slopes.add(features, found.residuals, f * residuals + m, factors * residuals);
    }
    return found;
  }

  #featuresOf(factor: number, scores: Float64Array): Float64Array {
    const { dimensions, features } = this.#problem;
    const own = features[factor];
    const out = new Float64Array(this.#options.particles * own.length);
    for (let i = 0; i < this.#options.particles; i++) {
      for (let k = 0; k < own.length; k++) {
        let sum = 0;
        for (const { place, weight } of own[k]) sum += weight * scores[i * dimensions + place];
        out[i * own.length + k] = sum;
      }
    }
    return out;
  }

  /** Draws anew under the linear fit of what the prior's particles showed, where there is one. */
  async #begin(): Promise<void> {
    const { features, factors, dimensions } = this.#problem;
    const { particles } = this.#options;
    const rows = this.#slopes.flatMap((own, factor) =>
      own.flatMap((slopes): LinearRow[] => {
        const fit = slopes.fit();
        if (fit === null || fit.slopes.every((slope) => slope === 0)) return [];
        const row = onScores(fit.slopes, features[factor]);
        return [{ factor, ...row, intercept: fit.intercept, variance: 1 + WIDER * fit.variance }];
      }),
    );
    this.#startLogs = new Float64Array(particles * factors);
    if (rows.length === 0) return;
    this.#start = new LinearStart(rows);
    const normal = (): number => normalQuantile(this.#uniform());
    for (let i = 0; i < this.#scores.length; i++) this.#scores[i] = normal();
    for (let i = 0; i < this.#luck.length; i++) this.#luck[i] = this.#newLuck();
    for (let i = 0; i < particles; i++) this.#start.draw(this.#scores, i * dimensions, normal);
    ({ logs: this.#logs, residuals: this.#residuals } = await this.#evaluate(this.#scores, this.#luck));
    this.#startLogs = this.#startLogsOf(this.#scores);
  }

  #startLogsOf(scores: Float64Array): Float64Array {
    const { dimensions, factors } = this.#problem;
    const logs = new Float64Array(this.#options.particles * factors);
    for (let i = 0; i < this.#options.particles; i++)
      this.#start.logs(scores, i * dimensions, logs.subarray(i * factors, (i + 1) * factors));
    return logs;
  }

  /** log likelihood over that of the start. */
  #totals(): Float64Array {
    const { factors } = this.#problem;
    return Float64Array.from({ length: this.#options.particles }, (_, i) => {
      let sum = 0;
      for (let f = 0; f < factors; f++) sum += this.#logs[i * factors + f] - this.#startLogs[i * factors + f];
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
    this.#startLogs = taken(this.#startLogs, factors);
    this.#residuals = taken(this.#residuals, factors * this.#problem.residuals);
  }

  /** One turn: every block proposed at once, each accepted or not by itself. */
  async #move(exponent: number): Promise<void> {
    const { factors, residuals, turns } = this.#problem;
    const { particles } = this.#options;
    const number = this.#nextTurn % turns.length;
    const parts = PARTS[Math.floor(this.#nextTurn++ / turns.length) % PARTS.length];
    const turn = turns[number].map((block) => this.#partOf(block, parts));
    const name = `${number}/${parts}`;
    const step = this.#steps.get(name) ?? FIRST_STEP;
    const scores = this.#scores.slice();
    const luck = this.#luck.slice();
    const moves = turn.map((block) => this.#propose(block, exponent, step, scores, luck));
    const found = await this.#evaluate(scores, luck);
    const proposed = { scores, found, startLogs: this.#startLogsOf(scores) };
    let accepted = 0;
    turn.forEach((block, b) => {
      for (let i = 0; i < particles; i++) {
        if (!(Math.log(this.#uniform()) < this.#logRatio(block, moves[b], i, exponent, proposed))) continue;
        accepted++;
        this.#put(block.places, i, scores);
        for (const f of block.factors) {
          const place = i * factors + f;
          this.#luck[place] = luck[place];
          this.#logs[place] = found.logs[place];
          this.#startLogs[place] = proposed.startLogs[place];
          for (let m = 0; m < residuals; m++) this.#residuals[place * residuals + m] = found.residuals[place * residuals + m];
        }
      }
    });
    const rate = accepted / (particles * turn.length);
    this.#acceptance.push(rate);
    const factor = Math.min(1.6, Math.max(0.5, Math.exp(2 * (rate - AIM))));
    this.#steps.set(name, Math.min(1, Math.max(LEAST_STEP, step * factor)));
  }

  /**
   * Draws shared scores anew from their normal distribution given every sum they are in: own scores give way, no sum
   * changes, and so nothing is worked out again.
   * Source: Y. Yu and X.-L. Meng, J. Computational and Graphical Statistics 20 (2011) 531-570 (interweaving).
   */
  #redrawShared(): void {
    const { dimensions } = this.#problem;
    for (let i = 0; i < this.#options.particles; i++) {
      const start = i * dimensions;
      for (const { place, ties } of this.#shared) {
        const old = this.#scores[start + place];
        let precision = 1;
        let mean = 0;
        for (const { own, ratio } of ties) {
          precision += ratio * ratio;
          mean += ratio * (this.#scores[start + own] + ratio * old);
        }
        const drawn = mean / precision + normalQuantile(this.#uniform()) / Math.sqrt(precision);
        this.#scores[start + place] = drawn;
        for (const { own, ratio } of ties) this.#scores[start + own] += ratio * (old - drawn);
      }
    }
  }

  /** A random one of so many equal parts of a block. */
  #partOf(block: Block, parts: number): Block {
    const size = Math.ceil(block.places.length / parts);
    const places = Int32Array.from(block.places);
    for (let k = 0; k < size; k++) {
      const other = k + Math.floor(this.#uniform() * (places.length - k));
      [places[k], places[other]] = [places[other], places[k]];
    }
    return { ...block, places: places.subarray(0, size) };
  }

  /** Writes a proposal for one block of every particle. */
  #propose(block: Block, exponent: number, step: number, scores: Float64Array, luck: Float64Array): Moves {
    const { factors } = this.#problem;
    const { particles } = this.#options;
    const { places, factors: own, renewsLuck } = block;
    const size = places.length;
    const fitted = new CrankNicolson(size, this.#rowsOf(block, exponent));
    const plain = new CrankNicolson(size, []);
    const moves: Moves = { kernels: [], steps: new Float64Array(particles) };
    const noise = new Float64Array(size);
    const moved = new Float64Array(size);
    for (let i = 0; i < particles; i++) {
      const kernel = this.#uniform() < PLAIN ? plain : fitted;
      const length = this.#uniform() < FULL ? step : step * SHORTEST ** this.#uniform();
      for (let k = 0; k < size; k++) noise[k] = normalQuantile(this.#uniform());
      const residuals = this.#residualsOf(block, this.#scores, this.#residuals, i);
      kernel.propose(this.#block(this.#scores, places, i), residuals, length, noise, moved);
      for (let k = 0; k < size; k++) scores[i * this.#problem.dimensions + places[k]] = moved[k];
      moves.kernels.push(kernel);
      moves.steps[i] = length;
      if (!renewsLuck || this.#uniform() >= RENEWAL) continue;
      for (const f of own) luck[i * factors + f] = this.#newLuck();
    }
    return moves;
  }

  /** log of the Metropolis-Hastings ratio of one particle's move. */
  #logRatio(block: Block, moves: Moves, i: number, exponent: number, { scores, found, startLogs }: Proposed): number {
    const { factors } = this.#problem;
    const from = this.#block(this.#scores, block.places, i);
    const to = this.#block(scores, block.places, i);
    const kernel = moves.kernels[i];
    const step = moves.steps[i];
    let ratio = 0;
    for (const f of block.factors) {
      const place = i * factors + f;
      ratio += exponent * (found.logs[place] - this.#logs[place]) + (1 - exponent) * (startLogs[place] - this.#startLogs[place]);
    }
    for (let k = 0; k < from.length; k++) ratio += 0.5 * (from[k] * from[k] - to[k] * to[k]);
    ratio += kernel.logDensity(to, this.#residualsOf(block, scores, found.residuals, i), step, from);
    return ratio - kernel.logDensity(from, this.#residualsOf(block, this.#scores, this.#residuals, i), step, to);
  }

  #block(scores: Float64Array, places: Int32Array, i: number): Float64Array {
    const start = i * this.#problem.dimensions;
    return Float64Array.from(places, (place) => scores[start + place]);
  }

  #put(places: Int32Array, i: number, scores: Float64Array): void {
    const start = i * this.#problem.dimensions;
    for (const place of places) this.#scores[start + place] = scores[start + place];
  }

  /** Residuals of a block's factors at one particle, flown ones, then the start's, in the order of {@link #rowsOf}. */
  #residualsOf({ factors: own }: Block, scores: Float64Array, all: Float64Array, i: number): Float64Array {
    const { factors, residuals, dimensions } = this.#problem;
    const rows = this.#start.rows.filter(({ factor }) => own.includes(factor));
    const out = new Float64Array(own.length * residuals + rows.length);
    own.forEach((f, n) => {
      const start = (i * factors + f) * residuals;
      out.set(all.subarray(start, start + residuals), n * residuals);
    });
    rows.forEach((row, n) => {
      out[own.length * residuals + n] = this.#start.residual(row, scores, i * dimensions);
    });
    return out;
  }

  /** How the block's scores move the same residuals, and what each counts for at this exponent. */
  #rowsOf({ places, factors: own }: Block, exponent: number): StepRow[] {
    const { features } = this.#problem;
    const flown = own.flatMap((f) =>
      this.#slopes[f].map((slopes): StepRow => {
        const fit = slopes.fit();
        if (fit === null) return { slopes: new Float64Array(places.length), weight: 0 };
        return { slopes: inBlock(onScores(fit.slopes, features[f]), places), weight: exponent };
      }),
    );
    const rows = this.#start.rows.filter(({ factor }) => own.includes(factor));
    return [...flown, ...rows.map((row): StepRow => ({ slopes: inBlock(row, places), weight: (1 - exponent) / row.variance }))];
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
