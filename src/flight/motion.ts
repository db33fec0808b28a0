/**
 * The true motion of one flight through time: classical RK4, split at every thrust-curve point, at the casing's leaving, and at the
 * instants it finds itself: lift-off, rail exit, contact and hop. Knows the plant only; what the computer commands is handed in.
 */
import { type Burns, loadAt } from '../plant/mass.ts';
import type { PlantParameters, TrueMotor } from '../plant/parameters.ts';
import { AT_REST, axialAcceleration, FREE, type Hold, ON_RAIL, rates, STANDING, servoRate } from '../plant/rates.ts';
import {
  ASCENT_THRUST,
  COMMAND_1,
  COMMAND_2,
  D1,
  D2,
  HELD_SIZE,
  LANDING_THRUST,
  LEG_SHARE,
  LOAD_SIZE,
  MASS,
  QW,
  QX,
  QY,
  QZ,
  RX,
  RY,
  RZ,
  STATE_SIZE,
  VX,
  VY,
  VZ,
  WX,
  WZ,
  XCG,
} from '../plant/state.ts';
import { clearance, reach } from '../plant/touchdown.ts';
import { leaningAttitude } from '../maths/quaternion.ts';
import { impulseIn } from '../maths/thrustCurve.ts';

/** s; how closely rail exit, contact and hop are located. The model asks for 1e-6. */
const EVENT_TOLERANCE = 1e-10;
const MOST_ITERATIONS = 60;

const HALF = LOAD_SIZE;
const END = 2 * LOAD_SIZE;

export class Motion {
  readonly s = new Float64Array(STATE_SIZE);
  /** Derivative at `time`, valid after `derive`. */
  readonly k1 = new Float64Array(STATE_SIZE);
  /** Mass and thrust now, at the middle of a step, at its end. */
  readonly load = new Float64Array(3 * LOAD_SIZE);
  readonly held = new Float64Array(HELD_SIZE);
  readonly burns: Burns = { ascentStart: 0, landingStart: Number.POSITIVE_INFINITY, ascentPiece: -1, landingPiece: -1, casingAboard: true };
  hold: Hold = AT_REST;
  time = 0;
  /** Height of the centre of mass on the pad, m: what heights are counted from. */
  padHeight = 0;
  liftoffTime = Number.NaN;
  railExitSpeed = Number.NaN;
  ascentBurnoutTime = Number.NaN;
  ascentBurnoutHeight = Number.NaN;
  thrustHeight = Number.NaN;
  landingBurnoutHeight = Number.NaN;
  thrustStartTime = Number.NaN;
  thrustEndTime = Number.POSITIVE_INFINITY;
  casingLeftTime = Number.NaN;
  hops = 0;

  readonly #k2 = new Float64Array(STATE_SIZE);
  readonly #k3 = new Float64Array(STATE_SIZE);
  readonly #k4 = new Float64Array(STATE_SIZE);
  readonly #stage = new Float64Array(STATE_SIZE);
  readonly #trial = new Float64Array(STATE_SIZE);
  readonly #pad = new Float64Array(3);
  readonly #sum = new Float64Array(6);
  #derived = false;
  #nextAscent = 0;
  #nextLanding = Number.POSITIVE_INFINITY;
  #ejectTime = Number.POSITIVE_INFINITY;

  /** On the pad at time 0: the middle of the base on the origin, leaned as the rail is. */
  reset(p: PlantParameters): void {
    this.time = 0;
    this.hold = AT_REST;
    this.hops = 0;
    const burns = this.burns;
    burns.ascentStart = p.ascent.ignitionDelay;
    burns.landingStart = Number.POSITIVE_INFINITY;
    burns.ascentPiece = -1;
    burns.landingPiece = -1;
    burns.casingAboard = true;
    this.#nextAscent = pointTime(p.ascent, burns.ascentStart, 0);
    this.#nextLanding = Number.POSITIVE_INFINITY;
    this.#ejectTime = Number.POSITIVE_INFINITY;
    this.liftoffTime = Number.NaN;
    this.railExitSpeed = Number.NaN;
    this.ascentBurnoutTime = Number.NaN;
    this.ascentBurnoutHeight = Number.NaN;
    this.thrustHeight = Number.NaN;
    this.landingBurnoutHeight = Number.NaN;
    this.thrustStartTime = Number.NaN;
    this.thrustEndTime = Number.POSITIVE_INFINITY;
    this.casingLeftTime = Number.NaN;
    this.held.fill(0);
    const s = this.s;
    s.fill(0);
    leaningAttitude(s, QW, p.railTilt, p.railAzimuth);
    loadAt(this.load, 0, p, burns, 0);
    const up = p.bodyLength - this.load[XCG];
    s[RX] = up * axisX(s);
    s[RY] = up * axisY(s);
    s[RZ] = up * axisZ(s);
    this.padHeight = s[RZ];
    this.#pad[0] = s[RX];
    this.#pad[1] = s[RY];
    this.#pad[2] = s[RZ];
    this.#derived = false;
  }

  /** m above the centre of mass's place on the pad. */
  height(): number {
    return this.s[RZ] - this.padHeight;
  }

  /** N s of the landing curve still to come, in its present piece. */
  landingImpulseLeft(p: PlantParameters): number {
    const { curve, thrustScale, burnTimeFactor } = p.landing;
    const burnt = impulseIn(curve, this.burns.landingPiece, (this.time - this.burns.landingStart) / burnTimeFactor);
    return thrustScale * burnTimeFactor * (curve.total - burnt);
  }

  /** The landing motor's curve starts at this true time; the spent casing leaves `ejectDelay` later. */
  light(p: PlantParameters, start: number): void {
    this.burns.landingStart = start;
    this.#nextLanding = pointTime(p.landing, start, 0);
    this.#ejectTime = start + p.ejectDelay;
    this.thrustEndTime = pointTime(p.landing, start, p.landing.curve.points - 1);
  }

  /** Brings k1 and load[0..] up to now. Serves the sensors and the first stage of the step that follows. */
  derive(p: PlantParameters): void {
    this.#passBreaks(p);
    if (this.hold === AT_REST) this.#tryLiftoff(p);
    loadAt(this.load, 0, p, this.burns, this.time);
    rates(this.k1, this.s, this.load, 0, this.held, p, this.hold, this.#sum);
    this.#derived = true;
  }

  /** New gimbal commands act at once; of the derivative only the servos' part depends on them. */
  command(p: PlantParameters, command1: number, command2: number): void {
    this.held[COMMAND_1] = command1;
    this.held[COMMAND_2] = command2;
    this.k1[D1] = servoRate(command1, this.s[D1], p.servoLag, p.servoRate);
    this.k1[D2] = servoRate(command2, this.s[D2], p.servoLag, p.servoRate);
  }

  /** Moves on to `to` in `substeps` equal steps. @returns true when it stopped short of it, at a contact with the ground. */
  advance(p: PlantParameters, to: number, substeps: number): boolean {
    const from = this.time;
    for (let j = 1; j <= substeps; j++) {
      const end = j === substeps ? to : from + ((to - from) * j) / substeps;
      while (this.time < end) if (this.#move(p, end)) return true;
    }
    return false;
  }

  /** After a good contact: at rest where it touched, attitude kept. */
  stand(): void {
    for (let i = VX; i <= VZ; i++) this.s[i] = 0;
    for (let i = WX; i <= WZ; i++) this.s[i] = 0;
    this.hold = STANDING;
    this.#derived = false;
  }

  /** One smooth piece of motion, at most to `end`. */
  #move(p: PlantParameters, end: number): boolean {
    if (this.#passBreaks(p)) this.#derived = false;
    const stop = Math.min(end, this.#nextAscent, this.#nextLanding, this.#ejectTime);
    switch (this.hold) {
      case AT_REST:
        this.#rest(p, stop);
        return false;
      case ON_RAIL:
        this.#slideUp(p, stop);
        return false;
      case STANDING:
        this.#waitStanding(p, stop);
        return false;
      default:
        return this.#fly(p, stop);
    }
  }

  /** Steps over curve points and the casing's leaving that fall on `time`. @returns whether there was one. */
  #passBreaks(p: PlantParameters): boolean {
    const burns = this.burns;
    const now = this.time;
    let passed = false;
    while (now >= this.#nextAscent) {
      burns.ascentPiece++;
      const last = burns.ascentPiece === p.ascent.curve.points - 1;
      this.#nextAscent = last ? Number.POSITIVE_INFINITY : pointTime(p.ascent, burns.ascentStart, burns.ascentPiece + 1);
      if (last) {
        this.ascentBurnoutTime = now;
        this.ascentBurnoutHeight = this.height();
      }
      passed = true;
    }
    while (now >= this.#nextLanding) {
      burns.landingPiece++;
      const last = burns.landingPiece === p.landing.curve.points - 1;
      this.#nextLanding = last ? Number.POSITIVE_INFINITY : pointTime(p.landing, burns.landingStart, burns.landingPiece + 1);
      if (burns.landingPiece === 0) {
        this.thrustStartTime = now;
        this.thrustHeight = this.height();
      }
      if (last) this.landingBurnoutHeight = this.height();
      passed = true;
    }
    if (now >= this.#ejectTime) {
      this.#ejectTime = Number.POSITIVE_INFINITY;
      burns.casingAboard = false;
      this.casingLeftTime = now;
      passed = true;
    }
    return passed;
  }

  #tryLiftoff(p: PlantParameters): void {
    if (!(this.#restAcceleration(p, this.time) > 0)) return;
    this.hold = ON_RAIL;
    if (Number.isNaN(this.liftoffTime)) this.liftoffTime = this.time;
    this.#derived = false;
  }

  #restAcceleration(p: PlantParameters, time: number): number {
    loadAt(this.load, END, p, this.burns, time);
    return axialAcceleration(this.s, this.load, END, this.held, p, this.#k2, this.#sum);
  }

  /** On the pad until the axial force exceeds the weight. */
  #rest(p: PlantParameters, stop: number): void {
    this.#tryLiftoff(p);
    if (this.hold !== AT_REST) return;
    let low = this.time;
    let high = stop;
    if (this.#restAcceleration(p, stop) > 0) {
      while (high - low > EVENT_TOLERANCE) {
        const middle = 0.5 * (low + high);
        if (this.#restAcceleration(p, middle) > 0) high = middle;
        else low = middle;
      }
    }
    this.#step(p, high - this.time);
    this.#accept(high);
    if (high < stop) this.#tryLiftoff(p);
  }

  #slideUp(p: PlantParameters, stop: number): void {
    const width = stop - this.time;
    this.#step(p, width);
    const travel = this.#travel();
    if (travel >= p.railLength) {
      const before = this.#travelOf(this.s) - p.railLength;
      const h = this.#locate(p, width, before, travel - p.railLength, false);
      this.#accept(h === width ? stop : this.time + h);
      this.hold = FREE;
      const s = this.s;
      this.railExitSpeed = Math.sqrt(s[VX] * s[VX] + s[VY] * s[VY] + s[VZ] * s[VZ]);
      return;
    }
    this.#accept(stop);
    if (travel >= 0) return;
    // It slid back down to the pad.
    for (let i = 0; i < 3; i++) this.s[RX + i] = this.#pad[i];
    for (let i = VX; i <= VZ; i++) this.s[i] = 0;
    this.hold = AT_REST;
  }

  #fly(p: PlantParameters, stop: number): boolean {
    const width = stop - this.time;
    this.#step(p, width);
    const after = this.#gap(p);
    if (!(after < 0)) {
      this.#accept(stop);
      return false;
    }
    const before = clearance(this.s, this.load[XCG], this.held[LEG_SHARE], p);
    const h = before > 0 ? this.#locate(p, width, before, after, true) : 0;
    if (h === 0) return true;
    this.#accept(h === width ? stop : this.time + h);
    return true;
  }

  /** Clearance at the end of the trial step; Infinity while nothing can reach the ground. */
  #gap(p: PlantParameters): number {
    const t = this.#trial;
    const xcg = this.load[END + XCG];
    if (p.groundX * t[RX] + p.groundY * t[RY] + p.groundZ * t[RZ] > reach(xcg, p)) return Number.POSITIVE_INFINITY;
    return clearance(t, xcg, this.held[LEG_SHARE], p);
  }

  #waitStanding(p: PlantParameters, stop: number): void {
    let low = this.time;
    let high = stop;
    if (this.#lift(p, low) > 0) {
      this.#hop();
      return;
    }
    if (this.#lift(p, high) > 0) {
      while (high - low > EVENT_TOLERANCE) {
        const middle = 0.5 * (low + high);
        if (this.#lift(p, middle) > 0) high = middle;
        else low = middle;
      }
    }
    this.#step(p, high - this.time);
    this.#accept(high);
    if (high < stop) this.#hop();
  }

  #hop(): void {
    this.hold = FREE;
    this.hops++;
    this.#derived = false;
  }

  /** N by which thrust exceeds weight along the ground's normal, at a time in the present pieces. */
  #lift(p: PlantParameters, time: number): number {
    loadAt(this.load, END, p, this.burns, time);
    const s = this.s;
    const up = axisX(s) * p.groundX + axisY(s) * p.groundY + axisZ(s) * p.groundZ;
    const thrust = this.load[END + ASCENT_THRUST] + this.load[END + LANDING_THRUST];
    return thrust * up - this.load[END + MASS] * p.gravity * p.groundZ;
  }

  #travel(): number {
    return this.#travelOf(this.#trial);
  }

  #travelOf(s: Float64Array): number {
    const pad = this.#pad;
    return (s[RX] - pad[0]) * axisX(s) + (s[RY] - pad[1]) * axisY(s) + (s[RZ] - pad[2]) * axisZ(s);
  }

  /**
   * Step width in (0, width] at which rail travel or clearance crosses zero, by regula falsi (Illinois form); leaves the trial there.
   * For a contact the side still clear of the ground is taken.
   */
  #locate(p: PlantParameters, width: number, before: number, after: number, contact: boolean): number {
    let a = 0;
    let b = width;
    let fa = before;
    let fb = after;
    for (let i = 0; i < MOST_ITERATIONS && b - a > EVENT_TOLERANCE; i++) {
      let c = b - (fb * (b - a)) / (fb - fa);
      if (!(c > a && c < b)) c = 0.5 * (a + b);
      this.#step(p, c);
      const fc = contact ? clearance(this.#trial, this.load[END + XCG], this.held[LEG_SHARE], p) : this.#travel() - p.railLength;
      if (fc === 0) {
        a = c;
        b = c;
      } else if (fc > 0 === fb > 0) {
        b = c;
        fb = fc;
        fa *= 0.5;
      } else {
        a = c;
        fa = fc;
        fb *= 0.5;
      }
    }
    const h = contact ? a : b;
    this.#step(p, h);
    return h;
  }

  /** One RK4 step of width h from the present state into the trial. */
  #step(p: PlantParameters, h: number): void {
    const s = this.s;
    const stage = this.#stage;
    const { k1, load, held, hold } = this;
    const k2 = this.#k2;
    const k3 = this.#k3;
    const k4 = this.#k4;
    const sum = this.#sum;
    if (!this.#derived) {
      loadAt(load, 0, p, this.burns, this.time);
      rates(k1, s, load, 0, held, p, hold, sum);
      this.#derived = true;
    }
    loadAt(load, HALF, p, this.burns, this.time + 0.5 * h);
    loadAt(load, END, p, this.burns, this.time + h);
    const half = 0.5 * h;
    for (let i = 0; i < STATE_SIZE; i++) stage[i] = s[i] + half * k1[i];
    rates(k2, stage, load, HALF, held, p, hold, sum);
    for (let i = 0; i < STATE_SIZE; i++) stage[i] = s[i] + half * k2[i];
    rates(k3, stage, load, HALF, held, p, hold, sum);
    for (let i = 0; i < STATE_SIZE; i++) stage[i] = s[i] + h * k3[i];
    rates(k4, stage, load, END, held, p, hold, sum);
    const trial = this.#trial;
    const sixth = h / 6;
    for (let i = 0; i < STATE_SIZE; i++) trial[i] = s[i] + sixth * (k1[i] + 2 * (k2[i] + k3[i]) + k4[i]);
  }

  #accept(time: number): void {
    this.s.set(this.#trial);
    this.time = time;
    this.#derived = false;
  }

  /** Once a tick. */
  normalise(): void {
    const s = this.s;
    const scale = 1 / Math.sqrt(s[QW] * s[QW] + s[QX] * s[QX] + s[QY] * s[QY] + s[QZ] * s[QZ]);
    s[QW] *= scale;
    s[QX] *= scale;
    s[QY] *= scale;
    s[QZ] *= scale;
  }
}

/** True time of a curve point. */
function pointTime(motor: TrueMotor, start: number, point: number): number {
  return start + motor.burnTimeFactor * motor.curve.time[point];
}

/** The body axis in the local frame. */
export function axisX(s: Float64Array): number {
  return 1 - 2 * (s[QY] * s[QY] + s[QZ] * s[QZ]);
}

export function axisY(s: Float64Array): number {
  return 2 * (s[QX] * s[QY] + s[QW] * s[QZ]);
}

export function axisZ(s: Float64Array): number {
  return 2 * (s[QX] * s[QZ] - s[QW] * s[QY]);
}
