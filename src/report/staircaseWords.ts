/** The sentences a staircase of fixes is opened with: true whatever the numbers. Computes nothing. */
import type { Candidacy, Staircase, Step } from '../analysis/rank/staircase.ts';
import { count, percent, percentInterval, rounded } from './words.ts';

/** Names given in a row or a sentence at most. */
const MOST = 3;
/** How a name of the list is written: as it is typed, or in words. */
type Wording = (name: string) => string;
const TYPED: Wording = (name) => name;

/** "wind halved", "stalls perfect", or the fix as it was asked for. */
export function candidacyWords({ name, strength }: Candidacy, wording: Wording = TYPED): string {
  return strength === 'asked' ? name : `${wording(name)} ${strength === 'half' ? 'halved' : 'perfect'}`;
}

/** The first few of those not told from the one taken; empty for none. */
export function alikeWords({ alike }: Pick<Step, 'alike'>, wording: Wording = TYPED): string {
  const shown = alike.slice(0, MOST).map((one) => candidacyWords(one, wording));
  const rest = alike.length - shown.length;
  return `${shown.join(', ')}${rest > 0 ? ` and ${rest} more` : ''}`;
}

export function stepWords({ name, strength }: Pick<Step, 'name' | 'strength'>, wording: Wording = TYPED): string {
  return strength === null ? 'constants retuned' : candidacyWords({ name, strength }, wording);
}

/** @param share in (0, 1) */
export function wishWords(share: number): string {
  return `${Number(rounded(100 * share, 2))} %`;
}

/** The opening: whether the wish is met, by what, and if not what remains. */
export function staircaseOpening(r: Staircase, wording: Wording = TYPED): string {
  const first = r.programmed;
  const last = r.steps.at(-1) ?? first;
  if (first === null || last === null) return 'Interrupted before a step was flown: nothing can be said.';
  const { share, interval } = last.odds;
  if (first.odds.share === null || share === null || interval === null) return 'No flight has a result: nothing can be said of any fix.';
  const fixes = r.steps.filter(({ kind }) => kind !== 'retuning');
  const there = `${percent(share, interval)} (${percentInterval(interval)})`;
  const from = percent(first.odds.share, first.odds.interval);
  const retuned = r.steps[0]?.kind === 'retuning';
  const done =
    fixes.length === 0
      ? retuned
        ? `With its constants retuned and nothing mended the vehicle lands ${there}, from ${from} as programmed`
        : `As programmed and with nothing mended the vehicle lands ${there}`
      : `${retuned ? 'Retuned constants and ' : ''}${fixes.length === 1 ? 'one fix' : `${fixes.length} fixes, in this order,`} ${!retuned && fixes.length === 1 ? 'takes' : 'take'} landing success from ${from} to ${there}: ${fixes.map((step) => stepWords(step, wording)).join('; ')}`;
  return `${done.charAt(0).toUpperCase()}${done.slice(1)}. ${verdict(r)}`;
}

function verdict(r: Staircase): string {
  const wish = wishWords(r.wish);
  if (r.stoppedBy === 'interrupted') return 'It was interrupted there.';
  if (r.end === 'reached') return `The wish of ${wish} is met.`;
  const why = {
    wish: 'the luck that chose the steps had it met, and no more were tried',
    'nothing helps': `no other fix of the list is shown to help with ${count(r.flights)} flights each`,
    'nothing left': 'the list has no other fix',
  }[r.stoppedBy];
  const head =
    r.end === 'open'
      ? `Whether that meets the wish of ${wish} these flights leave open: ${why}.`
      : `The wish of ${wish} is not met: ${why}.`;
  return [head, ceiling(r), remains(r)].filter((part) => part !== '').join(' ');
}

/** What no fix of the list can buy. */
function ceiling({ everything, wish }: Staircase): string {
  const odds = everything?.odds;
  if (odds === undefined || odds.share === null || odds.interval === null) return '';
  const all = `${percent(odds.share, odds.interval)} (${percentInterval(odds.interval)})`;
  return odds.interval[1] < wish
    ? `Even with every spread and noise of the list gone it lands ${all}: the rest is in the design, its motors, masses and rule, not in its spreads.`
    : `With every spread and noise of the list gone it lands ${all}.`;
}

function remains({ remaining }: Staircase): string {
  if (remaining.length === 0) return '';
  const named = remaining
    .slice(0, MOST)
    .map(({ outcome, share, interval }) => `${outcome} ${percent(share, interval)} (${percentInterval(interval)})`);
  const rest = remaining.length - named.length;
  return `What remains: ${named.join(', ')}${rest > 0 ? ` and ${rest} more kinds` : ''}.`;
}
