/**
 * Asks the ignition rule each tick of the descent: lead-time compensation, tilt guard, timing inside the tick. Knows no
 * rule by name.
 */
import type { ComputerParameters } from './parameters.ts';
import { ruleMargin } from './rules/kinds.ts';

export class Ignition {
  /** Whether the guard withheld ignition when the rule was last asked. */
  guardHolding: boolean = false;
  /** Whether it ever did. */
  guardHeld: boolean = false;

  reset(): void {
    this.guardHolding = false;
    this.guardHeld = false;
  }

  /**
   * @param height m, believed   @param speed m/s, believed, downward positive   @param gain m/s^2, believed growth of
   * the speed
   * @param apogee m, believed   @param cosTilt of the believed tilt
   * @returns s from this tick to the command; -1: not now.
   */
  ask(p: ComputerParameters, height: number, speed: number, gain: number, apogee: number, cosTilt: number): number {
    const margin = ruleMargin(p.rule, height - speed * p.lead, speed, apogee);
    let wait: number = -1;
    if (margin <= 0) wait = 0;
    else if (p.insideTick) {
      const dt = p.tick;
      const laterSpeed = speed + gain * dt;
      const laterHeight = height - 0.5 * (speed + laterSpeed) * dt;
      const later = ruleMargin(p.rule, laterHeight - laterSpeed * p.lead, laterSpeed, apogee);
      if (later <= 0) wait = (dt * margin) / (margin - later);
    }
    this.guardHolding = wait >= 0 && cosTilt < p.guardCosTilt;
    if (!this.guardHolding) return wait;
    this.guardHeld = true;
    return -1;
  }
}
