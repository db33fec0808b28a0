/**
 * How each input goes with one output or several, over the same rows: the measures of a ranking by flights already
 * flown, and what the list of them shows beyond chance. Knows no flights, only columns, and holds one input at a time
 * whole: of a million flights all of them are hundreds of megabytes.
 */
import type { TwoGroups } from '../../statistics/proportions/twoGroups.ts';
import { holm } from '../../statistics/samples/holm.ts';
import { type KeptRanks, keptRanks } from '../../statistics/samples/keptRanks.ts';
import type { Partition } from '../../statistics/samples/partition.ts';
import { spearman } from '../../statistics/samples/rankCorrelation.ts';
import { endOfTwoValues, type Ranked, Ranker } from '../../statistics/samples/ranks.ts';
import { correlationInterval, type Stated } from '../../statistics/sensitivity/influence.ts';
import {
  type Dependence,
  delta,
  deltaClasses,
  dependenceBound,
  drawFolds,
  type Folds,
} from '../../statistics/sensitivity/momentIndependent.ts';
import { partialRankCorrelations } from '../../statistics/sensitivity/partialCorrelation.ts';
import { LEVEL } from '../fly/summary.ts';
import { firstOrderShares, within } from './firstOrderShares.ts';
import type { GroupShare, Measures } from './ranking.ts';
import type { Subject } from './rankSubjects.ts';
import { groupsByValue, yesNoMeasures } from './yesNoInput.ts';

export interface Inputs {
  /** Of those that vary over the rows. */
  readonly names: readonly string[];
  /** Names of directions, whose ranks mean nothing. */
  readonly circles: ReadonlySet<string>;
  /** The values of one by its name; asked for more than once. */
  readonly values: (name: string) => Float64Array;
  readonly groups: readonly Subject[];
}

export interface Output {
  /** Varying. */
  readonly ranked: Ranked;
  /** Seeds what is drawn: the tenths of delta. */
  readonly key: string;
  /** p of further tests that may show an input as well, one an input; asked once all inputs were met. */
  readonly more?: () => readonly number[];
}

export interface MeasuredOutput {
  readonly list: readonly Measures[];
  readonly groups: readonly GroupShare[];
}

/** Fewest flights of an input's rarer value for what takes sums for normal. */
const LEAST_OF_VALUE = 100;

/**
 * @param cautions takes why partial correlations are missing, where they are
 * @param met sees every input put in order, with its rank correlation with each output
 */
export function measures(
  inputs: Inputs,
  outputs: readonly Output[],
  cautions: string[],
  met: (x: Ranked, name: string, along: readonly Stated[]) => void = () => undefined,
): readonly MeasuredOutput[] {
  const asked = outputs.map(askedOf);
  const byRank = rankMeasures(inputs, asked, cautions, met);
  return asked.map((output, o) => measuredOutput(inputs, output, byRank[o]));
}

/** An output, with what is made of it once for all inputs. */
interface Asked extends Output {
  readonly yesNo: boolean;
  readonly folds: Folds;
  readonly classes: Partition;
  readonly kept: KeptRanks;
}

function askedOf(output: Output): Asked {
  const { ranked, key } = output;
  return {
    ...output,
    yesNo: endOfTwoValues(ranked) !== null,
    folds: drawFolds(ranked.order.length, key),
    classes: deltaClasses(ranked),
    kept: keptRanks(ranked),
  };
}

/** How one input goes with one output, as far as its order tells. */
interface ByOrder {
  readonly along: Stated;
  readonly delta: Omit<Dependence, 'influence'>;
  readonly groups: TwoGroups | null;
  /** One of its two values is too rare for sums taken for normal. */
  readonly rare: boolean;
}

interface ByRank {
  readonly list: readonly ByOrder[];
  readonly partial: readonly Stated[] | null;
}

/** All that needs the inputs in order: each is put so once, for all outputs. */
function rankMeasures(
  { names, values }: Inputs,
  asked: readonly Asked[],
  cautions: string[],
  met: (x: Ranked, name: string, along: readonly Stated[]) => void,
): readonly ByRank[] {
  const kept: KeptRanks[] = [];
  const lists = asked.map((): ByOrder[] => []);
  // Ranks and scratch are had once: large pieces that come and go between others that stay leave holes in memory.
  let ranker: Ranker | null = null;
  const n = asked[0]?.ranked.order.length ?? 0;
  const all = new Uint32Array(names.length * n);
  for (const name of names) {
    const column = values(name);
    ranker ??= new Ranker(column.length);
    const x = ranker.ranked(column);
    if (asked.length > 0) {
      const own = keptRanks(x, all.subarray(kept.length * n, (kept.length + 1) * n));
      const classes = deltaClasses(x);
      for (const [o, output] of asked.entries()) lists[o].push(byOrder(x, own, classes, output));
      kept.push(own);
    }
    met(
      x,
      name,
      lists.map((list) => list[list.length - 1].along),
    );
  }
  const partials = partialsOf(kept, cautions);
  return asked.map((output, o) => ({ list: lists[o], partial: partials(output.kept) }));
}

function byOrder(x: Ranked, kept: KeptRanks, classes: Partition, output: Asked): ByOrder {
  const lower = endOfTwoValues(x);
  const whole = delta(classes, output.classes, output.folds);
  return {
    along: spearman(kept, output.kept),
    delta: { estimate: whole.estimate, standardError: whole.standardError, pValue: whole.pValue },
    groups: output.yesNo ? groupsByValue(x, output.ranked.values) : null,
    rare: lower !== null && Math.min(lower, x.order.length - lower) < LEAST_OF_VALUE,
  };
}

function measuredOutput({ names, circles, values, groups }: Inputs, output: Asked, { list, partial }: ByRank): MeasuredOutput {
  // Of a heavy-tailed output a few rows would be most of the variance and break every test: its ranks are taken. Yes
  // and no stay what they are.
  const shares = firstOrderShares(names, values, output.yesNo ? output.ranked.values : output.ranked.ranks, groups);
  const found = list.map((one, i): Omit<Measures, 'shown'> => {
    const circle = circles.has(names[i]);
    const { along, delta: whole } = one;
    const { share, place } = shares.inputs[i];
    return {
      rankCorrelation: circle || one.rare ? null : within({ estimate: along.estimate, interval: correlationInterval(along, LEVEL) }),
      partialRankCorrelation:
        partial === null || circle || one.rare ? null : { estimate: partial[i].estimate, interval: correlationInterval(partial[i], LEVEL) },
      firstOrder: share,
      delta: { estimate: Math.max(0, whole.estimate), atLeast: dependenceBound(whole, LEVEL), pValue: whole.pValue },
      place,
      ...(one.groups === null ? {} : yesNoMeasures(one.groups)),
    };
  });
  const more = output.more?.() ?? [];
  const p = holm(found.flatMap(({ firstOrder: share, delta: whole }, i) => [share.pValue, whole.pValue, ...more.slice(i, i + 1)]));
  const tests = found.length === 0 ? 0 : p.length / found.length;
  return {
    list: found.map((one, i): Measures => ({ ...one, shown: p.slice(i * tests, (i + 1) * tests).some((value) => value <= 1 - LEVEL) })),
    groups: shares.groups,
  };
}

/**
 * Partial correlations for one output after another, the inputs' own part worked out at the first; null, with the reason
 * among the cautions, where columns cannot be told apart or flights are too few for so many.
 */
function partialsOf(inputs: readonly KeptRanks[], cautions: string[]): (output: KeptRanks) => readonly Stated[] | null {
  const caught = <T>(made: () => T, what: string): T | null => {
    try {
      return made();
    } catch (error) {
      if (!(error instanceof RangeError)) throw error;
      cautions.push(`no partial correlations: in these flights ${what}`);
      return null;
    }
  };
  let partials: ReturnType<typeof partialRankCorrelations> | null | undefined;
  return (output) => {
    if (inputs.length === 0) return [];
    if (partials === undefined) {
      const rows = output.doubled.length;
      const enough = rows > inputs.length + 2;
      if (!enough) cautions.push(`${rows} flights are too few for partial correlations of ${inputs.length} inputs`);
      partials = enough ? caught(() => partialRankCorrelations(inputs), 'some inputs go together exactly') : null;
    }
    const made = partials;
    return made === null ? null : caught(() => made(output), 'the inputs make up an output exactly');
  };
}
