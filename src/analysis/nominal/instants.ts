/** The nominal flight as seen tick by tick: what the findings are read from. Judges nothing. */

import { torqueFactor } from '../../avionics/control.ts';
import type { ComputerParameters } from '../../avionics/parameters.ts';
import { ASCENT, LANDING, PAD, type Phase } from '../../avionics/phases.ts';
import type { FlightLoop, FlightRecorder } from '../../flight/loop.ts';
import { axisZ } from '../../flight/motion.ts';
import type { FlightParameters } from '../../flight/parameters.ts';
import { r00, r01, r02, r10, r11, r12, r20, r21, r22 } from '../../maths/rotation.ts';
import { FREE, type Hold, ON_RAIL } from '../../plant/rates.ts';
import type { Load, TrueState } from '../../plant/state.ts';

/** The truth at one tick, after the computer ran. */
export interface Instant {
  /** s; m; m/s upward and over the ground. */
  readonly time: number;
  readonly height: number;
  readonly rise: number;
  readonly drift: number;
  /** m/s, horizontal. */
  readonly wind: number;
  /** rad from the vertical. */
  readonly tilt: number;
  /** m/s of the vehicle through the air, along the axis (positive: flow from the nose) and across it. */
  readonly along: number;
  readonly across: number;
  readonly density: number;
  readonly legShare: number;
  readonly load: Readonly<Load>;
  readonly hold: Hold;
  /** m/s^2, axial specific force at the sensor. */
  readonly felt: number;
  /** On all gains, where the computer steers a phase it believes to have thrust; null elsewhere. */
  readonly gain: number | null;
}

/** What a contact was judged by: the last, or the first touchdown where it is simulated. */
export interface ContactSeen {
  readonly state: TrueState;
  readonly load: Load;
  readonly legShare: number;
}

/** Hand it to a flight; then everything stands here. */
export class Instants implements FlightRecorder {
  readonly all: Instant[] = [];
  contactSeen: ContactSeen | null = null;
  /** That the computer last believed in. */
  lastPhase: Phase = PAD;
  /** s; Infinity when they never were. */
  legReleaseTime = Number.POSITIVE_INFINITY;
  #setup: FlightParameters | null = null;

  /** @throws Error before a flight was flown */
  get setup(): FlightParameters {
    if (this.#setup === null) throw new Error('no flight was flown');
    return this.#setup;
  }

  tick(loop: FlightLoop, setup: FlightParameters): void {
    this.#setup = setup;
    this.lastPhase = loop.computer.phases.phase;
    this.legReleaseTime = loop.legReleaseTime;
    // A simulated touchdown is no part of how it flew.
    if (loop.ground.watchesToTouchdown && loop.ground.contacts > 0) return;
    const { motion } = loop;
    const { s, held, load, hold } = motion;
    const { qw, qx, qy, qz } = s;
    const [east, north, up] = [s.vx - held.windX, s.vy - held.windY, s.vz - held.windZ];
    this.all.push({
      time: motion.time,
      height: motion.height(),
      rise: s.vz,
      drift: Math.hypot(s.vx, s.vy),
      wind: Math.hypot(held.windX, held.windY),
      tilt: Math.acos(Math.min(1, Math.max(-1, axisZ(s)))),
      along: r00(qy, qz) * east + r10(qw, qx, qy, qz) * north + r20(qw, qx, qy, qz) * up,
      across: Math.hypot(
        r01(qw, qx, qy, qz) * east + r11(qx, qz) * north + r21(qw, qx, qy, qz) * up,
        r02(qw, qx, qy, qz) * east + r12(qw, qx, qy, qz) * north + r22(qx, qy) * up,
      ),
      density: held.density,
      legShare: held.legShare,
      load: { ...load },
      hold,
      felt: loop.felt[0],
      gain: gainOf(loop, setup.computer),
    });
  }

  contact(loop: FlightLoop): void {
    if (loop.ground.watchesToTouchdown && this.contactSeen !== null) return;
    const { s, load, held } = loop.motion;
    this.contactSeen = { state: { ...s }, load: { ...load }, legShare: held.legShare };
  }

  /** The first instant in free flight. */
  get railExit(): Instant | undefined {
    return this.all.find(({ hold }) => hold === FREE);
  }

  get onRail(): Instant[] {
    return this.all.filter(({ hold }) => hold === ON_RAIL);
  }

  /** s; Infinity while the ascent motor gives thrust to the end. */
  get ascentEnd(): number {
    const last = this.all.findLastIndex(({ load }) => load.ascentThrust > 0);
    return this.all[last + 1]?.time ?? Number.POSITIVE_INFINITY;
  }

  /** Instants in free flight at which a motor gives thrust. */
  burning(motor: 'ascent' | 'landing'): Instant[] {
    const key = `${motor}Thrust` as const;
    return this.all.filter(({ hold, load }) => hold === FREE && load[key] > 0);
  }
}

/** The factor the computer steers with, as avionics/computer.ts asks for it. */
function gainOf({ computer, k }: FlightLoop, p: ComputerParameters): number | null {
  const now = k * p.tick;
  if (!computer.ran) return null;
  switch (computer.phases.phase) {
    case ASCENT:
      return torqueFactor(p, p.expectedAscent, now - computer.liftoffTime + p.liftoffConfirm);
    case LANDING:
      return torqueFactor(p, p.expectedLanding, now - computer.commandTime - p.lead);
    default:
      return null;
  }
}
