/** The search on made-up success probabilities whose best constants are known; nothing flies. */
import { describe, expect, it } from 'vitest';
import { freeConstants, HeightCoordinates } from '../../../src/analysis/drops/heightCoordinates.ts';
import { leastSearchBudget, searchConstants, unsettled } from '../../../src/analysis/tune/searchConstants.ts';
import type { Trial } from '../../../src/analysis/tune/tuningFlights.ts';
import { OUTCOMES } from '../../../src/flight/outputs.ts';
import { onboardModel } from '../../../src/flight/setup.ts';
import { stream } from '../../../src/maths/streams.ts';
import { near } from '../../helpers/near.ts';
import { demoStudy } from '../../helpers/studyForTests.ts';

const POINTS = Array.from({ length: 11 }, (_, i) => ({ height: 6 + 0.3 * i, speed: 21 + 0.3 * i, apogee: 37 + 1.3 * i }));
const RULE = { name: 'line', kind: 'apogeeLine', constants: { c0: -3, c1: 0.21 }, lead: 0.11, tiltGuard: 0.6, insideTick: false };
const coordinates = new HeightCoordinates(RULE, freeConstants('apogeeLine', {}), onboardModel(demoStudy()), POINTS, [2, 1]);
const LANDED = OUTCOMES.indexOf('landed');
const LOW = OUTCOMES.indexOf('lit too low');

/**
 * Lands when the flight's luck, the same for all constants, is below the probability there; sinks the slower the higher
 * that is.
 */
function flown(probability: (z: readonly number[]) => number) {
  let flights = 0;
  return {
    count: () => flights,
    fly: async (constants: Readonly<Record<string, number>>, first: number, count: number): Promise<Trial> => {
      flights += count;
      const p = probability(coordinates.of(constants));
      const luck = Array.from({ length: count }, (_, i) => stream(`luck/${first + i}`)());
      const outcome = Uint8Array.from(luck, (u) => (u < p ? LANDED : LOW));
      const sink = Float64Array.from(luck, (u) => 2 + 10 * Math.max(0, u - p));
      const number = Float64Array.from(luck, (_, i) => first + i);
      const landed = outcome.filter((o) => o === LANDED).length;
      return { constants, first, count, landed, fired: count, lost: [], flights: { outcome, number, columns: { sink } } };
    },
  };
}

const AIM = { kind: 'landed' } as const;
const OPTIONS = { coordinates, aim: AIM, widths: [2, 1], budget: 20_000, seed: 'test' };

describe('the search', () => {
  // With a top 0.45 that falls by half within 1.4 m and 1.2 m; the last round's 13 candidates of 800 flights, on one
  // luck, leave about 0.1 m.
  it('finds the best of a smooth probability, within its budget', async () => {
    const made = flown(([x, y]) => 0.45 * Math.exp(-(((x - 1.1) / 1.7) ** 2) - ((y + 0.4) / 1.5) ** 2));
    const found = await searchConstants(OPTIONS, made.fly);
    const [x, y] = coordinates.of(found.rounds[2].best);
    near(x, 1.1, 0.25);
    near(y, -0.4, 0.35);
    expect(found.finished).toBe(true);
    expect(found.flown).toBe(made.count());
    expect(made.count()).toBeLessThanOrEqual(20_000);
    expect(made.count()).toBeGreaterThan(19_000);
    expect(found.rounds.map((round) => round.fittedTo)).toEqual(['landings', 'landings', 'landings']);
  });

  it('follows a best that lies outside the first region', async () => {
    const made = flown(([x, y]) => 0.45 * Math.exp(-(((x - 4) / 1.7) ** 2) - (y / 1.5) ** 2));
    const { rounds, halfWidths } = await searchConstants(OPTIONS, made.fly);
    expect(rounds[0].onEdge[0]).toBe(true);
    // It walks at most a half-width a round: 2 m, 2 m, and what is left.
    near(coordinates.of(rounds[2].best)[0], 4, 0.5);
    expect(halfWidths[0]).toBeLessThan(2);
  });

  it('makes a quantile of sink speed small', async () => {
    const made = flown(([x, y]) => 0.6 - 0.1 * (x + 0.7) ** 2 - 0.2 * (y - 0.2) ** 2);
    const { rounds } = await searchConstants({ ...OPTIONS, aim: { kind: 'sink', quantile: 0.9 } }, made.fly);
    const [x, y] = coordinates.of(rounds[2].best);
    near(x, -0.7, 0.2);
    near(y, 0.2, 0.2);
    expect(rounds[2].fittedTo).toBe('sink');
  });

  it('follows the median sink speed where nothing lands', async () => {
    const made = flown(([x]) => -0.01 * (x - 1) ** 2);
    const { rounds } = await searchConstants(OPTIONS, made.fly);
    expect(rounds[0].fittedTo).toBe('median sink');
    near(coordinates.of(rounds[2].best)[0], 1, 0.2);
  });

  it('says that it had not settled when the best is farther than it can walk', async () => {
    const slope = flown(([x]) => 0.4 / (1 + Math.exp(-(x - 8) / 3)));
    expect(unsettled((await searchConstants(OPTIONS, slope.fly)).rounds)).toBe(true);
    const peak = flown(([x, y]) => 0.45 * Math.exp(-(((x - 0.5) / 1.7) ** 2) - (y / 1.5) ** 2));
    expect(unsettled((await searchConstants(OPTIONS, peak.fly)).rounds)).toBe(false);
  });

  it('says what it has when interrupted', async () => {
    const made = flown(() => 0.4);
    let calls = 0;
    const found = await searchConstants(OPTIONS, async (...asked) => (calls++ < 20 ? made.fly(...asked) : null));
    expect(found.finished).toBe(false);
    expect(found.rounds).toHaveLength(1);
    expect(found.flown).toBe(made.count());
  });

  it('needs the more flights the more coordinates', () => {
    expect(leastSearchBudget(1)).toBeLessThan(leastSearchBudget(2));
    expect(leastSearchBudget(2)).toBeLessThan(leastSearchBudget(3));
  });
});
