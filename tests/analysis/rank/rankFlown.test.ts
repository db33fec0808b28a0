/** Ranking flights already flown, on stand-in flights whose measures are known in closed form. */
import { describe, expect, it } from 'vitest';
import { column, type FlightColumns, type FlightKey, outcomeIndex } from '../../../src/analysis/flights/flightColumns.ts';
import { rankFlown } from '../../../src/analysis/rank/rankFlown.ts';
import type { Subject } from '../../../src/analysis/rank/rankSubjects.ts';
import { UserError } from '../../../src/errors.ts';
import type { Outcome } from '../../../src/flight/outputs.ts';
import { CATALOGUE } from '../../../src/inputs/catalogue.ts';
import { noiseStream } from '../../../src/maths/streams.ts';
import { ranked } from '../../../src/statistics/samples/ranks.ts';
import { ishigami, sampleOf, twoUniformFailure } from '../../helpers/closedForms.ts';

/** The closed forms' three inputs, by names that a vehicle has. */
const [A, B, C] = ['wind.speed', 'rail.tilt', 'air.axialFactor'] as const;
const KEYS = [A, B, C];
const NO_CIRCLE: ReadonlySet<string> = new Set();
const GROUPS: Subject[] = [
  { name: 'first', kind: 'group', keys: [A, B] },
  { name: 'idle', kind: 'group', keys: [C] },
];

/** Lost when a + b > 1; the sink speed is Ishigami's function of a, b, c shifted to be positive. */
function flights(
  rows: number,
  seed: string,
  outcomeOf: (u: readonly number[], i: number) => Outcome,
  sink?: (u: readonly number[]) => number,
) {
  const { inputs } = sampleOf({ ...ishigami, inputs: 3 }, rows, noiseStream(seed));
  const at = (i: number): number[] => inputs.map((column) => column[i]);
  const columns: Partial<Record<FlightKey, Float64Array>> = Object.fromEntries(KEYS.map((key, k) => [key, inputs[k]]));
  columns.sink = Float64Array.from({ length: rows }, (_, i) => (sink ?? ((u) => 20 + ishigami.f(u)))(at(i)));
  const flown: FlightColumns = {
    outcome: Uint8Array.from({ length: rows }, (_, i) => outcomeIndex(outcomeOf(at(i), i))),
    number: Float64Array.from({ length: rows }, (_, i) => i + 1),
    columns,
  };
  return flown;
}

const byHalves = (u: readonly number[]): Outcome => (twoUniformFailure.f(u) === 1 ? 'lit too low' : 'landed');
const holds = ([low, high]: readonly [number, number], value: number): boolean => low <= value && value <= high;

/** First-order shares of the ranks of Ishigami's function, over the middles of a grid of 48 x 48 x 48 cells. */
const rankShares = ((): number[] => {
  const side = 48;
  const cells = Array.from({ length: side ** 3 }, (_, k) => [k % side, Math.floor(k / side) % side, Math.floor(k / side ** 2)]);
  const values = cells.map((cell) => ishigami.f(cell.map((c) => (c + 0.5) / side)));
  const ranks = ranked(Float64Array.from(values)).ranks;
  const middle = (ranks.length + 1) / 2;
  const variance = ranks.reduce((sum, rank) => sum + (rank - middle) ** 2, 0) / ranks.length;
  return [0, 1, 2].map((axis) => {
    const means = new Float64Array(side);
    cells.forEach((cell, k) => {
      means[cell[axis]] += (ranks[k] - middle) / side ** 2;
    });
    return means.reduce((sum, mean) => sum + mean * mean, 0) / side / variance;
  });
})();

describe('rankFlown', () => {
  const ranking = rankFlown(flights(8000, 'ranked', byHalves), KEYS, GROUPS, '1', NO_CIRCLE);
  const of = (key: string) => {
    const found = ranking.inputs.find((input) => input.key === key);
    if (found === undefined) throw new Error(`no ${key}`);
    return found;
  };

  it('finds the shares of success and of sink speed that the closed forms have', () => {
    for (const [i, key] of [A, B].entries()) {
      const { success, split } = of(key);
      // Four standard errors of the estimates at 8,000 rows; the intervals' own coverage is tested below.
      expect(Math.abs((success?.firstOrder.estimate ?? 0) - twoUniformFailure.first[i])).toBeLessThan(0.04);
      expect(Math.abs((success?.delta.estimate ?? 0) - 0.25)).toBeLessThan(0.03);
      expect(Math.abs((split?.estimate ?? 0) - twoUniformFailure.splitDistance)).toBeLessThan(0.04);
      expect(Math.abs((split?.at ?? 0) - twoUniformFailure.splitAt)).toBeLessThan(0.1);
      expect(split?.adjustedP).toBeLessThan(1e-6);
    }
    KEYS.forEach((key, i) => {
      expect(Math.abs((of(key).sink?.firstOrder.estimate ?? Number.NaN) - rankShares[i])).toBeLessThan(0.03);
    });
  });

  it('ranks, ties shared, and leaves an input without effect last with an interval from 0', () => {
    expect(ranking.inputs.map(({ key }) => key).indexOf(C)).toBe(2);
    expect(of(A).success?.place).toEqual({ best: 1, worst: 2 });
    expect(of(B).success?.place).toEqual({ best: 1, worst: 2 });
    expect(of(C).success?.place).toEqual({ best: 3, worst: 3 });
    expect(of(C).success?.firstOrder.interval[0]).toBe(0);
    expect(of(C).split?.adjustedP).toBeGreaterThan(0.05);
    // Ishigami: the second input alone has more than the first.
    expect(of(B).sink?.place).toEqual({ best: 1, worst: 1 });
    expect(of(A).sink?.place).toEqual({ best: 2, worst: 2 });
  });

  it('adds the shares of a group up', () => {
    const [first, idle] = ranking.groups.success ?? [];
    expect(first.name).toBe('first');
    expect(first.estimate).toBeCloseTo((of(A).success?.firstOrder.estimate ?? 0) + (of(B).success?.firstOrder.estimate ?? 0), 12);
    expect(holds(first.interval, 2 / 3)).toBe(true);
    expect(idle.place).toEqual({ best: 2, worst: 2 });
  });

  it('says which way each input works and which failure it drives', () => {
    expect(of(A).direction).toBe('more hurts');
    expect(of(A).drives?.outcome).toBe('lit too low');
    expect(of(C).direction).toBe('unclear');
    expect(of(C).drives).toBeNull();
    const off = rankFlown(
      flights(2000, 'off', (u) => (u[0] < 0.25 ? 'lit too high' : u[0] > 0.75 ? 'lit too low' : u[1] > 0.3 ? 'landed' : 'slid')),
      KEYS,
      GROUPS,
      '1',
      NO_CIRCLE,
    );
    const found = Object.fromEntries(off.inputs.map((input) => [input.key, input]));
    expect(found[A].direction).toBe('off-centre hurts');
    expect(found[B].direction).toBe('more helps');
    expect(found[B].drives?.outcome).toBe('slid');
  });

  it('leaves flights without a result out, counts them, and never reads their numbers', () => {
    const plain = flights(1000, 'left out', byHalves);
    const outcome = Uint8Array.from(plain.outcome, (o, i) => (i % 10 === 0 ? outcomeIndex('no result') : o));
    const sink = column(plain, 'sink').map((value, i) => (i % 10 === 0 ? Number.NaN : value));
    const kept = Array.from(outcome.keys()).filter((i) => i % 10 !== 0);
    const pick = <T extends Float64Array | Uint8Array>(values: T): T => values.filter((_, i) => i % 10 !== 0) as T;
    const alone: FlightColumns = {
      outcome: pick(outcome),
      number: pick(plain.number),
      columns: Object.fromEntries(Object.entries(plain.columns).map(([key, values]) => [key, pick(values)])),
    };
    const withNone = rankFlown({ ...plain, outcome, columns: { ...plain.columns, sink } }, KEYS, GROUPS, '1', NO_CIRCLE);
    expect(withNone).toMatchObject({ counted: kept.length, noResult: 100, touched: 900 });
    expect({ ...withNone, noResult: 0 }).toEqual(rankFlown(alone, KEYS, GROUPS, '1', NO_CIRCLE));
  });

  it('with success nearly certain ranks by sink speed and says so', () => {
    const sure = rankFlown(
      flights(500, 'sure', (_, i) => (i < 5 ? 'slid' : 'landed')),
      KEYS,
      GROUPS,
      '1',
      NO_CIRCLE,
    );
    expect(sure.groups.success).toBeNull();
    expect(sure.inputs.every(({ success, split, direction }) => success === null && split === null && direction === null)).toBe(true);
    expect(sure.inputs[0].key).toBe(B);
    expect(sure.cautions.join()).toContain('495 of 500 flights with a result landed');
  });

  it('with sink speeds that do not vary ranks by success alone and says so; lists inputs that did not vary', () => {
    const flat = flights(500, 'flat', byHalves, () => 2);
    const still = { ...flat, columns: { ...flat.columns, [C]: new Float64Array(500).fill(0.5) } };
    const found = rankFlown(still, KEYS, GROUPS, '1', NO_CIRCLE);
    expect(found.groups.sink).toBeNull();
    expect(found.unvarying).toEqual([C]);
    expect(found.inputs.map(({ key }) => key).sort()).toEqual([B, A]);
    expect(found.cautions.join()).toContain('no sink speeds to rank by');
  });

  it('gives no partial correlations where inputs go together exactly, and says so', () => {
    const flown = flights(500, 'together', byHalves);
    const found = rankFlown({ ...flown, columns: { ...flown.columns, [C]: column(flown, A).slice() } }, KEYS, GROUPS, '1', NO_CIRCLE);
    expect(found.inputs.every(({ success }) => success?.partialRankCorrelation === null)).toBe(true);
    expect(found.cautions.join()).toContain('go together exactly');
  });

  it('ranks success where the only input varies among flights alone that never touched the ground', () => {
    const some = flights(300, 'never down', (_, i) => (i < 60 ? 'outside the field' : i % 2 === 0 ? 'landed' : 'slid'));
    const [a, sink] = [column(some, A), column(some, 'sink')];
    a.fill(0, 60);
    sink.fill(Number.NaN, 0, 60);
    const found = rankFlown({ ...some, columns: { [A]: a, sink } }, [A], [], '1', NO_CIRCLE);
    expect(found.inputs.map(({ key, sink: of }) => [key, of])).toEqual([[A, null]]);
    expect(found.inputs[0].success?.partialRankCorrelation?.estimate).toBeLessThan(0);
    expect(found.cautions).toEqual([]);
  });

  it('shows nothing of 46 inputs without effect: no order, no row listed, in 5 of 100 sets at most', () => {
    // success as rare as 30 in 1,500, where shrunken variances once made sure of an order every time
    const sets = 20;
    let [ordered, listed] = [0, 0];
    for (let t = 0; t < sets; t++) {
      const draw = noiseStream(`null inputs ${t}`);
      const keys = CATALOGUE.slice(0, 46).map(({ key }) => key);
      const columns: Partial<Record<FlightKey, Float64Array>> = Object.fromEntries(
        keys.map((key) => [key, Float64Array.from({ length: 1500 }, draw)]),
      );
      // a heavy tail: one flight in a hundred falls from high up
      columns.sink = Float64Array.from({ length: 1500 }, () => 2 / Math.max(0.003, draw()));
      const outcome = Uint8Array.from({ length: 1500 }, (_, i) => outcomeIndex(i < 30 ? 'landed' : 'lit too low'));
      const { inputs } = rankFlown({ outcome, columns, number: Float64Array.from(outcome.keys()) }, keys, [], '1', NO_CIRCLE);
      for (const output of ['success', 'sink'] as const) {
        if (inputs.some((input) => (input[output]?.place.best ?? 1) > 1)) ordered++;
        if (inputs.some((input) => input[output]?.shown)) listed++;
      }
    }
    // of 40 lists 2 are expected at the most; more than 7 in one of ten thousand
    expect(ordered).toBeLessThanOrEqual(7);
    expect(listed).toBeLessThanOrEqual(7);
  });

  it('keeps every estimate inside its interval, and no share below nothing', () => {
    for (const input of ranking.inputs) {
      for (const m of [input.success, input.sink]) {
        for (const one of [m?.firstOrder, m?.rankCorrelation, m?.partialRankCorrelation, input.split]) {
          if (one) expect(holds(one.interval, one.estimate)).toBe(true);
        }
        expect(m?.delta.atLeast).toBeLessThanOrEqual(m?.delta.estimate ?? 0);
      }
    }
    for (const output of ['success', 'sink'] as const) {
      for (const group of ranking.groups[output] ?? []) {
        expect(holds(group.interval, group.estimate)).toBe(true);
        expect(group.interval[0]).toBeLessThanOrEqual(group.interval[1]);
      }
    }
  });

  it('tells of a rare yes/no input by exact statements: 0 of some 50 landed with it', () => {
    const draw = noiseStream('igniter');
    const fails = Float64Array.from({ length: 5000 }, () => (draw() < 0.01 ? 1 : 0));
    const other = Float64Array.from({ length: 5000 }, draw);
    const outcome = Uint8Array.from(fails, (f) => outcomeIndex(f === 0 && draw() < 0.4 ? 'landed' : 'slid'));
    const keys = ['landing.igniterFails', 'air.axialFactor'] as const;
    const columns = { [keys[0]]: fails, [keys[1]]: other, sink: other.map((v) => 2 + v) };
    const { inputs } = rankFlown({ outcome, columns, number: Float64Array.from(outcome.keys()) }, keys, [], '1', NO_CIRCLE);
    const found = inputs.find(({ key }) => key === keys[0]);
    expect(found?.split?.adjustedP).toBeLessThan(1e-6);
    expect(found?.success?.shown).toBe(true);
    expect(found?.direction).toBe('more hurts');
    // d = -0.4 and q = 0.01: correlation -0.4 sqrt(0.0099/0.24) = -0.081
    expect(holds(found?.success?.rankCorrelation?.interval ?? [0, 0], -0.0812)).toBe(true);
    expect(found?.success?.partialRankCorrelation).toBeNull();
  });

  it('gives no ranks of a direction, whose order depends on where a turn is begun', () => {
    const found = rankFlown(flights(1000, 'circle', byHalves), KEYS, [], '1', new Set([A])).inputs.find(({ key }) => key === A);
    expect(found).toMatchObject({ direction: null, success: { rankCorrelation: null, partialRankCorrelation: null, shown: true } });
  });

  it('refuses fewer than 100 flights with a result', () => {
    expect(() => rankFlown(flights(99, 'few', byHalves), KEYS, GROUPS, '1', NO_CIRCLE)).toThrow(UserError);
  });

  it('its intervals for the share of success cover the closed form about 95 times in 100', () => {
    let covered = 0;
    const trials = 200;
    for (let t = 0; t < trials; t++) {
      const { inputs } = rankFlown(flights(600, `coverage ${t}`, byHalves), KEYS, [], '1', NO_CIRCLE);
      const a = inputs.find(({ key }) => key === A);
      if (a?.success && holds(a.success.firstOrder.interval, twoUniformFailure.first[0])) covered++;
    }
    // 95 % less three standard errors of 200 trials (1.5 %), and a bias of the classes that is within them.
    expect(covered / trials).toBeGreaterThan(0.9);
    expect(covered).toBeLessThan(trials);
  });
});
