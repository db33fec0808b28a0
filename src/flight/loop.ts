/**
 * One flight, tick by tick: where truth and belief meet. A pure function of its parameters; allocates nothing per tick.
 *
 * The order within a tick (model section 7): air, wind, gust and leg share from the true state; the state's derivative;
 * sensors; navigation, phases, rule, leg release, control (avionics/computer.ts); then the truth moves on with all of
 * it held.
 */
import { FlightComputer } from '../avionics/computer.ts';
import { barometerReading, laggedHeight, readTriple } from '../avionics/sensors.ts';
import { NormalNoise } from '../maths/normalNoise.ts';
import { r00, r01, r02, r10, r11, r12, r20, r21, r22 } from '../maths/rotation.ts';
import { density, densitySlope, meanWind, temperature } from '../plant/air.ts';
import { clearance } from '../plant/contact/clearance.ts';
import type { GroundContact } from '../plant/contact/groundContact.ts';
import { RulesContact } from '../plant/contact/rulesContact.ts';
import { SpringContact } from '../plant/contact/springContact.ts';
import { GUST_STATE_SIZE, GUST_WIND_HEIGHT, startGusts, stepGusts } from '../plant/gusts.ts';
import type { PlantParameters } from '../plant/parameters.ts';
import { AT_REST, FREE, STANDING } from '../plant/rates.ts';
import { axisZ, Motion } from './motion.ts';
import type { FlightParameters } from './parameters.ts';
import { ABSURD, FINISHED, NEVER_LEFT, NOT_FINITE, TIME_LIMIT } from './reasons.ts';
import { StallSchedule } from './stalls.ts';
import { Watch } from './watch.ts';

/** Beyond these a state is absurd: m, m/s, rad/s. */
const ABSURD_DISTANCE = 1e6;
const ABSURD_SPEED = 1e4;
const ABSURD_RATE = 1e4;
/**
 * rad; the most a vehicle may turn in a step. RK4 loses stability near 2.8 and, in the rates of a spinning body, 1e-4 a
 * step here.
 */
const LARGEST_TURN = 0.5;

/** Cosine of 120 degrees: tilted beyond it, a vehicle in free flight has turned over (model section 14). */
const FLIPPED_COS = -0.5;

/** Sees every tick after the computer ran and every contact; writes nothing back. */
export interface FlightRecorder {
  tick(loop: FlightLoop, setup: FlightParameters): void;
  contact(loop: FlightLoop): void;
}

export class FlightLoop {
  /** The touchdown model of this flight: one of the kinds below. */
  ground: GroundContact;
  readonly motion: Motion;
  readonly computer: FlightComputer = new FlightComputer();
  readonly stalls: StallSchedule = new StallSchedule();
  /** Specific force at the inertial sensor (0..2) and body rate (3..5), true. */
  readonly felt: Float64Array = new Float64Array(6);
  readonly gust: Float64Array = new Float64Array(3);
  readonly watch: Watch = new Watch();
  /** Tick number. */
  k: i32 = 0;
  /** Whether this tick fell into a stall. */
  stalled: boolean = false;
  legReleaseTime: number = Number.POSITIVE_INFINITY;
  reason: i32 = FINISHED;

  private readonly rules: RulesContact;
  private readonly springs: SpringContact = new SpringContact();
  private readonly gustState: Float64Array = new Float64Array(GUST_STATE_SIZE);
  private readonly gustNoise: NormalNoise = new NormalNoise();
  private readonly inertialNoise: NormalNoise = new NormalNoise();
  private readonly barometerNoise: NormalNoise = new NormalNoise();
  private noisy: boolean = false;
  private gusty: boolean = false;
  private windAt20ft: number = 0;
  private lagged: number = 0;
  private lastSampled: number = 0;

  constructor() {
    const rules = new RulesContact();
    this.rules = rules;
    this.ground = rules;
    this.motion = new Motion(rules);
  }

  /** Flies to the end. Results stand in `watch`, `motion`, `computer`, `ground` and `reason` until the next flight. */
  fly(setup: FlightParameters, recorder: FlightRecorder | null): void {
    this.reset(setup);
    while (this.tick(setup, recorder));
    this.endApogee();
    this.ground.ended(this.motion.s);
    // Stalls count up to the end, not up to the last tick.
    this.stalls.stalled(this.motion.time);
  }

  /** @returns whether the flight goes on. */
  private tick(setup: FlightParameters, recorder: FlightRecorder | null): boolean {
    const motion = this.motion;
    const ground = this.ground;
    const p = setup.plant;
    this.beginTick(setup);
    if (!this.stalled) this.compute(setup);
    this.watchTick(setup);
    if (recorder !== null) recorder.tick(this, setup);
    const before = motion.s.vz;
    const start = motion.time;
    const z = motion.s.rz;
    this.k++;
    const end = this.k * setup.tick;
    const substeps = this.substeps(setup);
    const burns = motion.burns.landingStart < Number.POSITIVE_INFINITY;
    const thrustEnd = burns ? motion.thrustEndTime : Number.POSITIVE_INFINITY;
    ground.beginTick(motion.s, motion.load, motion.held.legShare, p, start, end, substeps, thrustEnd);
    while (motion.time < end) {
      if (this.finishedStanding()) return false;
      const stop = motion.hold === STANDING && motion.thrustEndTime < end ? motion.thrustEndTime : end;
      if (!motion.advance(p, stop, substeps)) continue;
      // A state that ran away inside the tick may reach the ground: that is not a contact to be judged.
      this.reason = this.unsound();
      if (this.reason !== FINISHED) return false;
      this.touchDown(setup);
      if (recorder !== null) recorder.contact(this);
      if (ground.over || this.finishedStanding()) return false;
    }
    motion.normalise();
    this.watchApogee(start, z, before);
    this.reason = this.trouble(setup);
    return this.reason === FINISHED;
  }

  /**
   * Sub-steps of this tick: more than the study's where the vehicle spins too fast for them. Bounded, since a faster
   * state is absurd.
   */
  private substeps(setup: FlightParameters): i32 {
    const s = this.motion.s;
    const rate = Math.abs(s.wx) + Math.abs(s.wy) + Math.abs(s.wz);
    const turn = Math.min(rate, ABSURD_RATE) * setup.tick;
    return turn > LARGEST_TURN * setup.substeps ? (Math.ceil(turn / LARGEST_TURN) as i32) : setup.substeps;
  }

  private reset(setup: FlightParameters): void {
    if (setup.plant.springs) this.ground = this.springs;
    else this.ground = this.rules;
    this.motion.ground = this.ground;
    this.motion.reset(setup.plant);
    this.computer.reset(setup.computer);
    this.watch.reset();
    this.k = 0;
    this.stalled = false;
    this.legReleaseTime = Number.POSITIVE_INFINITY;
    this.ground.begin(setup.limits, setup.plant);
    this.reason = FINISHED;
    this.lagged = 0;
    this.lastSampled = 0;
    this.gust.fill(0);
    const p = setup.plant;
    const noisy = setup.noisy;
    this.stalls.reset(setup.stallSeed, noisy ? setup.stallRate : 0, setup.stallDuration);
    this.noisy = noisy;
    this.gusty = noisy && p.gustScale > 0 && p.windSpeed > 0;
    if (noisy) {
      this.inertialNoise.reset(setup.inertialSeed);
      this.barometerNoise.reset(setup.barometerSeed);
    }
    if (this.gusty) {
      this.gustNoise.reset(setup.gustSeed);
      startGusts(this.gustState, this.gustNoise);
    }
    this.windAt20ft = meanWind(GUST_WIND_HEIGHT, p.windSpeed, p.windExponent);
  }

  /** Air, wind, gust and leg share from the true state; then its derivative. */
  private beginTick(setup: FlightParameters): void {
    const motion = this.motion;
    const s = motion.s;
    const held = motion.held;
    const p = setup.plant;
    this.stalled = this.stalls.stalled(motion.time);
    if (motion.hold === STANDING) {
      // The air does not move what stands, and the gusts wait: they are as stationary after as before.
      motion.derive(p);
      return;
    }
    const z = s.rz;
    const rho = density(p.siteTemperature, p.sitePressure, z);
    held.z = z;
    held.density = rho;
    held.densitySlope = densitySlope(rho, temperature(p.siteTemperature, z));
    const wind = meanWind(z, p.windSpeed, p.windExponent);
    let east = wind * p.windEast;
    let north = wind * p.windNorth;
    let up: number = 0;
    if (this.gusty) {
      const ax = s.vx - east;
      const ay = s.vy - north;
      const airspeed = Math.sqrt(ax * ax + ay * ay + s.vz * s.vz);
      const gust = this.gust;
      stepGusts(this.gustState, z, airspeed, wind, this.windAt20ft, p.gustScale, setup.tick, this.gustNoise, gust);
      east += gust[0] * p.windEast - gust[1] * p.windNorth;
      north += gust[0] * p.windNorth + gust[1] * p.windEast;
      up = gust[2];
    }
    held.windX = east;
    held.windY = north;
    held.windZ = up;
    const share = (motion.time - this.legReleaseTime) / p.deploymentTime;
    held.legShare = share > 1 ? 1 : Math.max(share, 0);
    motion.derive(p);
  }

  /** Sensors and the flight computer; its commands take hold. */
  private compute(setup: FlightParameters): void {
    const motion = this.motion;
    const computer = this.computer;
    const c = setup.computer;
    const noise = this.noisy ? this.inertialNoise : null;
    this.feel(setup);
    readTriple(computer.sample, 0, this.felt, 0, c.accelerometer, noise);
    readTriple(computer.sample, 3, this.felt, 3, c.gyro, noise);
    if (c.barometerFitted) {
      this.lagged = laggedHeight(this.lagged, motion.height(), motion.time - this.lastSampled, c.barometer.lag);
      this.lastSampled = motion.time;
      computer.barometerHeight = barometerReading(this.lagged, c.barometer, this.noisy ? this.barometerNoise : null);
    }
    const detected = computer.liftoffTime;
    computer.tick(c, this.k);
    if (Number.isNaN(detected) && !Number.isNaN(computer.liftoffTime)) this.watch.liftoffDetectedTime = motion.time;
    if (computer.releaseNow) this.legReleaseTime = motion.time;
    if (computer.commandWait >= 0) this.ignite(setup, computer.commandWait);
    motion.command(setup.plant, computer.control.command1, computer.control.command2);
  }

  /** Specific force at the sensor: the centre of mass's, plus what turning about it adds. */
  private feel(setup: FlightParameters): void {
    const s = this.motion.s;
    const k1 = this.motion.k1;
    const load = this.motion.load;
    const felt = this.felt;
    const qw = s.qw;
    const qx = s.qx;
    const qy = s.qy;
    const qz = s.qz;
    const ax = k1.vx;
    const ay = k1.vy;
    const az = k1.vz + setup.plant.gravity;
    const wx = s.wx;
    const wy = s.wy;
    const wz = s.wz;
    const lx = load.xcg - setup.imuStation;
    const ly = setup.imuY;
    const lz = setup.imuZ;
    // w x l, and w x (w x l).
    const cx = wy * lz - wz * ly;
    const cy = wz * lx - wx * lz;
    const cz = wx * ly - wy * lx;
    felt[0] = r00(qy, qz) * ax + r10(qw, qx, qy, qz) * ay + r20(qw, qx, qy, qz) * az + (k1.wy * lz - k1.wz * ly) + (wy * cz - wz * cy);
    felt[1] = r01(qw, qx, qy, qz) * ax + r11(qx, qz) * ay + r21(qw, qx, qy, qz) * az + (k1.wz * lx - k1.wx * lz) + (wz * cx - wx * cz);
    felt[2] = r02(qw, qx, qy, qz) * ax + r12(qw, qx, qy, qz) * ay + r22(qx, qy) * az + (k1.wx * ly - k1.wy * lx) + (wx * cy - wy * cx);
    felt[3] = wx;
    felt[4] = wy;
    felt[5] = wz;
  }

  /** The command falls `wait` believed seconds after this tick. */
  private ignite(setup: FlightParameters, wait: number): void {
    const motion = this.motion;
    const computer = this.computer;
    const watch = this.watch;
    const s = motion.s;
    const k1 = motion.k1;
    const later = wait * (setup.tick / setup.computer.tick);
    const time = motion.time + later;
    watch.ignitionTime = time;
    watch.ignitionHeight = motion.height() + later * (s.vz + 0.5 * later * k1.vz);
    watch.ignitionSpeed = -(s.vz + later * k1.vz);
    watch.ignitionCos = axisZ(s);
    const n = computer.navigator;
    watch.believedIgnitionHeight = n.height + wait * (n.v[2] + 0.5 * wait * n.verticalAcceleration);
    watch.believedIgnitionSpeed = -(n.v[2] + wait * n.verticalAcceleration);
    if (setup.plant.landingLights) motion.light(setup.plant, time + setup.plant.landing.ignitionDelay);
  }

  private watchTick(setup: FlightParameters): void {
    const motion = this.motion;
    const watch = this.watch;
    const s = motion.s;
    const k1 = motion.k1;
    const roll = Math.abs(s.wx);
    if (roll > watch.rollRate) watch.rollRate = roll;
    if (motion.hold === STANDING) return;
    const ground = this.ground;
    if (motion.hold === FREE && !ground.pushes) {
      const pull = k1.vx * k1.vx + k1.vy * k1.vy + k1.vz * k1.vz;
      if (pull > watch.largestAccelerationSquared) watch.largestAccelerationSquared = pull;
    }
    if (ground.watchesToTouchdown && ground.contacts > 0) return;
    const up = axisZ(s);
    const lost = up < setup.lostControlCos;
    if (Number.isNaN(watch.apogeeTime)) {
      if (up < watch.cosRising) watch.cosRising = up;
    } else if (up < watch.cosFalling) watch.cosFalling = up;
    if (Number.isNaN(motion.ascentBurnoutTime)) {
      if (up < watch.cosAscentBurn) watch.cosAscentBurn = up;
      if (lost) watch.lostControlRising = true;
    } else if (!(motion.time >= motion.thrustStartTime) && up < FLIPPED_COS) watch.flipped = true;
    if (motion.time >= motion.thrustStartTime && motion.time < motion.thrustEndTime) {
      if (up < watch.cosLandingBurn) watch.cosLandingBurn = up;
      if (lost) watch.lostControlBurning = true;
      if (ground.contacts === 0) this.watchDescent(setup.plant);
    }
  }

  /** In the landing burn before any contact: where the descent is slowest, where it stops, and how it is braked. */
  private watchDescent(p: PlantParameters): void {
    const motion = this.motion;
    const watch = this.watch;
    const s = motion.s;
    const k1 = motion.k1;
    const sink = -(s.vx * p.groundX + s.vy * p.groundY + s.vz * p.groundZ);
    const deceleration = k1.vx * p.groundX + k1.vy * p.groundY + k1.vz * p.groundZ;
    if (deceleration > watch.greatestDeceleration) watch.greatestDeceleration = deceleration;
    const slower = !(sink >= watch.slowestSink);
    const stopped = sink <= 0 && Number.isNaN(watch.stopHeight);
    if (!slower && !stopped) return;
    const height = clearance(s, motion.load.xcg, motion.held.legShare, p);
    if (stopped) watch.stopHeight = height;
    if (slower) {
      watch.slowestSink = sink;
      watch.slowestHeight = height;
    }
  }

  /**
   * How much too high the vehicle was lit, as whoever stands by sees it (model section 13). @param sink,limit m/s, of
   * the first contact, and what a good one may have
   */
  private missAt(sink: number, limit: number): number {
    const watch = this.watch;
    // Without a landing thrust before the contact nothing shows.
    if (Number.isNaN(watch.slowestSink)) return Number.NaN;
    if (sink <= limit) return 0;
    if (!Number.isNaN(watch.stopHeight)) return watch.stopHeight;
    if (sink > watch.slowestSink) return watch.slowestHeight;
    const a = watch.greatestDeceleration;
    return a > 0 ? (-0.5 * sink * sink) / a : Number.NaN;
  }

  /**
   * Greatest height up to the start of the landing thrust: tops between ticks, by constant acceleration, and the start
   * itself where the vehicle still rose then. @param start,z,vz of the tick's start
   */
  private watchApogee(start: number, z: number, vz: number): void {
    const motion = this.motion;
    if (motion.hold !== FREE || motion.thrustStartTime <= start) return;
    const lit = motion.thrustStartTime <= motion.time;
    const after = lit ? motion.thrustStartRise : motion.s.vz;
    const end = lit ? motion.thrustStartTime : motion.time;
    if (vz > 0 && after <= 0) {
      const part = ((end - start) * vz) / (vz - after);
      this.higher(z - motion.padHeight + 0.5 * vz * part, start + part);
    }
    if (lit && after > 0) this.higher(motion.thrustHeight, motion.thrustStartTime);
  }

  /** A flight that was never lit and ends while it rises is highest there. */
  private endApogee(): void {
    const motion = this.motion;
    if (Number.isNaN(motion.thrustStartTime) && motion.hold === FREE && motion.s.vz > 0) this.higher(motion.height(), motion.time);
  }

  /** A new greatest height: what was watched since the last one belongs to the way up to this one. */
  private higher(height: number, time: number): void {
    const watch = this.watch;
    if (!(height > watch.apogee)) return;
    watch.apogee = height;
    watch.apogeeTime = time;
    if (watch.cosFalling < watch.cosRising) watch.cosRising = watch.cosFalling;
    watch.cosFalling = Number.POSITIVE_INFINITY;
  }

  /** Has a contact judged; a good one leaves the vehicle at rest. */
  private touchDown(setup: FlightParameters): void {
    const motion = this.motion;
    const watch = this.watch;
    const ground = this.ground;
    const p = setup.plant;
    // The load at the contact's own instant, before anything is changed by standing.
    motion.derive(p);
    ground.judge(motion.s, motion.load, motion.held.legShare, p, motion.time);
    const commanded = motion.burns.landingStart < Number.POSITIVE_INFINITY;
    if (Number.isNaN(watch.impulseLeft) && commanded && ground.contacts === 1) watch.impulseLeft = motion.landingImpulseLeft(p);
    if (ground.contacts === 1) watch.heightMiss = this.missAt(ground.lastSink, ground.sinkLimit);
    if (ground.rests) motion.stand();
  }

  /**
   * A standing flight ends when nothing can lift it any more, never commanded, nothing to burn or burnt out, or by its
   * touchdown model.
   */
  private finishedStanding(): boolean {
    const motion = this.motion;
    const ground = this.ground;
    if (motion.hold !== STANDING) return false;
    return ground.finished(motion.burns.landingStart < Number.POSITIVE_INFINITY && motion.time < motion.thrustEndTime);
  }

  private trouble(setup: FlightParameters): i32 {
    const motion = this.motion;
    const unsound = this.unsound();
    if (unsound !== FINISHED) return unsound;
    if (motion.hold === AT_REST && !Number.isNaN(motion.ascentBurnoutTime)) return NEVER_LEFT;
    if (motion.time >= setup.timeLimit) return TIME_LIMIT;
    return FINISHED;
  }

  private unsound(): i32 {
    const s = this.motion.s;
    const total = s.rx + s.ry + s.rz + s.vx + s.vy + s.vz + s.qw + s.qx + s.qy + s.qz + s.wx + s.wy + s.wz + s.d1 + s.d2;
    if (!Number.isFinite(total)) return NOT_FINITE;
    if (
      Math.abs(s.rx) + Math.abs(s.ry) + Math.abs(s.rz) > ABSURD_DISTANCE ||
      Math.abs(s.vx) + Math.abs(s.vy) + Math.abs(s.vz) > ABSURD_SPEED ||
      Math.abs(s.wx) + Math.abs(s.wy) + Math.abs(s.wz) > ABSURD_RATE
    )
      return ABSURD;
    return FINISHED;
  }
}
