/**
 * The flight computer fed by hand: what it believes after each timing fault, worked out beside it, and what it does on
 * which tick.
 */
import { describe, expect, it } from 'vitest';
import type { FlightComputer } from '../../src/avionics/computer.ts';
import type { ComputerParameters } from '../../src/avionics/parameters.ts';
import { ASCENT, COAST, DESCENT, LANDING, PAD } from '../../src/avionics/phases.ts';
import { curveTable } from '../../src/maths/thrustCurve.ts';
import { STANDARD_GRAVITY as G } from '../../src/plant/gravity.ts';
import { computerForTests, type Feel, feed, firingBelow, startedComputer } from '../helpers/computerForTests.ts';
import { near } from '../helpers/near.ts';

/** Net acceleration upward: `up` from tick `from` to `to` (excluded), then free fall. Stands before. */
const hop =
  (up: number, from: number, to: number): Feel =>
  (k) => [k < from ? G : k < to ? G + up : 0];

/** Fed from tick 0 to `to`; the phase changes by tick. */
function flown(p: ComputerParameters, to: number, feel: Feel, stalled?: (k: number) => boolean) {
  const computer = startedComputer(p);
  const changes: Record<number, number> = {};
  let phase = 0;
  feed(
    computer,
    p,
    0,
    to,
    feel,
    (k) => {
      if (computer.phases.phase !== phase) {
        phase = computer.phases.phase;
        changes[phase] = k;
      }
    },
    stalled,
  );
  return { computer, changes, v: computer.navigator.v[2], h: computer.navigator.height };
}

describe('a late start', () => {
  it('nothing is integrated before liftoff is recognised; the first interval begins at that tick', () => {
    // 20 m/s^2 from tick 10 on: recognised at tick 15.
    expect(flown(computerForTests(), 15, hop(20, 10, 99)).h).toBe(0);
    const { v, h, changes } = flown(computerForTests(), 35, hop(20, 10, 99));
    expect(changes).toEqual({ [ASCENT]: 15 });
    near(v, 20 * 0.2, 1e-12);
    near(h, 0.5 * 20 * 0.2 ** 2, 1e-12);
  });

  it('replayed, integration starts at the first sample of the unbroken run', () => {
    const p = computerForTests({ replay: true });
    const { v, h } = flown(p, 35, hop(20, 10, 99));
    near(v, 20 * 0.25, 1e-12);
    near(h, 0.5 * 20 * 0.25 ** 2, 1e-12);
    // A bump at ticks 3 and 4 is forgotten; a break at tick 12 starts the run anew at 13, recognised at 18.
    const broken = flown(p, 35, (k) => [k === 3 || k === 4 || (k >= 10 && k !== 12) ? G + 20 : G]);
    expect(broken.changes).toEqual({ [ASCENT]: 18 });
    near(broken.v, 20 * 0.22, 1e-12);
  });

  it('replay turns with the gyro, too', () => {
    const p = computerForTests({ replay: true });
    // 1 rad/s about body y from tick 10: by tick 35 a quarter radian if replayed.
    const { computer } = flown(p, 35, (k) => [k < 10 ? G : G + 20, 0, 0, 0, k < 10 ? 0 : 1, 0]);
    near(computer.navigator.cosTilt(), Math.cos(0.25), 1e-13);
    const late = flown(computerForTests(), 35, (k) => [k < 10 ? G : G + 20, 0, 0, 0, k < 10 ? 0 : 1, 0]);
    near(late.computer.navigator.cosTilt(), Math.cos(0.2), 1e-13);
  });

  it('a second flight of the same computer replays nothing of the first', () => {
    const p = computerForTests({ replay: true });
    const computer = startedComputer(p);
    feed(computer, p, 0, 300, hop(20, 10, 60));
    computer.reset(p);
    feed(computer, p, 0, 35, hop(20, 10, 99));
    near(computer.navigator.v[2], 5, 1e-12);
    expect([computer.phases.phase, computer.apogee, computer.legsReleased]).toEqual([ASCENT, Number.NaN, false]);
  });
});

describe('a transition gap', () => {
  it('is not integrated: the first tick at or after its end integrates from the end, with the mean of this and the previous sample', () => {
    // Gap 0.033 s after tick 15: ends at 0.183, first run tick 19 integrates 0.007 s with the mean of samples 18 and
    // 19.
    const p = computerForTests({ transitionGap: 0.033 });
    const ramp: Feel = (k) => [k < 10 ? G : G + 20 + k];
    expect(flown(p, 18, ramp).v).toBe(0);
    const { v, h } = flown(p, 19, ramp);
    near(v, 0.007 * 38.5, 1e-13);
    near(h, 0.5 * 0.007 * v, 1e-14);
    expect(flown(p, 18, ramp).computer.ran).toBe(false);
    expect(flown(p, 19, ramp).computer.ran).toBe(true);
  });

  it('that ends on a tick loses whole intervals only, whatever the rounding', () => {
    for (const ticks of [1, 2, 3, 7]) {
      const { v } = flown(computerForTests({ transitionGap: ticks / 100 }), 45, hop(20, 10, 99));
      near(v, 20 * (0.3 - ticks / 100), 1e-12);
    }
  });

  it('acts continuously: a little more gap, a little less belief', () => {
    for (const gap of [0.0099, 0.01, 0.0101, 0.024, 0.025])
      near(flown(computerForTests({ transitionGap: gap }), 45, hop(20, 10, 99)).v, 20 * (0.3 - gap), 1e-10);
  });

  it('follows every phase change: no navigation, phases, rule, release or control runs in it', () => {
    const p = computerForTests({ transitionGap: 0.1, kp: 0.5, rule: firingBelow(1e9), releaseTime: 0 });
    const commands: number[] = [];
    const ran: number[] = [];
    const computer = startedComputer(p);
    // Thrust to tick 40: liftoff 15, coast confirmed from the run that begins at tick 40.
    feed(
      computer,
      p,
      0,
      600,
      (k) => [...hop(20, 10, 40)(k), 0, 0, 0, 0.1, 0],
      (k) => {
        commands[k] = computer.control.command2;
        if (computer.ran) ran.push(k);
      },
    );
    const idle = Array.from({ length: 601 }, (_, k) => k).filter((k) => !ran.includes(k));
    const { changes } = flown(p, 600, (k) => [...hop(20, 10, 40)(k), 0, 0, 0, 0.1, 0]);
    expect(changes[ASCENT]).toBe(15);
    expect(changes[COAST]).toBe(45);
    const gaps = [changes[ASCENT], changes[COAST], changes[DESCENT], changes[LANDING]].flatMap((k) =>
      Array.from({ length: 9 }, (_, i) => k + 1 + i),
    );
    expect(idle).toEqual(gaps);
    // The rule, which would always fire, is first asked after the gap that follows apogee.
    expect(changes[LANDING]).toBe(changes[DESCENT] + 10);
    for (const k of gaps) expect(commands[k]).toBe(commands[k - 1]);
  });

  it('does not carry the confirm run across it: ticks inside are not seen, those around are', () => {
    // The run for burnout begins at tick 20, outside the gap, though thrust ended at tick 16.
    const { changes } = flown(computerForTests({ transitionGap: 0.05 }), 60, hop(20, 10, 16));
    expect(changes).toMatchObject({ [ASCENT]: 15, [COAST]: 25 });
  });
});

describe('a stall', () => {
  const stalled = (k: number): boolean => k > 20 && k < 25;
  const ramp: Feel = (k) => [k < 10 ? G : G + 20 + k];

  it('is bridged by one trapezoid over the measured time', () => {
    const { v } = flown(computerForTests(), 25, ramp, stalled);
    const to20 = flown(computerForTests(), 20, ramp).v;
    // A straight ramp: one trapezoid over five intervals is as good as five.
    near(v - to20, 0.05 * 42.5, 1e-12);
    near(v, flown(computerForTests(), 25, ramp).v, 1e-12);
  });

  it('or counts as one tick, when the loop does not measure', () => {
    const { v } = flown(computerForTests({ afterStallOneTick: true }), 25, ramp, stalled);
    const to20 = flown(computerForTests(), 20, ramp).v;
    near(v - to20, 0.01 * 42.5, 1e-12);
    // After that it keeps time again: the next tick is one tick.
    near(flown(computerForTests({ afterStallOneTick: true }), 26, ramp, stalled).v - v, 0.01 * 45.5, 1e-12);
  });

  it('without stalls the option changes nothing, gaps cut inside a tick included', () => {
    for (const transitionGap of [0, 0.013]) {
      const measured = flown(computerForTests({ transitionGap }), 90, hop(20, 10, 50));
      const oneTick = flown(computerForTests({ transitionGap, afterStallOneTick: true }), 90, hop(20, 10, 50));
      near(oneTick.h, measured.h, 1e-13);
    }
  });

  it('delays liftoff by the ticks it swallows and lets commands stand', () => {
    const { changes } = flown(computerForTests(), 40, hop(20, 10, 99), (k) => k >= 14 && k <= 17);
    expect(changes).toEqual({ [ASCENT]: 18 });
  });

  it('through the end of a gap: the time after the gap is integrated', () => {
    const p = computerForTests({ transitionGap: 0.05 });
    const { v } = flown(p, 30, hop(20, 10, 99), (k) => k > 15 && k < 30);
    near(v, 20 * 0.1, 1e-12);
  });
});

describe('apogee, rule and legs', () => {
  /** 20 m/s^2 for 50 ticks from recognition on, then free fall: known believed apogee and times. */
  const thrown = (changes: Partial<ComputerParameters> = {}) => computerForTests({ ...changes });

  it('keeps the believed apogee of the first tick that falls, and asks the rule from the next tick on', () => {
    const asked: number[][] = [];
    const p = thrown();
    const ticks: number[] = [];
    const computer = startedComputer(p);
    computer.ignition.ask = (_p, h, s, _gain, apogee) => {
      asked.push([h, s, apogee]);
      return -1;
    };
    feed(computer, p, 0, 200, hop(20, 10, 65), (k) => {
      while (ticks.length < asked.length) ticks.push(k);
    });
    // Net 20 from tick 15 to 64, then half of a tick to free fall: speed at tick 65 is 20 x 0.49 + 0.01 (20 - g)/2.
    const v65 = 20 * 0.49 + 0.005 * (20 - G);
    const first = 65 + Math.ceil((v65 / G) * 100);
    expect(computer.phases.phase).toBe(DESCENT);
    near(computer.apogeeTime, first / 100, 1e-12);
    expect(ticks[0]).toBe(first + 1);
    const h65 = 0.5 * 20 * 0.49 ** 2 + 0.005 * (20 * 0.49 + v65);
    const fall = (k: number) => h65 + (v65 * (k - 65)) / 100 - 0.5 * G * ((k - 65) / 100) ** 2;
    near(computer.apogee, fall(first), 1e-11);
    near(asked[0][0], fall(first + 1), 1e-11);
    near(asked[0][1], (G * (first + 1 - 65)) / 100 - v65, 1e-11);
    expect(asked[0][2]).toBe(computer.apogee);
  });

  it('is asked once a tick and commands once; the wait is seen on that tick only', () => {
    const waits: number[] = [];
    const p = thrown({ rule: firingBelow(3), insideTick: true });
    const computer = startedComputer(p);
    feed(computer, p, 0, 300, hop(20, 10, 65), (k) => {
      if (computer.commandWait >= 0) waits.push(k, computer.commandWait);
    });
    expect(waits.length).toBe(2);
    expect(waits[1]).toBeGreaterThan(0);
    expect(waits[1]).toBeLessThan(0.01);
    near(computer.commandTime, waits[0] / 100 + waits[1], 1e-14);
    expect(computer.phases.phase).toBe(LANDING);
  });

  it('timed inside the tick, the command falls where the belief passes the height', () => {
    const height = (changes: Partial<ComputerParameters>) => {
      const p = thrown({ rule: firingBelow(3), ...changes });
      const computer = startedComputer(p);
      let at = Number.NaN;
      feed(computer, p, 0, 300, hop(20, 10, 65), () => {
        const wait = computer.commandWait;
        if (wait >= 0) at = computer.navigator.height + wait * (computer.navigator.v[2] - 0.5 * G * wait);
      });
      return at;
    };
    // The secant's error: a tick's g t^2/8.
    near(height({ insideTick: true }), 3, (G * 0.01 ** 2) / 8);
    const late = 3 - height({});
    expect(late).toBeGreaterThan(0);
    expect(late).toBeLessThan(0.1);
  });

  it('releases the legs a time after believed apogee, on the first tick there', () => {
    for (const releaseTime of [0, 0.07, 0.333, 1]) {
      const p = thrown({ releaseTime });
      const released: number[] = [];
      const computer = startedComputer(p);
      feed(computer, p, 0, 500, hop(20, 10, 65), (k) => {
        if (computer.releaseNow) released.push(k);
      });
      expect(released).toEqual([Math.round(computer.apogeeTime * 100) + Math.ceil(releaseTime * 100 - 1e-6)]);
    }
  });

  it('or at a believed height on the way down, never on the way up', () => {
    const p = thrown({ releaseAtHeight: true, releaseHeight: 2 });
    const seen: number[] = [];
    const computer = startedComputer(p);
    let before = Number.NaN;
    feed(computer, p, 0, 500, hop(20, 10, 65), () => {
      if (computer.releaseNow) seen.push(before, computer.navigator.height);
      before = computer.navigator.height;
    });
    expect(seen.length).toBe(2);
    expect(seen[0]).toBeGreaterThan(2);
    expect(seen[1]).toBeLessThanOrEqual(2);
  });

  it('releases them at any time after the command too', () => {
    const p = thrown({ rule: firingBelow(1e9), releaseTime: 0.5 });
    const { computer } = flown(p, 300, hop(20, 10, 65));
    expect([computer.phases.phase, computer.legsReleased]).toEqual([LANDING, true]);
  });
});

describe('the barometer', () => {
  it('is blended after each interval of navigation only', () => {
    const p = computerForTests({ barometerFitted: true, barometer: { bias: 0, noise: 0, lag: 0, speedGain: 0.5, heightGain: 2 } });
    const computer: FlightComputer = startedComputer(p);
    computer.barometerHeight = 10;
    feed(computer, p, 0, 15, hop(20, 10, 99));
    expect(computer.navigator.height).toBe(0);
    feed(computer, p, 16, 16, hop(20, 10, 99));
    const h = 0.5 * 20 * 0.01 ** 2;
    near(computer.navigator.height, h + 2 * (10 - h) * 0.01, 1e-13);
    near(computer.navigator.v[2], 0.2 + 0.5 * (10 - h) * 0.01, 1e-13);
  });
});

describe('steering', () => {
  /** Believed tilt of 0.1 rad about body y from the start: the error about y is -0.1 for good. */
  const tilted = (changes: Partial<ComputerParameters> = {}) =>
    computerForTests({ kp: 0.2, alignmentY: 0.1, gimbalLimit: 0.5, ...changes });
  const course = (p: ComputerParameters, to: number, up = 30) => {
    const computer = startedComputer(p);
    const seen: { phase: number; command: number; integral: number }[] = [];
    feed(computer, p, 0, to, hop(up, 10, 65), () => {
      seen.push({ phase: computer.phases.phase, command: computer.control.command2, integral: computer.control.integralY });
    });
    return { computer, seen };
  };

  it('commands nothing before liftoff is recognised, then in every phase', () => {
    const { seen } = course(tilted(), 300);
    for (const { phase, command } of seen) near(command, phase === PAD ? 0 : -0.02, 1e-12);
    expect(seen[15].command).not.toBe(0);
    expect(seen[14].command).toBe(0);
  });

  it('integrates in ascent and landing only, and starts anew at the ignition command', () => {
    const rule = firingBelow(-1e9);
    const p = tilted({ ki: 0.3, rule });
    const computer = startedComputer(p);
    const integrals = new Map<number, number[]>();
    feed(computer, p, 0, 700, hop(30, 10, 65), (k) => {
      if (k === 400) rule.fixedHeight.height = 1e9;
      const { phase } = computer.phases;
      integrals.set(phase, [...(integrals.get(phase) ?? []), computer.control.integralY]);
    });
    const of = (phase: number): number[] => integrals.get(phase) ?? [];
    expect(new Set(of(PAD))).toEqual(new Set([0]));
    // Ascent from tick 15; coast is recognised at tick 70: 55 ticks of -0.1.
    near(of(ASCENT)[of(ASCENT).length - 1], -0.055, 1e-12);
    for (const phase of [COAST, DESCENT]) for (const x of of(phase)) near(x, -0.055, 1e-12);
    near(of(LANDING)[0], -0.001, 1e-12);
    near(of(LANDING)[49], -0.05, 1e-12);
  });

  it('schedules by the time since liftoff plus the confirm time, and since the command less the lead', () => {
    const p = tilted({
      referenceTorque: 1,
      leastFactor: 0.01,
      mostFactor: 7,
      lead: 0.1,
      rule: firingBelow(1e9),
      // 1 s of 20 N at 0.1 m either way: factor 0.5, then the greatest.
      expectedAscent: { curve: curveTable([0, 1], [20, 20]), arm: 0.1 },
      expectedLanding: { curve: curveTable([0, 1], [10, 10]), arm: 0.1 },
    });
    const computer = startedComputer(p);
    const factors: { phase: number; since: number; factor: number }[] = [];
    // Thrust to tick 165, so that the expected second ends before the phase does.
    feed(computer, p, 0, 900, hop(10, 10, 165), (k) => {
      const { phase } = computer.phases;
      if (phase !== PAD)
        factors.push({
          phase,
          since: k / 100 - (phase === LANDING ? computer.commandTime : computer.liftoffTime),
          factor: computer.control.command2 / -0.02,
        });
    });
    expect(new Set(factors.map((f) => f.phase))).toEqual(new Set([ASCENT, COAST, DESCENT, LANDING]));
    for (const { phase, since, factor } of factors) {
      const curveTime = phase === LANDING ? since - 0.1 : since + 0.05;
      // A tick that falls on an end of the curve may round either way.
      if (Math.min(Math.abs(curveTime), Math.abs(curveTime - 1)) < 1e-9) continue;
      near(factor, curveTime > 0 && curveTime < 1 ? (phase === LANDING ? 1 : 0.5) : 7, 1e-9);
    }
  });

  it('counts saturated ticks in ascent and landing', () => {
    // kp 0.2 x 0.1 rad beyond a limit of 0.01 throughout.
    const { computer } = course(tilted({ gimbalLimit: 0.01 }), 300);
    expect(computer.controlTicks).toBe(55);
    expect(computer.saturatedTicks).toBe(55);
    const free = course(tilted(), 300).computer;
    expect([free.controlTicks, free.saturatedTicks]).toEqual([55, 0]);
  });
});
