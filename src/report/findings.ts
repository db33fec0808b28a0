/**
 * What a picture shows, as a sentence that claims no more than the numbers allow: the titles of the page. Computes
 * nothing new.
 */
import type { Band } from '../analysis/fly/bands.ts';
import type { BeliefGroup } from '../analysis/fly/belief.ts';
import type { Causes } from '../analysis/fly/causes.ts';
import type { ContactAnswer, ContactMeasure } from '../analysis/fly/contact.ts';
import type { Odds } from '../analysis/fly/odds.ts';
import { LEVEL } from '../analysis/fly/summary.ts';
import type { MeasuredTouchdown, Touchdown, TouchdownMeasure } from '../analysis/fly/touchdown.ts';
import { clopperPearson } from '../statistics/proportions/binomial.ts';
import type { Interval } from '../statistics/samples/interval.ts';
import { inputWords } from './inputWords.ts';
import { count, decimalsFor, percent, percentInterval, plain, rounded, shown, withInterval } from './words.ts';

/** "1 flight", "10,000 flights". */
export function flightCount(n: number): string {
  return `${count(n)} flight${n === 1 ? '' : 's'}`;
}

/** "95 %". */
export function levelOf(level: number): string {
  return `${Number((100 * level).toFixed(2))} %`;
}

/** The answer to the main question, in one sentence. */
export function answerSentence(o: Odds): string {
  if (o.flights === 0) return 'No flight was flown: nothing can be said about landing.';
  if (o.share === null || o.interval === null) {
    return `None of ${flightCount(o.flights)} has a result: nothing can be said about landing.`;
  }
  const [low, high] = o.interval;
  const level = levelOf(o.level);
  if (o.counted === 1)
    return `One flight alone says little: it ${o.landed === 1 ? 'landed' : 'did not land'} (${level} interval of the success probability ${percentInterval(o.interval)}).`;
  if (o.landed === 0) {
    return `None of ${count(o.counted)} simulated flights landed: the success probability is at most ${percent(high, [0, high])} (${level} interval 0 to ${percent(high, [0, high])}).`;
  }
  if (o.landed === o.counted) {
    return `All ${count(o.counted)} simulated flights landed: the success probability is at least ${percent(low, [low, 1])} (${level} interval ${percent(low, [low, 1])} to 100 %).`;
  }
  return `${percent(o.share, o.interval)} of simulated flights land (${level} interval ${percentInterval(o.interval)}).`;
}

/** Flights flown, landed and without a result; always shown under the answer. */
export function countsSentence(o: Odds): string {
  const without =
    o.noResult === 0
      ? 'every flight has a result'
      : `${count(o.noResult)} ${o.noResult === 1 ? 'has' : 'have'} no result and ${o.noResult === 1 ? 'is' : 'are'} in no share`;
  const base = `${count(o.landed)} of ${flightCount(o.counted)} with a result landed; ${count(o.flights)} flown, ${without}.`;
  if (o.noResult === 0 || o.open === null || o.counted === 0) return base;
  const [none, all] = o.open.share;
  return `${base} Had none or all of those landed, it would be ${percent(none, o.interval)} or ${percent(all, o.interval)}.`;
}

export function causesFinding(c: Causes): string {
  if (c.counted === 0) return 'No flight has a result, so no cause is known';
  if (c.failed === 0) return `No failure was seen in ${flightCount(c.counted)}`;
  const [first, second] = c.ranked;
  const share = `${percent(first.share, first.interval)} of flights, ${percentInterval(first.interval)}`;
  if (first.tiedWithNext && second !== undefined) {
    return `“${sentence(first.outcome)}” and “${second.outcome}” are the most frequent failures; which is first may be luck`;
  }
  return `“${sentence(first.outcome)}” is the most frequent failure (${share})`;
}

const MEASURE_VERBS: Readonly<Record<TouchdownMeasure, string>> = {
  sink: 'come down no faster than the limit of',
  slide: 'slide no faster than the limit of',
  tilt: 'lean no further than the limit of',
};

const MEDIAN_VERBS: Readonly<Record<TouchdownMeasure, string>> = {
  sink: 'come down at no more than',
  slide: 'slide at no more than',
  tilt: 'lean by no more than',
};

export const MEASURE_UNITS: Readonly<Record<TouchdownMeasure, string>> = { sink: 'm/s', slide: 'm/s', tilt: 'rad' };

export function touchdownFinding(t: Touchdown, measure: TouchdownMeasure): string {
  const m: MeasuredTouchdown = t.measures[measure];
  if (t.touched === 0) return 'No flight with a result touched the ground';
  const to = shown(MEASURE_UNITS[measure]);
  if (m.limit === null || m.shareWithin === null || m.shareWithinInterval === null) {
    const median = m.quantiles.find((q) => q.share === 0.5);
    const range: Interval | null = median?.interval ? [median.interval[0] * to.factor, median.interval[1] * to.factor] : null;
    return median === undefined
      ? `No ${measure} is known`
      : `Half of the touchdowns ${MEDIAN_VERBS[measure]} ${withInterval(median.value * to.factor, range)} ${to.unit}`;
  }
  const share = `${percent(m.shareWithin, m.shareWithinInterval)} (${percentInterval(m.shareWithinInterval)})`;
  const held = m.ofLegs ? 'come down no faster than the legs stand upright,' : MEASURE_VERBS[measure];
  return `${share} of touchdowns ${held} ${plain(m.limit * to.factor)} ${to.unit}`;
}

export const CONTACT_UNITS: Readonly<Record<ContactMeasure, string>> = { peakFootForce: 'N', greatestLean: 'rad', slidPath: 'm' };

export function contactFinding(c: ContactAnswer, measure: ContactMeasure): string {
  const m = c.measures[measure];
  const middle = m.quantiles.find(({ share }) => share === 0.5);
  if (middle === undefined) return 'In no flight with a result did a foot touch the ground';
  const to = shown(CONTACT_UNITS[measure]);
  const range: Interval | null = middle.interval === null ? null : [middle.interval[0] * to.factor, middle.interval[1] * to.factor];
  const half = `${withInterval(middle.value * to.factor, range)} ${to.unit}`;
  switch (measure) {
    case 'peakFootForce':
      return m.mark === null || m.shareWithin === null || m.shareWithinInterval === null
        ? `In half of the touchdowns no foot is pressed by more than ${half}`
        : `${percent(m.shareWithin, m.shareWithinInterval)} (${percentInterval(m.shareWithinInterval)}) of touchdowns press no foot beyond the nominal ${plain(m.mark * to.factor)} ${to.unit}`;
    case 'greatestLean':
      return `Half of the touchdowns lean by no more than ${half} afterwards`;
    case 'slidPath':
      return `In half of the touchdowns no foot slides farther than ${half}`;
  }
}

/** @param reach distance that so many places lie within, with its interval */
export function mapFinding(share: number, reach: number | null, interval: Interval | null): string {
  if (reach === null) return 'No flight with a result came down';
  if (interval === null) return `Too few landing places to say within what distance ${percent(share, [0, 1])} of them lie`;
  const d = decimalsFor((interval[1] - interval[0]) / 2);
  const range = ` (${rounded(interval[0], d)} to ${rounded(interval[1], d)} m)`;
  return `${percent(share, [0, 1])} of landing places lie within ${rounded(reach, d)} m of the pad${range}`;
}

export function beliefFinding(groups: readonly BeliefGroup[]): string {
  if (groups.length === 0) return 'No flight gave the ignition command, so belief was never put to use';
  const parts = groups.flatMap(({ outcome, toLanded }) => {
    if (toLanded === null || (outcome !== 'lit too high' && outcome !== 'lit too low')) return [];
    const [low, high] = toLanded.interval;
    if (low <= 0 && high >= 0) return [`no difference is seen for those ${outcome} (${signed(low, high)} m)`];
    const way = toLanded.difference > 0 ? 'higher' : 'lower';
    const ends: Interval = toLanded.difference > 0 ? [low, high] : [-high, -low];
    const d = decimalsFor((high - low) / 2);
    return [
      `those ${outcome} believed themselves ${rounded(Math.abs(toLanded.difference), d)} m ${way} (${rounded(ends[0], d)} to ${rounded(ends[1], d)})`,
    ];
  });
  if (parts.length === 0) {
    const all = groups[0];
    return `At ignition the flights “${all.outcome}” believed themselves ${plain(Math.abs(all.median))} m too ${all.median < 0 ? 'low' : 'high'} in the median`;
  }
  return `Against flights that landed, ${parts.join('; ')}`;
}

/** Where along a quantity success is least and most, and whether it rises in between; or that no difference is seen. */
export function bandsFinding(name: string, all: readonly Band[], unit: string): string {
  const filled = all.filter((b) => b.share !== null && b.interval !== null);
  if (filled.length === 0) return `Success along ${name}: no flight has a result`;
  if (filled.length === 1) return `Success along ${name}: too few flights to compare`;
  const share = (b: Band): number => b.share ?? Number.NaN;
  const best = filled.reduce((a, b) => (share(b) > share(a) ? b : a));
  const worst = filled.reduce((a, b) => (share(b) < share(a) ? b : a));
  // Bands are picked from all: their intervals must hold together.
  const together = 1 - (1 - LEVEL) / filled.length;
  const low = (b: Band): number => clopperPearson(b.landed, b.counted, together)[0];
  const high = (b: Band): number => clopperPearson(b.landed, b.counted, together)[1];
  if (low(best) <= high(worst)) return `No change of success is seen along ${name}: the bands’ intervals overlap`;
  const text = (b: Band): string => `${percent(share(b), b.interval)} at ${bandRange(b, unit)}`;
  const ends = [filled[0], filled[filled.length - 1]];
  const [peak, hollow] = [ends.every((end) => low(best) > high(end)), ends.every((end) => high(worst) < low(end))];
  const most = `most, ${text(best)}${peak ? ' and less on either side of that' : ''}`;
  return `Along ${name} success is ${most}; least, ${text(worst)}${hollow ? ' and more on either side of that' : ''}`;
}

/** "1.2 to 1.6 m/s". */
export function bandRange({ low, high }: Pick<Band, 'low' | 'high'>, unit: string): string {
  const to = shown(unit);
  const d = decimalsFor(((high - low) * to.factor) / 4);
  const [a, b] = [rounded(low * to.factor, d), rounded(high * to.factor, d)];
  return `${a === b ? plain(low * to.factor) : `${a} to ${b}`}${to.unit === '' ? '' : ` ${to.unit}`}`;
}

/** What the drawn inputs' means say of the draw. @param largest departure in standard errors, over so many inputs */
export function drawnFinding(largest: { readonly key: string; readonly departure: number } | null, inputs: number): string {
  if (inputs === 0) return 'No input varies in this study: every flight differs by noise alone';
  const noun = inputs === 1 ? 'The one varying input was' : `All ${inputs} varying inputs were`;
  if (largest === null) return `${noun} drawn as asked`;
  const size = Math.abs(largest.departure).toFixed(1);
  // Of so many honest means one lies as far out as this once in a thousand studies or so.
  const usual = Math.sqrt(2 * Math.log(Math.max(2, inputs) * 1000));
  if (Math.abs(largest.departure) <= usual) return `${noun} drawn as asked: no mean is more than ${size} standard errors off`;
  return `The mean of ${inputWords(largest.key)} lies ${size} standard errors from what was asked; draws held at the model’s bounds can do that`;
}

function signed(low: number, high: number): string {
  const d = decimalsFor((high - low) / 2);
  return `${rounded(low, d)} to ${rounded(high, d)}`;
}

/** First letter large. */
export function sentence(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
