/**
 * Success probabilities that differ from group to group by a beta distribution: chances that follow from it, and its
 * fit to groups of trials. A group may end whenever it likes by what it has seen (at its first success, say): the
 * likelihood is the same. Trials within a group are taken to be alike, whatever their order.
 *
 * Written by mean m and correlation r = 1/(a + b + 1) between two trials of a group, a = m (1 - r)/r and
 * b = (1 - m) (1 - r)/r, so that r = 0, all groups alike, is a place like any other.
 *
 * Sources: D. A. Williams, Biometrics 31 (1975) 949-952 (the beta-binomial fit); C. R. Weinberg and B. C. Gladen,
 * Biometrics 42 (1986) 547-560 (waiting for the first success); neither opened, the formulas are derived anew.
 */
import { log } from '../../maths/elementary/logarithm.ts';
import { goldenSection } from '../../maths/goldenSection.ts';
import { incompleteBeta } from '../../maths/incompleteBeta.ts';
import { checkCounts } from '../samples/interval.ts';

export interface BetaMixture {
  /** In (0, 1). */
  readonly mean: number;
  /** Between two trials of one group, in [0, 1): the share of a trial's variance that lies between groups. */
  readonly correlation: number;
}

/** Trials of one group, and how many of them succeeded. */
export interface Group {
  readonly trials: number;
  readonly successes: number;
}

/** Trials and successes of all groups, counted so that a likelihood takes as many terms as the longest group. */
export interface GroupCounts {
  /** Groups with more than i successes. */
  readonly successes: readonly number[];
  readonly failures: readonly number[];
  readonly trials: readonly number[];
}

/** Below it a beta distribution's shapes are too large to work with, and all groups alike for any purpose. */
const ALIKE = 1e-9;
/** A correlation of 1 would be groups that always or never succeed: tried up to here. */
const MOST = 1 - 1e-6;

/** @param times how often each group counts; once when left out   @throws RangeError on counts that cannot be */
export function countGroups(groups: readonly Group[], times?: ArrayLike<number>): GroupCounts {
  const counts = { successes: [] as number[], failures: [] as number[], trials: [] as number[] };
  for (const [i, { trials, successes }] of groups.entries()) {
    checkCounts({ trials, successes });
    if (successes > trials) throw new RangeError(`${successes} successes in only ${trials} trials`);
    const weight = times === undefined ? 1 : times[i];
    addUpTo(counts.successes, successes, weight);
    addUpTo(counts.failures, trials - successes, weight);
    addUpTo(counts.trials, trials, weight);
  }
  return counts;
}

function addUpTo(counts: number[], n: number, weight: number): void {
  for (let i = 0; i < n; i++) counts[i] = (counts[i] ?? 0) + weight;
}

/** Log-likelihood of the trials in the order they came: without the binomial coefficients. */
export function logLikelihood(counts: GroupCounts, { mean, correlation }: BetaMixture): number {
  let sum = 0;
  for (const [i, n] of counts.successes.entries()) sum += n * log(mean * (1 - correlation) + i * correlation);
  for (const [i, n] of counts.failures.entries()) sum += n * log((1 - mean) * (1 - correlation) + i * correlation);
  for (const [i, n] of counts.trials.entries()) sum -= n * log(1 - correlation + i * correlation);
  return sum;
}

/**
 * The likeliest mixture.
 * @returns null where all trials succeeded or all failed, or no group has two: they tell no correlation
 */
export function fitBetaMixture(counts: GroupCounts): BetaMixture | null {
  if (counts.successes.length === 0 || counts.failures.length === 0 || counts.trials.length < 2) return null;
  const loss = (correlation: number): number => -logLikelihood(counts, { mean: likeliestMean(counts, correlation), correlation });
  // Coarse places first: the likelihood need not have a single top. Closer together near 0, where most mixtures are.
  const places = [0, 0.001, 0.003, 0.01, 0.03, 0.06, 0.1, 0.15, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.97, MOST];
  const losses = places.map(loss);
  const best = losses.indexOf(Math.min(...losses));
  const bottom = goldenSection(loss, places[Math.max(0, best - 1)], places[Math.min(places.length - 1, best + 1)], 1e-9);
  const correlation = bottom.value <= losses[best] ? bottom.at : places[best];
  return { mean: likeliestMean(counts, correlation), correlation };
}

/**
 * The log-likelihood is concave in the mean: Newton's steps toward where its slope is 0, and halvings wherever a step
 * would leave what the slope's signs have left.
 */
function likeliestMean({ successes, failures }: GroupCounts, correlation: number): number {
  const own = 1 - correlation;
  let low = 0;
  let high = 1;
  let mean = 0.5;
  for (;;) {
    let slope = 0;
    let fall = 0;
    for (let i = 0; i < successes.length; i++) {
      const part = own / (mean * own + i * correlation);
      slope += successes[i] * part;
      fall += successes[i] * part * part;
    }
    for (let i = 0; i < failures.length; i++) {
      const part = own / ((1 - mean) * own + i * correlation);
      slope -= failures[i] * part;
      fall += failures[i] * part * part;
    }
    if (slope > 0) low = mean;
    else high = mean;
    const newton = mean + slope / fall;
    const next = newton > low && newton < high ? newton : (low + high) / 2;
    if (Math.abs(next - mean) <= 1e-13 || high - low <= 1e-13) return next;
    mean = next;
  }
}

/** Chance that so many trials of a group whose probability nobody knows all fail: the product of the chances one by one. */
export function chanceOfNone({ mean, correlation }: BetaMixture, trials: number): number {
  checkCounts({ trials });
  let chance = 1;
  for (let i = 0; i < trials; i++) {
    chance *= ((1 - mean) * (1 - correlation) + i * correlation) / (1 - correlation + i * correlation);
  }
  return chance;
}

/** Chance that a group's next trial succeeds, after what it has shown. */
export function nextSucceeds({ mean, correlation }: BetaMixture, { trials, successes }: Group): number {
  checkCounts({ trials, successes });
  return (mean * (1 - correlation) + successes * correlation) / (1 - correlation + trials * correlation);
}

/** The success probability below which a share of the groups lies. @param share in (0, 1)   @throws RangeError otherwise */
export function mixtureQuantile({ mean, correlation }: BetaMixture, share: number): number {
  if (!(share > 0 && share < 1)) throw new RangeError(`a share lies between 0 and 1, not ${share}`);
  if (correlation < ALIKE) return mean;
  const { a, b } = shapes({ mean, correlation });
  let low = 0;
  let high = 1;
  while (high - low > 1e-12) {
    const p = (low + high) / 2;
    if (incompleteBeta(a, b, p) < share) low = p;
    else high = p;
  }
  return (low + high) / 2;
}

/** Share of the groups whose success probability is at most `p`. */
export function shareBelow(mixture: BetaMixture, p: number): number {
  if (mixture.correlation < ALIKE) return p < mixture.mean ? 0 : 1;
  const { a, b } = shapes(mixture);
  return incompleteBeta(a, b, p);
}

/**
 * Fewest successes in a row after which a group's probability is at least `reliability` with this confidence, the
 * mixture being what was known before.
 * @param most tried   @returns null where even the most are not enough
 */
export function runToShow(mixture: BetaMixture, reliability: number, confidence: number, most: number): number | null {
  for (const share of [reliability, confidence]) {
    if (!(share > 0 && share < 1)) throw new RangeError(`reliability and confidence lie between 0 and 1, not ${share}`);
  }
  if (mixture.correlation < ALIKE) return mixture.mean >= reliability ? 0 : null;
  const { a, b } = shapes(mixture);
  const enough = (run: number): boolean => 1 - incompleteBeta(a + run, b, reliability) >= confidence;
  if (enough(0)) return 0;
  if (!enough(most)) return null;
  let tooFew = 0;
  let plenty = most;
  while (plenty - tooFew > 1) {
    const middle = Math.floor((tooFew + plenty) / 2);
    if (enough(middle)) plenty = middle;
    else tooFew = middle;
  }
  return plenty;
}

/** The beta distribution's own; correlation > 0. */
export function shapes({ mean, correlation }: BetaMixture): { readonly a: number; readonly b: number } {
  const size = (1 - correlation) / correlation;
  return { a: mean * size, b: (1 - mean) * size };
}
