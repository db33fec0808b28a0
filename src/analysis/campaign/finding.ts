/** The one sentence that opens the answers about attempts in a row: true whatever the numbers. Computes nothing. */
import type { FirstLanding } from './firstLanding.ts';

const percent = (share: number): string => `${Number((100 * share).toPrecision(2))} %`;
const range = ([low, high]: readonly [number, number]): string => `${percent(low)} to ${percent(high)}`;
const attemptsWord = (n: number): string => `${n} attempt${n === 1 ? '' : 's'}`;

/** @param attempts at most in a campaign   @param stays whether any input keeps something from flight to flight */
export function campaignFinding(odds: FirstLanding | null, attempts: number, stays: boolean): string {
  if (odds === null) return 'No campaign was flown to its end, so nothing can be said.';
  const { campaigns, never, needed } = odds;
  if (never.campaigns === campaigns) {
    return `None of ${campaigns} campaigns landed within ${attemptsWord(attempts)}: the odds of a first landing by then are at most ${percent(1 - never.interval[0])}.`;
  }
  const even = needed.find((one) => one.odds === 0.5);
  const sure = needed.find((one) => one.odds === 0.95);
  const last = odds.curve[odds.curve.length - 1];
  const byThen = `${percent(last.share)} (${range(last.interval)}) have landed by attempt ${attempts}`;
  if (even === undefined || even.attempts === null) {
    return `Even odds of a first landing are not reached within ${attemptsWord(attempts)}: ${byThen}.`;
  }
  const spread = (n: number, least: number | null, most: number | null): string =>
    least === n && most === n ? '' : ` (${least ?? n} to ${most ?? `more than ${attempts}`})`;
  const evenly = `${attemptsWord(even.attempts)}${spread(even.attempts, even.least, even.most)}`;
  const fresh =
    stays && sure !== undefined && sure.naive !== null
      ? `; if every attempt were fresh luck, 95 % would take ${sure.naive} (${sure.naiveLeast} to ${sure.naiveMost ?? 'no number'})`
      : '';
  if (sure === undefined || sure.attempts === null) {
    return `Plan for ${evenly} for even odds of a first landing; 95 % odds are not reached within ${attempts}: ${byThen}${fresh}.`;
  }
  return `Plan for ${evenly}, each with its pair of motors, for even odds of a first landing, and for ${sure.attempts} (${sure.least ?? sure.attempts} to ${sure.most ?? `more than ${attempts}`}) for 95 % odds${fresh}.`;
}
