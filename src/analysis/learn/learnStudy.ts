/**
 * Learn from a logbook: surprise, update, odds of the next attempt, and the particles kept for other commands. End to
 * end; prints nothing.
 */
import { UserError } from '../../errors.ts';
import { flying } from '../../fleet/session.ts';
import type { OpenedStudy } from '../../study/load.ts';
import { type Finished, type FlyingOptions, keeping } from '../flights/keptResults.ts';
import { studyFacts } from '../flights/studyFacts.ts';
import type { Logbook } from '../logbook/logbook.ts';
import { learnedTable, learnedYaml } from './learnedFiles.ts';
import { type Learning, learningFinding } from './learning.ts';
import { bestLogLikelihood } from './likelihood.ts';
import { ownDraws, standingOf } from './narrowed.ts';
import { COPIES, NextAttemptFlyer } from './nextAttempt.ts';
import { type Posterior, posteriorOf } from './posterior.ts';
import { Interrupted } from './simulate.ts';
import { type Surprise, surpriseOf } from './surprise.ts';
import { worthSeeing } from './worthSeeing.ts';

/** Every round hangs on the one before: it cannot be flown in parts. */
export interface LearnOptions extends Omit<FlyingOptions, 'part' | 'joined'> {
  /** Of both runs together. */
  readonly particles: number;
  /** Name of the logbook's file: recorded. */
  readonly logbook: string;
}

export interface Learned extends Finished {
  readonly learning: Learning;
}

/** Particles that must differ at the end, and their share at least: fewer are no posterior. */
const FEWEST = 20;
const LEAST_SHARE = 0.1;
/** Families of particles, after any attempt: one alone cannot tell how uncertain it is. */
const FEWEST_FAMILIES = 2;
/** Rounds whose accepted moves are told. */
const LAST_ROUNDS = 4;
const LUCK = 'next';
/** log likelihood by which the particles may miss what was seen, beyond half an observation's worth each: 6 errors. */
const FAR_OFF = 18;
/** sd of a score at which a vehicle, on the average of the particles, is none that the study knows. */
const FARTHEST = 5;

/**
 * @throws UserError when no particle comes near what was seen, the study is one that learnt already, the folder cannot
 * take results
 * @returns null when the flying was interrupted: nothing is learnt from half a sample
 */
export async function learnStudy(opened: OpenedStudy, logbook: Logbook, options: LearnOptions): Promise<Learned | null> {
  try {
    return await learned(opened, logbook, options);
  } catch (error) {
    if (error instanceof Interrupted) return null;
    throw error;
  }
}

async function learned(opened: OpenedStudy, logbook: Logbook, options: LearnOptions): Promise<Learned> {
  const { study } = opened;
  const { particles, overrides = [] } = options;
  if (study.sample !== null) {
    throw new UserError(
      'inputs.sample: this study has learnt already; learn from the study that it was learnt with, with all attempts in one logbook',
    );
  }
  const read = { logbook: JSON.stringify(logbook) };
  return keeping(options, { command: 'learn', studies: [opened], read }, (keeper) =>
    flying({ ...options, ...keeper.journaled }, async (session) => {
      const posterior = await posteriorOf(study, logbook, session, { particles });
      const surprise = surpriseOf(logbook, posterior, study.seed);
      const collapse = collapseOf(logbook, posterior, surprise);
      if (collapse !== null) {
        keeper.leaveNothing();
        throw collapse;
      }
      const flyer = new NextAttemptFlyer(study, logbook, posterior, session);
      session.announce(2 * COPIES * particles + flyer.more);
      const before = await flyer.fly('before', COPIES, LUCK);
      const after = await flyer.fly('after', COPIES, LUCK);
      const next = await flyer.answer(before, after, LUCK);
      const standing = standingOf(posterior, before.inputs, after.inputs);
      const attempts = logbook.attempts.map(({ name }) => name);
      const learning: Learning = {
        ...studyFacts(opened, overrides),
        logbook: options.logbook,
        logbookTitle: logbook.title,
        attempts,
        particles,
        flights: session.flown,
        lost: session.lost.map(({ flight, reason }) => ({ flight, reason })),
        finding: learningFinding({ surprise, agreement: standing.agreement, next, attempts }),
        surprise,
        ...standing,
        own: ownDraws(study, logbook, posterior),
        runs: posterior.runs.map(({ logEvidence, stops, calls, acceptance, distinct }) => ({
          logEvidence,
          stops,
          rounds: calls,
          accepted: acceptance.slice(-LAST_ROUNDS).reduce((sum, rate) => sum + rate / LAST_ROUNDS, 0),
          distinct,
        })),
        next,
        worthSeeing: worthSeeing(posterior, logbook, after),
      };
      const run = session.facts();
      const files = {
        'learning.json': learning,
        'learned.arrow': await learnedTable(study, posterior, learning),
        'learned.yaml': learnedYaml(study),
      };
      return { learning, run, folder: keeper.finish(files, opened.text, run, true) };
    }),
  );
}

/** Never a posterior of a few particles, nor one of vehicles that cannot be or do something else than was seen. */
function collapseOf({ attempts }: Logbook, { runs }: Posterior, { observations }: Surprise): UserError | null {
  const seen = attempts.flatMap((attempt) => attempt.observations);
  const best = seen.reduce((sum, observation) => sum + bestLogLikelihood(observation), 0);
  const collapsed = runs.some(
    ({ complete, distinct, particles, logs, scores, grown }) =>
      !complete ||
      grown.some(({ families }) => new Set(families).size < FEWEST_FAMILIES) ||
      distinct < Math.max(FEWEST, LEAST_SHARE * particles) ||
      best - logs.reduce((sum, log) => sum + log, 0) / particles > 0.5 * seen.length + FAR_OFF ||
      farthest(scores, particles) > FARTHEST,
  );
  if (!collapsed) return null;
  const worst = [...observations].sort((a, b) => a.adjusted - b.adjusted).slice(0, 3);
  return new UserError([
    'no simulated vehicle comes near all that was seen, so nothing was learnt: the study, a spread or the logbook is wrong',
    ...worst.map(
      ({ place, key, attempt, seen, share }) =>
        `${place} ${key} of ${attempt}: read ${seen}; only ${Number((100 * share).toPrecision(2))} % of simulated flights lie as far out. Check the value and its error, or widen a spread.`,
    ),
  ]);
}

/** The greatest mean of any score, either way. */
function farthest(scores: Float64Array, particles: number): number {
  const dimensions = scores.length / particles;
  let most = 0;
  for (let k = 0; k < dimensions; k++) {
    let sum = 0;
    for (let i = 0; i < particles; i++) sum += scores[i * dimensions + k];
    most = Math.max(most, Math.abs(sum) / particles);
  }
  return most;
}
