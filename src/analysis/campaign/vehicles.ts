/**
 * How unlike vehicles are, and what a first landing says of the next: a beta distribution of the campaigns' own landing
 * probabilities, fitted to all their attempts, with bootstrap intervals over whole campaigns. Where every attempt was
 * flown, the analysis of variance stands beside it, which asks for no distribution. A campaign stands for its vehicle
 * with the days and motors it met.
 */
import {
  type BetaMixture,
  chanceOfNone,
  countGroups,
  fitBetaMixture,
  type Group,
  mixtureQuantile,
  nextSucceeds,
  runToShow,
  shareBelow,
} from '../../statistics/proportions/betaMixture.ts';
import { clopperPearson } from '../../statistics/proportions/binomial.ts';
import { trialsToDemonstrate } from '../../statistics/proportions/demonstration.ts';
import { betweenGroups } from '../../statistics/proportions/intraclass.ts';
import { bootstrap, percentileInterval } from '../../statistics/samples/bootstrap.ts';
import type { Interval } from '../../statistics/samples/interval.ts';
import type { Attempts } from './campaignCollector.ts';
import { type FirstLanding, LEVEL } from './firstLanding.ts';

export interface Estimate {
  readonly value: number;
  readonly interval: Interval;
}

export interface Vehicles {
  /** Landing probability of a vehicle that nobody knows, by the fit. */
  readonly mean: Estimate;
  /** Share of the variance of a flight's landing that lies between campaigns, by the fit: 1/(a + b + 1). */
  readonly correlation: Estimate;
  /** The same by the analysis of variance; null unless every attempt was flown. Negative: less than by chance. */
  readonly byVariance: Estimate | null;
  /** Landing probability below which a share of the vehicles lies. */
  readonly quantiles: readonly ({ readonly share: number } & Estimate)[];
  /** Share of the vehicles that land 0 to 10, 10 to 20, ... 90 to 100 % of their flights, by the fit. */
  readonly tenths: readonly number[];
  /** The fit against the odds that were counted. */
  readonly fit: {
    /** Odds of a first landing by each attempt, as fitted. */
    readonly curve: readonly number[];
    /** Attempts at which those lie within the counted odds' interval. */
    readonly within: number;
    readonly largestMiss: number;
  };
}

export interface AfterLanding {
  /** Odds that the flight after the first landing lands. */
  readonly next: Estimate;
  /** `counted` where every attempt was flown, else what the fit says of the vehicles that landed. */
  readonly by: 'counted' | 'fit';
  /** Landings in a row from the first flight on that show a reliability with a confidence. */
  readonly claims: readonly {
    readonly reliability: number;
    readonly confidence: number;
    /** By the exact binomial demonstration, which takes nothing to be known before. */
    readonly exact: number;
    /** With the spread between vehicles known before; null: more than {@link MOST_RUN}. */
    readonly spread: number | null;
    readonly least: number | null;
    readonly most: number | null;
  }[];
}

/** Campaigns that must have landed, and that must have failed at least once, for a spread to be told. */
export const FEWEST = 10;
/** Landings in a row beyond which nobody would fly. */
export const MOST_RUN = 1000;
const REPLICATES = 200;
const SHARES = [0.1, 0.5, 0.9];
const RELIABILITIES = [0.5, 0.8, 0.9];
const CONFIDENCE = 0.9;

/** Campaigns that look alike, each kind once. */
interface Kinds {
  readonly groups: readonly Group[];
  /** Attempts up to the first landing, for those that have one, in the kinds' order; null for none. */
  readonly first: readonly (number | null)[];
  /** Which kind each campaign is. */
  readonly kind: Uint32Array;
}

/**
 * @param key seeds the bootstrap   @param flownAll whether attempts went on after a landing
 * @returns null where campaigns are too few, or too alike, to tell a spread
 */
export function vehiclesOf(
  campaigns: readonly Attempts[],
  odds: FirstLanding | null,
  flownAll: boolean,
  key: string,
): { readonly vehicles: Vehicles; readonly after: AfterLanding } | null {
  const landed = campaigns.filter((attempts) => attempts.includes(true)).length;
  const failed = campaigns.filter((attempts) => attempts.includes(false)).length;
  if (odds === null || landed < FEWEST || failed < FEWEST) return null;
  const kinds = kindsOf(campaigns);
  const once = weights(kinds, new Uint16Array(campaigns.length).fill(1));
  const fitted = fitBetaMixture(countGroups(kinds.groups, once));
  if (fitted === null) return null;
  const estimates = statistics(kinds, once, fitted);
  const replicates = bootstrap(campaigns.length, REPLICATES, `${key}/vehicles`, estimates.length, (out, times) => {
    const drawn = weights(kinds, times);
    out.set(statistics(kinds, drawn, fitBetaMixture(countGroups(kinds.groups, drawn)) ?? allAlike(kinds, drawn)));
  });
  const estimate = (which: number): Estimate => ({ value: estimates[which], interval: percentileInterval(replicates, which, LEVEL) });
  const curve = odds.curve.map(({ attempt }) => 1 - chanceOfNone(fitted, attempt));
  const run = (length: number): number | null => (length > MOST_RUN ? null : Math.round(length));
  return {
    vehicles: {
      mean: estimate(MEAN),
      correlation: estimate(CORRELATION),
      byVariance: flownAll ? estimate(BY_VARIANCE) : null,
      quantiles: SHARES.map((share, i) => ({ share, ...estimate(QUANTILES + i) })),
      tenths: Array.from({ length: 10 }, (_, i) => shareBelow(fitted, (i + 1) / 10) - (i === 0 ? 0 : shareBelow(fitted, i / 10))),
      fit: {
        curve,
        within: odds.curve.filter(({ interval }, i) => curve[i] >= interval[0] && curve[i] <= interval[1]).length,
        largestMiss: Math.max(...odds.curve.map(({ share }, i) => Math.abs(share - curve[i]))),
      },
    },
    after: {
      ...((flownAll ? nextCounted(campaigns) : null) ?? { next: estimate(NEXT), by: 'fit' }),
      claims: RELIABILITIES.map((reliability, i) => {
        const { value, interval } = estimate(RUNS + i);
        const exact = trialsToDemonstrate(reliability, CONFIDENCE, 0);
        return { reliability, confidence: CONFIDENCE, exact, spread: run(value), least: run(interval[0]), most: run(interval[1]) };
      }),
    },
  };
}

/** Places of the statistics that are drawn again together. */
const MEAN = 0;
const CORRELATION = 1;
const BY_VARIANCE = 2;
const NEXT = 3;
const QUANTILES = 4;
const RUNS = QUANTILES + SHARES.length;

function statistics(kinds: Kinds, drawn: Float64Array, mixture: BetaMixture): number[] {
  const runs = RELIABILITIES.map((reliability) => runToShow(mixture, reliability, CONFIDENCE, MOST_RUN) ?? MOST_RUN + 1);
  return [
    mixture.mean,
    mixture.correlation,
    betweenGroups(kinds.groups, drawn)?.correlation ?? 0,
    nextByFit(kinds, drawn, mixture),
    ...SHARES.map((share) => mixtureQuantile(mixture, share)),
    ...runs,
  ];
}

/** What a draw of campaigns says in which none, or every one, landed: very rare, since {@link FEWEST} did and did not. */
function allAlike({ groups }: Kinds, drawn: Float64Array): BetaMixture {
  const sum = (count: (group: Group) => number): number => groups.reduce((total, group, i) => total + drawn[i] * count(group), 0);
  return { mean: sum(({ successes }) => successes) / sum(({ trials }) => trials), correlation: 0 };
}

/** Mean over the campaigns that landed of what their vehicle then promises. */
function nextByFit({ first }: Kinds, drawn: Float64Array, mixture: BetaMixture): number {
  let sum = 0;
  let n = 0;
  for (const [i, trials] of first.entries()) {
    if (trials === null) continue;
    sum += drawn[i] * nextSucceeds(mixture, { trials, successes: 1 });
    n += drawn[i];
  }
  return n === 0 ? mixture.mean : sum / n;
}

/** Of campaigns that flew on after their first landing. @returns null where none did */
function nextCounted(campaigns: readonly Attempts[]): Pick<AfterLanding, 'next' | 'by'> | null {
  const next = campaigns.flatMap((landed) => {
    const first = landed.indexOf(true);
    return first >= 0 && first + 1 < landed.length ? [landed[first + 1]] : [];
  });
  if (next.length === 0) return null;
  const landed = next.filter((one) => one).length;
  return { next: { value: landed / next.length, interval: clopperPearson(landed, next.length, LEVEL) }, by: 'counted' };
}

function kindsOf(campaigns: readonly Attempts[]): Kinds {
  const places = new Map<string, number>();
  const groups: Group[] = [];
  const first: (number | null)[] = [];
  const kind = Uint32Array.from(campaigns, (landed) => {
    const successes = landed.filter((one) => one).length;
    const place = landed.indexOf(true);
    const key = `${landed.length} ${successes} ${place}`;
    const known = places.get(key);
    if (known !== undefined) return known;
    places.set(key, groups.length);
    groups.push({ trials: landed.length, successes });
    first.push(place < 0 ? null : place + 1);
    return groups.length - 1;
  });
  return { groups, first, kind };
}

/** How many campaigns of each kind were drawn. */
function weights({ groups, kind }: Kinds, times: Uint16Array): Float64Array {
  const drawn = new Float64Array(groups.length);
  for (let i = 0; i < kind.length; i++) drawn[kind[i]] += times[i];
  return drawn;
}
