/**
 * The true motion of one flight through time (model sections 6 and 15): classical RK4, split at every thrust-curve
 * point, at the casing's leaving, and at the instants it finds itself: lift-off, rail exit, contact and hop. Knows the
 * plant only; what the computer commands is handed in, and what the ground does it asks of a touchdown model whose kind
 * it does not know.
 */

import { Bracket } from '../maths/bracket.ts';
import { leaningAttitude } from '../maths/quaternion.ts';
import { r00, r10, r20 } from '../maths/rotation.ts';
import { impulseIn } from '../maths/thrustCurve.ts';
import { liftSurplus, reach } from '../plant/contact/clearance.ts';
import type { GroundContact } from '../plant/contact/groundContact.ts';
import { Burns, loadAt } from '../plant/mass.ts';
import type { PlantParameters, TrueMotor } from '../plant/parameters.ts';
import { AT_REST, axialAcceleration, FREE, type Hold, ON_RAIL, rates, STANDING, servoRate } from '../plant/rates.ts';
import { addScaled, addWeighted, ForceAndMoment, Held, Load, TrueState } from '../plant/state.ts';

/** s; how closely rail exit, contact and hop are located. The model asks for 1e-6. */
const EVENT_TOLERANCE = 1e-10;
const MOST_ITERATIONS = 60;

export class Motion {
  ground: GroundContact;
  s: TrueState = new TrueState();
  /** Derivative at `time`, valid after `derive`. */
  readonly k1: TrueState = new TrueState();
  /** Mass and thrust now. */
  load: Load = new Load();
  readonly held: Held = new Held();
  readonly burns: Burns = new Burns();
  hold: Hold = AT_REST;
  time: number = 0;
  /** Height of the centre of mass on the pad, m: what heights are counted from. */
  padHeight: number = 0;
  liftoffTime: number = Number.NaN;
  railExitTime: number = Number.NaN;
  railExitSpeed: number = Number.NaN;
  ascentBurnoutTime: number = Number.NaN;
  ascentBurnoutHeight: number = Number.NaN;
  thrustHeight: number = Number.NaN;
  landingBurnoutHeight: number = Number.NaN;
  thrustStartTime: number = Number.NaN;
  /** m/s upward, when the landing thrust starts. */
  thrustStartRise: number = Number.NaN;
  thrustEndTime: number = Number.POSITIVE_INFINITY;
  casingLeftTime: number = Number.NaN;
  hops: number = 0;

  private readonly loadHalf: Load = new Load();
  private loadEnd: Load = new Load();
  private readonly k2: TrueState = new TrueState();
  private readonly k3: TrueState = new TrueState();
  private readonly k4: TrueState = new TrueState();
  private readonly stage: TrueState = new TrueState();
  private trial: TrueState = new TrueState();
  private readonly pad: Float64Array = new Float64Array(3);
  private readonly start: Float64Array = new Float64Array(4);
  private readonly sum: ForceAndMoment = new ForceAndMoment();
  private derived: boolean = false;
  /** Mass and thrust at the end of the trial step. */
  private trialLoad: Load = new Load();
  private readonly bracket: Bracket = new Bracket();
  /** m; the centre of mass's station at which a standing vehicle's place was last set. */
  private standingXcg: number = 0;
  private nextAscent: number = 0;
  private nextLanding: number = Number.POSITIVE_INFINITY;
  private ejectTime: number = Number.POSITIVE_INFINITY;

  constructor(ground: GroundContact) {
    this.ground = ground;
  }

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
    this.nextAscent = pointTime(p.ascent, burns.ascentStart, 0);
    this.nextLanding = Number.POSITIVE_INFINITY;
    this.ejectTime = Number.POSITIVE_INFINITY;
    this.liftoffTime = Number.NaN;
    this.railExitTime = Number.NaN;
    this.railExitSpeed = Number.NaN;
    this.ascentBurnoutTime = Number.NaN;
    this.ascentBurnoutHeight = Number.NaN;
    this.thrustHeight = Number.NaN;
    this.landingBurnoutHeight = Number.NaN;
    this.thrustStartTime = Number.NaN;
    this.thrustStartRise = Number.NaN;
    this.thrustEndTime = Number.POSITIVE_INFINITY;
    this.casingLeftTime = Number.NaN;
    const s = this.s;
    const held = this.held;
    held.legShare = 0;
    held.command1 = 0;
    held.command2 = 0;
    const q = this.start;
    leaningAttitude(q, 0, p.railTilt, p.railAzimuth);
    s.qw = q[0];
    s.qx = q[1];
    s.qy = q[2];
    s.qz = q[3];
    s.vx = 0;
    s.vy = 0;
    s.vz = 0;
    s.wx = 0;
    s.wy = 0;
    s.wz = 0;
    s.d1 = 0;
    s.d2 = 0;
    loadAt(this.load, p, burns, 0);
    const up = p.bodyLength - this.load.xcg;
    s.rx = up * axisX(s);
    s.ry = up * axisY(s);
    s.rz = up * axisZ(s);
    this.padHeight = s.rz;
    this.pad[0] = s.rx;
    this.pad[1] = s.ry;
    this.pad[2] = s.rz;
    this.derived = false;
  }

  /** m above the centre of mass's place on the pad. */
  height(): number {
    return this.s.rz - this.padHeight;
  }

  /** N s of the landing curve still to come, in its present piece. */
  landingImpulseLeft(p: PlantParameters): number {
    const curve = p.landing.curve;
    const thrustScale = p.landing.thrustScale;
    const burnTimeFactor = p.landing.burnTimeFactor;
    const burnt = impulseIn(curve, this.burns.landingPiece, (this.time - this.burns.landingStart) / burnTimeFactor);
    return thrustScale * burnTimeFactor * (curve.total - burnt);
  }

  /** The landing motor's curve starts at this true time; the spent casing leaves `ejectDelay` later. */
  light(p: PlantParameters, start: number): void {
    this.burns.landingStart = start;
    this.nextLanding = pointTime(p.landing, start, 0);
    this.ejectTime = start + p.ejectDelay;
    this.thrustEndTime = pointTime(p.landing, start, p.landing.curve.points - 1);
  }

  /** Brings k1 and load[0..] up to now. Serves the sensors and the first stage of the step that follows. */
  derive(p: PlantParameters): void {
    this.passBreaks(p);
    if (this.hold === AT_REST) this.tryLiftoff(p);
    loadAt(this.load, p, this.burns, this.time);
    rates(this.k1, this.s, this.load, this.held, p, this.hold, this.sum);
    if (this.ground.pushes && this.hold === FREE) this.ground.push(this.k1, this.s, this.load, p);
    this.derived = true;
  }

  /**
   * New gimbal commands act at once; of the derivative only the servos' part depends on them. A servo that has jammed
   * goes where it is stuck, whatever is asked of it.
   */
  command(p: PlantParameters, command1: number, command2: number): void {
    const jammed = this.time >= p.jamTime;
    const held = this.held;
    held.command1 = jammed && p.jamsY ? p.jamAngle : command1;
    held.command2 = jammed && p.jamsZ ? p.jamAngle : command2;
    this.k1.d1 = servoRate(held.command1, this.s.d1, p.servoLag, p.servoRate);
    this.k1.d2 = servoRate(held.command2, this.s.d2, p.servoLag, p.servoRate);
  }

  /**
   * Moves on to `to` in `substeps` equal steps, unless the touchdown model has steps of its own.
   * @returns true when it stopped short of it, at a contact to judge.
   */
  advance(p: PlantParameters, to: number, substeps: i32): boolean {
    const from = this.time;
    for (let j = 1; j <= substeps; j++) {
      const end = j === substeps ? to : from + ((to - from) * j) / substeps;
      while (this.time < end) if (this.move(p, this.ground.stepEnd(this.time, end, to))) return true;
    }
    return false;
  }

  /** At rest where it touched, attitude kept. */
  stand(): void {
    const s = this.s;
    s.vx = 0;
    s.vy = 0;
    s.vz = 0;
    s.wx = 0;
    s.wy = 0;
    s.wz = 0;
    this.hold = STANDING;
    this.standingXcg = this.load.xcg;
    this.derived = false;
  }

  /** One smooth piece of motion, at most to `end`. */
  private move(p: PlantParameters, end: number): boolean {
    if (this.passBreaks(p)) this.derived = false;
    const stop = Math.min(Math.min(end, this.nextAscent), Math.min(this.nextLanding, this.ejectTime));
    switch (this.hold) {
      case AT_REST:
        this.rest(p, stop);
        return false;
      case ON_RAIL:
        this.slideUp(p, stop);
        return false;
      case STANDING:
        this.waitStanding(p, stop);
        return false;
      default:
        return this.fly(p, stop);
    }
  }

  /** Steps over curve points and the casing's leaving that fall on `time`. @returns whether there was one. */
  private passBreaks(p: PlantParameters): boolean {
    const burns = this.burns;
    const now = this.time;
    let passed = false;
    while (now >= this.nextAscent) {
      burns.ascentPiece++;
      const last = burns.ascentPiece === p.ascent.curve.points - 1;
      this.nextAscent = last ? Number.POSITIVE_INFINITY : pointTime(p.ascent, burns.ascentStart, burns.ascentPiece + 1);
      if (last) {
        this.ascentBurnoutTime = now;
        this.ascentBurnoutHeight = this.height();
      }
      passed = true;
    }
    while (now >= this.nextLanding) {
      burns.landingPiece++;
      const last = burns.landingPiece === p.landing.curve.points - 1;
      this.nextLanding = last ? Number.POSITIVE_INFINITY : pointTime(p.landing, burns.landingStart, burns.landingPiece + 1);
      if (burns.landingPiece === 0) {
        this.thrustStartTime = now;
        this.thrustHeight = this.height();
        this.thrustStartRise = this.s.vz;
      }
      if (last) this.landingBurnoutHeight = this.height();
      passed = true;
    }
    if (now >= this.ejectTime) {
      this.ejectTime = Number.POSITIVE_INFINITY;
      burns.casingAboard = false;
      this.casingLeftTime = now;
      passed = true;
    }
    return passed;
  }

  private tryLiftoff(p: PlantParameters): void {
    if (!(this.restAcceleration(p, this.time) > 0)) return;
    this.hold = ON_RAIL;
    if (Number.isNaN(this.liftoffTime)) this.liftoffTime = this.time;
    this.derived = false;
  }

  private restAcceleration(p: PlantParameters, time: number): number {
    loadAt(this.loadEnd, p, this.burns, time);
    return axialAcceleration(this.s, this.loadEnd, this.held, p, this.k2, this.sum);
  }

  /** On the pad until the axial force exceeds the weight. */
  private rest(p: PlantParameters, stop: number): void {
    this.tryLiftoff(p);
    if (this.hold !== AT_REST) return;
    const off = this.letGo(p, stop);
    this.stepServos(p, off);
    if (off < stop) this.tryLiftoff(p);
  }

  /**
   * The first instant up to `stop` at which what holds the vehicle lets it go; `stop` when none does. It is held now.
   */
  private letGo(p: PlantParameters, stop: number): number {
    const bracket = this.bracket;
    bracket.start(this.time, stop);
    if (this.pull(p, stop) > 0) {
      while (bracket.width() > EVENT_TOLERANCE) bracket.narrow(this.pull(p, bracket.middle()) > 0);
    }
    return bracket.high;
  }

  /**
   * Positive when a vehicle at rest, on its rail or on its legs, is moved by its thrust; at a time in the present
   * pieces.
   */
  private pull(p: PlantParameters, time: number): number {
    if (this.hold === AT_REST) return this.restAcceleration(p, time);
    loadAt(this.loadEnd, p, this.burns, time);
    return liftSurplus(this.s, this.loadEnd, p);
  }

  private slideUp(p: PlantParameters, stop: number): void {
    const width = stop - this.time;
    this.step(p, width);
    const travel = this.travel();
    if (travel >= p.railLength) {
      const before = this.travelOf(this.s) - p.railLength;
      const h = this.locate(p, width, before, travel - p.railLength, false);
      this.accept(h === width ? stop : this.time + h);
      this.hold = FREE;
      const s = this.s;
      this.railExitTime = this.time;
      this.railExitSpeed = Math.sqrt(s.vx * s.vx + s.vy * s.vy + s.vz * s.vz);
      return;
    }
    this.accept(stop);
    if (travel >= 0) return;
    // It slid back down to the pad.
    const s = this.s;
    const pad = this.pad;
    s.rx = pad[0];
    s.ry = pad[1];
    s.rz = pad[2];
    s.vx = 0;
    s.vy = 0;
    s.vz = 0;
    this.hold = AT_REST;
  }

  private fly(p: PlantParameters, stop: number): boolean {
    const width = stop - this.time;
    const ground = this.ground;
    this.step(p, width);
    const after = this.far(p) ? Number.POSITIVE_INFINITY : this.trialGap(p);
    if (!(after < 0)) {
      this.accept(stop);
      return this.arrive(this.trialLoad, p, false);
    }
    const before = ground.gap(this.s, this.load, this.held.legShare, p);
    const h = before > 0 ? this.locate(p, width, before, after, true) : 0;
    if (h === 0) return this.arrive(this.load, p, true);
    this.accept(h === width ? stop : this.time + h);
    return this.arrive(this.trialLoad, p, true);
  }

  /** Tells the touchdown model where a step in free flight led, and what that feels like. @returns whether it stops. */
  private arrive(load: Load, p: PlantParameters, crossed: boolean): boolean {
    const ground = this.ground;
    const s = this.s;
    const stops = ground.accepted(s, load, this.held.legShare, p, this.time, crossed);
    if (ground.pushes) {
      // Serves the first stage of the next step too: the load of the step's end is the load now.
      if (load !== this.load) {
        this.loadEnd = this.load;
        this.load = load;
      }
      rates(this.k1, s, this.load, this.held, p, FREE, this.sum);
      ground.felt(this.k1, s, this.load, p);
      this.derived = true;
    }
    return stops;
  }

  /** Whether nothing of the vehicle can reach the ground at the end of the trial step. */
  private far(p: PlantParameters): boolean {
    const t = this.trial;
    return p.groundX * t.rx + p.groundY * t.ry + p.groundZ * t.rz > reach(this.trialLoad.xcg, p);
  }

  private trialGap(p: PlantParameters): number {
    return this.ground.gap(this.trial, this.trialLoad, this.held.legShare, p);
  }

  private waitStanding(p: PlantParameters, stop: number): void {
    if (!(this.pull(p, this.time) > 0)) {
      const off = this.letGo(p, stop);
      this.stepServos(p, off);
      this.followBody(p);
      if (off === stop) return;
    }
    this.followBody(p);
    this.ground.lifted(this.s, this.loadEnd, this.held.legShare, p);
    this.hold = FREE;
    this.hops++;
    this.derived = false;
  }

  /** The feet stay where they are: the centre of mass moves with the body as its station changes. */
  private followBody(p: PlantParameters): void {
    loadAt(this.loadEnd, p, this.burns, this.time);
    const s = this.s;
    const moved = this.loadEnd.xcg - this.standingXcg;
    s.rx -= moved * axisX(s);
    s.ry -= moved * axisY(s);
    s.rz -= moved * axisZ(s);
    this.standingXcg = this.loadEnd.xcg;
  }

  private travel(): number {
    return this.travelOf(this.trial);
  }

  private travelOf(s: TrueState): number {
    const pad = this.pad;
    return (s.rx - pad[0]) * axisX(s) + (s.ry - pad[1]) * axisY(s) + (s.rz - pad[2]) * axisZ(s);
  }

  /**
   * Step width in (0, width] at which rail travel or the ground's gap crosses zero, by regula falsi (Illinois form);
   * leaves the trial there. For a contact the side still clear of the ground is taken.
   */
  private locate(p: PlantParameters, width: number, before: number, after: number, contact: boolean): number {
    let a: number = 0;
    let b = width;
    let fa = before;
    let fb = after;
    for (let i = 0; i < MOST_ITERATIONS && b - a > EVENT_TOLERANCE; i++) {
      let c = b - (fb * (b - a)) / (fb - fa);
      if (!(c > a && c < b)) c = 0.5 * (a + b);
      this.step(p, c);
      const fc = contact ? this.trialGap(p) : this.travel() - p.railLength;
      if (Math.abs(fc) <= (contact ? this.ground.closeEnough : 0)) {
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
    this.step(p, h);
    return h;
  }

  /** Whether a curve holds now, so that mass and thrust change with time. */
  private burning(p: PlantParameters): boolean {
    const ascentPiece = this.burns.ascentPiece;
    const landingPiece = this.burns.landingPiece;
    const casingAboard = this.burns.casingAboard;
    return (
      (casingAboard && ascentPiece >= 0 && ascentPiece < p.ascent.curve.points - 1) ||
      (landingPiece >= 0 && landingPiece < p.landing.curve.points - 1)
    );
  }

  /** A step of a vehicle that is held still: only its servos move. Same scheme, two numbers. */
  private stepServos(p: PlantParameters, time: number): void {
    const h = time - this.time;
    const s = this.s;
    const held = this.held;
    s.d1 = servoStep(held.command1, s.d1, p.servoLag, p.servoRate, h);
    s.d2 = servoStep(held.command2, s.d2, p.servoLag, p.servoRate, h);
    this.time = time;
    this.derived = false;
  }

  /** One RK4 step of width h from the present state into the trial. */
  private step(p: PlantParameters, h: number): void {
    const s = this.s;
    const stage = this.stage;
    const k1 = this.k1;
    const load = this.load;
    const k2 = this.k2;
    const k3 = this.k3;
    const k4 = this.k4;
    const held = this.held;
    const hold = this.hold;
    const ground = this.ground;
    const sum = this.sum;
    // Kept flat: a function around the two calls costs a twentieth of a flight.
    const pushed = ground.pushes && hold === FREE;
    if (!this.derived) {
      loadAt(load, p, this.burns, this.time);
      rates(k1, s, load, held, p, hold, sum);
      if (pushed) ground.push(k1, s, load, p);
      this.derived = true;
    }
    // While nothing burns the load does not change within a step.
    const burning = this.burning(p);
    const loadHalf = burning ? this.loadHalf : load;
    const loadEnd = burning ? this.loadEnd : load;
    if (burning) {
      loadAt(loadHalf, p, this.burns, this.time + 0.5 * h);
      loadAt(loadEnd, p, this.burns, this.time + h);
    }
    this.trialLoad = loadEnd;
    const half = 0.5 * h;
    addScaled(stage, s, half, k1);
    rates(k2, stage, loadHalf, held, p, hold, sum);
    if (pushed) ground.push(k2, stage, loadHalf, p);
    addScaled(stage, s, half, k2);
    rates(k3, stage, loadHalf, held, p, hold, sum);
    if (pushed) ground.push(k3, stage, loadHalf, p);
    addScaled(stage, s, h, k3);
    rates(k4, stage, loadEnd, held, p, hold, sum);
    if (pushed) ground.push(k4, stage, loadEnd, p);
    addWeighted(this.trial, s, h, k1, k2, k3, k4);
  }

  private accept(time: number): void {
    const state = this.s;
    this.s = this.trial;
    this.trial = state;
    this.time = time;
    this.derived = false;
  }

  /** Once a tick. */
  normalise(): void {
    const s = this.s;
    const scale = 1 / Math.sqrt(s.qw * s.qw + s.qx * s.qx + s.qy * s.qy + s.qz * s.qz);
    s.qw *= scale;
    s.qx *= scale;
    s.qy *= scale;
    s.qz *= scale;
  }
}

/** One RK4 step of a limited first-order servo. */
function servoStep(command: number, d: number, lag: number, limit: number, h: number): number {
  const k1 = servoRate(command, d, lag, limit);
  const k2 = servoRate(command, d + 0.5 * h * k1, lag, limit);
  const k3 = servoRate(command, d + 0.5 * h * k2, lag, limit);
  const k4 = servoRate(command, d + h * k3, lag, limit);
  return d + (h / 6) * (k1 + 2 * (k2 + k3) + k4);
}

/** True time of a curve point. */
function pointTime(motor: TrueMotor, start: number, point: i32): number {
  return start + motor.burnTimeFactor * motor.curve.time[point];
}

/** The body axis in the local frame. */
export function axisX(s: TrueState): number {
  return r00(s.qy, s.qz);
}

export function axisY(s: TrueState): number {
  return r10(s.qw, s.qx, s.qy, s.qz);
}

export function axisZ(s: TrueState): number {
  return r20(s.qw, s.qx, s.qy, s.qz);
}
