/** What tuning the control says first, and gains as people write them; true whatever the numbers. Computes nothing. */
import type { ControlTuning } from '../analysis/tune/controlTuning.ts';
import { GAIN_KEYS, GAIN_ROWS, type GainKey } from '../analysis/tune/gains.ts';
import { count, percent, percentInterval, withInterval } from './words.ts';

const DEG = Math.PI / 180;

/** The unit a gain is shown in, and the factor to it. */
function shownIn(key: GainKey): { readonly unit: string; readonly factor: number } {
  return key === 'driftTilt' ? { unit: 'deg', factor: 1 / DEG } : { unit: key === 'driftDamping' ? 's/m' : GAIN_ROWS[key].unit, factor: 1 };
}

/** "0.12", in the unit of {@link gainHead}. */
export function gainNumber(key: GainKey, value: number): string {
  return String(Number((value * shownIn(key).factor).toPrecision(3)));
}

/** "kd, s". */
export function gainHead(key: GainKey): string {
  const { unit } = shownIn(key);
  return unit === '' ? key : `${key}, ${unit}`;
}

/** As a study says it: "0.12 s". */
function gainText(key: GainKey, value: number): string {
  return `${gainNumber(key, value)} ${shownIn(key).unit}`.trimEnd();
}

/** For the study file: the gains alone, under the other keys of `control` that stay. */
export function controlBlock({ best }: Pick<ControlTuning, 'best'>): string {
  return ['control:', ...GAIN_KEYS.map((key) => `  ${key}: ${gainText(key, best[key])}`)].join('\n');
}

export function controlOpening({ fresh, best, present, bestIs, finished }: ControlTuning): string {
  if (fresh === null) return 'Interrupted before fresh flights were flown: what the gains below are worth is not known.';
  const { odds } = fresh.best;
  if (odds.share === null || odds.interval === null) return 'No flight has a result: nothing can be said of any gain.';
  const lands = `${percent(odds.share, odds.interval)} (${percentInterval(odds.interval)}) of ${count(odds.counted)} fresh flights`;
  const cut = finished ? '' : ' Interrupted before it was known how far each may be off.';
  if (bestIs === 'present' || fresh.difference === null)
    return `Keep the gains: the search found none that land more; they land ${lands}.${cut}`;
  const changes = GAIN_KEYS.filter((key) => gainNumber(key, best[key]) !== gainNumber(key, present[key]))
    .map((key) => `${key} ${gainText(key, present[key])} to ${gainText(key, best[key])}`)
    .join(', ');
  const { difference, interval } = fresh.difference;
  const points = `${withInterval(100 * difference, [100 * interval[0], 100 * interval[1]])} points`;
  if (interval[0] > 0) return `Change the gains (${changes}): they land ${lands}, ${points} more than the study’s own.${cut}`;
  if (interval[1] < 0) return `Keep the gains: on fresh flights what the search found (${changes}) lands ${points} against them.${cut}`;
  return `Keep the gains, or change them: what the search found (${changes}) lands ${lands} and is not told from the study’s own, ${points}.${cut}`;
}
