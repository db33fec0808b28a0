/**
 * A stream of standard normals for in-flight noise, a dozen a tick: the quantile read from a table, one uniform a
 * variate. Not for inputs, which take the exact quantile (normal.ts).
 *
 * The table goes by a uniform's distance from the nearer end of (0, 1): each halving of it is cut into as many cells,
 * so that the steep ends are met as closely as the middle. It holds the quantile over the distance from the middle,
 * which is alike on both sides. Within a cell it is a cubic with the exact value and slope at both ends: the quantile
 * is wrong by at most 5e-9, against a measured sensor noise known to a few per cent.
 *
 * Variates are made many at a time and kept: made one by one where they are used, they cost 8 % of a flight more.
 */
import { Alea, type AleaSeed } from './alea.ts';
import { exp } from './elementary/exponential.ts';
import { powerOfTwo, upperWord } from './elementary/powersOfTwo.ts';
import { normalQuantile } from './normal.ts';

/** Halvings of the distance, from the least a uniform has, 2^-33, to 1/2. */
const OCTAVES = 32;
const LEAST_EXPONENT = -33;
/** Cells in each, and how many of the twenty bits of an upper word's fraction do not tell them apart: 2^(20 - 15). */
const CELLS = 32;
const CELL_SHIFT = 15;
/** Numbers of a cell: the cubic's coefficients, from the constant one. */
const TERMS = 4;

const ROOT_FULL_TURN = 2.5066282746310002; // sqrt(2 pi)

/** One cell more than there are halvings for: the middle itself, at which anything times 0 is right. */
const CUBICS = new Float64Array(TERMS * (OCTAVES * CELLS + 1));

/** Quantile over distance from the middle, and its slope, where they were measured last. */
let value: number = 0;
let slope: number = 0;

function measureAt(end: number): void {
  const away = end - 0.5;
  const x = normalQuantile(end);
  value = away === 0 ? ROOT_FULL_TURN : x / away;
  slope = away === 0 ? 0 : (ROOT_FULL_TURN * exp(0.5 * x * x) - value) / away;
}

let end = powerOfTwo(LEAST_EXPONENT);
let place = 0;
measureAt(end);
for (let octave = 0; octave < OCTAVES; octave++) {
  const width = powerOfTwo(LEAST_EXPONENT + octave) / CELLS;
  for (let cell = 0; cell < CELLS; cell++) {
    const before = value;
    const rise = width * slope;
    end += width;
    measureAt(end);
    const step = value - before;
    const curve = 3 * step - 2 * rise - width * slope;
    CUBICS[place] = before;
    CUBICS[place + 1] = rise;
    CUBICS[place + 2] = curve;
    CUBICS[place + 3] = step - rise - curve;
    place += TERMS;
  }
}

/**
 * @param u from 2^-33 to 1 - 2^-33, as an Alea draws them; NaN gives NaN in tsc's build, and asc's never meets it
 * Source of the interpolation: cubic Hermite, any numerical analysis text.
 */
export function tabulatedQuantile(u: number): number {
  const away = u - 0.5;
  const end = 0.5 - Math.abs(away);
  const bits = upperWord(end);
  const exponent = (bits >> 20) - 1023;
  const cell = (bits >> CELL_SHIFT) - (1023 + LEAST_EXPONENT) * CELLS;
  const t = CELLS * (end * powerOfTwo(-exponent) - 1) - ((cell & (CELLS - 1)) as number);
  const place = TERMS * cell;
  return away * (CUBICS[place] + t * (CUBICS[place + 1] + t * (CUBICS[place + 2] + t * CUBICS[place + 3])));
}

/** Variates made at a time. */
const BATCH = 120;

export class NormalNoise {
  private readonly uniform: Alea = new Alea();
  private readonly made: Float64Array = new Float64Array(BATCH);
  /** Of the next to be taken. */
  private place: i32 = BATCH;

  /** Starts a stream; nothing drawn before matters. */
  reset(seed: AleaSeed): void {
    this.uniform.start(seed);
    this.place = BATCH;
  }

  /** Makes sure of the next `count`, at most a batch: asked once before several are taken. */
  prepare(count: i32): void {
    if (this.place + count > BATCH) this.make();
  }

  /** The next variate. One that was not prepared is no number. */
  next(): number {
    return this.made[this.place++];
  }

  private make(): void {
    const made = this.made;
    const left = BATCH - this.place;
    for (let i = 0; i < left; i++) made[i] = made[this.place + i];
    this.uniform.fill(made, left);
    for (let i = left; i < BATCH; i++) made[i] = tabulatedQuantile(made[i]);
    this.place = 0;
  }
}
