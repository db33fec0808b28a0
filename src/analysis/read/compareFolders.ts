/**
 * Results of different studies, or of different luck, side by side: flights of one number are no pairs here, so the
 * shares are compared as those of separate groups, which sees less than the same luck would. Flies nothing, writes
 * nothing.
 */
import { UserError } from '../../errors.ts';
import { differenceOfGroups, exactTwoGroups } from '../../statistics/proportions/twoGroups.ts';
import { holm } from '../../statistics/samples/holm.ts';
import type { Interval } from '../../statistics/samples/interval.ts';
import { studyHash } from '../../study/studyHash.ts';
import { everyTwo } from '../compare/contest.ts';
import { countOutcomes } from '../flights/flightColumns.ts';
import { type Causes, causes } from '../fly/causes.ts';
import { type Odds, odds } from '../fly/odds.ts';
import { LEVEL } from '../fly/summary.ts';
import { readFlights } from './readFlights.ts';
import { source } from './source.ts';

export interface UnpairedSide {
  /** As it was named. */
  readonly path: string;
  readonly title: string;
  readonly rule: string;
  readonly seed: string;
  readonly studyHash: string;
  readonly odds: Odds;
  readonly causes: Causes;
  /** One line when the end of its flights file is missing. */
  readonly cut: readonly string[];
}

export interface UnpairedComparison {
  readonly unpaired: true;
  readonly level: number;
  readonly sides: readonly UnpairedSide[];
  /** Every two, in the order given. */
  readonly pairs: readonly {
    readonly first: string;
    readonly second: string;
    /** Shares landed of the flights with a result, first minus second, for separate groups; null where one has none. */
    readonly difference: null | { readonly difference: number; readonly interval: Interval };
    /** Fisher's exact test; 1 where one has no result. */
    readonly p: number;
    /** For all pairs together (Holm). */
    readonly adjustedP: number;
  }[];
}

/**
 * @param paths results folders or flights files, two or more   @param rule whose flights; the first of each file when
 * left out
 * @throws UserError when one holds no flights, is damaged, or stands there twice
 */
export async function compareFolders(paths: readonly string[], rule?: string): Promise<UnpairedComparison> {
  const twice = paths.find((path, i) => paths.indexOf(path) !== i);
  if (twice !== undefined) throw new UserError(`${twice}: stands there twice; a comparison needs two results`);
  const sides: UnpairedSide[] = [];
  for (const path of paths) {
    const { flightsPath } = source(path);
    if (flightsPath === null)
      throw new UserError(`${path}: holds no flights, which an unpaired comparison is made from; name what fly wrote`);
    const { header, flights, cut, rule: flown } = await readFlights(flightsPath, rule);
    const counts = countOutcomes(flights.outcome);
    const { title, seed } = header;
    const found = { odds: odds(counts, LEVEL), causes: causes(counts, LEVEL) };
    sides.push({ path, title, rule: flown, seed, studyHash: studyHash(header.study), ...found, cut });
  }
  const two = everyTwo(sides.length).map(([i, k]) => {
    const [a, b] = [sides[i], sides[k]];
    const groups = { k1: a.odds.landed, n1: a.odds.counted, k2: b.odds.landed, n2: b.odds.counted };
    const any = groups.n1 > 0 && groups.n2 > 0;
    const p = any ? exactTwoGroups(groups) : 1;
    return { first: a.path, second: b.path, difference: any ? differenceOfGroups(groups, LEVEL) : null, p };
  });
  const adjusted = holm(two.map(({ p }) => p));
  return { unpaired: true, level: LEVEL, sides, pairs: two.map((pair, i) => ({ ...pair, adjustedP: adjusted[i] })) };
}
