/**
 * One flight, tick by tick: where truth and belief meet. A pure function of (setup, noise key); allocates nothing per tick.
 *
 * The order within a tick (flight-model section 7): air, wind, gust and leg share from the true state; the state's derivative; sensors;
 * navigation, phases, rule, leg release, control (avionics/computer.ts); then the truth moves on with all of it held.
 */
import { FlightComputer } from '../avionics/computer.ts';
import { barometerReading, laggedHeight, readTriple } from '../avionics/sensors.ts';
import { NormalNoise } from '../maths/normalNoise.ts';
import { noiseSeed, noiseStream } from '../maths/streams.ts';
import { density, densitySlope, meanWind, temperature } from '../plant/air.ts';
import { GUST_STATE_SIZE, GUST_WIND_HEIGHT, startGusts, stepGusts } from '../plant/gusts.ts';
import { AT_REST, FREE, STANDING } from '../plant/rates.ts';
import { type Contact, emptyContact, judgeContact, STANDS, type Verdict } from '../plant/touchdown.ts';
import { axisZ, Motion } from './motion.ts';
import type { NoResultReason } from './outputs.ts';
import type { FlightSetup } from './setup.ts';
import { StallSchedule } from './stalls.ts';

/** Good contacts after which a hopping flight ends. */
const MOST_GOOD_CONTACTS = 8;
/** Beyond these a state is absurd: m, m/s, rad/s. */
const ABSURD_DISTANCE = 1e6;
const ABSURD_SPEED = 1e4;
const ABSURD_RATE = 1e4;

/** What is watched on the way, for the record; NaN until it happens. */
export class Watch {
  apogee = 0;
  apogeeTime = Number.NaN;
  /** Least cosine of the true tilt from the vertical in each part of the flight; Infinity until that part begins. */
  cosRising = 1;
  cosFalling = Number.POSITIVE_INFINITY;
  cosAscentBurn = 1;
  cosLandingBurn = Number.POSITIVE_INFINITY;
  rollRate = 0;
  largestAccelerationSquared = 0;
  slowestSink = Number.NaN;
  lostControlRising = false;
  lostControlBurning = false;
  ignitionTime = Number.NaN;
  ignitionHeight = Number.NaN;
  ignitionSpeed = Number.NaN;
  ignitionCos = Number.POSITIVE_INFINITY;
  believedIgnitionHeight = Number.NaN;
  believedIgnitionSpeed = Number.NaN;
  liftoffDetectedTime = Number.NaN;
  contacts = 0;
  contactTime = Number.NaN;
  impulseLeft = Number.NaN;
  sink = Number.NaN;
  slide = Number.NaN;
  tilt = Number.NaN;
  tiltRate = Number.NaN;
  legsLocked = Number.NaN;
  landingEast = Number.NaN;
  landingNorth = Number.NaN;
}

/** Sees every tick after the computer ran and every contact; writes nothing back. */
export interface FlightRecorder {
  tick(loop: FlightLoop, setup: FlightSetup): void;
  contact(loop: FlightLoop, verdict: Verdict): void;
}

export class FlightLoop {
  readonly motion = new Motion();
  readonly computer = new FlightComputer();
  readonly stalls = new StallSchedule();
  /** Specific force at the inertial sensor (0..2) and body rate (3..5), true. */
  readonly felt = new Float64Array(6);
  readonly gust = new Float64Array(3);
  readonly contact: Contact = emptyContact();
  watch = new Watch();
  /** Tick number. */
  k = 0;
  /** Whether this tick fell into a stall. */
  stalled = false;
  legReleaseTime = Number.POSITIVE_INFINITY;
  verdict: Verdict = STANDS;
  reason: NoResultReason = '';

  readonly #gustState = new Float64Array(GUST_STATE_SIZE);
  readonly #gustNoise = new NormalNoise();
  readonly #inertialNoise = new NormalNoise();
  readonly #barometerNoise = new NormalNoise();
  #noisy = false;
  #gusty = false;
  #windAt20ft = 0;
  #lagged = 0;
  #lastSampled = 0;

  /**
   * Flies to the end. Results stand in `watch`, `motion`, `computer`, `verdict` and `reason` until the next flight.
   * @param noiseKey names this flight's noise streams; null: no noise, no gusts, no stalls.
   */
  fly(setup: FlightSetup, noiseKey: string | null, recorder: FlightRecorder | null): void {
    this.#reset(setup, noiseKey);
    const { motion } = this;
    const p = setup.plant;
    for (;;) {
      this.#beginTick(setup);
      if (!this.stalled) this.#compute(setup);
      this.#watchTick(setup);
      if (recorder !== null) recorder.tick(this, setup);
      const before = motion.s.vz;
      const start = motion.time;
      const z = motion.s.rz;
      this.k++;
      const end = this.k * setup.tick;
      while (motion.time < end) {
        if (this.#finishedStanding()) return;
        const stop = motion.hold === STANDING && motion.thrustEndTime < end ? motion.thrustEndTime : end;
        if (!motion.advance(p, stop, setup.substeps)) continue;
        // A state that ran away inside the tick may reach the ground: that is not a contact to be judged.
        this.reason = this.#unsound();
        if (this.reason !== '') return;
        const goesOn = this.#touchDown(setup);
        if (recorder !== null) recorder.contact(this, this.verdict);
        if (!goesOn) return;
      }
      motion.normalise();
      this.#watchApogee(start, z, before);
      this.reason = this.#trouble(setup);
      if (this.reason !== '') return;
    }
  }

  #reset(setup: FlightSetup, noiseKey: string | null): void {
    this.motion.reset(setup.plant);
    this.computer.reset(setup.computer);
    this.watch = new Watch();
    this.k = 0;
    this.stalled = false;
    this.legReleaseTime = Number.POSITIVE_INFINITY;
    this.verdict = STANDS;
    this.reason = '';
    this.#lagged = 0;
    this.#lastSampled = 0;
    this.gust.fill(0);
    const p = setup.plant;
    const noisy = noiseKey !== null;
    this.stalls.reset(noisy ? noiseStream(`${noiseKey}/stalls`) : null, setup.stallRate, setup.stallDuration);
    this.#noisy = noisy;
    this.#gusty = noisy && p.gustScale > 0 && p.windSpeed > 0;
    if (noisy) {
      this.#inertialNoise.reset(noiseSeed(`${noiseKey}/inertial`));
      if (setup.computer.barometer !== null) this.#barometerNoise.reset(noiseSeed(`${noiseKey}/barometer`));
    }
    if (this.#gusty) {
      this.#gustNoise.reset(noiseSeed(`${noiseKey}/gusts`));
      startGusts(this.#gustState, this.#gustNoise);
    }
    this.#windAt20ft = meanWind(GUST_WIND_HEIGHT, p.windSpeed, p.windExponent);
  }

  /** Air, wind, gust and leg share from the true state; then its derivative. */
  #beginTick(setup: FlightSetup): void {
    const { motion } = this;
    const { s, held } = motion;
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
    let up = 0;
    if (this.#gusty) {
      const ax = s.vx - east;
      const ay = s.vy - north;
      const airspeed = Math.sqrt(ax * ax + ay * ay + s.vz * s.vz);
      const gust = this.gust;
      stepGusts(this.#gustState, z, airspeed, wind, this.#windAt20ft, p.gustScale, setup.tick, this.#gustNoise, gust);
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
  #compute(setup: FlightSetup): void {
    const { motion, computer } = this;
    const c = setup.computer;
    const noise = this.#noisy ? this.#inertialNoise : null;
    this.#feel(setup);
    readTriple(computer.sample, 0, this.felt, 0, c.accelerometer, noise);
    readTriple(computer.sample, 3, this.felt, 3, c.gyro, noise);
    if (c.barometer !== null) {
      this.#lagged = laggedHeight(this.#lagged, motion.height(), motion.time - this.#lastSampled, c.barometer.lag);
      this.#lastSampled = motion.time;
      computer.barometerHeight = barometerReading(this.#lagged, c.barometer, this.#noisy ? this.#barometerNoise : null);
    }
    const detected = computer.liftoffTime;
    computer.tick(c, this.k);
    if (Number.isNaN(detected) && !Number.isNaN(computer.liftoffTime)) this.watch.liftoffDetectedTime = motion.time;
    if (computer.releaseNow) this.legReleaseTime = motion.time;
    if (computer.commandWait >= 0) this.#ignite(setup, computer.commandWait);
    motion.command(setup.plant, computer.control.command1, computer.control.command2);
  }

  /** Specific force at the sensor: the centre of mass's, plus what turning about it adds. */
  #feel(setup: FlightSetup): void {
    const { s, k1, load } = this.motion;
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
    felt[0] =
      (1 - 2 * (qy * qy + qz * qz)) * ax +
      2 * (qx * qy + qw * qz) * ay +
      2 * (qx * qz - qw * qy) * az +
      (k1.wy * lz - k1.wz * ly) +
      (wy * cz - wz * cy);
    felt[1] =
      2 * (qx * qy - qw * qz) * ax +
      (1 - 2 * (qx * qx + qz * qz)) * ay +
      2 * (qy * qz + qw * qx) * az +
      (k1.wz * lx - k1.wx * lz) +
      (wz * cx - wx * cz);
    felt[2] =
      2 * (qx * qz + qw * qy) * ax +
      2 * (qy * qz - qw * qx) * ay +
      (1 - 2 * (qx * qx + qy * qy)) * az +
      (k1.wx * ly - k1.wy * lx) +
      (wx * cy - wy * cx);
    felt[3] = wx;
    felt[4] = wy;
    felt[5] = wz;
  }

  /** The command falls `wait` believed seconds after this tick. */
  #ignite(setup: FlightSetup, wait: number): void {
    const { motion, computer, watch } = this;
    const { s, k1 } = motion;
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

  #watchTick(setup: FlightSetup): void {
    const { motion, watch } = this;
    const { s, k1 } = motion;
    const roll = Math.abs(s.wx);
    if (roll > watch.rollRate) watch.rollRate = roll;
    if (motion.hold !== FREE) return;
    const pull = k1.vx * k1.vx + k1.vy * k1.vy + k1.vz * k1.vz;
    if (pull > watch.largestAccelerationSquared) watch.largestAccelerationSquared = pull;
    const up = axisZ(s);
    const lost = up < setup.lostControlCos;
    if (Number.isNaN(watch.apogeeTime)) {
      if (up < watch.cosRising) watch.cosRising = up;
    } else if (up < watch.cosFalling) watch.cosFalling = up;
    if (Number.isNaN(motion.ascentBurnoutTime)) {
      if (up < watch.cosAscentBurn) watch.cosAscentBurn = up;
      if (lost) watch.lostControlRising = true;
    }
    if (motion.time >= motion.thrustStartTime && motion.time < motion.thrustEndTime) {
      if (up < watch.cosLandingBurn) watch.cosLandingBurn = up;
      if (lost) watch.lostControlBurning = true;
      if (watch.contacts === 0) {
        const p = setup.plant;
        const sink = -(s.vx * p.groundX + s.vy * p.groundY + s.vz * p.groundZ);
        if (!(sink >= watch.slowestSink)) watch.slowestSink = sink;
      }
    }
  }

  /** Greatest height, between ticks by constant acceleration. */
  #watchApogee(start: number, z: number, vz: number): void {
    const { motion, watch } = this;
    const after = motion.s.vz;
    if (motion.hold !== FREE || !(vz > 0 && after <= 0)) return;
    const part = ((motion.time - start) * vz) / (vz - after);
    const height = z - motion.padHeight + 0.5 * vz * part;
    if (height <= watch.apogee) return;
    watch.apogee = height;
    watch.apogeeTime = start + part;
  }

  /** Measures a contact and judges it. @returns whether the flight goes on. */
  #touchDown(setup: FlightSetup): boolean {
    const { motion, watch, contact } = this;
    const p = setup.plant;
    // The load at the contact's own instant, before anything is changed by standing.
    motion.derive(p);
    this.verdict = judgeContact(contact, motion.s, motion.load, motion.held.legShare, p, setup.limits);
    if (watch.contacts === 0) {
      watch.contactTime = motion.time;
      if (!Number.isNaN(motion.thrustStartTime)) watch.impulseLeft = motion.landingImpulseLeft(p);
    }
    watch.contacts++;
    watch.sink = worst(watch.sink, contact.sink);
    watch.slide = worst(watch.slide, contact.slide);
    watch.tilt = worst(watch.tilt, contact.tilt);
    watch.tiltRate = worst(watch.tiltRate, contact.tiltRate);
    watch.legsLocked = contact.legsLocked;
    watch.landingEast = motion.s.rx;
    watch.landingNorth = motion.s.ry;
    if (this.verdict !== STANDS) return false;
    motion.stand();
    return !this.#finishedStanding();
  }

  /** A standing flight ends when nothing can lift it any more: never commanded, nothing to burn, burnt out, or enough hops. */
  #finishedStanding(): boolean {
    const { motion, watch } = this;
    if (motion.hold !== STANDING) return false;
    return (
      motion.burns.landingStart === Number.POSITIVE_INFINITY || motion.time >= motion.thrustEndTime || watch.contacts >= MOST_GOOD_CONTACTS
    );
  }

  #trouble(setup: FlightSetup): NoResultReason {
    const { motion } = this;
    const unsound = this.#unsound();
    if (unsound !== '') return unsound;
    if (motion.hold === AT_REST && !Number.isNaN(motion.ascentBurnoutTime)) return 'never left the rail';
    if (motion.time >= setup.timeLimit) return 'time limit';
    return '';
  }

  #unsound(): NoResultReason {
    const { s } = this.motion;
    const total = s.rx + s.ry + s.rz + s.vx + s.vy + s.vz + s.qw + s.qx + s.qy + s.qz + s.wx + s.wy + s.wz + s.d1 + s.d2;
    if (!Number.isFinite(total)) return 'state not finite';
    if (
      Math.abs(s.rx) + Math.abs(s.ry) + Math.abs(s.rz) > ABSURD_DISTANCE ||
      Math.abs(s.vx) + Math.abs(s.vy) + Math.abs(s.vz) > ABSURD_SPEED ||
      Math.abs(s.wx) + Math.abs(s.wy) + Math.abs(s.wz) > ABSURD_RATE
    )
      return 'state absurd';
    return '';
  }
}

function worst(before: number, now: number): number {
  return now > before || Number.isNaN(before) ? now : before;
}
