/**
 * Odds of a first landing by attempt, beside what they would be if every attempt were fresh luck of a vehicle nobody
 * knows. Counts whole campaigns, which are independent of each other; fits nothing.
 */
import { attemptsFor } from '../../statistics/proportions/attempts.ts';
import { clopperPearson } from '../../statistics/proportions/binomial.ts';
import type { Interval } from '../../statistics/samples/interval.ts';
import type { Attempts } from './campaignCollector.ts';

export const LEVEL = 0.95;
export const ODDS = [0.5, 0.8, 0.95];

export interface OddsByAttempt {
  readonly attempt: number;
  /** Campaigns that had landed by then. */
  readonly landed: number;
  readonly share: number;
  readonly interval: Interval;
  /** 1 - (1 - p)^n, p the share of first attempts that landed; its interval carried over. */
  readonly naive: number;
  readonly naiveInterval: Interval;
}

export interface AttemptsNeeded {
  readonly odds: number;
  /** null: more than were flown. */
  readonly attempts: number | null;
  /** By the ends of the odds' intervals; null as above. */
  readonly least: number | null;
  readonly most: number | null;
  /** If every attempt were fresh luck; null where no first attempt landed. */
  readonly naive: number | null;
  /** By the ends of p's interval; `most` null where that reaches down to 0. */
  readonly naiveLeast: number;
  readonly naiveMost: number | null;
}

export interface FirstLanding {
  readonly level: number;
  readonly campaigns: number;
  readonly curve: readonly OddsByAttempt[];
  readonly needed: readonly AttemptsNeeded[];
  /** Campaigns without a landing in all their attempts. */
  readonly never: { readonly campaigns: number; readonly share: number; readonly interval: Interval };
}

/** @param attempts at most   @returns null without a campaign */
export function firstLanding(campaigns: readonly Attempts[], attempts: number): FirstLanding | null {
  const n = campaigns.length;
  if (n === 0) return null;
  const firsts = new Array<number>(attempts).fill(0);
  for (const landed of campaigns) {
    const first = landed.indexOf(true);
    if (first >= 0) firsts[first]++;
  }
  const p = firsts[0] / n;
  const [low, high] = clopperPearson(firsts[0], n, LEVEL);
  const naive = (chance: number, attempt: number): number => 1 - (1 - chance) ** attempt;
  let landed = 0;
  const curve = firsts.map((count, i): OddsByAttempt => {
    landed += count;
    const attempt = i + 1;
    return {
      attempt,
      landed,
      share: landed / n,
      interval: clopperPearson(landed, n, LEVEL),
      naive: naive(p, attempt),
      naiveInterval: [naive(low, attempt), naive(high, attempt)],
    };
  });
  const by = (reached: (point: OddsByAttempt) => boolean): number | null => curve.find(reached)?.attempt ?? null;
  return {
    level: LEVEL,
    campaigns: n,
    curve,
    needed: ODDS.map((odds) => ({
      odds,
      attempts: by(({ share }) => share >= odds),
      least: by(({ interval }) => interval[1] >= odds),
      most: by(({ interval }) => interval[0] >= odds),
      naive: p === 0 ? null : attemptsFor(p, 1, odds),
      naiveLeast: attemptsFor(high, 1, odds),
      naiveMost: low === 0 ? null : attemptsFor(low, 1, odds),
    })),
    never: { campaigns: n - landed, share: (n - landed) / n, interval: clopperPearson(n - landed, n, LEVEL) },
  };
}
