/**
 * Particles brought from the prior to the posterior by sequential Monte Carlo, over standard normal scores. The
 * likelihood is a product of factors (attempts), taken in one after the other: each from a linear fit of it, which can be
 * drawn from, to itself, by an exponent that grows from 0 to 1 as fast as an effective sample size allows. At each stop
 * particles are resampled and moved. So they stand, on the way, for what the first factors alone say. Without residuals
 * to fit, a factor starts from what its scores were before it. Flies nothing: whoever asks works the likelihood out, all
 * particles at a time.
 *
 * Each block of scores touches some of the factors. Beside its scores a particle has a number a factor, its luck, which
 * stands for noise nobody learns anything of: it is kept while the scores move, or every move would be drowned in it, and
 * drawn anew now and then.
 *
 * Sources: P. Del Moral, A. Doucet and A. Jasra, J. Royal Statistical Society B 68 (2006) 411-436, section 3.3.2.3 (the
 * tempering); N. Chopin, Biometrika 89 (2002) 539-551 (one part of the data after the other).
 */
import { type Stream, stream } from '../../maths/streams.ts';
import { BlockMoves, type Target } from './blockMoves.ts';
import { type LinearRow, LinearStart } from './linearStart.ts';
import {
  freshPlaces,
  type Grown,
  type Likelihood,
  onScores,
  type Tempered,
  type TemperedOptions,
  type TemperedProblem,
  type Turn,
} from './particleProblem.ts';
import { SharedScores } from './sharedScores.ts';
import { Slopes } from './slopes.ts';
import { type Kept, newLuck, Swarm } from './swarm.ts';
import { effectiveSize, logMeanWeight, nextExponent, systematicResample } from './weights.ts';

/** Share of the particles that go on as chains before all factors are in, and once they are; and how many at least. */
const CHAINS = 0.2;
const CHAINS_AT_END = 0.1;
const FEWEST_CHAINS = 20;
/** A block is moved whole, or a random part of it: so many parts, in turns. */
const PARTS = [1, 3];
/** The variance that a fit leaves open counts so much more: the start must be wider than the target, not narrower. */
const WIDER = 1.5;
/** Doublings of the fits' variances at most, where they would leave too few particles effective. */
const WIDENINGS = 30;
/** Share of the calls aimed at that go into turns before all factors are in. */
const ON_THE_WAY = 0.25;

/** The whole way. @throws whatever `likelihood` throws */
export async function temper(problem: TemperedProblem, options: TemperedOptions): Promise<Tempered> {
  return new Tempering(problem, options).run();
}

class Tempering {
  readonly #problem: TemperedProblem;
  readonly #options: TemperedOptions;
  readonly #uniform: Stream;
  readonly #swarm: Swarm;
  /** Of each factor, each observation's. */
  readonly #slopes: readonly (readonly Slopes[])[];
  readonly #moves: BlockMoves;
  /** By factor: places that it is the first to touch. */
  readonly #fresh: readonly (readonly number[])[];
  /** Of all factors of all particles, so far. */
  #calls = 0;
  #nextTurn = 0;
  #stops = 0;
  #logEvidence = 0;
  readonly #acceptance: number[] = [];

  constructor(problem: TemperedProblem, options: TemperedOptions) {
    this.#problem = problem;
    this.#options = options;
    this.#uniform = stream(`${options.seed}/tempering`);
    this.#swarm = new Swarm(problem, options.particles, this.#uniform);
    this.#slopes = problem.features.map((own) =>
      Array.from({ length: problem.residuals }, () => new Slopes(own.length, options.particles)),
    );
    this.#moves = new BlockMoves(problem, this.#slopes, this.#uniform);
    this.#fresh = freshPlaces(problem);
  }

  async run(): Promise<Tempered> {
    const { factors } = this.#problem;
    const { particles, turnsAtEnd, callsAimed = 0 } = this.#options;
    const swarm = this.#swarm;
    const all = Array.from({ length: factors }, (_, f) => f);
    const first = await this.#evaluate(swarm.scores, swarm.luck, all);
    for (const f of all) for (let i = 0; i < particles; i++) swarm.take(i, f, swarm.luck, first);
    const prior = swarm.copy();
    const grown: Grown[] = [];
    const turnsOnTheWay = factors === 1 ? 0 : (2 * ON_THE_WAY * callsAimed) / (factors - 1);
    let complete = false;
    for (const factor of all) {
      const shared = new SharedScores(this.#problem.features.slice(0, factor + 1).flat());
      const target = await this.#takeIn(factor, shared);
      if (target.exponent < 1) break;
      complete = factor === factors - 1;
      const turns = complete ? Math.max(turnsAtEnd, callsAimed - this.#calls) : turnsOnTheWay;
      const chains = await this.#chains(turns, complete ? CHAINS_AT_END : CHAINS, target, shared);
      grown.push({ scores: swarm.scores.slice(), families: swarm.families });
      swarm.mark(chains);
    }
    return {
      ...swarm.copy(),
      particles,
      prior,
      grown,
      stops: this.#stops,
      complete,
      logEvidence: this.#logEvidence,
      acceptance: this.#acceptance,
      calls: this.#calls,
      distinct: swarm.distinct(),
    };
  }

  #mayCall(): boolean {
    return this.#calls < this.#options.mostCalls;
  }

  async #evaluate(scores: Float64Array, luck: Float64Array, factors: readonly number[]): Promise<Likelihood> {
    const { residuals, factors: count } = this.#problem;
    this.#calls += ((luck.length / count) * factors.length) / (this.#options.particles * count);
    const found = await this.#problem.likelihood(scores, luck, factors);
    for (const f of factors) {
      const features = this.#featuresOf(f, scores);
      for (const [m, slopes] of this.#slopes[f].entries()) slopes.add(features, found.residuals, f * residuals + m, count * residuals);
    }
    return found;
  }

  #featuresOf(factor: number, scores: Float64Array): Float64Array {
    const { dimensions, features } = this.#problem;
    const particles = scores.length / dimensions;
    const own = features[factor];
    const out = new Float64Array(particles * own.length);
    for (let i = 0; i < particles; i++) {
      for (let k = 0; k < own.length; k++) {
        let sum = 0;
        for (const { place, weight } of own[k]) sum += weight * scores[i * dimensions + place];
        out[i * own.length + k] = sum;
      }
    }
    return out;
  }

  /** Brings one factor in, its own scores moved at each stop. @returns the target reached */
  async #takeIn(factor: number, shared: SharedScores): Promise<Target> {
    const { particles, share = 0.5, movesEach } = this.#options;
    const start = await this.#begin(factor);
    const own: Turn = [{ places: Int32Array.from(this.#fresh[factor]), factors: [factor], renewsLuck: true }];
    let target: Target = { factor, exponent: 0, start };
    for (let move = 0; target.exponent < 1 && this.#mayCall(); ) {
      const total = this.#over(target);
      const exponent = nextExponent(total, target.exponent, share);
      const logWeights = total.map((log) => (exponent - target.exponent) * log);
      target = { ...target, exponent };
      this.#stops++;
      this.#logEvidence += logMeanWeight(logWeights);
      if (effectiveSize(logWeights) < particles) this.#swarm.become(systematicResample(logWeights, this.#uniform));
      for (const end = move + movesEach; move < end; move++) await this.#move(own, target, `${factor} alone`, PARTS[move % 2], shared);
    }
    return target;
  }

  /** Weighs and draws anew under the linear fit of what the prior's particles showed of the factor, where there is one. */
  async #begin(factor: number): Promise<LinearStart> {
    const { features, factors, dimensions } = this.#problem;
    const { particles, share = 0.5 } = this.#options;
    const swarm = this.#swarm;
    const rows = this.#slopes[factor].flatMap((slopes): LinearRow[] => {
      const fit = slopes.fit();
      if (fit === null || fit.slopes.every((slope) => slope === 0)) return [];
      return [{ ...onScores(fit.slopes, features[factor]), intercept: fit.intercept, variance: 1 + WIDER * fit.variance }];
    });
    const marginals = (start: LinearStart): Float64Array =>
      Float64Array.from({ length: particles }, (_, i) => start.logMarginal(swarm.scores, i * dimensions));
    let start = new LinearStart(rows, this.#fresh[factor]);
    let logWeights = marginals(start);
    for (let widened = 0; effectiveSize(logWeights) < share * particles && widened < WIDENINGS; widened++) {
      const scale = 2 ** (widened + 1);
      start = new LinearStart(
        rows.map((row) => ({ ...row, variance: scale * row.variance })),
        this.#fresh[factor],
      );
      logWeights = marginals(start);
    }
    this.#logEvidence += logMeanWeight(logWeights);
    if (effectiveSize(logWeights) < particles) swarm.become(systematicResample(logWeights, this.#uniform));
    for (let i = 0; i < particles; i++) {
      start.draw(swarm.scores, i * dimensions, this.#uniform);
      swarm.luck[i * factors + factor] = newLuck(this.#uniform);
    }
    const found = await this.#evaluate(swarm.scores, swarm.luck, [factor]);
    for (let i = 0; i < particles; i++) swarm.take(i, factor, swarm.luck, found);
    return start;
  }

  /** log likelihood of the factor under way over that of its start. */
  #over({ factor, start }: Target): Float64Array {
    const { factors, dimensions } = this.#problem;
    const { logs, scores } = this.#swarm;
    return Float64Array.from({ length: this.#options.particles }, (_, i) => logs[i * factors + factor] - start.log(scores, i * dimensions));
  }

  /**
   * So many turns of every particle, spent on longer chains of fewer: some are gone on from, and the particles are then
   * what these were on their way.
   * @returns by particle: its chain
   * Source: H.-D. Dau and N. Chopin, J. Royal Statistical Society B 84 (2022) 114-148 (waste-free).
   */
  async #chains(turns: number, share: number, target: Target, shared: SharedScores): Promise<Int32Array> {
    const swarm = this.#swarm;
    const all = swarm.particles;
    const chains = Math.min(all, Math.max(FEWEST_CHAINS, Math.ceil(share * all)));
    const stops = Math.ceil(all / chains);
    swarm.become(Int32Array.from({ length: chains }, (_, c) => Math.floor((c * all) / chains)));
    const met: Kept[] = [];
    const steps = Math.max(1, Math.floor((turns * all) / chains / stops));
    for (let stop = 0; stop < stops; stop++) {
      for (let turn = 0; turn < steps && this.#mayCall(); turn++) await this.#turn(target, shared);
      met.push(swarm.copy());
    }
    swarm.gather(met);
    const surplus = swarm.particles - all;
    if (surplus > 0) swarm.become(Int32Array.from({ length: all }, (_, i) => i + surplus));
    return Int32Array.from({ length: all }, (_, i) => (i + surplus) % chains);
  }

  /** The next turn, of the factors that are in. */
  async #turn(target: Target, shared: SharedScores): Promise<void> {
    const { turns } = this.#problem;
    for (let skipped = 0; skipped < turns.length; skipped++) {
      const number = this.#nextTurn % turns.length;
      const parts = PARTS[Math.floor(this.#nextTurn++ / turns.length) % PARTS.length];
      const blocks = turns[number]
        .map((block) => ({ ...block, factors: block.factors.filter((f) => f <= target.factor) }))
        .filter((block) => block.factors.length > 0);
      if (blocks.length > 0) return this.#move(blocks, target, `${number}`, parts, shared);
    }
  }

  async #move(blocks: Turn, target: Target, name: string, parts: number, shared: SharedScores): Promise<void> {
    const { dimensions } = this.#problem;
    const swarm = this.#swarm;
    const evaluate = this.#evaluate.bind(this);
    this.#acceptance.push(await this.#moves.move(swarm, blocks, target, { name, parts }, evaluate));
    for (let i = 0; i < swarm.particles; i++) shared.redraw(swarm.scores, i * dimensions, this.#uniform);
  }
}
