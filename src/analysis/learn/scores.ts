/**
 * The unknowns of a logbook as standard normal scores: one a varying input, a level of it and an occasion of that level
 * (this airframe, that purchase of motors, attempt 3 alone), as the sampler of campaigns has them. From a particle's
 * scores to the input vector of any attempt. Draws nothing.
 */
import { CATALOGUE, type InputKey } from '../../inputs/catalogue.ts';
import { correlatedGroups } from '../../inputs/correlations.ts';
import { FRESH, LEVELS, type Level } from '../../inputs/stays.ts';
import { varyingInputs } from '../../inputs/varying.ts';
import { normalCdf } from '../../maths/normal.ts';
import { inputValues } from '../../sampling/inputValues.ts';
import type { Block, Turn } from '../../statistics/learning/temperedParticles.ts';
import type { Study } from '../../study/study.ts';
import type { Having } from '../logbook/logbook.ts';

/** Largest double below 1, and the smallest share above 0. */
const BELOW_ONE = 1 - 2 ** -53;
const ABOVE_NONE = 2 ** -54;

/** One level's part of one input, on the occasion of one attempt: where its score stands, and its weight. */
export interface Part {
  readonly level: Level;
  readonly place: number;
  readonly weight: number;
}

export interface Scores {
  /** Catalogue columns of the inputs that vary, ascending. */
  readonly columns: readonly number[];
  readonly dimensions: number;
  /** By attempt, then by varying input; weights squared sum to 1. */
  readonly parts: readonly (readonly (readonly Part[])[])[];
  /** Standing scores of attempts that share any at once, then each attempt's own. */
  readonly turns: readonly Turn[];
}

/**
 * @param having what each attempt had; an attempt's own scores are its own, whatever it had
 * @param seen how many of the attempts, from the first on, something was seen of: only they move scores
 */
export function scoresOf(study: Study, having: readonly Having[], seen: number): Scores {
  const columns = varyingInputs(study);
  const places = new Map<string, number>();
  const placeOf = (name: string): number => {
    const found = places.get(name) ?? places.size;
    places.set(name, found);
    return found;
  };
  const parts = having.map((own, attempt) =>
    columns.map((column) => {
      const shares = study.stays[CATALOGUE[column].key] ?? FRESH;
      const given = LEVELS.flatMap((level) => (shares[level] === undefined ? [] : [{ level, share: shares[level] }]));
      // Rounded shares may miss 1 a little; the marginal distribution must not.
      const sum = given.reduce((total, { share }) => total + share, 0);
      return given.map(({ level, share }): Part => {
        const occasion = level === 'flight' ? `flight ${attempt}` : `${level} of ${own[level]}`;
        return { level, place: placeOf(`${occasion}: ${column}`), weight: Math.sqrt(share / sum) };
      });
    }),
  );
  return { columns, dimensions: places.size, parts, turns: turnsOf(parts.slice(0, seen)) };
}

function turnsOf(parts: Scores['parts']): Turn[] {
  const standing = parts.map((inputs) => new Set(inputs.flatMap((all) => all.filter((p) => p.level !== 'flight').map((p) => p.place))));
  const own = parts.map((inputs, attempt): Block => {
    const places = inputs.flatMap((all) => all.filter((p) => p.level === 'flight').map((p) => p.place));
    return { places: Int32Array.from(places), factors: [attempt], renewsLuck: true };
  });
  const groups: { readonly places: Set<number>; readonly factors: number[] }[] = [];
  for (const [attempt, places] of standing.entries()) {
    const shared = groups.filter((group) => [...places].some((place) => group.places.has(place)));
    const joined = { places: new Set(places), factors: [attempt] };
    for (const group of shared) {
      for (const place of group.places) joined.places.add(place);
      joined.factors.unshift(...group.factors);
      groups.splice(groups.indexOf(group), 1);
    }
    groups.push(joined);
  }
  const together = groups
    .filter((group) => group.places.size > 0)
    .map(({ places, factors }): Block => ({ places: Int32Array.from(places), factors: factors.sort((a, b) => a - b), renewsLuck: false }));
  return together.length === 0 ? [own] : [together, own];
}

/** The sum of an input's parts, standard normal under the prior. */
export function scoreOf(parts: readonly Part[], scores: Float64Array, start: number): number {
  let z = 0;
  for (const { place, weight } of parts) z += weight * scores[start + place];
  return z;
}

/**
 * Fills the inputs of one attempt from a particle's scores.
 * @returns `(scores, start, attempt, out)`: `out` SI, in catalogue order
 */
export function inputsFrom(
  study: Study,
  { columns, parts }: Scores,
  pins: readonly Readonly<Partial<Record<InputKey, number>>>[],
): (scores: Float64Array, start: number, attempt: number, out: Float64Array) => void {
  const values = inputValues(study, columns, correlatedGroups(study.correlations), {});
  const held = pins.map((given) =>
    CATALOGUE.flatMap(({ key }, column) => (given[key] === undefined ? [] : [{ column, value: given[key] }])),
  );
  const u = new Float64Array(columns.length);
  return (scores, start, attempt, out) => {
    for (let k = 0; k < columns.length; k++) {
      u[k] = Math.max(Math.min(normalCdf(scoreOf(parts[attempt][k], scores, start)), BELOW_ONE), ABOVE_NONE);
    }
    values(u, out);
    for (const { column, value } of held[attempt]) out[column] = value;
  };
}
