/**
 * The sentence that flights, comparisons, tunings and drops are opened with, for terminal and page: what to do, true
 * whatever the numbers. Computes nothing.
 */
import type { Comparison, PairAnswers } from '../analysis/compare/comparison.ts';
import type { DropRules } from '../analysis/drops/dropRules.ts';
import type { Answers } from '../analysis/fly/summary.ts';
import type { HeightMiss } from '../analysis/shift/heightMiss.ts';
import type { Tuning } from '../analysis/tune/tuning.ts';
import { answerSentence } from './findings.ts';
import { verdictText } from './verdict.ts';
import { count, percent, percentInterval, plain, withInterval } from './words.ts';

/** What flights of one rule say to do: how many attempts to plan, and what to look at first. */
export function flyOpening({ odds, attempts, causes }: Answers, miss: HeightMiss | null): string {
  const { counted } = odds;
  const answer = answerSentence(odds);
  if (attempts === null || counted === 1) return answer;
  if (miss?.stale)
    return `Move the rule’s height first: its constants look stale, and all below is of a rule that lights too ${tooFar(miss)}. ${answer}`;
  const { assurance, attempts: needed, least, most } = attempts.assured;
  // No number of attempts is sure to bring a landing of which none was seen.
  if (needed === null || most === null) return `Do not fly it as it is, and look first at ${lookAt(causes)}. ${answer}`;
  const sure = percent(assurance, [0, 1]);
  const plan = `Plan ${attemptCount(needed, least, most)}, each with its pair of motors, for a first landing with ${sure} odds`;
  return `${plan}${causes.failed === 0 ? '' : `, and look first at ${lookAt(causes)}`}. ${answer}`;
}

function tooFar({ median }: HeightMiss): string {
  return median < 0 ? 'low' : 'high';
}

function attemptCount(attempts: number, least: number, most: number): string {
  const range = least === most ? '' : ` (${count(least)} to ${count(most)})`;
  return `${count(attempts)} attempt${attempts === 1 && most === 1 ? '' : 's'}${range}`;
}

/** The most frequent failures, as far as their order is not luck. */
function lookAt({ ranked }: Answers['causes']): string {
  const firsts = ranked.slice(
    0,
    1 +
      Math.max(
        0,
        ranked.findIndex(({ tiedWithNext }) => !tiedWithNext),
      ),
  );
  const named = firsts.map(({ outcome }) => `“${outcome}”`);
  if (named.length === 1) return `${named[0]}, the most frequent failure`;
  const words = `${named.slice(0, -1).join(', ')} and ${named[named.length - 1]}`;
  return `${words}, the most frequent failures in an order that may be luck`;
}

/** Which of several rules or designs to fly. */
export function compareOpening({ rules, pairs, designs, flights }: Comparison): string {
  const one = designs === null ? 'rule' : 'design';
  const worse = new Map<string, PairAnswers>();
  for (const pair of pairs) {
    if (pair.statement.verdict === 'first') keepWorst(worse, pair.second, pair);
    if (pair.statement.verdict === 'second') keepWorst(worse, pair.first, pair);
  }
  const left = rules.filter(({ rule }) => !worse.has(rule)).map(({ rule }) => rule);
  const each = `${count(flights)} flights each`;
  if (worse.size === 0) {
    if (pairs.length > 0 && pairs.every(({ statement }) => statement.verdict === 'alike'))
      return `Take whichever ${one} you like best: all land alike within the margin, by ${each}.`;
    return `Change no ${one} for what is seen here: ${each} show no difference in landings beyond chance between ${rules.length === 2 ? 'the two' : `any two of ${rules.length}`}.`;
  }
  const shown = [...worse.values()].map((pair) => verdictText(pair, pairs.length));
  if (left.length === 1) return `Fly ${left[0]}: ${shown.join('; ')}.`;
  const open = left.length === 0 ? '' : `; of ${listed(left)} none is shown to land less than another`;
  return `Leave out ${listed([...worse.keys()])}: ${shown.join('; ')}${open}.`;
}

/** By what a rule is beaten most surely: one pair of each is enough. */
function keepWorst(worse: Map<string, PairAnswers>, rule: string, pair: PairAnswers): void {
  const before = worse.get(rule);
  if (before === undefined || pair.statement.adjustedP < before.statement.adjustedP) worse.set(rule, pair);
}

function listed(names: readonly string[]): string {
  return names.length === 1 ? names[0] : `${names.slice(0, -1).join(', ')} and ${names[names.length - 1]}`;
}

/** Whether to change a rule's constants to those found. */
export function tuningOpening({ rule, best, present, fresh, finished, free, good }: Tuning): string {
  const cut = finished ? '' : ' The search was interrupted: the best so far.';
  if (fresh === null)
    return `Nothing is known yet of what these constants of ${rule} are worth: no fresh flight was flown with them.${cut}`;
  const { odds } = fresh.best;
  if (odds.share === null || odds.interval === null) return `Nothing can be said of ${rule}: no fresh flight has a result.`;
  const lands = `${percent(odds.share, odds.interval)} (${percentInterval(odds.interval)}) of ${count(odds.counted)} fresh flights land`;
  const changed = Object.keys(best.constants).filter((key) => best.constants[key] !== present[key]);
  if (changed.length === 0) return `Keep the constants of ${rule}: the search found none better; ${lands}.${cut}`;
  const changes = changed
    .map((key) => {
      const unit = free.find((constant) => constant.key === key)?.unit ?? '';
      return `${key} ${plain(present[key])} to ${plain(best.constants[key])}${unit === '' ? '' : ` ${unit}`}`;
    })
    .join(', ');
  const { difference, interval } = fresh.pair;
  if (difference === null || interval === null)
    return `Nothing is shown of ${rule} changed (${changes}): no flight has a result by both; ${lands}.${cut}`;
  const what = good?.kind === 'sink' ? `points of touchdowns no harder than ${plain(good.most)} m/s` : 'points of landings';
  const points = `${withInterval(100 * difference, [100 * interval[0], 100 * interval[1]])} ${what}`;
  if (interval[0] > 0) return `Change ${rule} (${changes}): it gains ${points} on fresh flights; ${lands}.${cut}`;
  if (interval[1] < 0)
    return `Keep the constants of ${rule}: on fresh flights what the search found (${changes}) is worth ${points}.${cut}`;
  return `Keep the constants of ${rule}, or change them (${changes}): on fresh flights the two are not told apart, ${points}; ${lands}.${cut}`;
}

/** Whether the landing motor can do it, and what to do then. */
export function dropsOpening({ verdict, drops, nominal }: DropRules): string {
  const { stands, soft, bestSink, sinkLimit } = verdict;
  const every = `${count(drops.length)} drops of the nominal vehicle`;
  if (stands === drops.length)
    return `Begin with the constants below: from each of ${every} it can land, from the nominal apogee lit at ${plain(nominal.commandHeight)} m true height; then let alight tune --rule find what lands most under all that varies.`;
  if (stands > 0)
    return `Begin with the constants below, but mend what keeps it from landing: it can land from ${count(stands)} of ${every}.`;
  if (soft > 0) return `Mend the touchdown before any rule: ${count(soft)} of ${every} can be braked enough, and not one of them stands.`;
  return `Change the landing motor, the mass or the height of the flight before any rule: lit at its best moment, the softest of ${every} touches down at ${plain(bestSink)} m/s, over the limit of ${plain(sinkLimit)} m/s.`;
}
