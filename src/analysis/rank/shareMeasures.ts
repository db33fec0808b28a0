/**
 * How each input goes with one output, over the same rows: the measures of a ranking by flights already flown, and what
 * the list of them shows beyond chance. Knows no flights, only columns.
 */
import { holm } from '../../statistics/samples/holm.ts';
import { spearman } from '../../statistics/samples/rankCorrelation.ts';
import { endOfTwoValues, type Ranked, ranked } from '../../statistics/samples/ranks.ts';
import { type FirstOrder, firstOrder, shareInterval } from '../../statistics/sensitivity/givenData.ts';
import { correlationInterval, covarianceByInfluence, type Estimate } from '../../statistics/sensitivity/influence.ts';
import { delta, dependenceBound, drawFolds, outputClasses } from '../../statistics/sensitivity/momentIndependent.ts';
import { partialRankCorrelations } from '../../statistics/sensitivity/partialCorrelation.ts';
import { sharedPlaces } from '../../statistics/sensitivity/sharedPlaces.ts';
import { LEVEL } from '../fly/summary.ts';
import type { Measured, Measures } from './ranking.ts';
import { groupsByValue, yesNoMeasures } from './yesNoInput.ts';

interface Asked {
  readonly names: readonly string[];
  readonly circles: ReadonlySet<string>;
  readonly inputs: readonly Ranked[];
  readonly output: Float64Array;
  readonly key: string;
  readonly partials: Partials;
  /** p of further tests, one an input, that may show it as well. */
  readonly more: readonly number[];
}

/** Fewest flights of an input's rarer value for what takes sums for normal. */
const LEAST_OF_VALUE = 100;

export function measures({ names, circles, inputs, output, key, partials, more }: Asked): {
  readonly list: Measures[];
  readonly shares: readonly FirstOrder[];
  readonly along: readonly Estimate[];
} {
  const y = ranked(output);
  const yesNo = endOfTwoValues(y) !== null;
  // Of a heavy-tailed output a few rows would be most of the variance and break every test: its ranks are taken. Yes
  // and no stay what they are.
  const levelled = yesNo ? output : y.ranks;
  const shares = inputs.map((x) => firstOrder(x, levelled));
  const places = sharedPlaces(
    shares.map(({ estimate }) => estimate),
    covarianceByInfluence(shares),
    LEVEL,
  );
  const folds = drawFolds(output.length, key);
  const classes = outputClasses(y);
  const partial = partials(y);
  const along = inputs.map((x) => spearman(x, y));
  const found = inputs.map((x, i): Omit<Measures, 'shown'> => {
    const circle = circles.has(names[i]);
    const lower = endOfTwoValues(x);
    const rare = lower !== null && Math.min(lower, x.order.length - lower) < LEAST_OF_VALUE;
    const groups = yesNo ? groupsByValue(x, output) : null;
    const whole = delta(x, classes, folds);
    return {
      rankCorrelation: circle || rare ? null : within({ estimate: along[i].estimate, interval: correlationInterval(along[i], LEVEL) }),
      partialRankCorrelation:
        partial === null || circle || rare ? null : { estimate: partial[i].estimate, interval: correlationInterval(partial[i], LEVEL) },
      firstOrder: { ...within({ estimate: shares[i].estimate, interval: shareInterval(shares[i], LEVEL) }), pValue: shares[i].pValue },
      delta: { estimate: Math.max(0, whole.estimate), atLeast: dependenceBound(whole, LEVEL), pValue: whole.pValue },
      place: places[i],
      ...(groups === null ? {} : yesNoMeasures(groups)),
    };
  });
  const p = holm(found.flatMap(({ firstOrder: share, delta: whole }, i) => [share.pValue, whole.pValue, ...more.slice(i, i + 1)]));
  const tests = found.length === 0 ? 0 : p.length / found.length;
  const list = found.map(
    (one, i): Measures => ({ ...one, shown: p.slice(i * tests, (i + 1) * tests).some((value) => value <= 1 - LEVEL) }),
  );
  return { list, shares, along };
}

/**
 * The estimate moved to the nearer end of an interval that is cut where the quantity ends: no share is below nothing.
 */
export function within({ estimate, interval }: Measured): Measured {
  return { estimate: Math.min(interval[1], Math.max(interval[0], estimate)), interval };
}

type Partials = (output: Ranked) => readonly Estimate[] | null;

/**
 * For one output after another, the inputs' own part worked out at the first; null, with the reason among the cautions,
 * where columns cannot be told apart or flights are too few for so many.
 */
export function partialsOf(inputs: readonly Ranked[], cautions: string[]): Partials {
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
      const rows = output.values.length;
      const enough = rows > inputs.length + 2;
      if (!enough) cautions.push(`${rows} flights are too few for partial correlations of ${inputs.length} inputs`);
      partials = enough ? caught(() => partialRankCorrelations(inputs), 'some inputs go together exactly') : null;
    }
    const made = partials;
    return made === null ? null : caught(() => made(output), 'the inputs make up an output exactly');
  };
}
