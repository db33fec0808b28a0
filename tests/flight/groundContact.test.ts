/**
 * The seam between motion and touchdown model, tried with a second kind of the test's own: a spring without friction
 * under the middle of the base. It pushes in every stage, steps on a grid of its own inside the tick, stops the motion
 * when it touches and holds at the top. Judged on the undamped oscillator in closed form (any mechanics text).
 */
import { describe, expect, it } from 'vitest';
import { Motion } from '../../src/flight/motion.ts';
import { Contact, GroundContact, STANDS, type TouchdownLimits } from '../../src/plant/contact/groundContact.ts';
import type { PlantParameters } from '../../src/plant/parameters.ts';
import { FREE } from '../../src/plant/rates.ts';
import type { Load, TrueState } from '../../src/plant/state.ts';
import { near } from '../helpers/near.ts';
import { plantForTests } from '../helpers/plantForTests.ts';

const STIFFNESS = 4000;
const FINE = 0.001;
/** m from the base up to the centre of mass of the vehicle for tests. */
const ARM = 0.5;

class SpringPad extends GroundContact {
  steps: number[] = [];
  from = 0;
  deepest = 0;

  begin(_limits: TouchdownLimits, _p: PlantParameters): void {
    this.clearReport();
  }

  beginTick(_s: TrueState, _load: Load, _share: number, _p: PlantParameters, from: number): void {
    this.from = from;
  }

  stepEnd(now: number, _usual: number, tickEnd: number): number {
    const j = Math.floor((now - this.from) / FINE + 1e-6) + 1;
    const end = this.from + j * FINE;
    return end > tickEnd - 1e-9 ? tickEnd : end;
  }

  push(out: TrueState, s: TrueState, load: Load): void {
    const depth = ARM - s.rz;
    if (depth > 0) out.vz += (STIFFNESS * depth) / load.mass;
  }

  felt(k: TrueState, s: TrueState, load: Load): void {
    this.push(k, s, load);
  }

  gap(s: TrueState): number {
    return this.pushes ? Number.POSITIVE_INFINITY : s.rz - ARM;
  }

  accepted(s: TrueState, _load: Load, _share: number, _p: PlantParameters, time: number, crossed: boolean): boolean {
    this.steps.push(time);
    if (crossed) this.pushes = true;
    else if (this.pushes && s.rz > ARM) this.pushes = false;
    this.deepest = Math.max(this.deepest, ARM - s.rz);
    return crossed;
  }

  judge(s: TrueState, _load: Load, _share: number, _p: PlantParameters, time: number): void {
    const contact = Object.assign(new Contact(), { sink: -s.vz, slide: Math.hypot(s.vx, s.vy) });
    this.report(contact, s, time);
    this.verdict = STANDS;
  }

  lifted(): void {}

  finished(): boolean {
    return false;
  }

  ended(): void {}
}

/** Dropped upright, with the base `height` above the ground, for `end` s of ticks of 10 ms. */
function dropped(height: number, end: number): { motion: Motion; ground: SpringPad } {
  const p = plantForTests();
  const ground = new SpringPad();
  const motion = new Motion(ground);
  motion.reset(p);
  ground.begin({ sink: 1, slide: 1, tilt: 1 }, p);
  Object.assign(motion.s, { rx: 0, ry: 0, rz: ARM + height });
  motion.hold = FREE;
  for (let k = 1; k * 0.01 <= end + 1e-9; k++) {
    ground.beginTick(motion.s, motion.load, 0, p, motion.time);
    while (motion.time < k * 0.01) {
      if (!motion.advance(p, k * 0.01, 1)) continue;
      motion.derive(p);
      ground.judge(motion.s, motion.load, 0, p, motion.time);
    }
  }
  return { motion, ground };
}

describe('a touchdown model of another kind', () => {
  const g = plantForTests().gravity;
  const speed = Math.sqrt(2 * g * 0.2);
  const omega = Math.sqrt(STIFFNESS);
  const { motion, ground } = dropped(0.2, 0.3);

  it('is told of the touch at its instant, and reports it', () => {
    near(ground.contactTime, speed / g, 1e-9);
    near(ground.sink, speed, 1e-9);
    expect([ground.contacts, ground.verdict, motion.hops]).toEqual([1, STANDS, 0]);
  });

  it('pushes in every stage: depth and the speed it leaves with are the oscillator’s', () => {
    // Deepest at the accepted states next to the turn: within half a step of it, (w h/2)^2/2 of the depth.
    const deepest = g / omega ** 2 + Math.hypot(g / omega ** 2, speed / omega);
    expect(ground.deepest).toBeLessThanOrEqual(deepest + 1e-9);
    expect(ground.deepest).toBeGreaterThan(deepest * (1 - 0.6e-3));
    // It leaves the spring as fast as it came. The step in which it leaves has a kink: of k v^2 h^2 at most a tenth,
    // per kilogram.
    near(0.5 * motion.s.vz ** 2 + g * (motion.s.rz - ARM), g * 0.2, 0.1 * STIFFNESS * speed ** 2 * FINE ** 2);
    expect(ground.pushes).toBe(false);
  });

  it('steps on its own grid inside the tick, cut at the touch', () => {
    const off = ground.steps.filter((t) => Math.abs(t / FINE - Math.round(t / FINE)) > 1e-6);
    expect(off).toEqual([ground.contactTime]);
    expect(ground.steps.length).toBe(301);
  });
});
