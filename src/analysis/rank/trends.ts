/**
 * What single inputs go with in the study's own flights, beside what their spread costs: success at the low and the
 * high end of an input (a quantity whose spread matters little may still matter by its size), and success by direction
 * round a circle. Flies nothing.
 */

import type { InputKey } from '../../inputs/catalogue.ts';
import { clopperPearson } from '../../statistics/proportions/binomial.ts';
import { exactTwoGroups } from '../../statistics/proportions/twoGroups.ts';
import { holm } from '../../statistics/samples/holm.ts';
import type { Interval } from '../../statistics/samples/interval.ts';
import { LEVEL } from '../fly/summary.ts';

/** Landings among the flights of one part of an input's range. */
export interface SuccessPart {
  /** Least and greatest value here, SI; of a circle both ends of the sector. */
  readonly low: number;
  readonly high: number;
  readonly counted: number;
  readonly landed: number;
  /** null without a flight here. */
  readonly share: number | null;
  /** All intervals of one question hold together at LEVEL (Bonferroni). */
  readonly interval: Interval | null;
}

export interface Ends {
  readonly key: InputKey;
  /** The fifth of the flights with least of it, and the fifth with most. */
  readonly least: SuccessPart;
  readonly most: SuccessPart;
}

export interface CircleSuccess {
  readonly key: InputKey;
  readonly sectors: readonly SuccessPart[];
  /** Places among `sectors`; null where no two sectors differ beyond chance, all pairs of them together (Holm). */
  readonly best: number | null;
  readonly worst: number | null;
}

const END = 0.2;
/** Sectors of a circle: 45 degrees each, the first about north. */
const SECTORS = 8;
const TURN = 2 * Math.PI;

/**
 * @param values of flights with a result
 * @param success 0/1 of the same
 * @param questions ends asked about at once
 */
export function endsOf(key: InputKey, values: Float64Array, success: Float64Array, questions: number): Ends {
  const order = Uint32Array.from(values.keys()).sort((a, b) => values[a] - values[b]);
  const n = Math.max(1, Math.floor(END * order.length));
  const level = 1 - (1 - LEVEL) / (2 * questions);
  return { key, least: part(order.subarray(0, n), values, success, level), most: part(order.subarray(-n), values, success, level) };
}

/** @param values rad, of flights with a result   @param success 0/1 of the same   @param circles asked about at once */
export function circleSuccess(key: InputKey, values: Float64Array, success: Float64Array, circles: number): CircleSuccess {
  const counts = Array.from({ length: SECTORS }, () => ({ counted: 0, landed: 0 }));
  values.forEach((angle, i) => {
    const sector = counts[((Math.round((angle / TURN) * SECTORS) % SECTORS) + SECTORS) % SECTORS];
    sector.counted++;
    sector.landed += success[i];
  });
  const level = 1 - (1 - LEVEL) / (SECTORS * circles);
  const width = TURN / SECTORS;
  const sectors = counts.map(({ counted, landed }, k): SuccessPart => {
    const [low, high] = [(k - 0.5) * width, (k + 0.5) * width];
    return { low, high, counted, landed, ...shareOf(landed, counted, level) };
  });
  const flown = sectors.map((_, k) => k).filter((k) => sectors[k].counted > 0);
  const pairs = flown.flatMap((i, a) => flown.slice(a + 1).map((j) => [sectors[i], sectors[j]] as const));
  const p = holm(pairs.map(([a, b]) => exactTwoGroups({ k1: a.landed, n1: a.counted, k2: b.landed, n2: b.counted })));
  if (!p.some((value) => value <= (1 - LEVEL) / circles)) return { key, sectors, best: null, worst: null };
  const share = (k: number): number => sectors[k].share ?? Number.NaN;
  return {
    key,
    sectors,
    best: flown.reduce((a, b) => (share(b) > share(a) ? b : a)),
    worst: flown.reduce((a, b) => (share(b) < share(a) ? b : a)),
  };
}

function part(rows: Uint32Array, values: Float64Array, success: Float64Array, level: number): SuccessPart {
  let landed = 0;
  for (const row of rows) landed += success[row];
  const [low, high] = [values[rows[0]], values[rows[rows.length - 1]]];
  return { low, high, counted: rows.length, landed, ...shareOf(landed, rows.length, level) };
}

function shareOf(landed: number, counted: number, level: number): Pick<SuccessPart, 'share' | 'interval'> {
  return counted === 0 ? { share: null, interval: null } : { share: landed / counted, interval: clopperPearson(landed, counted, level) };
}
