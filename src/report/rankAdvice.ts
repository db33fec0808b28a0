/**
 * The sentence a ranking opens with, for terminal and page alike: what to fix first, what cannot be told from it, what
 * does not matter.
 */
import type { Advice } from '../analysis/rank/advice.ts';
import type { FixRanking, FlownRanking, Measured, Ranking, SobolRanking } from '../analysis/rank/ranking.ts';
import type { Place } from '../statistics/sensitivity/sharedPlaces.ts';
import { count, withInterval } from './words.ts';

/** Names given in a sentence at most. */
const MOST = 5;

/** "3", or "1 to 7": every place that the data leave open. */
export function placeText(place: Place | null): string {
  if (place === null) return '';
  return place.best === place.worst ? `${place.best}` : `${place.best} to ${place.worst}`;
}

/** How a name of the list is written: as it is typed, or in words. */
type Wording = (name: string) => string;

/**
 * The opening of an answer, one or two sentences; true whatever the numbers.
 * @param wording of inputs; keys as they are when left out
 */
export function rankingOpening(r: Ranking, wording: Wording = (name) => name): string {
  return r.kind === 'fixes' ? fixOpening(r, wording) : r.kind === 'flown' ? flownOpening(r, wording) : sobolOpening(r, wording);
}

function fixOpening(r: FixRanking, wording: Wording): string {
  if (r.odds === null || r.odds.counted === 0) return 'No flight has a result: nothing can be said of any fix.';
  if (r.asked.length > 0) return askedOpening(r);
  const rows = r.groups.length > 0 ? r.groups : r.inputs;
  const advice = r.groups.length > 0 ? r.advice.groups : r.advice.inputs;
  if (rows.length === 0) return 'No fix was flown: nothing can be said of any.';
  const gain = rows.find(({ name }) => name === advice.first)?.perfect;
  if (advice.first === null || !gain || gain.gain === null || gain.interval === null) {
    return `No fix is shown to buy landings with ${count(r.flights)} flights each${idleText(advice, 'moves success by more than a point', wording)}.`;
  }
  const points = withInterval(100 * gain.gain, [100 * gain.interval[0], 100 * gain.interval[1]]);
  return `Fix ${wording(advice.first)} first: made perfect, it buys ${points} points of landing success${alikeText(advice, wording)}${idleText(advice, 'moves success by more than a point', wording)}.`;
}

function askedOpening({ asked }: FixRanking): string {
  const wholes = asked.filter(({ part }) => !part);
  return wholes
    .map(({ name, gain: { gain, interval } }) => {
      if (gain === null || interval === null) return `${name}: no flight has a result with and without it.`;
      const points = withInterval(100 * gain, [100 * interval[0], 100 * interval[1]]);
      if (interval[0] > 0) return `${name} buys ${points} points of landing success.`;
      if (interval[1] < 0) return `${name} costs landings: ${points} points of success.`;
      return `${name} is not shown to change landing success: ${points} points.`;
    })
    .join(' ');
}

function flownOpening(r: FlownRanking, wording: Wording): string {
  const output = r.advice.success === null ? 'sink' : 'success';
  const advice = r.advice[output]?.inputs ?? null;
  const what = output === 'success' ? 'whether a flight lands' : 'how hard it comes down';
  if (advice === null) return 'Nothing could be ranked by these flights.';
  const first = r.inputs.find(({ key }) => key === advice.first)?.[output]?.firstOrder;
  const silent = r.inputs.filter((input) => input[output]?.shown === false).length;
  if (silent === r.inputs.length)
    return `Fly more flights before you mend anything by these: ${count(r.counted)} do not show beyond chance that any of ${count(silent)} inputs matters by itself for ${what}.`;
  const rest = `${count(silent)} of ${count(r.inputs.length)} inputs show nothing beyond chance`;
  if (advice.first === null || first === undefined) return `No input is shown by itself to matter for ${what}; ${rest}.`;
  return `Look to ${wording(advice.first)} first: by itself it explains ${withInterval(first.estimate, first.interval)} of ${what}${alikeText(advice, wording)}; ${rest}.`;
}

function sobolOpening({ looks }: SobolRanking, wording: Wording): string {
  const last = looks.at(-1);
  const shares = last?.success ?? last?.sink ?? null;
  if (last === undefined || shares === null) return 'These flights have nothing to share out: nothing could be ranked.';
  const what = last.success === null ? 'how hard it comes down' : 'whether a flight lands';
  const { advice } = shares;
  const first: Measured | undefined = shares.subjects.find(({ name }) => name === advice.first)?.total;
  if (advice.first === null || first === undefined) return `Nothing is shown to matter for ${what} by ${count(shares.rows)} rows.`;
  return `Look to ${wording(advice.first)} first: with all it does together with others it has a part in ${withInterval(first.estimate, first.interval)} of the variance of ${what}${alikeText(advice, wording)}${idleText(advice, 'has a part in more than a hundredth', wording)}.`;
}

function alikeText({ alike }: Advice, wording: Wording): string {
  return alike.length === 0 ? '' : `; ${named(alike.map(wording))} cannot be told from it`;
}

/** @param verb what none of them does */
function idleText({ idle }: Advice, verb: string, wording: Wording): string {
  return idle.length === 0 ? '' : `; none of these ${verb}: ${named(idle.map(wording))}`;
}

/** "a, b and c", or "a, b, c and 4 more". */
function named(names: readonly string[]): string {
  if (names.length === 1) return names[0];
  const shown = names.slice(0, MOST);
  const rest = names.length - shown.length;
  return rest > 0 ? `${shown.join(', ')} and ${rest} more` : `${shown.slice(0, -1).join(', ')} and ${shown[shown.length - 1]}`;
}
