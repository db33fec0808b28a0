/** One flight's full time history, truth beside belief, tick by tick, and its list of events. Writes no file. */
import type { FlightLoop, FlightRecorder } from './loop.ts';
import { axisZ } from './motion.ts';
import type { FlightParameters } from './parameters.ts';

export interface TraceColumn {
  readonly key: string;
  readonly unit: string;
  readonly meaning: string;
}

interface Reader extends TraceColumn {
  readonly read: (loop: FlightLoop, setup: FlightParameters) => number;
}

const column = (key: string, unit: string, meaning: string, read: Reader['read']): Reader => ({ key, unit, meaning, read });

/** In the order of avionics/phases.ts. */
const PHASE_NAMES = ['pad', 'ascent', 'coast', 'descent', 'landing'];
const PHASE_MEANING = `phase the computer believes in: ${PHASE_NAMES.map((name, i) => `${i} ${name}`).join(', ')}`;

/** Everything a tick has to show, after the computer ran and before the truth moves on. */
const READERS: readonly Reader[] = [
  column('time', 's', 'true time', (f) => f.motion.time),
  column('east', 'm', 'true, centre of mass', (f) => f.motion.s.rx),
  column('north', 'm', 'true, centre of mass', (f) => f.motion.s.ry),
  column('height', 'm', 'true, above its place on the pad', (f) => f.motion.height()),
  column('speedEast', 'm/s', 'true', (f) => f.motion.s.vx),
  column('speedNorth', 'm/s', 'true', (f) => f.motion.s.vy),
  column('speedUp', 'm/s', 'true', (f) => f.motion.s.vz),
  column('tilt', 'rad', 'true, of the axis from the vertical', (f) => Math.acos(Math.min(1, Math.max(-1, axisZ(f.motion.s))))),
  column('attitudeW', '', 'true attitude quaternion, scalar part', (f) => f.motion.s.qw),
  column('attitudeX', '', 'true attitude quaternion', (f) => f.motion.s.qx),
  column('attitudeY', '', 'true attitude quaternion', (f) => f.motion.s.qy),
  column('attitudeZ', '', 'true attitude quaternion', (f) => f.motion.s.qz),
  column('rollRate', 'rad/s', 'true body rate about x', (f) => f.motion.s.wx),
  column('rateY', 'rad/s', 'true body rate about y', (f) => f.motion.s.wy),
  column('rateZ', 'rad/s', 'true body rate about z', (f) => f.motion.s.wz),
  column('gimbalY', 'rad', 'true deflection toward body y', (f) => f.motion.s.d1),
  column('gimbalZ', 'rad', 'true deflection toward body z', (f) => f.motion.s.d2),
  column('ascentThrust', 'N', 'true', (f) => f.motion.load.ascentThrust),
  column('landingThrust', 'N', 'true', (f) => f.motion.load.landingThrust),
  column('mass', 'kg', 'true', (f) => f.motion.load.mass),
  column('windEast', 'm/s', 'true air motion, gusts in it', (f) => f.motion.held.windX),
  column('windNorth', 'm/s', 'true air motion, gusts in it', (f) => f.motion.held.windY),
  column('windUp', 'm/s', 'true air motion, gusts in it', (f) => f.motion.held.windZ),
  column('density', 'kg/m^3', 'true', (f) => f.motion.held.density),
  column('legShare', '', 'share of the legs’ deployment', (f) => f.motion.held.legShare),
  column('feltX', 'm/s^2', 'true specific force at the inertial sensor, along body x', (f) => f.felt[0]),
  column('feltY', 'm/s^2', 'true specific force at the inertial sensor, along body y', (f) => f.felt[1]),
  column('feltZ', 'm/s^2', 'true specific force at the inertial sensor, along body z', (f) => f.felt[2]),
  column('measuredX', 'm/s^2', 'accelerometer reading along body x', (f) => f.computer.sample[0]),
  column('measuredY', 'm/s^2', 'accelerometer reading along body y', (f) => f.computer.sample[1]),
  column('measuredZ', 'm/s^2', 'accelerometer reading along body z', (f) => f.computer.sample[2]),
  column('measuredRollRate', 'rad/s', 'gyro reading about body x', (f) => f.computer.sample[3]),
  column('measuredRateY', 'rad/s', 'gyro reading about body y', (f) => f.computer.sample[4]),
  column('measuredRateZ', 'rad/s', 'gyro reading about body z', (f) => f.computer.sample[5]),
  column('believedHeight', 'm', 'dead-reckoned', (f) => f.computer.navigator.height),
  column('believedSpeedEast', 'm/s', 'dead-reckoned', (f) => f.computer.navigator.v[0]),
  column('believedSpeedNorth', 'm/s', 'dead-reckoned', (f) => f.computer.navigator.v[1]),
  column('believedSpeedUp', 'm/s', 'dead-reckoned', (f) => f.computer.navigator.v[2]),
  column('believedTilt', 'rad', 'dead-reckoned', (f) => Math.acos(Math.min(1, Math.max(-1, f.computer.navigator.cosTilt())))),
  column('phase', '', PHASE_MEANING, (f) => f.computer.phases.phase),
  column('commandY', 'rad', 'gimbal command toward body y', (f) => f.computer.control.command1),
  column('commandZ', 'rad', 'gimbal command toward body z', (f) => f.computer.control.command2),
  column('stalled', '', '1 on a tick that fell into a stall', (f) => Number(f.stalled)),
  column('inGap', '', '1 on a tick inside a transition gap', (f) => Number(!f.stalled && !f.computer.ran)),
];

export const TRACE_COLUMNS: readonly TraceColumn[] = READERS;

export interface FlightEvent {
  /** s, true. */
  readonly time: number;
  readonly what: string;
  /** m, true and believed, at the tick before; NaN where there is none. */
  readonly height: number;
  readonly believedHeight: number;
  /** m/s, upward, true. */
  readonly speedUp: number;
}

export interface FlightTrace {
  readonly columns: readonly TraceColumn[];
  /** One array a column, one number a tick. */
  readonly data: readonly Float64Array[];
  readonly events: readonly FlightEvent[];
}

/** Hand it to a flight; ask for the trace when the flight is over. */
export class TraceRecorder implements FlightRecorder {
  readonly #rows: number[][] = [];
  readonly #events: { time: number; what: string }[] = [];
  #phase = 0;
  #stalled = false;

  tick(loop: FlightLoop, setup: FlightParameters): void {
    this.#rows.push(READERS.map((r) => r.read(loop, setup)));
    const { phase } = loop.computer.phases;
    if (phase !== this.#phase) {
      const words = ['', 'liftoff recognised', 'burnout recognised', 'apogee recognised', 'ignition commanded'];
      const time = phase === 4 ? loop.watch.ignitionTime : loop.motion.time;
      this.#events.push({ time, what: words[phase] });
      this.#phase = phase;
    }
    if (loop.stalled && !this.#stalled) this.#events.push({ time: loop.motion.time, what: 'stall begins to cost ticks' });
    this.#stalled = loop.stalled;
  }

  contact(loop: FlightLoop): void {
    const { ground } = loop;
    const stands = ground.watchesToTouchdown ? 'at rest on its feet' : 'contact: stands';
    const what = ground.over ? 'contact: fails' : ground.rests ? stands : 'touchdown';
    this.#events.push({ time: loop.motion.time, what });
  }

  /** @param loop as the flight left it */
  finish(loop: FlightLoop, setup: FlightParameters): FlightTrace {
    const { motion, watch } = loop;
    const add = (time: number, what: string): void => {
      if (Number.isFinite(time) && time <= motion.time) this.#events.push({ time, what });
    };
    add(motion.liftoffTime, 'liftoff');
    add(motion.railExitTime, 'leaves the rail');
    add(motion.ascentBurnoutTime, 'ascent thrust ends');
    add(watch.apogeeTime, 'apogee');
    add(motion.thrustStartTime, 'landing thrust starts');
    add(motion.casingLeftTime, 'ascent casing leaves');
    add(motion.thrustEndTime, 'landing thrust ends');
    add(loop.legReleaseTime, 'legs released');
    add(loop.legReleaseTime + setup.plant.deploymentTime, 'legs out');
    add(motion.time, 'end');
    const data = READERS.map((_, i) => Float64Array.from(this.#rows, (row) => row[i]));
    const events = this.#events
      .map((event, order) => ({ event, order }))
      .sort((a, b) => a.event.time - b.event.time || a.order - b.order)
      .map(({ event }) => this.#placed(event, data));
    return { columns: TRACE_COLUMNS, data, events };
  }

  /** The event with what held at the last tick not after it. */
  #placed(event: { time: number; what: string }, data: readonly Float64Array[]): FlightEvent {
    const at = (key: string): Float64Array => data[READERS.findIndex((r) => r.key === key)];
    const times = at('time');
    let i = times.length - 1;
    while (i > 0 && times[i] > event.time) i--;
    return { ...event, height: at('height')[i], believedHeight: at('believedHeight')[i], speedUp: at('speedUp')[i] };
  }
}
