/**
 * Which uncertainty matters, from flights already flown: how each varying input goes with landing or not, and with the
 * sink speed. No new flight. Intervals come from influence values, which on 100,000 flights cost one pass where
 * resampling would take hundreds.
 */
import { UserError } from '../../errors.ts';
import { OUTCOMES } from '../../flight/outputs.ts';
import type { InputKey } from '../../inputs/catalogue.ts';
import { holm } from '../../statistics/samples/holm.ts';
import { distanceInterval, kolmogorovSmirnovByKind, kolmogorovSmirnovSplit } from '../../statistics/samples/kolmogorovSmirnov.ts';
import { type Ranked, ranked } from '../../statistics/samples/ranks.ts';
import type { FirstOrder } from '../../statistics/sensitivity/givenData.ts';
import { covarianceByInfluence, type Estimate, normalInterval, withInfluence } from '../../statistics/sensitivity/influence.ts';
import { sharedPlaces } from '../../statistics/sensitivity/sharedPlaces.ts';
import { column, type FlightColumns, type FlightKey, hasResult, outcomeIndex } from '../flights/flightColumns.ts';
import { LEVEL } from '../fly/summary.ts';
import { adviceOf } from './advice.ts';
import { direction } from './direction.ts';
import type { FlownMeasures, GroupShare, InputMeasures, ShareAdvice, Split } from './ranking.ts';
import type { Subject } from './rankSubjects.ts';
import { measures, partialsOf, within } from './shareMeasures.ts';

/** Fewest flights to rank by. */
const LEAST_FLIGHTS = 100;
/** Fewest flights of either kind, and of a kind of failure, for measures of it. */
const LEAST_EACH = 30;

/**
 * @param flights with the inputs and `sink`   @param keys of the inputs   @param groups of them   @param seed of what
 * is drawn: the tenths of delta
 * @param circles keys of directions, whose ranks mean nothing
 * @throws UserError for fewer than 100 flights with a result
 */
export function rankFlown(
  flights: FlightColumns,
  keys: readonly InputKey[],
  groups: readonly Subject[],
  seed: string,
  circles: ReadonlySet<string>,
): FlownMeasures {
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
  const asks = landed >= LEAST_EACH && lost >= LEAST_EACH;
  const splits = asks ? splitsOf(inputs, Uint8Array.from(success)) : null;
  const successMeasures = !asks
    ? null
    : measures({
        names,
        circles,
        inputs,
        output: success,
        key: `${seed}/rank/success`,
        partials,
        more: splits?.map(({ pValue }) => pValue) ?? [],
      });
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
  const sinkMeasures = !sinkVaries
    ? null
    : measures({
        names: sinkMoving.map((i) => names[i]),
        circles,
        inputs: sinkUsed,
        output: sink,
        key: `${seed}/rank/sink`,
        partials: same ? partials : partialsOf(sinkUsed, cautions),
        more: [],
      });
  if (!sinkVaries) cautions.push(`${touched.length} flights touched the ground, with no sink speeds to rank by`);

  const drives = drivesOf(inputs, outcome);
  const to = successMeasures === null ? null : ranked(success);
  const rows = names.map((key, i): InputMeasures => {
    const place = sinkMoving.indexOf(i);
    return {
      key,
      success: successMeasures?.list[i] ?? null,
      sink: place < 0 ? null : (sinkMeasures?.list[place] ?? null),
      split: splits?.[i] ?? null,
      direction: to === null || circles.has(key) ? null : direction(inputs[i], to, inputs.length, successMeasures?.along[i]),
      drives: drives[i],
    };
  });
  const size = (row: InputMeasures): number =>
    (successMeasures === null ? row.sink : row.success)?.firstOrder.estimate ?? Number.NEGATIVE_INFINITY;
  const shares = {
    success: successMeasures === null ? null : groupShares(groups, names, successMeasures.shares),
    sink:
      sinkMeasures === null
        ? null
        : groupShares(
            groups,
            sinkMoving.map((i) => names[i]),
            sinkMeasures.shares,
          ),
  };
  return {
    counted: counted.length,
    noResult: flights.outcome.length - counted.length,
    landed,
    touched: touched.length,
    inputs: rows.sort((a, b) => size(b) - size(a)),
    groups: shares,
    advice: { success: shareAdvice(rows, shares.success, 'success'), sink: shareAdvice(rows, shares.sink, 'sink') },
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

function shareAdvice(rows: readonly InputMeasures[], groups: readonly GroupShare[] | null, output: 'success' | 'sink'): ShareAdvice | null {
  const list = rows.flatMap(({ key, [output]: m }) => (m === null ? [] : [{ name: key, place: m.place, ...m.firstOrder }]));
  if (list.length === 0) return null;
  list.sort((a, b) => b.estimate - a.estimate);
  return { order: list.map(({ name }) => name), inputs: adviceOf(list), groups: adviceOf(groups ?? []) };
}

function splitsOf(inputs: readonly Ranked[], landed: Uint8Array): Split[] {
  const found = inputs.map((x) => kolmogorovSmirnovSplit(x, landed));
  const adjusted = holm(found.map(({ pValue }) => pValue));
  return found.map((split, i) => {
    return {
      estimate: split.estimate,
      interval: distanceInterval(split, LEVEL),
      pValue: split.pValue,
      adjustedP: adjusted[i],
      at: split.at,
    };
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
  const found = groups.flatMap(({ name, keys: members }) => {
    const places = members.map((key) => keys.indexOf(key)).filter((i) => i >= 0);
    return places.length === 0 ? [] : [{ name, places }];
  });
  const estimates = found.map(({ places }): Estimate => {
    const rows = shares[places[0]].influence.length;
    const influence = new Float32Array(rows);
    for (const i of places) for (let r = 0; r < rows; r++) influence[r] += shares[i].influence[r];
    const sum = places.reduce((total, i) => total + shares[i].estimate, 0);
    return withInfluence(sum, influence);
  });
  const places = sharedPlaces(
    estimates.map(({ estimate }) => estimate),
    covarianceByInfluence(estimates),
    LEVEL,
  );
  return found
    .map(({ name }, i): GroupShare => {
      const [low, high] = normalInterval(estimates[i], LEVEL, 0, 1);
      return { name, ...within({ estimate: estimates[i].estimate, interval: [low, Math.max(0, high)] }), place: places[i] };
    })
    .sort((a, b) => b.estimate - a.estimate);
}
