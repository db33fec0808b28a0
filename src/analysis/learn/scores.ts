/**
 * The unknowns of a logbook as standard normal scores: one a varying input, a level of it and an occasion of that level
 * (this airframe, that purchase of motors, attempt 3 alone), as the sampler of campaigns has them. From a particle's
 * scores to the input vector of any attempt. Draws nothing.
 */
import { CATALOGUE, type InputKey } from '../../inputs/catalogue.ts';
import { correlatedGroups } from '../../inputs/correlations.ts';
import { LEVELS, type Level } from '../../inputs/stays.ts';
import { varyingInputs } from '../../inputs/varying.ts';
import { normalCdf, normalQuantile } from '../../maths/normal.ts';
import { inputValues } from '../../sampling/inputValues.ts';
import { levelParts, within, wrapped } from '../../sampling/levelParts.ts';
import type { Block, Feature, Turn } from '../../statistics/learning/particleProblem.ts';
import type { Study } from '../../study/study.ts';
import type { Having } from '../logbook/logbook.ts';

/** One level's part of one input, on the occasion of one attempt: where its score stands, and its weight. */
export interface Part {
  readonly level: Level;
  readonly place: number;
  readonly weight: number;
  /** Of a direction all round, drawn as it is; the others turn it. */
  readonly turned: boolean;
}

export interface Scores {
  /** Catalogue columns of the inputs that vary, ascending. */
  readonly columns: readonly number[];
  readonly dimensions: number;
  /** By attempt, then by varying input, as sampling/levelParts.ts has them. */
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
  const made = levelParts(study, columns);
  const parts = having.map((own, attempt) =>
    made.map(({ allRound, parts: given }, k) =>
      given.map(({ level, weight }, p): Part => {
        const occasion = level === 'flight' ? `flight ${attempt}` : `${level} of ${own[level]}`;
        return { level, place: placeOf(`${occasion}: ${columns[k]}`), weight, turned: allRound && p === 0 };
      }),
    ),
  );
  return { columns, dimensions: places.size, parts, turns: turnsOf(parts.slice(0, seen)) };
}

/** Each attempt's own scores, before every level that outlasts a flight: of its occasions, which share no attempt. */
function turnsOf(parts: Scores['parts']): Turn[] {
  const own = parts.map((inputs, attempt): Block => {
    const places = inputs.flatMap((all) => all.filter(({ level }) => level === 'flight').map(({ place }) => place));
    return { places: Int32Array.from(places), factors: [attempt], renewsLuck: true };
  });
  const standing = LEVELS.filter((level) => level !== 'flight').map((wanted) =>
    together(parts.map((inputs) => inputs.flatMap((all) => all.filter(({ level }) => level === wanted).map(({ place }) => place)))),
  );
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

/** Whether the parts begin with a direction that the others turn. */
export function isTurned(parts: readonly Part[]): boolean {
  return parts.length > 0 && parts[0].turned;
}

/** Sums through which alone the parts act; of a direction each part by itself, since its sum goes round. */
export function featuresOf(parts: readonly Part[]): Feature[] {
  const each = parts.map(({ level, place, weight }) => ({ place, weight, own: level === 'flight' }));
  return isTurned(parts) ? each.map((part) => [{ ...part, weight: 1 }]) : [each];
}

/** An input's share of its distribution, between 0 and 1. */
export function uniformOf(parts: readonly Part[], scores: Float64Array, start: number): number {
  const turned = isTurned(parts);
  let z = 0;
  for (let p = turned ? 1 : 0; p < parts.length; p++) z += parts[p].weight * scores[start + parts[p].place];
  return turned ? wrapped(normalCdf(scores[start + parts[0].place]) + z) : within(normalCdf(z));
}

/** The normal score of the parts together: of all parts of an input standard normal under the prior. */
export function scoreOf(parts: readonly Part[], scores: Float64Array, start: number): number {
  if (isTurned(parts)) return normalQuantile(uniformOf(parts, scores, start));
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
      u[k] = uniformOf(parts[attempt][k], scores, start);
    }
    values(u, out);
    for (const { column, value } of held[attempt]) out[column] = value;
  };
}
