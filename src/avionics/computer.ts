/**
 * The flight computer: one tick of navigation, phases, rule, leg release and control, in that order, with its timing
 * faults. It sees samples and its own clock, never the truth: not the thrust, not whether a motor burns, not where the
 * ground is.
 *
 * The order and the faults are those of model sections 7 and 9: a *late start* (nothing integrated before liftoff is
 * recognised), a *transition gap* after each phase change that is never integrated, and stalls, in which the loop does
 * not call `tick` at all.
 */
import { AttitudeControl, torqueFactor } from './control.ts';
import { Ignition } from './ignition.ts';
import { Navigator, SAMPLE_SIZE, SAMPLE_TIME } from './navigation.ts';
import type { ComputerParameters } from './parameters.ts';
import { ASCENT, DESCENT, LANDING, PAD, PhaseLogic } from './phases.ts';

/** Slack on the end of a gap, s: a tick that falls on it counts, whatever the rounding. */
const SLACK = 1e-9;

export class FlightComputer {
  readonly navigator: Navigator = new Navigator();
  readonly phases: PhaseLogic = new PhaseLogic();
  readonly ignition: Ignition = new Ignition();
  readonly control: AttitudeControl = new AttitudeControl();
  /** This tick's sample: the loop writes specific force and rate before it calls `tick`. */
  readonly sample: Float64Array = new Float64Array(SAMPLE_SIZE);
  /** This tick's barometer reading, m; read only when one is fitted. */
  barometerHeight: number = 0;

  /** m, kept when the descent is recognised; NaN before. */
  apogee: number = Number.NaN;
  /** Believed s; NaN before they happen. */
  liftoffTime: number = Number.NaN;
  apogeeTime: number = Number.NaN;
  /** Believed s of the command, inside a tick if the rule is timed so; NaN before. */
  commandTime: number = Number.NaN;
  /** Set on the tick of the command: s from this tick to it; -1 on every other tick. */
  commandWait: number = -1;
  /** Set on the tick of the release. */
  releaseNow: boolean = false;
  legsReleased: boolean = false;
  /** Whether this tick was one in which the computer ran (not inside a gap). */
  ran: boolean = false;
  /** Control ticks in ascent and landing, and those of them at the gimbal's limit. */
  controlTicks: number = 0;
  saturatedTicks: number = 0;

  private readonly previous: Float64Array = new Float64Array(SAMPLE_SIZE);
  private integrating: boolean = false;
  /** Believed s up to which the belief has been integrated; and the end of a gap. */
  private integratedTo: number = 0;
  private gapEnd: number = 0;
  /** Samples of the current liftoff run, for replay. */
  private run: Float64Array = new Float64Array(0);
  private runLength: i32 = 0;

  reset(p: ComputerParameters): void {
    this.navigator.reset(p);
    this.phases.reset();
    this.ignition.reset();
    this.control.reset();
    this.sample.fill(0);
    this.previous.fill(0);
    this.barometerHeight = 0;
    this.apogee = Number.NaN;
    this.liftoffTime = Number.NaN;
    this.apogeeTime = Number.NaN;
    this.commandTime = Number.NaN;
    this.commandWait = -1;
    this.releaseNow = false;
    this.legsReleased = false;
    this.ran = false;
    this.controlTicks = 0;
    this.saturatedTicks = 0;
    this.integrating = false;
    this.integratedTo = 0;
    this.gapEnd = 0;
    this.runLength = 0;
    const room = ((Math.ceil(p.liftoffConfirm / p.tick) as i32) + 2) * SAMPLE_SIZE;
    if (p.replay && this.run.length < room) this.run = new Float64Array(room);
  }

  /** Tick number k of the believed clock, with this tick's sample in place. */
  tick(p: ComputerParameters, k: i32): void {
    this.tickAt(p, k, k * p.tick);
  }

  /** The same at a time of its own, `now`, s, for whoever replays a clock that is not even. */
  tickAt(p: ComputerParameters, k: i32, now: number): void {
    this.sample[SAMPLE_TIME] = now;
    this.commandWait = -1;
    this.releaseNow = false;
    this.ran = now >= this.gapEnd - SLACK;
    if (this.ran) this.work(p, k, now);
    this.previous.set(this.sample);
  }

  private work(p: ComputerParameters, k: i32, now: number): void {
    if (this.integrating) this.navigate(p, now);
    const before = this.phases.phase;
    if (this.phases.step(p, k, this.sample[0], this.navigator.v[2])) this.changed(p, now);
    else {
      if (before === PAD && p.replay) this.keepForReplay(k);
      if (before === DESCENT) this.askRule(p, now);
    }
    if (this.phases.phase >= DESCENT && !this.legsReleased) this.releaseLegs(p, now);
    if (this.phases.phase !== PAD) this.steer(p, now);
  }

  private navigate(p: ComputerParameters, now: number): void {
    const elapsed = now - this.integratedTo;
    const dt = elapsed <= 0 ? 0 : p.afterStallOneTick && elapsed > p.tick ? p.tick : elapsed;
    this.navigator.integrate(this.previous, 0, this.sample, 0, dt, p.gravity);
    if (p.barometerFitted) this.navigator.blend(this.barometerHeight, dt, p.barometer.speedGain, p.barometer.heightGain);
    this.integratedTo = now;
  }

  /** What a phase change brings: the start of integration, the kept apogee, and the gap. */
  private changed(p: ComputerParameters, now: number): void {
    const phase = this.phases.phase;
    if (phase === ASCENT) {
      this.liftoffTime = now;
      this.integrating = true;
      if (p.replay) this.replay(p);
      this.integratedTo = now;
    } else if (phase === DESCENT) {
      this.apogee = this.navigator.height;
      this.apogeeTime = now;
    }
    this.startGap(p, now);
  }

  private startGap(p: ComputerParameters, now: number): void {
    if (!(p.transitionGap > 0)) return;
    this.gapEnd = now + p.transitionGap;
    this.integratedTo = this.gapEnd;
  }

  private keepForReplay(k: i32): void {
    if (this.phases.runStart < 0) {
      this.runLength = 0;
      return;
    }
    if (this.phases.runStart === k) this.runLength = 0;
    this.run.set(this.sample, this.runLength * SAMPLE_SIZE);
    this.runLength++;
  }

  /** Integrates from the first sample of the liftoff run to this tick's. */
  private replay(p: ComputerParameters): void {
    const run = this.run;
    for (let i = 1; i < this.runLength; i++) {
      const from = (i - 1) * SAMPLE_SIZE;
      const to = i * SAMPLE_SIZE;
      this.navigator.integrate(run, from, run, to, run[to + SAMPLE_TIME] - run[from + SAMPLE_TIME], p.gravity);
    }
    if (this.runLength === 0) return;
    const last = (this.runLength - 1) * SAMPLE_SIZE;
    this.navigator.integrate(run, last, this.sample, 0, this.sample[SAMPLE_TIME] - run[last + SAMPLE_TIME], p.gravity);
  }

  private askRule(p: ComputerParameters, now: number): void {
    const n = this.navigator;
    const wait = this.ignition.ask(p, n.height, -n.v[2], -n.verticalAcceleration, this.apogee, n.cosTilt());
    if (wait < 0) return;
    this.commandWait = wait;
    this.commandTime = now + wait;
    this.phases.ignite();
    this.control.resetIntegral();
    this.startGap(p, now);
  }

  private releaseLegs(p: ComputerParameters, now: number): void {
    const due = p.releaseAtHeight ? this.navigator.height <= p.releaseHeight : now >= this.apogeeTime + p.releaseTime - SLACK;
    if (!due) return;
    this.legsReleased = true;
    this.releaseNow = true;
  }

  private steer(p: ComputerParameters, now: number): void {
    const phase = this.phases.phase;
    const factor =
      phase === LANDING
        ? torqueFactor(p, p.expectedLanding, now - this.commandTime - p.lead)
        : torqueFactor(p, p.expectedAscent, now - this.liftoffTime + p.liftoffConfirm);
    const counted = phase === ASCENT || phase === LANDING;
    this.control.step(p, this.navigator.q, this.navigator.v, this.sample[4], this.sample[5], factor, counted);
    if (!counted) return;
    this.controlTicks++;
    if (this.control.saturated) this.saturatedTicks++;
  }
}
