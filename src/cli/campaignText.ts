/** Attempts in a row, as text for a terminal. Computes nothing. */
import type { Campaign } from '../analysis/campaign/campaignStudy.ts';
import type { AttemptsNeeded, FirstLanding, OddsByAttempt } from '../analysis/campaign/firstLanding.ts';
import type { LevelSplit } from '../analysis/campaign/levels.ts';
import { type AfterLanding, type Estimate, FEWEST, MOST_RUN, type Vehicles } from '../analysis/campaign/vehicles.ts';
import { count, percent, percentInterval, plain } from '../report/words.ts';
import { costLines, holdLines, policyLines } from './rivalText.ts';
import { heading, table } from './terminal.ts';

/** Attempts shown of the curve; campaign.json has them all. */
const SHOWN = [1, 2, 3, 4, 5, 7, 10, 15, 20, 30, 50, 100, 200];

export function campaignText(c: Campaign): string[] {
  const { firstLanding, vehicles, after, plan } = c;
  return [
    ...planLines(c),
    ...(firstLanding === null ? [] : ['', ...oddsLines(firstLanding, vehicles, plan.attempts)]),
    '',
    ...(vehicles === null ? tooFew(plan.attempts) : vehicleLines(vehicles, c.flyAll)),
    ...(c.levels === null ? [] : ['', ...levelLines(c.levels)]),
    ...(c.holds === null ? [] : ['', ...holdLines(c.holds, plan)]),
    ...(c.policies === null ? [] : ['', ...policyLines(c.policies, plan)]),
    ...(c.costs === null ? [] : ['', ...costLines(c.costs)]),
    ...(after === null ? [] : ['', ...afterLines(after)]),
  ];
}

function planLines({ plan, flyAll, staying, noResult }: Campaign): string[] {
  const { attempts, flightsADay, motorsInBatch, rebuild } = plan;
  const reasons = [
    ...(rebuild.sink === null ? [] : [`a touchdown faster than ${plain(rebuild.sink)} m/s`]),
    ...(rebuild.tippedOver ? ['tipping over'] : []),
  ];
  return [
    `  each ${flyAll ? 'flies all its' : 'until its first landing, at most'} ${count(attempts)} attempt${attempts === 1 ? '' : 's'}; ${count(flightsADay)} a day, ${count(motorsInBatch)} motors of each kind in a purchase; ${reasons.length === 0 ? 'never rebuilt' : `rebuilt after ${reasons.join(' or ')}`}`,
    ...(staying === 0
      ? [
          '  no input stays from flight to flight (`stays:` under inputs), so every attempt is fresh luck: the curve is the naive one, but for noise',
        ]
      : [`  ${count(staying)} inputs keep something from flight to flight`]),
    ...(noResult === 0 ? [] : [`  ${count(noResult)} attempts have no result; each counts as one that did not land`]),
  ];
}

function oddsLines(odds: FirstLanding, vehicles: Vehicles | null, attempts: number): string[] {
  const rows = odds.curve
    .filter(({ attempt }) => SHOWN.includes(attempt) || attempt === attempts)
    .map((point) => [
      String(point.attempt),
      percent(point.share, point.interval),
      percentInterval(point.interval),
      percent(point.naive, point.naiveInterval),
      percentInterval(point.naiveInterval),
      ...(vehicles === null ? [] : [percent(vehicles.fit.curve[point.attempt - 1], point.interval)]),
    ]);
  const { never } = odds;
  return [
    heading('Odds of a first landing by attempt'),
    table(['attempt', 'landed', '95 % interval', 'if fresh luck', '95 % interval', ...(vehicles === null ? [] : ['by the fit'])], rows),
    '  if fresh luck: 1 - (1 - p)^n, p the share of first attempts that landed; that is one flight of a vehicle nobody knows',
    ...odds.needed.map((one) => neededLine(one, odds.curve)),
    `  without a landing in ${count(attempts)}: ${percent(never.share, never.interval)} (${percentInterval(never.interval)}) of the campaigns`,
  ];
}

function neededLine(
  { odds, attempts, least, most, naive, naiveLeast, naiveMost }: AttemptsNeeded,
  curve: readonly OddsByAttempt[],
): string {
  const name = odds === 0.5 ? 'even odds' : `${Math.round(100 * odds)} % odds`;
  const beyond = `more than ${curve.length}`;
  const fresh =
    naive === null
      ? ''
      : `; fresh luck would take ${count(naive)} (${count(naiveLeast)} to ${naiveMost === null ? 'no number' : count(naiveMost)})`;
  if (attempts === null) return `  ${name}: ${beyond} attempts${least === null ? '' : `, ${count(least)} at the least`}${fresh}`;
  return `  ${name}: ${count(attempts)} attempts and pairs of motors (${count(least ?? attempts)} to ${most === null ? beyond : count(most)})${fresh}`;
}

function tooFew(attempts: number): string[] {
  return [
    heading('How unlike vehicles are'),
    attempts === 1
      ? '  one attempt each tells nothing of it; allow more'
      : `  too few to tell: at least ${FEWEST} campaigns must have landed, and ${FEWEST} failed at first; fly more`,
  ];
}

const shareWithInterval = ({ value, interval }: Vehicles['mean']): string => `${percent(value, interval)} (${percentInterval(interval)})`;

function vehicleLines({ mean, correlation, byVariance, quantiles, fit }: Vehicles, flyAll: boolean): string[] {
  const quantile = (share: number): string => {
    const found = quantiles.find((one) => one.share === share);
    return found === undefined ? 'unknown' : shareWithInterval(found);
  };
  return [
    heading('How unlike vehicles are'),
    `  one builder in ten has a vehicle that lands less than ${quantile(0.1)} of its flights; half of them less than ${quantile(0.5)}; one in ten more than ${quantile(0.9)}`,
    `  of the variance of a flight’s landing ${shareWithInterval(correlation)} lies between vehicles, with the days and motors they met; 0 would be fresh luck, 100 % vehicles that always or never land`,
    ...(byVariance === null ? [] : [`  by the analysis of variance, which asks for no distribution: ${shareWithInterval(byVariance)}`]),
    `  by a beta distribution of the vehicles’ own landing probabilities, mean ${shareWithInterval(mean)}; its odds lie within the counted odds’ interval at ${count(fit.within)} of ${count(fit.curve.length)} attempts, off by ${plain(100 * fit.largestMiss)} points at most`,
    ...(fit.within === fit.curve.length
      ? []
      : ['  where the fit misses the counted odds, these shares are rough: rebuilt airframes and new days are no longer the same vehicle']),
    ...(flyAll
      ? []
      : ['  --fly-all flies on after a landing and tells vehicles apart better; --levels tells the vehicle from its days and motors']),
  ];
}

function levelLines({ campaigns, flights, vehicle, sameDay, sameBatch }: LevelSplit): string[] {
  const share = (estimate: Estimate | null): string => (estimate === null ? 'too few to tell' : shareWithInterval(estimate));
  const tenth = vehicle?.quantiles.find((one) => one.share === 0.1);
  return [
    heading('The vehicle, its days and its motors apart'),
    `  of the variance of a flight’s landing two flights share, with the vehicle alone: ${share(vehicle?.byVariance ?? null)}; on one day too: ${share(sameDay)}; with motors of one purchase too: ${share(sameBatch)}`,
    ...(tenth === undefined
      ? []
      : [
          `  one builder in ten has a vehicle that, over many days and purchases and never rebuilt, lands less than ${shareWithInterval(tenth)} of its flights`,
        ]),
    `  by ${count(campaigns)} vehicles, ${count(flights)} flights each way, flown for this; by the analysis of variance`,
  ];
}

function afterLines({ next, by, claims }: AfterLanding): string[] {
  const runs = (n: number | null): string => (n === null ? `more than ${count(MOST_RUN)}` : count(n));
  const rows = claims.map(({ reliability, confidence, exact, spread, least, most }) => [
    `${Math.round(100 * reliability)} %`,
    `${Math.round(100 * confidence)} %`,
    count(exact),
    `${runs(spread)} (${runs(least)} to ${runs(most)})`,
  ]);
  return [
    heading('After the first landing'),
    `  the next flight lands with ${shareWithInterval(next)}${by === 'counted' ? ', counted' : ', by the fit, which does not know that it often has the same day and motors; --fly-all counts it'}`,
    '  landings in a row, from the first flight on, that show how often a vehicle lands:',
    table(['lands at least', 'confidence', 'nothing known before', 'with the spread above'], rows),
  ];
}
