/**
 * What was learnt of the vehicle at hand in place of fresh draws: which particle a flight or a campaign has, and its
 * scores. What is fresh stays as it was drawn.
 */
import { CATALOGUE } from '../inputs/catalogue.ts';
import type { Level } from '../inputs/stays.ts';
import { normalCdf, normalQuantile } from '../maths/normal.ts';
import { stream } from '../maths/streams.ts';
import { sampleScores } from '../study/sampleScores.ts';
import type { StandingSample, Study } from '../study/study.ts';

/** Largest double below 1, and the smallest share above 0. */
const BELOW_ONE = 1 - 2 ** -53;
const ABOVE_NONE = 2 ** -54;

const within = (u: number): number => Math.max(Math.min(u, BELOW_ONE), ABOVE_NONE);

/** @param key of the flight or campaign   @returns place of its particle: any alike */
function particleOf({ particles }: StandingSample, key: string): number {
  return Math.floor(stream(key)() * particles);
}

/**
 * For single flights: puts a particle's scores into uniforms drawn for all levels at once.
 * @param columns of the inputs that vary, ascending
 * @returns `(u, key)`: changes `u` in place; nothing where the study learnt nothing
 */
export function standingInputs(study: Study, columns: readonly number[]): (u: Float64Array, key: string) => void {
  const { sample } = study;
  if (sample === null) return () => undefined;
  const scores = sampleScores(sample);
  const width = sample.parts.length;
  const known = columns.flatMap((column, k) => {
    const { key } = CATALOGUE[column];
    const shares = study.stays[key];
    if (shares === undefined) return [];
    const sum = Object.values(shares).reduce((total, share) => total + share, 0);
    const parts = sample.parts.flatMap(({ input, level }, place) => {
      const share = input === key ? shares[level] : undefined;
      return share === undefined ? [] : [{ place, weight: Math.sqrt(share / sum) }];
    });
    const fresh = 1 - parts.reduce((total, { weight }) => total + weight * weight, 0);
    return parts.length === 0 ? [] : [{ k, parts, fresh: Math.sqrt(Math.max(fresh, 0)) }];
  });
  return (u, key) => {
    const start = particleOf(sample, key) * width;
    for (const { k, parts, fresh } of known) {
      let z = fresh > 0 ? fresh * normalQuantile(u[k]) : 0;
      for (const { place, weight } of parts) z += weight * scores[start + place];
      u[k] = within(normalCdf(z));
    }
  };
}

/**
 * For campaigns: puts a particle's scores into the uniforms of one level.
 * @returns `(level, u, key)`: changes `u` in place; nothing where of that level nothing was learnt
 */
export function standingLevel(study: Study, columns: readonly number[]): (level: Level, u: Float64Array, key: string) => void {
  const { sample } = study;
  if (sample === null) return () => undefined;
  const scores = sampleScores(sample);
  const width = sample.parts.length;
  const known = sample.parts.map(({ input, level }, place) => ({ k: columns.findIndex((c) => CATALOGUE[c].key === input), level, place }));
  return (level, u, key) => {
    const start = particleOf(sample, key) * width;
    for (const part of known) if (part.level === level && part.k >= 0) u[part.k] = within(normalCdf(scores[start + part.place]));
  };
}
