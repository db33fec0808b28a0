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
import { levelParts, within, wrapped } from './levelParts.ts';

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
  const known = levelParts(study, columns).flatMap(({ allRound, parts }, k) => {
    const { key } = CATALOGUE[columns[k]];
    const met = parts.flatMap(({ level, weight }, p) => {
      const place = sample.parts.findIndex((part) => part.input === key && part.level === level);
      return place < 0 ? [] : [{ place, weight, first: p === 0 }];
    });
    // A direction whose first draw nobody met is as likely any other, however it turned from there.
    if (met.length === 0 || (allRound && !met[0].first)) return [];
    const left = parts.filter(({ level }) => !sample.parts.some((part) => part.input === key && part.level === level));
    return [{ k, allRound, met, fresh: Math.sqrt(left.reduce((sum, { weight }) => sum + weight * weight, 0)) }];
  });
  return (u, key) => {
    const start = particleOf(sample, key) * width;
    for (const { k, allRound, met, fresh } of known) {
      let z = fresh > 0 ? fresh * normalQuantile(u[k]) : 0;
      for (let p = allRound ? 1 : 0; p < met.length; p++) z += met[p].weight * scores[start + met[p].place];
      u[k] = allRound ? wrapped(normalCdf(scores[start + met[0].place]) + z) : within(normalCdf(z));
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
