/** Which part of the flight the computer believes it is in. Knows its own samples and belief only. */
import type { ComputerParameters } from './parameters.ts';

export const PAD = 0;
export const ASCENT = 1;
export const COAST = 2;
export const DESCENT = 3;
export const LANDING = 4;
export type Phase = i32;

/** Slack on a confirm time, s: ticks that fall on it count, whatever the rounding of their product with the tick. */
const SLACK = 1e-9;

export class PhaseLogic {
  phase: Phase = PAD;
  /** Tick of the first sample of the unbroken run that would confirm the next change; -1: no run. */
  runStart: i32 = -1;

  reset(): void {
    this.phase = PAD;
    this.runStart = -1;
  }

  /**
   * At most one change a tick. @param axial m/s^2, measured   @param rising m/s, believed   @returns whether it
   * changed.
   */
  step(p: ComputerParameters, k: i32, axial: number, rising: number): boolean {
    switch (this.phase) {
      case PAD:
        if (!this.confirmed(k, axial > p.liftoffThreshold, p.liftoffConfirm, p.tick)) return false;
        this.enter(ASCENT);
        return true;
      case ASCENT:
        if (!this.confirmed(k, axial < p.burnoutThreshold, p.burnoutConfirm, p.tick)) return false;
        this.enter(COAST);
        return true;
      case COAST:
        if (!(rising < 0)) return false;
        this.enter(DESCENT);
        return true;
      default:
        return false;
    }
  }

  /** The ignition command is the change to the landing phase. */
  ignite(): void {
    this.enter(LANDING);
  }

  private enter(phase: Phase): void {
    this.phase = phase;
    this.runStart = -1;
  }

  private confirmed(k: i32, holds: boolean, confirm: number, tick: number): boolean {
    if (!holds) {
      this.runStart = -1;
      return false;
    }
    if (this.runStart < 0) this.runStart = k;
    return (k - this.runStart) * tick >= confirm - SLACK;
  }
}
