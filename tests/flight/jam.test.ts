/** A servo that jams: nothing before its time, its own angle after it, the other servo as before, in both builds. */
import { describe, expect, it } from 'vitest';
import { ROW_LENGTH } from '../../src/flight/flightMaker.ts';
import type { FlightRecorder } from '../../src/flight/loop.ts';
import type { InputKey } from '../../src/inputs/catalogue.ts';
import { flyOne, inputsOf, kitOf, smoothStudy } from '../helpers/oneFlight.ts';
import { SOURCE_KERNEL } from '../helpers/sourceKernel.ts';

const BASE = smoothStudy();
type Changes = Readonly<Partial<Record<InputKey, number>>>;
/** Leaning off the rail in wind, so that both servos have something to do. */
const BUSY: Changes = { 'rail.tilt': 0.01, 'rail.azimuth': 0.7, 'wind.speed': 3 };
const JAM: Changes = { 'gimbal.jamY': 1, 'gimbal.jamTime': 1.5, 'gimbal.jamAngle': 0.04 };

interface Seen {
  readonly time: number;
  readonly d1: number;
  readonly d2: number;
  readonly height: number;
}

function seen(changes: Changes): Seen[] {
  const all: Seen[] = [];
  const recorder: FlightRecorder = {
    tick: ({ motion: { time, s } }) => {
      all.push({ time, d1: s.d1, d2: s.d2, height: s.rz });
    },
    contact: () => undefined,
  };
  flyOne(BASE, { ...BUSY, ...changes }, { recorder });
  return all;
}

describe('a servo that jams', () => {
  const [free, jammed] = [seen({}), seen(JAM)];

  it('does nothing before its time', () => {
    const early = (all: readonly Seen[]) => all.filter(({ time }) => time <= 1.5);
    expect(early(jammed).length).toBeGreaterThan(100);
    expect(early(jammed)).toEqual(early(free));
  });

  it('goes to its angle by its own lag and keeps it, whatever is commanded', () => {
    // Ten time constants of 25 ms after it.
    const after = jammed.filter(({ time }) => time > 1.75);
    expect(after.length).toBeGreaterThan(100);
    // e^-10 of some hundredths of a radian is left.
    for (const { d1 } of after) expect(Math.abs(d1 - 0.04)).toBeLessThan(1e-5);
  });

  it('leaves the other servo to its commands', () => {
    const moved = jammed.filter(({ time }) => time > 1.75 && time < 3).map(({ d2 }) => d2);
    expect(new Set(moved).size).toBeGreaterThan(50);
  });

  it('turns the vehicle: the flight ends otherwise', () => {
    expect(jammed.at(-1)?.height).not.toBe(free.at(-1)?.height);
    expect(flyOne(BASE, { ...BUSY, ...JAM, 'gimbal.jamTime': 0, 'gimbal.jamAngle': 0.1 }).outcome).toBe('lost control going up');
  });

  it('says nothing by its time and angle alone', () => {
    expect(seen({ 'gimbal.jamTime': 1, 'gimbal.jamAngle': 0.1 })).toEqual(free);
  });

  it('flies the same in both builds', () => {
    const rows = [kitOf(BASE), kitOf(BASE, undefined, SOURCE_KERNEL)].map((kit) => {
      const row = new Float64Array(ROW_LENGTH);
      kit.flyInputs(inputsOf(BASE, { ...BUSY, ...JAM, 'gimbal.jamZ': 1 }), 'jam', row);
      return [...row];
    });
    expect(rows[0]).toEqual(rows[1]);
  });
});
