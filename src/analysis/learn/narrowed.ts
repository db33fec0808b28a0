/**
 * What the particles say that the prior did not: of the inputs that stay with the vehicle, of each attempt's own draws,
 * and which now hang together. Flies nothing.
 */
import { CATALOGUE, type InputKey } from '../../inputs/catalogue.ts';
import { normalQuantile } from '../../maths/normal.ts';
import { studentQuantile } from '../../maths/student.ts';
import { wrapped } from '../../sampling/levelParts.ts';
import { familyNoise } from '../../statistics/learning/familyNoise.ts';
import type { Study } from '../../study/study.ts';
import type { Logbook } from '../logbook/logbook.ts';
import type { Posterior } from './posterior.ts';
import { inputsFrom, isTurned, type Part, scoreOf, uniformOf } from './scores.ts';

/** 5, 50 and 95 %, SI. */
export type Range = readonly [number, number, number];

export interface Narrowed {
  readonly input: InputKey;
  readonly unit: string;
  /** Of the next attempt, fresh part and all; null on a circle, where a range has no ends. */
  readonly before: Range | null;
  readonly after: Range | null;
  /** Of what stays: sd after over sd before, and the shift of its mean in sds before; each with its noise. */
  readonly sdRatio: number;
  readonly shift: number;
  readonly noise: number;
  /** Bits gained about what stays, by a normal fit: relative entropy of after to before. */
  readonly bits: number;
}

export interface OwnDraw {
  readonly attempt: string;
  readonly input: InputKey;
  readonly unit: string;
  readonly before: Range | null;
  readonly after: Range | null;
  readonly bits: number;
}

export interface TiedPair {
  readonly a: InputKey;
  readonly b: InputKey;
  /** Correlation of what stays, in normal scores. */
  readonly correlation: number;
}

/** How well two runs agree on what stays. */
export interface Agreement {
  /** Difference of the runs' means over the sd after, root mean square over inputs; and as their own noise lets expect. */
  readonly typical: number;
  readonly expected: number;
  /** Largest difference over its noise, raised to what runs differ by on the whole; and what chance alone keeps it below. */
  readonly largest: number;
  readonly bound: number;
  readonly settled: boolean;
}

/** Differences up to which the answer is of use: the mean of both runs is half as far off, which adds 3 % to the spread. */
const TYPICAL = 0.5;
/** Probability that chance takes any input's difference over the bound, all inputs together (Bonferroni). */
const CHANCE = 0.01;
/** Bits below which nothing was learnt. */
const HARDLY = 0.05;
/** Share of the spread that is left where that alone was learnt. */
const NARROWER = 0.85;
/** Bits of an attempt's own draw that are worth a line, and lines an attempt at most. */
const OWN_BITS = 0.15;
const MOST_OWN = 6;
/** Correlations worth a line, and lines at most. */
const TIED = 0.35;
const MOST_PAIRS = 12;

const TURN = 2 * Math.PI;

interface Moments {
  readonly mean: number;
  readonly sd: number;
}

function momentsOf(values: Float64Array): Moments {
  const mean = values.reduce((sum, v) => sum + v, 0) / values.length;
  return { mean, sd: Math.sqrt(values.reduce((sum, v) => sum + (v - mean) ** 2, 0) / values.length) };
}

/** Relative entropy, in bits, of a normal to the standard normal. */
function bitsOf({ mean, sd }: Moments): number {
  return Math.max(0, (0.5 * (sd * sd + mean * mean - 1) - Math.log(sd)) / Math.LN2);
}

function rangeOf(values: Float64Array): Range {
  const ordered = values.toSorted();
  const point = (share: number): number => ordered[Math.min(ordered.length - 1, Math.floor(share * ordered.length))];
  return [point(0.05), point(0.5), point(0.95)];
}

/** Of the parts of the next attempt's input, those that some attempt had too. @param attempts of the first so many */
export function standingParts({ scores }: Posterior, attempts = scores.parts.length - 1): readonly (readonly Part[])[] {
  const met = new Set(scores.parts.slice(0, attempts).flatMap((inputs) => inputs.flatMap((all) => all.map(({ place }) => place))));
  return scores.parts[scores.parts.length - 1].map((all) => all.filter(({ place }) => met.has(place)));
}

/**
 * One input's standing score, scaled to unit variance under the prior, in every particle of each run; of a direction all
 * round about its middle, so that north is no seam.
 */
function standingScores(parts: readonly Part[], runs: readonly { readonly scores: Float64Array }[], dimensions: number): Float64Array[] {
  if (isTurned(parts))
    return aboutTheMiddle(runs.map(({ scores }) => ofParticles(scores, dimensions, (start) => uniformOf(parts, scores, start))));
  const norm = Math.sqrt(parts.reduce((sum, { weight }) => sum + weight * weight, 0));
  return runs.map(({ scores }) => ofParticles(scores, dimensions, (start) => scoreOf(parts, scores, start) / norm));
}

function ofParticles(scores: Float64Array, dimensions: number, value: (start: number) => number): Float64Array {
  return Float64Array.from({ length: scores.length / dimensions }, (_, i) => value(i * dimensions));
}

/** Normal scores of directions, as shares of a turn, about the mean direction of them all. */
function aboutTheMiddle(each: readonly Float64Array[]): Float64Array[] {
  let [cosines, sines] = [0, 0];
  for (const u of each.flatMap((run) => Array.from(run))) {
    cosines += Math.cos(TURN * u);
    sines += Math.sin(TURN * u);
  }
  const middle = Math.atan2(sines, cosines) / TURN;
  return each.map((run) => run.map((u) => normalQuantile(wrapped(u - middle + 0.5))));
}

export interface Standing {
  readonly narrowed: readonly Narrowed[];
  /** Inputs that stay and of which hardly anything was learnt. */
  readonly hardly: readonly InputKey[];
  readonly pairs: readonly TiedPair[];
  readonly agreement: Agreement;
}

/**
 * @param before,after values of the next attempt's inputs by varying input, SI
 */
export function standingOf(posterior: Posterior, before: readonly Float64Array[], after: readonly Float64Array[]): Standing {
  const { scores, runs } = posterior;
  const parts = standingParts(posterior);
  const inputs = scores.columns.flatMap((column, k) => (parts[k].length === 0 ? [] : [{ column, k }]));
  const found = inputs.map(({ column, k }) => {
    const each = standingScores(parts[k], runs, scores.dimensions);
    const both = Float64Array.from(each.flatMap((values) => Array.from(values)));
    const { mean, sd } = momentsOf(both);
    const [first, second] = each.map((values, r) => familyNoise(values, runs[r].grown[runs[r].grown.length - 1].families));
    const noise = Math.sqrt(first.variance + second.variance) / sd;
    const freedom = first.families + second.families - 2;
    return { row: CATALOGUE[column], k, both, mean, sd, apart: (first.mean - second.mean) / sd, noise, freedom };
  });
  const typical = Math.sqrt(found.reduce((sum, { apart }) => sum + apart * apart, 0) / Math.max(found.length, 1));
  const expected = Math.sqrt(found.reduce((sum, { noise }) => sum + noise * noise, 0) / Math.max(found.length, 1));
  // Families tell of the last attempts alone: where runs differ by more on the whole, every noise is so much larger.
  const raised = expected > 0 ? Math.max(1, typical / expected) : 1;
  const largest = found.reduce((most, { apart, noise }) => Math.max(most, Math.abs(apart) / (raised * noise)), 0);
  const bound = found.length === 0 ? 0 : studentQuantile(found[0].freedom)(1 - CHANCE / (2 * found.length));
  const all = found.map(({ row, k, mean, sd, apart, noise }): Narrowed => {
    const circle = row.circle === true;
    return {
      input: row.key,
      unit: row.unit,
      before: circle ? null : rangeOf(before[k]),
      after: circle ? null : rangeOf(after[k]),
      sdRatio: sd,
      shift: mean,
      // The mean of two runs is half as uncertain as their difference: as expected, or as it is where that is larger.
      noise: 0.5 * Math.max(raised * noise, Math.abs(apart)) * sd,
      bits: bitsOf({ mean, sd }),
    };
  });
  const narrowed = all.filter((one) => isLearnt(one, bound)).sort((a, b) => b.bits - a.bits);
  return {
    narrowed,
    hardly: all.filter((one) => !narrowed.includes(one)).map(({ input }) => input),
    pairs: pairsOf(
      found.filter(({ row }) => narrowed.some(({ input }) => input === row.key)).map(({ row, both }) => ({ key: row.key, both })),
    ),
    agreement: { typical, expected, largest, bound, settled: Math.max(typical, expected) <= TYPICAL && largest <= bound },
  };
}

/** Moved by more times its noise than chance moves any input, or clearly narrower. */
function isLearnt({ bits, shift, noise, sdRatio }: Narrowed, bound: number): boolean {
  return bits >= HARDLY && (Math.abs(shift) > bound * noise || sdRatio < NARROWER);
}

function pairsOf(inputs: readonly { readonly key: InputKey; readonly both: Float64Array }[]): TiedPair[] {
  const unit = inputs.map(({ both }) => {
    const { mean, sd } = momentsOf(both);
    return both.map((v) => (v - mean) / (sd * Math.sqrt(both.length)));
  });
  const pairs: TiedPair[] = [];
  for (let i = 1; i < inputs.length; i++) {
    for (let j = 0; j < i; j++) {
      const correlation = unit[i].reduce((sum, v, n) => sum + v * unit[j][n], 0);
      if (Math.abs(correlation) >= TIED) pairs.push({ a: inputs[j].key, b: inputs[i].key, correlation });
    }
  }
  return pairs.sort((a, b) => Math.abs(b.correlation) - Math.abs(a.correlation)).slice(0, MOST_PAIRS);
}

/** What was learnt of each attempt's own inputs: standing and fresh parts together, as they were in it. */
export function ownDraws(study: Study, { attempts }: Logbook, { scores, runs }: Posterior): OwnDraw[] {
  const fill = inputsFrom(
    study,
    scores,
    attempts.map(({ pins }) => pins),
  );
  const particles = runs.reduce((sum, run) => sum + run.particles, 0);
  const { dimensions, columns } = scores;
  return attempts.flatMap(({ name, pins }, a) => {
    const own = columns.flatMap((column, k) => {
      const parts = scores.parts[a][k];
      if (pins[CATALOGUE[column].key] !== undefined) return [];
      const z = Float64Array.from(standingScores(parts, runs, dimensions).flatMap((run) => Array.from(run)));
      const moments = momentsOf(z);
      return moments.sd < NARROWER ? [{ column, bits: bitsOf(moments) }] : [];
    });
    const worth = own.filter(({ bits }) => bits >= OWN_BITS).sort((x, y) => y.bits - x.bits);
    const told = worth.slice(0, MOST_OWN);
    const valuesIn = (scoresIn: (run: (typeof runs)[number]) => Float64Array): Float64Array[] => {
      const values = told.map(() => new Float64Array(particles));
      const inputs = new Float64Array(CATALOGUE.length);
      let row = 0;
      for (const run of runs) {
        const all = scoresIn(run);
        for (let i = 0; i < run.particles; i++, row++) {
          fill(all, i * dimensions, a, inputs);
          for (const [c, { column }] of told.entries()) values[c][row] = inputs[column];
        }
      }
      return values;
    };
    const before = valuesIn((run) => run.prior.scores);
    const after = valuesIn((run) => run.scores);
    return told.map(({ column, bits }, c): OwnDraw => {
      const { key, unit, circle } = CATALOGUE[column];
      return {
        attempt: name,
        input: key,
        unit,
        before: circle ? null : rangeOf(before[c]),
        after: circle ? null : rangeOf(after[c]),
        bits,
      };
    });
  });
}
