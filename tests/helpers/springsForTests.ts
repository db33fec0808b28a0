/**
 * A bare vehicle on simulated legs, driven without computer: no air, no thrust, unless a test says otherwise. Steps are
 * the loop's: ticks, each of so many contact steps.
 */
import { Motion } from '../../src/flight/motion.ts';
import { SpringContact } from '../../src/plant/contact/springContact.ts';
import type { PlantParameters } from '../../src/plant/parameters.ts';
import { FREE } from '../../src/plant/rates.ts';
import type { Load, TrueState } from '../../src/plant/state.ts';
import { plantForTests } from './plantForTests.ts';

const NO_LIMITS = { sink: Number.POSITIVE_INFINITY, slide: Number.POSITIVE_INFINITY, tilt: Number.POSITIVE_INFINITY };
/** s */
export const TICK = 0.01;

/** Half a metre from the feet up to the centre of mass, base 0.1 m above the feet, one kilogram, four legs, 0.2 m out. */
export function springPlant(changes: Partial<PlantParameters> = {}): PlantParameters {
  return plantForTests({
    bodyLength: 0.9,
    footStation: 1,
    springs: true,
    footStiffness: 2500,
    footDamping: 20,
    friction: 0.5,
    contactSteps: 20,
    ...changes,
  });
}

/** m from the feet up to the centre of mass of that vehicle. */
export const ARM = 0.5;

/** A state that the contact accepted. */
export interface Accepted {
  readonly time: number;
  readonly state: TrueState;
  readonly touching: number;
}

class WatchedSprings extends SpringContact {
  watch: ((seen: Accepted) => void) | null = null;

  override accepted(s: TrueState, load: Load, share: number, p: PlantParameters, time: number, crossed: boolean): boolean {
    const stops = super.accepted(s, load, share, p, time, crossed);
    this.watch?.({ time, state: s, touching: this.feet.touching });
    return stops;
  }
}

export class OnSprings {
  readonly p: PlantParameters;
  readonly ground: WatchedSprings = new WatchedSprings();
  readonly motion: Motion;
  /** s; thrust, though there is none, is still to come: it is given time to come to rest. */
  thrustEnd = Number.POSITIVE_INFINITY;
  private k = 0;

  /** Upright above the middle of the pad and falling, unless `state` says otherwise; the feet `height` m above level ground. */
  constructor(p: PlantParameters, height: number, state: Partial<TrueState> = {}) {
    this.p = p;
    this.motion = new Motion(this.ground);
    this.motion.reset(p);
    this.ground.begin(NO_LIMITS, p);
    // It comes from the air: contact is looked for from the first step on.
    Object.assign(this.ground, { falling: true });
    Object.assign(this.motion.s, { rx: 0, ry: 0, rz: ARM + height }, state);
    this.motion.hold = FREE;
    this.motion.held.legShare = 1;
    this.motion.derive(p);
  }

  /**
   * On to `end` s, or to where the flight ends. At rest it is not held but goes on, on its springs.
   * @param watch is shown every accepted state
   */
  fly(end: number, watch: ((seen: Accepted) => void) | null = null): this {
    const { motion, ground, p } = this;
    ground.watch = watch;
    while (this.k < Math.round(end / TICK) && !ground.over) {
      const to = (this.k + 1) * TICK;
      motion.derive(p);
      ground.beginTick(motion.s, motion.load, 1, p, motion.time, to, 1, this.thrustEnd);
      while (motion.time < to && !ground.over) {
        if (!motion.advance(p, to, 1)) continue;
        motion.derive(p);
        if (ground.rests) ground.lifted(motion.s, motion.load, 1, p);
      }
      motion.normalise();
      this.k++;
    }
    return this;
  }
}
