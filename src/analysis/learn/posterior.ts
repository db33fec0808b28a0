/**
 * What the logbook's observations make of the unknowns: two runs of tempered particles from different seeds, flown by
 * one session, with what the prior foretold of each observation. Judges nothing.
 */
import type { Session } from '../../fleet/session.ts';
import { OUTCOMES } from '../../flight/outputs.ts';
import type { Tempered } from '../../statistics/learning/particleProblem.ts';
import { joined } from '../../statistics/learning/swarm.ts';
import { temper } from '../../statistics/learning/temperedParticles.ts';
import type { Study } from '../../study/study.ts';
import type { Logbook } from '../logbook/logbook.ts';
import { columnOf, logLikelihoodOf, residualOf } from './likelihood.ts';
import { featuresOf, type Scores, scoresOf } from './scores.ts';
import { type Flown, Simulator } from './simulate.ts';

export interface PosteriorOptions {
  /** Of both runs together, even. */
  readonly particles: number;
  /** Rounds of flying aimed at in each run; 25 when left out. */
  readonly rounds?: number;
}

/** Rounds of flying aimed at in each run, and at most: every round flies each attempt once for each particle. */
const ROUNDS = 25;
const MOST_ROUNDS = 80;
/** Turns at the end at least: what resampling made alike must part. */
const LAST_TURNS = 6;
export const RUNS = 2;

export interface Posterior {
  /** Of all attempts, then of the next. */
  readonly scores: Scores;
  readonly runs: readonly Tempered[];
  /** Simulated values by attempt and observation, the prior's particles of both runs one after the other. */
  readonly foretold: Flown;
}

/** @throws Interrupted */
export async function posteriorOf(
  study: Study,
  logbook: Logbook,
  session: Session,
  { particles, rounds: aimed = ROUNDS }: PosteriorOptions,
): Promise<Posterior> {
  const { attempts, next } = logbook;
  const scores = scoresOf(
    study,
    [...attempts, next].map(({ having }) => having),
    attempts.length,
  );
  const simulator = new Simulator(study, scores, attempts);
  const columns = attempts.map(({ observations }) => observations.map(columnOf));
  const most = Math.max(...attempts.map(({ observations }) => observations.length));
  const runs: Tempered[] = [];
  const foretold: Flown[] = [];
  session.announce(aimed * particles * attempts.length);
  for (let run = 1; run <= RUNS; run++) {
    let rounds = 0;
    const tempered = await temper(
      {
        dimensions: scores.dimensions,
        factors: attempts.length,
        residuals: most,
        features: scores.parts.slice(0, attempts.length).map((inputs) => inputs.flatMap(featuresOf)),
        turns: scores.turns,
        likelihood: async (values, luck, asked) => {
          const flown = await simulator.fly(session, values, luck, columns, `learn ${run}/noise/${study.seed}`, asked);
          if (rounds++ === 0) foretold.push(flown);
          return likelihoodOf(logbook, flown, luck.length / attempts.length, most, asked);
        },
      },
      {
        particles: particles / RUNS,
        seed: `${study.seed}/learn ${run}`,
        movesEach: 1,
        turnsAtEnd: LAST_TURNS,
        callsAimed: aimed,
        mostCalls: MOST_ROUNDS,
      },
    );
    runs.push(tempered);
  }
  return { scores, runs, foretold: attempts.map((_, a) => columns[a].map((_, o) => joined(foretold.map((flown) => flown[a][o])))) };
}

function likelihoodOf({ attempts }: Logbook, flown: Flown, particles: number, most: number, asked: readonly number[]) {
  const logs = new Float64Array(particles * attempts.length);
  const residuals = new Float64Array(particles * attempts.length * most).fill(Number.NaN);
  for (const a of asked) {
    for (const [o, observation] of attempts[a].observations.entries()) {
      const simulated = flown[a][o];
      for (let i = 0; i < particles; i++) {
        const place = i * attempts.length + a;
        logs[place] += logLikelihoodOf(observation, simulated[i]);
        residuals[place * most + o] = residualOf(observation, simulated[i]);
      }
    }
  }
  return { logs, residuals };
}

/** Number of the outcome `landed`. */
export const LANDED = OUTCOMES.indexOf('landed');
