/**
 * Which uncertainty matters, from flights already flown: how each varying input goes with landing or not, and with the
 * sink speed. No new flight. Intervals come from influence values, which on 100,000 flights cost one pass where
 * resampling would take hundreds.
 */
import { UserError } from '../../errors.ts';
import type { InputKey } from '../../inputs/catalogue.ts';
import { ranked } from '../../statistics/samples/ranks.ts';
import { column, type FlightColumns, type FlightKey, hasResult, outcomeIndex, rowsWhere, valuesAt } from '../flights/flightColumns.ts';
import { adviceOf } from './advice.ts';
import { LEAST_EACH, Splits } from './outcomeSplits.ts';
import type { FlownMeasures, GroupShare, InputMeasures, ShareAdvice } from './ranking.ts';
import type { Subject } from './rankSubjects.ts';
import { type Inputs, measures, type Output } from './shareMeasures.ts';

/** Fewest flights to rank by. */
const LEAST_FLIGHTS = 100;

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
  const outcome = new Uint8Array(counted.length);
  const success = new Float64Array(counted.length);
  const landedAt = outcomeIndex('landed');
  let landed = 0;
  for (let i = 0; i < counted.length; i++) {
    outcome[i] = flights.outcome[counted[i]];
    if (outcome[i] !== landedAt) continue;
    success[i] = 1;
    landed++;
  }
  const touched = rowsWith(counted, column(flights, 'sink'));

  // No copy where all rows count: this is run on every input of up to a million flights, more than once.
  const pick = (rows: Uint32Array, key: FlightKey): Float64Array => {
    const values = column(flights, key);
    return rows.length === values.length ? values : valuesAt(rows, values);
  };
  const names = keys.filter((key) => varies(pick(counted, key)));
  if (names.length === 0) throw new UserError('no input varies in these flights: nothing can be ranked');

  const lost = outcome.length - landed;
  const asks = landed >= LEAST_EACH && lost >= LEAST_EACH;
  if (!asks) {
    cautions.push(
      `${landed} of ${outcome.length} flights with a result landed: with fewer than ${LEAST_EACH} of either kind success is not ranked; go by sink speed`,
    );
  }
  const same = touched.length === counted.length;
  const sink = pick(touched, 'sink');
  const sinkVaries = touched.length >= LEAST_FLIGHTS && varies(sink);
  // An input may vary over all flights and not over those that touched the ground: a failure that never comes down.
  const sinkNames = !sinkVaries ? [] : same ? names : names.filter((key) => varies(pick(touched, key)));

  const inputs = (rows: Uint32Array, names: readonly InputKey[]): Inputs => ({
    names,
    circles,
    values: (name) => pick(rows, name as InputKey),
    groups,
  });
  const ranks = ranked(success);
  const splits = new Splits(ranks, outcome, names.length);
  const ofSuccess: Output = { ranked: ranks, key: `${seed}/rank/success`, more: () => splits.pValues };
  const ofSink = (): Output => ({ ranked: ranked(sink), key: `${seed}/rank/sink` });
  const together = measures(
    inputs(counted, names),
    [...(asks ? [ofSuccess] : []), ...(sinkVaries && same ? [ofSink()] : [])],
    cautions,
    (x, name, along) => splits.meet(x, asks ? along[0] : null, circles.has(name)),
  );
  const successMeasures = asks ? together[0] : null;
  const sinkMeasures = !sinkVaries
    ? null
    : same
      ? together[together.length - 1]
      : measures(inputs(touched, sinkNames), [ofSink()], cautions)[0];
  if (!sinkVaries) cautions.push(`${touched.length} flights touched the ground, with no sink speeds to rank by`);

  const told = splits.told();
  const rows = names.map((key, i): InputMeasures => {
    const place = sinkNames.indexOf(key);
    return { key, success: successMeasures?.list[i] ?? null, sink: place < 0 ? null : (sinkMeasures?.list[place] ?? null), ...told[i] };
  });
  const size = (row: InputMeasures): number =>
    (successMeasures === null ? row.sink : row.success)?.firstOrder.estimate ?? Number.NEGATIVE_INFINITY;
  const shares = { success: successMeasures?.groups ?? null, sink: sinkMeasures?.groups ?? null };
  return {
    counted: counted.length,
    noResult: flights.outcome.length - counted.length,
    landed,
    touched: touched.length,
    inputs: rows.sort((a, b) => size(b) - size(a)),
    groups: shares,
    advice: { success: shareAdvice(rows, shares.success, 'success'), sink: shareAdvice(rows, shares.sink, 'sink') },
    unvarying: keys.filter((key) => !names.includes(key)),
    cautions,
  };
}

function rowsWith(rows: Uint32Array, values: Float64Array): Uint32Array {
  return rows.filter((i) => Number.isFinite(values[i]));
}

function varies(values: Float64Array): boolean {
  for (let i = 1; i < values.length; i++) if (values[i] !== values[0]) return true;
  return false;
}

function shareAdvice(rows: readonly InputMeasures[], groups: readonly GroupShare[] | null, output: 'success' | 'sink'): ShareAdvice | null {
  const list = rows.flatMap(({ key, [output]: m }) => (m === null ? [] : [{ name: key, place: m.place, ...m.firstOrder }]));
  if (list.length === 0) return null;
  list.sort((a, b) => b.estimate - a.estimate);
  return { order: list.map(({ name }) => name), inputs: adviceOf(list), groups: adviceOf(groups ?? []) };
}
