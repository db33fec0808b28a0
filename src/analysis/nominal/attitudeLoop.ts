/**
 * The linearised attitude loop at one instant: rigid body with the air's stiffness and damping, first-order servo,
 * gains with integral, sampled once a tick with its command held. Small turns, no limits of angle or rate. Pure
 * functions of numbers.
 *
 * Whether it is stable is decided exactly, from the sampled closed loop: its growth a tick is the spectral radius of
 * its matrix, by I. Gelfand's formula (Mat. Sbornik 9 (1941) 3-24): the limit of the norm of the matrix's n-th power to
 * 1/n. Gain margins are the factors on all gains at which that turns. The phase margin is read off the open loop's
 * frequency response, the held command as a delay of half a tick (textbook: G. F. Franklin, J. D. Powell and M. L.
 * Workman, Digital Control of Dynamic Systems; source not opened).
 */

/** One axis, SI: moments per rad, rad/s and rad of gimbal, kg m^2, s. */
export interface AttitudeLoop {
  readonly stiffness: number;
  readonly damping: number;
  readonly steering: number;
  readonly inertia: number;
  readonly lag: number;
  readonly tick: number;
  readonly kp: number;
  readonly kd: number;
  readonly ki: number;
}

export interface LoopMargins {
  /** 1/s: growth of a disturbance under control; negative when it dies away. */
  readonly growth: number;
  /** rad, the least over gain crossovers; null where the loop's gain never passes 1. */
  readonly phase: number | null;
  /** rad/s of that crossover. */
  readonly crossover: number | null;
  /**
   * Factors on all gains at which it turns unstable, up (> 1) and down (< 1); null when there is none within `GAINS`.
   */
  readonly upper: number | null;
  readonly lower: number | null;
}

/** Factors within which gain margins are looked for. */
const GAINS = 16;
const GAIN_STEP = 1.3;
/** Halvings of that step about the edge. */
const HALVINGS = 6;
/** Doublings of the matrix's power. */
const SQUARINGS = 36;
/** Frequencies at which crossovers are looked for, evenly in the logarithm. */
const FREQUENCIES = 400;

/** 1/s: of the slowest-dying or fastest-growing motion of the closed loop. @param factor on all gains */
export function growthRate(l: AttitudeLoop): number {
  return growthWith(l, sampled(l), 1);
}

/** The same, all gains times `factor`, from the body and servo over one tick. */
function growthWith(l: AttitudeLoop, { transition, command }: SampledBody, factor: number): number {
  const integral = l.ki !== 0;
  // States at the tick: angle, rate, deflection, and the integral of the error -angle, taken before the command.
  const size = integral ? 4 : 3;
  const gains = [-factor * (l.kp + (integral ? l.ki * l.tick : 0)), -factor * l.kd, 0, factor * l.ki];
  const matrix = new Float64Array(size * size);
  for (let row = 0; row < 3; row++) {
    for (let column = 0; column < size; column++) {
      matrix[row * size + column] = (column < 3 ? transition[3 * row + column] : 0) + command[row] * gains[column];
    }
  }
  if (integral) {
    matrix[12] = -l.tick;
    matrix[15] = 1;
  }
  return logSpectralRadius(matrix, size) / l.tick;
}

/**
 * @param slowest rad/s: crossovers below it are left out, as slower than the burn   @param unstable from growth in 1/s
 */
export function loopMargins(l: AttitudeLoop, slowest: number, unstable: (growth: number) => boolean): LoopMargins {
  const body = sampled(l);
  const turns = (factor: number): boolean => unstable(growthWith(l, body, factor));
  const growth = growthWith(l, body, 1);
  const now = unstable(growth);
  return { growth, ...phaseMargin(l, slowest), upper: edge(turns, now, GAIN_STEP), lower: edge(turns, now, 1 / GAIN_STEP) };
}

/** The first factor, going up or down from 1 by steps, at which the answer is another than at 1; null where none is. */
function edge(turns: (factor: number) => boolean, now: boolean, step: number): number | null {
  let same = 1;
  for (let other = step; other <= GAINS && other >= 1 / GAINS; other *= step) {
    if (turns(other) === now) {
      same = other;
      continue;
    }
    for (let i = 0; i < HALVINGS; i++) {
      const middle = Math.sqrt(same * other);
      if (turns(middle) === now) same = middle;
      else other = middle;
    }
    return other;
  }
  return null;
}

function phaseMargin(l: AttitudeLoop, slowest: number): Pick<LoopMargins, 'phase' | 'crossover'> {
  let phase: number | null = null;
  let crossover: number | null = null;
  const fastest = Math.PI / l.tick;
  const ratio = (fastest / slowest) ** (1 / FREQUENCIES);
  let frequency = slowest;
  let before = squaredGain(l, frequency);
  for (let i = 1; i <= FREQUENCIES; i++) {
    frequency *= ratio;
    const here = squaredGain(l, frequency);
    if (before > 1 !== here > 1) {
      const part = Math.log(before) / Math.log(before / here);
      const crossing = frequency * ratio ** (part - 1);
      const away = Math.abs(wrapped(angle(l, crossing) + Math.PI));
      if (phase === null || away < phase) {
        phase = away;
        crossover = crossing;
      }
    }
    before = here;
  }
  return { phase, crossover };
}

/**
 * Square of the gain of the open loop at a frequency in rad/s: controller kp + kd s + ki/s, servo 1/(lag s + 1), body
 * steering/(inertia s^2 + damping s + stiffness).
 */
function squaredGain(l: AttitudeLoop, w: number): number {
  const control = l.kd * w - l.ki / w;
  const body = l.stiffness - l.inertia * w * w;
  const above = l.steering * l.steering * (l.kp * l.kp + control * control);
  return above / ((1 + l.lag * w * (l.lag * w)) * (body * body + l.damping * w * (l.damping * w)));
}

/** rad, of the same and half a tick of delay. */
function angle(l: AttitudeLoop, w: number): number {
  const control = Math.atan2(l.kd * w - l.ki / w, l.kp);
  const body = Math.atan2(l.damping * w, l.stiffness - l.inertia * w * w);
  return control - Math.atan(l.lag * w) - body - (w * l.tick) / 2;
}

/** rad, to -pi..pi. */
function wrapped(angle: number): number {
  return angle - 2 * Math.PI * Math.round(angle / (2 * Math.PI));
}

/** Over one tick: the transition of angle, rate and deflection (3 x 3 in rows), and what the held command adds to each. */
interface SampledBody {
  readonly transition: Float64Array;
  readonly command: Float64Array;
}

/** Exact, with the command held. */
function sampled(l: AttitudeLoop): SampledBody {
  const t = l.tick;
  const full = exponential(
    // biome-ignore format: a matrix in rows
    Float64Array.of(
      0, t, 0, 0,
      (-l.stiffness / l.inertia) * t, (-l.damping / l.inertia) * t, (l.steering / l.inertia) * t, 0,
      0, 0, -t / l.lag, t / l.lag,
      0, 0, 0, 0,
    ),
    4,
  );
  const transition = new Float64Array(9);
  for (let row = 0; row < 3; row++) transition.set(full.subarray(4 * row, 4 * row + 3), 3 * row);
  return { transition, command: Float64Array.of(full[3], full[7], full[11]) };
}

/** Taylor's series of the matrix over a power of two, squared as often. */
function exponential(m: Float64Array, size: number): Float64Array {
  const halvings = Math.max(0, Math.ceil(Math.log2(greatestRowSum(m, size))) + 1);
  const small = m.map((x) => x / 2 ** halvings);
  let sum = new Float64Array(size * size);
  for (let i = 0; i < size; i++) sum[i * size + i] = 1;
  let term = sum.slice();
  let next = new Float64Array(size * size);
  // The norm is at most a half: the 18th term is below 1e-20.
  for (let n = 1; n <= 18; n++) {
    multiply(next, term, small, size);
    for (let k = 0; k < next.length; k++) {
      next[k] /= n;
      sum[k] += next[k];
    }
    [term, next] = [next, term];
  }
  for (let i = 0; i < halvings; i++) {
    multiply(next, sum, sum, size);
    [sum, next] = [next, sum];
  }
  return sum;
}

function logSpectralRadius(m: Float64Array, size: number): number {
  let power = m.slice();
  let square = new Float64Array(size * size);
  let log = 0;
  for (let i = 0; i < SQUARINGS; i++) {
    const greatest = greatestRowSum(power, size);
    if (greatest === 0) return Number.NEGATIVE_INFINITY;
    log += Math.log(greatest) / 2 ** i;
    for (let k = 0; k < power.length; k++) power[k] /= greatest;
    multiply(square, power, power, size);
    [power, square] = [square, power];
  }
  return log;
}

/** Of a square matrix in rows: the greatest sum of absolute values in a row. */
function greatestRowSum(m: Float64Array, size: number): number {
  let greatest = 0;
  for (let row = 0; row < size; row++) {
    let sum = 0;
    for (let k = 0; k < size; k++) sum += Math.abs(m[row * size + k]);
    if (!(sum <= greatest)) greatest = sum;
  }
  return greatest;
}

/** Square matrices in rows. @param out a times b; may be neither */
function multiply(out: Float64Array, a: Float64Array, b: Float64Array, size: number): void {
  for (let row = 0; row < size; row++) {
    for (let column = 0; column < size; column++) {
      let sum = 0;
      for (let k = 0; k < size; k++) sum += a[row * size + k] * b[k * size + column];
      out[row * size + column] = sum;
    }
  }
}
