/** Which phase the computer believes in: confirm times, their slack, and one change a tick. Model section 10. */
import { describe, expect, it } from 'vitest';
import { ASCENT, COAST, DESCENT, LANDING, PAD, PhaseLogic } from '../../src/avionics/phases.ts';
import { computerForTests } from '../helpers/computerForTests.ts';

/** Tick at which each change falls for a given axial force and believed vertical speed. */
function changes(
  p: ReturnType<typeof computerForTests>,
  ticks: number,
  axial: (k: number) => number,
  rising: (k: number) => number = () => 1,
): number[] {
  const logic = new PhaseLogic();
  const at: number[] = [];
  for (let k = 0; k <= ticks; k++) {
    const before = logic.phase;
    const changed = logic.step(p, k, axial(k), rising(k));
    // Thousands of ticks: an expectation each would be most of the test's time.
    if (changed !== (logic.phase !== before) || logic.phase - before > 1)
      throw new Error(`tick ${k}: from phase ${before} to ${logic.phase}`);
    if (changed) at.push(k);
  }
  return at;
}

describe('liftoff', () => {
  it('is recognised on the first tick a confirm time after the first sample of an unbroken run', () => {
    const p = computerForTests();
    expect(changes(p, 99, (k) => (k >= 7 ? 20 : 9.8))).toEqual([12]);
    // Broken at tick 10, the run starts anew at 11.
    expect(changes(p, 99, (k) => (k >= 7 && k !== 10 ? 20 : 9.8))).toEqual([16]);
    // On the threshold is not above it.
    expect(changes(p, 99, () => 13)).toEqual([]);
  });

  it('counts a tick that falls on the confirm time, whatever the rounding, and no earlier one', () => {
    for (const rate of [100, 90, 128, 333, 1000]) {
      for (const ticks of [1, 3, 7, 29]) {
        for (const start of [0, 13, 1234]) {
          const exact = computerForTests({ tick: 1 / rate, liftoffConfirm: ticks / rate });
          expect(changes(exact, 2000, (k) => (k >= start ? 20 : 0))[0]).toBe(start + ticks);
          const longer = computerForTests({ tick: 1 / rate, liftoffConfirm: ticks / rate + 2e-9 });
          expect(changes(longer, 2000, (k) => (k >= start ? 20 : 0))[0]).toBe(start + ticks + 1);
          const within = computerForTests({ tick: 1 / rate, liftoffConfirm: ticks / rate + 0.5e-9 });
          expect(changes(within, 2000, (k) => (k >= start ? 20 : 0))[0]).toBe(start + ticks);
        }
      }
    }
  });

  it('with no confirm time is recognised at once', () => {
    expect(changes(computerForTests({ liftoffConfirm: 0 }), 9, (k) => (k >= 4 ? 20 : 9.8))).toEqual([4]);
  });
});

describe('burnout and apogee', () => {
  it('burnout is confirmed by a run of its own, begun after liftoff; apogee by a falling belief', () => {
    const p = computerForTests();
    expect(
      changes(
        p,
        99,
        (k) => (k < 30 ? 20 : -5),
        (k) => (k < 60 ? 1 : -1e-9),
      ),
    ).toEqual([5, 35, 60]);
    // Speed zero is not falling.
    expect(
      changes(
        p,
        99,
        (k) => (k < 30 ? 20 : -5),
        () => 0,
      ),
    ).toEqual([5, 35]);
  });

  it('one change a tick, however much holds at once', () => {
    const p = computerForTests({ liftoffConfirm: 0, burnoutConfirm: 0, liftoffThreshold: 5, burnoutThreshold: 50 });
    expect(
      changes(
        p,
        99,
        () => 20,
        () => -1,
      ),
    ).toEqual([0, 1, 2]);
  });
});

describe('the phases', () => {
  it('follow one another, and the ignition command makes the last', () => {
    const logic = new PhaseLogic();
    expect(logic.phase).toBe(PAD);
    const p = computerForTests({ liftoffConfirm: 0, burnoutConfirm: 0 });
    logic.step(p, 0, 20, 0);
    expect(logic.phase).toBe(ASCENT);
    logic.step(p, 1, 0, 1);
    expect(logic.phase).toBe(COAST);
    logic.step(p, 2, 0, -1);
    expect(logic.phase).toBe(DESCENT);
    logic.ignite();
    expect(logic.phase).toBe(LANDING);
    expect(logic.step(p, 3, 40, 1)).toBe(false);
    logic.reset();
    expect([logic.phase, logic.runStart]).toEqual([PAD, -1]);
  });
});
