/**
 * How what stays and what is fresh of one input make up its value: shares of variance in normal scores, z = sum of
 * sqrt(share) z_level and u = Phi(z), so that every marginal distribution is what it was. Draws nothing.
 *
 * A direction all round has no ends, and normal scores would part it at north: it is turned, by wrapped normal steps,
 * from what lasts longest to what is fresh, so that two flights have the shares they have in common as their circular
 * correlation (the mean of the cosine of their difference: K. V. Mardia and P. E. Jupp, Directional Statistics, 2000,
 * section 3.5, for the wrapped normal's). Any step leaves it uniform.
 */
import { CATALOGUE } from '../inputs/catalogue.ts';
import { correlatedGroups } from '../inputs/correlations.ts';
import { FRESH, LEVELS, type Level } from '../inputs/stays.ts';
import { log } from '../maths/elementary/logarithm.ts';
import type { Study } from '../study/study.ts';

const TURN = 2 * Math.PI;
/** Largest double below 1. */
const BELOW_ONE = 1 - 2 ** -53;
/** Half a step of a uniform: what stands in for a turn of exactly 0. */
const SMALLEST = 2 ** -54;

export interface LevelPart {
  readonly level: Level;
  /** Times the level's normal score; of a direction all round the first is 1 and taken as drawn, the others are steps. */
  readonly weight: number;
}

export interface LevelParts {
  /** A direction all round: turned, not mixed. */
  readonly allRound: boolean;
  /** From what lasts longest to what is fresh. */
  readonly parts: readonly LevelPart[];
}

/** @param columns of the inputs asked for, in catalogue order   @returns one a column */
export function levelParts(study: Study, columns: readonly number[]): LevelParts[] {
  const tied = correlatedGroups(study.correlations).flatMap((group) => group.columns);
  return columns.map((column) => {
    const shares = study.stays[CATALOGUE[column].key] ?? FRESH;
    const given = LEVELS.flatMap((level) => (shares[level] === undefined ? [] : [{ level, share: shares[level] }]));
    // Rounded shares may miss 1 a little; the marginal distribution must not.
    const sum = given.reduce((total, { share }) => total + share, 0);
    const allRound = !tied.includes(column) && isAllRound(study, column);
    if (allRound) return { allRound, parts: steps(given, sum) };
    return { allRound, parts: given.map(({ level, share }) => ({ level, weight: Math.sqrt(share / sum) })) };
  });
}

/** Whether an input is a direction, each as likely as any other. */
function isAllRound(study: Study, column: number): boolean {
  const { key, circle } = CATALOGUE[column];
  const d = study.inputs[key];
  return circle === true && d?.kind === 'uniform' && Math.abs(d.high - d.low - TURN) < 1e-9;
}

/**
 * Steps in turns, so that flights that share the levels up to one have the sum of those shares as the mean cosine of
 * their difference: exp(-(2 pi)^2 times the variance of the steps they do not share, twice, over 2).
 */
function steps(given: readonly { readonly level: Level; readonly share: number }[], sum: number): LevelPart[] {
  let before = 0;
  return given.map(({ level, share }) => {
    const after = before + share / sum;
    const weight = before === 0 ? 1 : Math.sqrt(log(after / before)) / TURN;
    before = after;
    return { level, weight };
  });
}

/** A uniform that was turned by steps, brought back between 0 and 1. */
export function wrapped(u: number): number {
  return Math.min(Math.max(u - Math.floor(u), SMALLEST), BELOW_ONE);
}

/** Between 0 and 1, never either. */
export function within(u: number): number {
  return Math.max(Math.min(u, BELOW_ONE), SMALLEST);
}
