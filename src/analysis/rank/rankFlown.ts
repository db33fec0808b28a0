/**
 * Which uncertainty matters, from flights already flown: how each varying input goes with landing or not, and with the sink speed. No new
 * flight. Intervals come from influence values, which on 100,000 flights cost one pass where resampling would take hundreds.
 */
import { UserError } from '../../errors.ts';
import { OUTCOMES } from '../../flight/outputs.ts';
import type { InputKey } from '../../inputs/catalogue.ts';
import { holm } from '../../statistics/samples/holm.ts';
import { distanceInterval, kolmogorovSmirnovByKind, kolmogorovSmirnovSplit } from '../../statistics/samples/kolmogorovSmirnov.ts';
import { spearman } from '../../statistics/samples/rankCorrelation.ts';
import { type Ranked, ranked } from '../../statistics/samples/ranks.ts';
import { type FirstOrder, firstOrder, shareInterval } from '../../statistics/sensitivity/givenData.ts';
import {
  correlationInterval,
  covarianceByInfluence,
  type Estimate,
  normalInterval,
  withInfluence,
} from '../../statistics/sensitivity/influence.ts';
import { delta, dependenceInterval, drawFolds, outputClasses } from '../../statistics/sensitivity/momentIndependent.ts';
import { partialRankCorrelations } from '../../statistics/sensitivity/partialCorrelation.ts';
import { sharedPlaces } from '../../statistics/sensitivity/sharedPlaces.ts';
import { column, type FlightColumns, type FlightKey, hasResult, outcomeIndex } from '../flights/flightColumns.ts';
import { LEVEL } from '../fly/summary.ts';
import { direction } from './direction.ts';
import type { FlownMeasures, GroupShare, InputMeasures, Measures, Split } from './ranking.ts';
import type { Subject } from './rankSubjects.ts';

/** Fewest flights to rank by. */
const LEAST_FLIGHTS = 100;
/** Fewest flights of either kind, and of a kind of failure, for measures of it. */
const LEAST_EACH = 30;

/**
 * @param flights with the inputs and `sink`   @param keys of the inputs   @param groups of them   @param seed of what is drawn: the tenths of delta
 * @throws UserError for fewer than 100 flights with a result
 */
export function rankFlown(flights: FlightColumns, keys: readonly InputKey[], groups: readonly Subject[], seed: string): FlownMeasures {
  const cautions: string[] = [];
  const counted = rowsWhere(flights.outcome.length, (i) => hasResult(flights, i));
  if (counted.length < LEAST_FLIGHTS) {
    throw new UserError(`${counted.length} flights with a result are too few to rank by; fly at least ${LEAST_FLIGHTS}`);
  }
  const outcome = Uint8Array.from(counted, (i) => flights.outcome[i]);
  const landedAt = outcomeIndex('landed');
  const success = Float64Array.from(outcome, (o) => (o === landedAt ? 1 : 0));
  const landed = success.reduce((sum, value) => sum + value, 0);
  const sinkAll = column(flights, 'sink');
  const touched = counted.filter((i) => Number.isFinite(sinkAll[i]));

  // Plain loops and no copy where all rows count: this is run on every input of up to a million flights.
  const pick = (rows: Uint32Array, key: FlightKey): Float64Array => {
    const values = column(flights, key);
    if (rows.length === values.length) return values;
    const picked = new Float64Array(rows.length);
    for (let i = 0; i < rows.length; i++) picked[i] = values[rows[i]];
    return picked;
  };
  const varying = (x: Ranked): boolean => x.values[x.order[0]] !== x.values[x.order[x.order.length - 1]];
  const all = keys.map((key) => ranked(pick(counted, key)));
  const moving = keys.map((_, i) => i).filter((i) => varying(all[i]));
  const inputs = moving.map((i) => all[i]);
  const names = moving.map((i) => keys[i]);
  if (names.length === 0) throw new UserError('no input varies in these flights: nothing can be ranked');

  const lost = outcome.length - landed;
  const partials = partialsOf(inputs, cautions);
  const successMeasures = landed < LEAST_EACH || lost < LEAST_EACH ? null : measures(inputs, success, `${seed}/rank/success`, partials);
  if (successMeasures === null) {
    cautions.push(
      `${landed} of ${outcome.length} flights with a result landed: with fewer than ${LEAST_EACH} of either kind success is not ranked; go by sink speed`,
    );
  }
  const same = touched.length === counted.length;
  const sink = Float64Array.from(touched, (i) => sinkAll[i]);
  const sinkVaries = touched.length >= LEAST_FLIGHTS && sink.some((value) => value !== sink[0]);
  const sinkInputs = sinkVaries ? (same ? inputs : names.map((key) => ranked(pick(touched, key)))) : [];
  // An input may vary over all flights and not over those that touched the ground: a failure that never comes down.
  const sinkMoving = sinkInputs.map((_, i) => i).filter((i) => varying(sinkInputs[i]));
  const sinkUsed = sinkMoving.map((i) => sinkInputs[i]);
  const sinkMeasures = sinkVaries ? measures(sinkUsed, sink, `${seed}/rank/sink`, same ? partials : partialsOf(sinkUsed, cautions)) : null;
  if (!sinkVaries) cautions.push(`${touched.length} flights touched the ground, with no sink speeds to rank by`);

  const splits = successMeasures === null ? null : splitsOf(inputs, Uint8Array.from(success));
  const drives = drivesOf(inputs, outcome);
  const to = successMeasures === null ? null : ranked(success);
  const rows = names.map((key, i): InputMeasures => {
    const place = sinkMoving.indexOf(i);
    return {
      key,
      success: successMeasures?.list[i] ?? null,
      sink: place < 0 ? null : (sinkMeasures?.list[place] ?? null),
      split: splits?.[i] ?? null,
      direction: to === null ? null : direction(inputs[i], to, inputs.length, successMeasures?.along[i]),
      drives: drives[i],
    };
  });
  const size = (row: InputMeasures): number =>
    (successMeasures === null ? row.sink : row.success)?.firstOrder.estimate ?? Number.NEGATIVE_INFINITY;
  return {
    counted: counted.length,
    noResult: flights.outcome.length - counted.length,
    landed,
    touched: touched.length,
    inputs: rows.sort((a, b) => size(b) - size(a)),
    groups: {
      success: successMeasures === null ? null : groupShares(groups, names, successMeasures.shares),
      sink:
        sinkMeasures === null
          ? null
          : groupShares(
              groups,
              sinkMoving.map((i) => names[i]),
              sinkMeasures.shares,
            ),
    },
    unvarying: keys.filter((_, i) => !moving.includes(i)),
    cautions,
  };
}

function rowsWhere(count: number, holds: (i: number) => boolean): Uint32Array {
  const rows = new Uint32Array(count);
  let n = 0;
  for (let i = 0; i < count; i++) if (holds(i)) rows[n++] = i;
  return rows.slice(0, n);
}

function measures(
  inputs: readonly Ranked[],
  output: Float64Array,
  key: string,
  partials: Partials,
): { readonly list: Measures[]; readonly shares: readonly FirstOrder[]; readonly along: readonly Estimate[] } {
  const y = ranked(output);
  const shares = inputs.map((x) => firstOrder(x, output));
  const places = sharedPlaces(
    shares.map(({ estimate }) => estimate),
    covarianceByInfluence(shares),
    LEVEL,
  );
  const folds = drawFolds(output.length, key);
  const classes = outputClasses(y);
  const partial = partials(y);
  const along = inputs.map((x) => spearman(x, y));
  const list = inputs.map((x, i): Measures => {
    const whole = delta(x, classes, folds);
    return {
      rankCorrelation: { estimate: along[i].estimate, interval: correlationInterval(along[i], LEVEL) },
      partialRankCorrelation: partial === null ? null : { estimate: partial[i].estimate, interval: correlationInterval(partial[i], LEVEL) },
      firstOrder: { estimate: shares[i].estimate, interval: shareInterval(shares[i], LEVEL), pValue: shares[i].pValue },
      delta: { estimate: whole.estimate, interval: dependenceInterval(whole, LEVEL), pValue: whole.pValue },
      place: places[i],
    };
  });
  return { list, shares, along };
}

type Partials = (output: Ranked) => readonly Estimate[] | null;

/**
 * For one output after another, the inputs' own part worked out at the first; null, with the reason among the cautions, where columns cannot
 * be told apart or flights are too few for so many.
 */
function partialsOf(inputs: readonly Ranked[], cautions: string[]): Partials {
  const caught = <T>(made: () => T, what: string): T | null => {
    try {
      return made();
    } catch (error) {
      if (!(error instanceof RangeError)) throw error;
      cautions.push(`no partial correlations: in these flights ${what}`);
      return null;
    }
  };
  let partials: ReturnType<typeof partialRankCorrelations> | null | undefined;
  return (output) => {
    if (inputs.length === 0) return [];
    if (partials === undefined) {
      const rows = output.values.length;
      const enough = rows > inputs.length + 2;
      if (!enough) cautions.push(`${rows} flights are too few for partial correlations of ${inputs.length} inputs`);
      partials = enough ? caught(() => partialRankCorrelations(inputs), 'some inputs go together exactly') : null;
    }
    const made = partials;
    return made === null ? null : caught(() => made(output), 'the inputs make up an output exactly');
  };
}

function splitsOf(inputs: readonly Ranked[], landed: Uint8Array): Split[] {
  const found = inputs.map((x) => kolmogorovSmirnovSplit(x, landed));
  const adjusted = holm(found.map(({ pValue }) => pValue));
  return found.map((split, i) => {
    const { estimate, pValue, at } = split;
    return { estimate, interval: distanceInterval(split, LEVEL), pValue, adjustedP: adjusted[i], at };
  });
}

function drivesOf(inputs: readonly Ranked[], outcome: Uint8Array): InputMeasures['drives'][] {
  const failures = OUTCOMES.map((_, i) => i).filter((i) => {
    if (OUTCOMES[i] === 'landed' || OUTCOMES[i] === 'no result') return false;
    const count = outcome.reduce((sum, o) => (o === i ? sum + 1 : sum), 0);
    return count >= LEAST_EACH && outcome.length - count >= LEAST_EACH;
  });
  const splits = inputs.map((x) => {
    const byKind = kolmogorovSmirnovByKind(x, outcome, OUTCOMES.length);
    // none is null: every failure kept has rows enough
    return failures.map((o) => byKind[o]).filter((split) => split !== null);
  });
  const adjusted = holm(splits.flatMap((row) => row.map(({ pValue }) => pValue)));
  return splits.map((row, i) => {
    const shown = row
      .map(({ distance }, k) => ({ outcome: OUTCOMES[failures[k]], distance, p: adjusted[i * failures.length + k] }))
      .filter(({ p }) => p <= 1 - LEVEL)
      .sort((a, b) => b.distance - a.distance);
    return shown.length === 0 ? null : { outcome: shown[0].outcome, distance: shown[0].distance };
  });
}

function groupShares(groups: readonly Subject[], keys: readonly string[], shares: readonly FirstOrder[]): GroupShare[] {
  const covariance = covarianceByInfluence(shares);
  const found = groups.flatMap(({ name, keys: members }) => {
    const at = members.map((key) => keys.indexOf(key)).filter((i) => i >= 0);
    return at.length === 0 ? [] : [{ name, at }];
  });
  const estimates = found.map(({ at }): Estimate => {
    const rows = shares[at[0]].influence.length;
    const influence = new Float32Array(rows);
    for (const i of at) for (let r = 0; r < rows; r++) influence[r] += shares[i].influence[r];
    const sum = at.reduce((total, i) => total + shares[i].estimate, 0);
    // From the covariances, whose diagonal knows what the influence values of an input without effect do not.
    const variance = at.reduce((total, i) => total + at.reduce((row, k) => row + covariance[i * shares.length + k], 0), 0);
    return { ...withInfluence(sum, influence), standardError: Math.sqrt(Math.max(0, variance)) };
  });
  const places = sharedPlaces(
    estimates.map(({ estimate }) => estimate),
    covarianceByInfluence(estimates),
    LEVEL,
  );
  return found
    .map(({ name }, i): GroupShare => {
      return { name, estimate: estimates[i].estimate, interval: normalInterval(estimates[i], LEVEL, 0, 1), place: places[i] };
    })
    .sort((a, b) => b.estimate - a.estimate);
}
