/**
 * Touchdown simulated (model sections 16 to 22): the feet push, slide, break and come to rest, step by step. The forces
 * themselves are feet.ts. What is decided here, at each accepted state: who touches, whether that is a touchdown, what
 * failed, and whether the vehicle is at rest.
 */
import { r00, r10, r20 } from '../../maths/rotation.ts';
import type { PlantParameters } from '../parameters.ts';
import type { Load, TrueState } from '../state.ts';
import { hullClearance, liftSurplus, reach } from './clearance.ts';
import { Feet } from './feet.ts';
import { Contact, GroundContact, LEANED, LEG_GAVE_WAY, SANK, SLID, TIPPED_OVER, TouchdownLimits, type Verdict } from './groundContact.ts';
import { measureContact } from './measurement.ts';
import { survivableSink } from './survivableSink.ts';

/** m; how near the ground counts as on it, and to what a touch is located. */
const TOUCH = 1e-9;
const TOUCH_TOLERANCE = 1e-11;
/** m; added to what two ticks of motion can cover. */
const NEAR = 0.005;
/** Cosine of 60 degrees: a vehicle on its feet that leans further has fallen. */
const FALLEN_COS = 0.5;
/** m/s, rad/s, s: slower than these for so long, on three feet at least, is rest. */
const QUIET_SPEED = 0.02;
const QUIET_RATE = 0.05;
const QUIET_TIME = 0.2;
const REST_FEET = 3;
/** s from the first touchdown, or the end of thrust, in which a vehicle comes to rest or slides on. */
const LONGEST_SLIDE = 5;
/** s; less than any step. */
const INSTANT = 1e-9;

export class SpringContact extends GroundContact {
  readonly feet: Feet = new Feet();
  private limits: TouchdownLimits = new TouchdownLimits();
  private readonly last: Contact = new Contact();
  /** Falling, so that contact is looked for. */
  private falling: boolean = false;
  /** Since apogee, or since all feet came off: the next touch is a touchdown. */
  private flying: boolean = true;
  /** The legs' locks have been decided. */
  private opened: boolean = false;
  /** This tick advances in contact steps. */
  private fine: boolean = false;
  private steps: i32 = 1;
  private from: number = 0;
  private width: number = 0;
  private thrustEnd: number = Number.POSITIVE_INFINITY;
  /** m/s; what the legs stand, at the last touchdown. */
  private survivable: number = Number.POSITIVE_INFINITY;
  private quietSince: number = Number.NaN;

  constructor() {
    super();
    this.closeEnough = TOUCH_TOLERANCE;
    this.watchesToTouchdown = true;
  }

  begin(limits: TouchdownLimits, p: PlantParameters): void {
    this.clearReport();
    this.limits = limits;
    this.feet.reset(p);
    this.falling = false;
    this.flying = true;
    this.opened = false;
    this.fine = false;
    this.survivable = Number.POSITIVE_INFINITY;
    this.quietSince = Number.NaN;
  }

  beginTick(s: TrueState, load: Load, share: number, p: PlantParameters, from: number, to: number, substeps: i32, thrustEnd: number): void {
    this.from = from;
    // Steps as fine as spin or servos ask for, should that be finer.
    this.steps = substeps > p.contactSteps ? substeps : p.contactSteps;
    this.width = (to - from) / this.steps;
    this.thrustEnd = thrustEnd;
    if (share >= 1 && !this.opened) {
      this.opened = true;
      this.feet.see(s, load.xcg, p);
      this.feet.lock(s, p);
    }
    this.fine = this.falling && !this.rests && this.isNear(s, load, p, to - from);
  }

  stepEnd(now: number, usual: number, tickEnd: number): number {
    if (!this.fine) return usual;
    const end = this.from + (Math.floor((now - this.from) / this.width + 1e-6) + 1) * this.width;
    return end > tickEnd - INSTANT ? tickEnd : end;
  }

  push(out: TrueState, s: TrueState, load: Load, p: PlantParameters): void {
    this.feet.push(out, s, load, p);
  }

  felt(k: TrueState, s: TrueState, load: Load, p: PlantParameters): void {
    this.feet.add(k, load);
    const qw = s.qw;
    const along = r00(s.qy, s.qz) * k.vx + r10(qw, s.qx, s.qy, s.qz) * k.vy + r20(qw, s.qx, s.qy, s.qz) * (k.vz + p.gravity);
    if (!(along <= this.peakSpecificForce)) this.peakSpecificForce = along;
  }

  gap(s: TrueState, load: Load, _share: number, p: PlantParameters): number {
    if (!this.falling) return Number.POSITIVE_INFINITY;
    const feet = this.feet;
    feet.see(s, load.xcg, p);
    return Math.min(hullClearance(s, load.xcg, feet.nx, p), feet.lowestFree(s, p));
  }

  accepted(s: TrueState, load: Load, share: number, p: PlantParameters, time: number, crossed: boolean): boolean {
    if (s.vz <= 0) this.falling = true;
    if (!crossed && this.contacts === 0) return false;
    const feet = this.feet;
    feet.see(s, load.xcg, p);
    let grounded = false;
    if (crossed) {
      this.fine = true;
      feet.leave(s, p);
      const hull = hullClearance(s, load.xcg, feet.nx, p);
      const height = Math.max(TOUCH, Math.min(hull, feet.lowestFree(s, p)));
      grounded = hull <= height;
      feet.touch(height, s, p);
    }
    const landing = this.flying && (grounded || feet.touching > 0);
    if (landing) {
      if (this.contacts === 0) this.rebounds = 0;
      this.touchDown(s, load, share, p, time);
    }
    const broken = this.over;
    if (!broken) this.judgeState(p, this.weighFeet(s, p, !crossed), grounded, time);
    if (feet.touching === 0 && !this.flying) this.rebounds++;
    this.flying = feet.touching === 0;
    this.pushes = feet.touching > 0 && !broken;
    if (!this.over) this.rests = this.comesToRest(s, load, p, time);
    if (this.rests) this.fine = false;
    return landing || this.over || this.rests;
  }

  /** Every state is judged as it is accepted. */
  judge(_s: TrueState, _load: Load, _share: number, _p: PlantParameters, _time: number): void {}

  /** On its springs, as they were when it came to rest. */
  lifted(_s: TrueState, _load: Load, _share: number, _p: PlantParameters): void {
    this.rests = false;
    this.fine = true;
    this.quietSince = Number.NaN;
  }

  finished(canLift: boolean): boolean {
    return !canLift;
  }

  /** Where it lies, not where it first touched. */
  ended(s: TrueState): void {
    if (this.contacts === 0) return;
    this.landingEast = s.rx;
    this.landingNorth = s.ry;
    let slid: number = 0;
    for (let i = 0; i < this.feet.slid.length; i++) slid = Math.max(slid, this.feet.slid[i]);
    this.slidPath = slid;
  }

  /** Whether the lowest point may come to the ground within about two ticks, or touches. */
  private isNear(s: TrueState, load: Load, p: PlantParameters, tick: number): boolean {
    if (this.feet.touching > 0) return true;
    const speed = Math.sqrt(s.vx * s.vx + s.vy * s.vy + s.vz * s.vz);
    const rate = Math.sqrt(s.wx * s.wx + s.wy * s.wy + s.wz * s.wz);
    const near = NEAR + 2 * tick * (speed + rate * (p.footStation + p.legRadius));
    const height = p.groundX * s.rx + p.groundY * s.ry + p.groundZ * s.rz;
    return height - reach(load.xcg, p) < near && this.gap(s, load, 1, p) < near;
  }

  /** Measures the touchdown and judges it by the limits there are. */
  private touchDown(s: TrueState, load: Load, share: number, p: PlantParameters, time: number): void {
    const last = this.last;
    const limits = this.limits;
    measureContact(last, s, share, p);
    last.legsLocked = this.feet.bearing(p);
    this.report(last, s, time);
    const onEach = load.mass / p.legCount;
    this.survivable = survivableSink(onEach, p.footStiffness, p.footDamping, p.footStrength, p.footStation - p.bodyLength);
    this.sinkLimit = Math.min(limits.sink, this.survivable);
    if (last.sink > limits.sink) this.fail(SANK, limits.sink);
    else if (last.slide > limits.slide) this.fail(SLID, this.survivable);
    else if (last.tilt > limits.tilt) this.fail(LEANED, this.survivable);
  }

  private fail(verdict: Verdict, sinkLimit: number): void {
    this.verdict = verdict;
    this.sinkLimit = sinkLimit;
    this.over = true;
  }

  /** Drags the anchors of feet that slide, and keeps the greatest force and lean. @returns N, the greatest force now */
  private weighFeet(s: TrueState, p: PlantParameters, leaves: boolean): number {
    const feet = this.feet;
    feet.settle(s, p, leaves);
    const force = feet.greatest;
    if (feet.touching > 0 && !(force <= this.peakFootForce)) this.peakFootForce = force;
    if (!(feet.nx >= this.leanCos)) {
      this.leanCos = feet.nx;
      this.leanSin = Math.sqrt(feet.ny * feet.ny + feet.nz * feet.nz);
    }
    return force;
  }

  /** A leg that breaks, a hull on the ground, a fall over and a slide without end end the flight. */
  private judgeState(p: PlantParameters, force: number, grounded: boolean, time: number): void {
    const feet = this.feet;
    const breaks = force > p.footStrength;
    if ((breaks || grounded) && this.last.sink > this.survivable) this.fail(SANK, this.survivable);
    else if (breaks) this.fail(LEG_GAVE_WAY, this.survivable);
    else if (grounded || (feet.touching > 0 && feet.nx < FALLEN_COS))
      this.fail(this.leansOnMissingLeg(p) ? LEG_GAVE_WAY : TIPPED_OVER, this.survivable);
    else {
      const burnt = this.thrustEnd < Number.POSITIVE_INFINITY ? this.thrustEnd : this.contactTime;
      if (time >= Math.max(this.contactTime, burnt) + LONGEST_SLIDE) this.fail(SLID, this.survivable);
    }
  }

  private leansOnMissingLeg(p: PlantParameters): boolean {
    const feet = this.feet;
    if (feet.bearing(p) === 0) return true;
    for (let i = 0; i < p.legCount; i++) {
      // The lean is a - (a.n) n, and the foot's direction is square to a.
      if (feet.bears[i] === 0 && -feet.nx * (feet.ny * p.legCos[i] + feet.nz * p.legSin[i]) > 0) return true;
    }
    return false;
  }

  /**
   * Whether it has been quiet for long enough, and nothing lifts it: then it stands, for good where no thrust is to come.
   */
  private comesToRest(s: TrueState, load: Load, p: PlantParameters, time: number): boolean {
    const quiet =
      this.feet.touching >= REST_FEET &&
      s.vx * s.vx + s.vy * s.vy + s.vz * s.vz <= QUIET_SPEED * QUIET_SPEED &&
      s.wx * s.wx + s.wy * s.wy + s.wz * s.wz <= QUIET_RATE * QUIET_RATE;
    if (!quiet) {
      this.quietSince = Number.NaN;
      return false;
    }
    if (Number.isNaN(this.quietSince)) this.quietSince = time;
    if (time - this.quietSince < QUIET_TIME - INSTANT) return false;
    const burns = this.thrustEnd < Number.POSITIVE_INFINITY && time < this.thrustEnd;
    return !burns || liftSurplus(s, load, p) <= 0;
  }
}
