/**
 * Moves of blocks of scores that leave the target as it is: blocks that share no factor are proposed at once, and each
 * is accepted or not by itself (Metropolis and Hastings). Steps are steered by slopes of the residuals and by how often
 * they were accepted. Knows no course of exponents.
 */
import { normalQuantile } from '../../maths/normal.ts';
import type { Stream } from '../../maths/streams.ts';
import { CrankNicolson, type StepRow } from './crankNicolson.ts';
import type { LinearStart } from './linearStart.ts';
import { type Block, type Likelihood, type OnScores, onScores, type TemperedProblem, type Turn } from './particleProblem.ts';
import type { Slopes } from './slopes.ts';
import { newLuck, type Swarm } from './swarm.ts';

/** Factors before this one count in full, this one by likelihood^exponent start^(1 - exponent), later ones not at all. */
export interface Target {
  readonly factor: number;
  readonly exponent: number;
  readonly start: LinearStart;
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

/** How each particle's block was moved. */
interface Moves {
  readonly kernels: CrankNicolson[];
  readonly steps: Float64Array;
}

/** What was proposed, and what came of it. */
interface Proposed {
  readonly scores: Float64Array;
  readonly found: Likelihood;
}

/** Used by one particle after the other. */
interface Room {
  readonly from: Float64Array;
  readonly to: Float64Array;
  readonly residuals: Float64Array;
}

export class BlockMoves {
  readonly #problem: TemperedProblem;
  readonly #uniform: Stream;
  /** Of each factor, each observation's. */
  readonly #slopes: readonly (readonly Slopes[])[];
  readonly #steps = new Map<string, number>();

  constructor(problem: TemperedProblem, slopes: readonly (readonly Slopes[])[], uniform: Stream) {
    this.#problem = problem;
    this.#slopes = slopes;
    this.#uniform = uniform;
  }

  /**
   * Proposes a random one of so many equal parts of every block, and takes what is accepted into the swarm.
   * @param name under which the length of the step is remembered
   * @param evaluate what `likelihood` of the problem does, for the factors of these blocks
   * @returns share of moves accepted
   */
  async move(
    swarm: Swarm,
    blocks: Turn,
    target: Target,
    { name, parts }: { readonly name: string; readonly parts: number },
    evaluate: (scores: Float64Array, luck: Float64Array, factors: readonly number[]) => Promise<Likelihood>,
  ): Promise<number> {
    const { particles } = swarm;
    const { dimensions } = this.#problem;
    const turn = blocks.map((block) => this.#partOf(block, parts));
    const step = this.#steps.get(`${name}/${parts}`) ?? FIRST_STEP;
    const scores = swarm.scores.slice();
    const luck = swarm.luck.slice();
    const moves = turn.map((block) => this.#propose(swarm, block, target, step, scores, luck));
    const factors = turn.flatMap((block) => block.factors).sort((a, b) => a - b);
    const found = await evaluate(scores, luck, factors);
    let accepted = 0;
    turn.forEach((block, b) => {
      const room: Room = {
        from: new Float64Array(block.places.length),
        to: new Float64Array(block.places.length),
        residuals: this.#roomFor(block, target),
      };
      for (let i = 0; i < particles; i++) {
        if (!(Math.log(this.#uniform()) < this.#logRatio(swarm, block, moves[b], i, target, { scores, found }, room))) continue;
        accepted++;
        for (const place of block.places) swarm.scores[i * dimensions + place] = scores[i * dimensions + place];
        for (const f of block.factors) swarm.take(i, f, luck, found);
      }
    });
    const rate = accepted / (particles * turn.length);
    const factor = Math.min(1.6, Math.max(0.5, Math.exp(2 * (rate - AIM))));
    this.#steps.set(`${name}/${parts}`, Math.min(1, Math.max(LEAST_STEP, step * factor)));
    return rate;
  }

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
  #propose(swarm: Swarm, block: Block, target: Target, step: number, scores: Float64Array, luck: Float64Array): Moves {
    const { dimensions, factors } = this.#problem;
    const { places, factors: own, renewsLuck } = block;
    const size = places.length;
    const fitted = new CrankNicolson(size, this.#rowsOf(block, target));
    const plain = new CrankNicolson(size, []);
    const moves: Moves = { kernels: [], steps: new Float64Array(swarm.particles) };
    const noise = new Float64Array(size);
    const moved = new Float64Array(size);
    const from = new Float64Array(size);
    const residuals = this.#roomFor(block, target);
    for (let i = 0; i < swarm.particles; i++) {
      const kernel = this.#uniform() < PLAIN ? plain : fitted;
      const length = this.#uniform() < FULL ? step : step * SHORTEST ** this.#uniform();
      for (let k = 0; k < size; k++) noise[k] = normalQuantile(this.#uniform());
      this.#residualsOf(block, target, swarm.scores, swarm.residuals, i, residuals);
      this.#block(swarm.scores, places, i, from);
      kernel.propose(from, residuals, length, noise, moved);
      for (let k = 0; k < size; k++) scores[i * dimensions + places[k]] = moved[k];
      moves.kernels.push(kernel);
      moves.steps[i] = length;
      if (!renewsLuck || this.#uniform() >= RENEWAL) continue;
      for (const f of own) luck[i * factors + f] = newLuck(this.#uniform);
    }
    return moves;
  }

  /** log of the Metropolis-Hastings ratio of one particle's move. */
  #logRatio(swarm: Swarm, block: Block, moves: Moves, i: number, target: Target, { scores, found }: Proposed, room: Room): number {
    const { factors, dimensions } = this.#problem;
    const { from, to, residuals } = room;
    this.#block(swarm.scores, block.places, i, from);
    this.#block(scores, block.places, i, to);
    const kernel = moves.kernels[i];
    const step = moves.steps[i];
    let ratio = 0;
    for (const f of block.factors) {
      const gained = found.logs[i * factors + f] - swarm.logs[i * factors + f];
      ratio += f === target.factor ? target.exponent * gained : gained;
    }
    if (block.factors.includes(target.factor) && target.exponent < 1) {
      const { start } = target;
      ratio += (1 - target.exponent) * (start.log(scores, i * dimensions) - start.log(swarm.scores, i * dimensions));
    }
    for (let k = 0; k < from.length; k++) ratio += 0.5 * (from[k] * from[k] - to[k] * to[k]);
    this.#residualsOf(block, target, scores, found.residuals, i, residuals);
    ratio += kernel.logDensity(to, residuals, step, from);
    this.#residualsOf(block, target, swarm.scores, swarm.residuals, i, residuals);
    return ratio - kernel.logDensity(from, residuals, step, to);
  }

  #block(scores: Float64Array, places: Int32Array, i: number, out: Float64Array): void {
    const start = i * this.#problem.dimensions;
    for (let k = 0; k < places.length; k++) out[k] = scores[start + places[k]];
  }

  #roomFor({ factors: own }: Block, target: Target): Float64Array {
    return new Float64Array(own.length * this.#problem.residuals + startRows(own, target).length);
  }

  /** Residuals of a block's factors at one particle, those found, then the start's, in the order of {@link #rowsOf}. */
  #residualsOf({ factors: own }: Block, target: Target, scores: Float64Array, all: Float64Array, i: number, out: Float64Array): void {
    const { factors, residuals, dimensions } = this.#problem;
    let n = 0;
    for (const f of own) {
      const start = (i * factors + f) * residuals;
      for (let m = 0; m < residuals; m++) out[n++] = all[start + m];
    }
    for (const row of startRows(own, target)) out[n++] = target.start.residual(row, scores, i * dimensions);
  }

  /** How the block's scores move the same residuals, and what each counts for in the target. */
  #rowsOf({ places, factors: own }: Block, target: Target): StepRow[] {
    const { features } = this.#problem;
    const found = own.flatMap((f) =>
      this.#slopes[f].map((slopes): StepRow => {
        const fit = slopes.fit();
        if (fit === null) return { slopes: new Float64Array(places.length), weight: 0 };
        return { slopes: inBlock(onScores(fit.slopes, features[f]), places), weight: f === target.factor ? target.exponent : 1 };
      }),
    );
    const rows = startRows(own, target);
    return [...found, ...rows.map((row): StepRow => ({ slopes: inBlock(row, places), weight: (1 - target.exponent) / row.variance }))];
  }
}

function startRows(own: readonly number[], { factor, exponent, start }: Target): LinearStart['rows'] {
  return exponent < 1 && own.includes(factor) ? start.rows : [];
}

/** The slopes on a block's scores, in its order. */
function inBlock({ places, coefficients }: OnScores, block: Int32Array): Float64Array {
  return Float64Array.from(block, (place) => {
    const k = places.indexOf(place);
    return k < 0 ? 0 : coefficients[k];
  });
}
