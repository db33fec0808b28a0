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

/** Inputs of which more than this is fresh on every flight: their standing scores follow the fresh ones by themselves. */
const FRESH_ENOUGH = 0.45;

/** Each attempt's own scores, before every level that outlasts a flight: of its occasions, which share no attempt. */
function turnsOf(parts: Scores['parts']): Turn[] {
  const own = parts.map((inputs, attempt): Block => {
    const places = inputs.flatMap((all) => all.filter(({ level }) => level === 'flight').map(({ place }) => place));
    return { places: Int32Array.from(places), factors: [attempt], renewsLuck: true };
  });
  const standing = LEVELS.filter((level) => level !== 'flight').map((wanted) => {
    const places = parts.map((inputs) => {
      const stiff = inputs.filter((all) => !all.some(({ level, weight }) => level === 'flight' && weight * weight > FRESH_ENOUGH));
      return stiff.flatMap((all) => all.filter(({ level }) => level === wanted).map(({ place }) => place));
    });
    return together(places);
  });
  return standing
    .filter((turn) => turn.length > 0)
    .flatMap((turn) => [own, turn])
    .concat(standing.every((turn) => turn.length === 0) ? [own] : []);
}

/** Attempts with the same places, as blocks. */
function together(places: readonly (readonly number[])[]): Turn {
  const blocks = new Map<string, { readonly places: readonly number[]; readonly factors: number[] }>();
  for (const [attempt, own] of places.entries()) {
    if (own.length === 0) continue;
    const block = blocks.get(own.join(' ')) ?? { places: own, factors: [] };
    block.factors.push(attempt);
    blocks.set(own.join(' '), block);
  }
  return [...blocks.values()].map((block): Block => ({ places: Int32Array.from(block.places), factors: block.factors, renewsLuck: false }));
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
