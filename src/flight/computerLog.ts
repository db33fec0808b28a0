/**
 * What the flight computer itself would have written down of a flight: its own clock, samples, beliefs, phase and
 * command, at every tick it ran through. Ticks lost in a stall are missing. No truth in it, and no file.
 */
import type { FlightLoop } from './loop.ts';
import type { FlightParameters } from './parameters.ts';
import type { TraceColumn } from './trace.ts';

interface Reader extends TraceColumn {
  readonly read: (loop: FlightLoop, setup: FlightParameters) => number;
}

const column = (key: string, unit: string, meaning: string, read: Reader['read']): Reader => ({ key, unit, meaning, read });

const READERS: readonly Reader[] = [
  column('time', 's', 'on the computer’s clock', (f, p) => f.k * p.computer.tick),
  column('accelerationX', 'm/s^2', 'accelerometer reading along body x', (f) => f.computer.sample[0]),
  column('accelerationY', 'm/s^2', 'accelerometer reading along body y', (f) => f.computer.sample[1]),
  column('accelerationZ', 'm/s^2', 'accelerometer reading along body z', (f) => f.computer.sample[2]),
  column('rateX', 'rad/s', 'gyro reading about body x', (f) => f.computer.sample[3]),
  column('rateY', 'rad/s', 'gyro reading about body y', (f) => f.computer.sample[4]),
  column('rateZ', 'rad/s', 'gyro reading about body z', (f) => f.computer.sample[5]),
  column('barometer', 'm', 'barometer reading, where one is fitted', (f, p) =>
    p.computer.barometerFitted ? f.computer.barometerHeight : Number.NaN,
  ),
  column('height', 'm', 'believed', (f) => f.computer.navigator.height),
  column('speedUp', 'm/s', 'believed', (f) => f.computer.navigator.v[2]),
  column('phase', '', '0 pad, 1 ascent, 2 coast, 3 descent, 4 landing', (f) => f.computer.phases.phase),
  column('commandY', 'rad', 'gimbal command toward body y', (f) => f.computer.control.command1),
  column('commandZ', 'rad', 'gimbal command toward body z', (f) => f.computer.control.command2),
];

export const LOG_COLUMNS: readonly TraceColumn[] = READERS;

/** Hand it to a flight; ask for the columns when the flight is over. */
export class LogRecorder {
  readonly #rows: number[][] = [];

  tick(loop: FlightLoop, setup: FlightParameters): void {
    if (loop.stalled) return;
    this.#rows.push(READERS.map(({ read }) => read(loop, setup)));
  }

  /** One array a column, one number a tick. */
  data(): Float64Array[] {
    return READERS.map((_, c) => Float64Array.from(this.#rows, (row) => row[c]));
  }
}
