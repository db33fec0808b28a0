/**
 * A stream of standard normals for in-flight noise, a dozen a tick: the quantile read from a table, one uniform a
 * variate. Not for inputs, which take the exact quantile (normal.ts).
 *
 * Between nodes the table is a cubic with the quantile's own value and slope at both ends: wrong by at most 8e-8,
 * against a measured sensor noise known to a few per cent. Outside its range the exact quantile is used.
 */
import { Alea, type AleaSeed } from './alea.ts';
import { exp } from './elementary/exponential.ts';
import { normalQuantile } from './normal.ts';

const CELLS = 1024;
/** Cells at each end, where the quantile is too steep for the table. */
const STEEP = 16;

/** Quantile at each node, and its slope times a cell's width: the inverse of the density. */
const VALUE = new Float64Array(CELLS + 1);
const RISE = new Float64Array(CELLS + 1);
for (let i = STEEP; i <= CELLS - STEEP; i++) {
  const x = normalQuantile((i as number) / CELLS);
  VALUE[i] = x;
  RISE[i] = (Math.sqrt(2 * Math.PI) * exp(0.5 * x * x)) / CELLS;
}

/** @param u in (0, 1)   Source of the interpolation: cubic Hermite, any numerical analysis text. */
export function tabulatedQuantile(u: number): number {
  const place = u * CELLS;
  const cell = Math.floor(place) as i32;
  if (cell < STEEP || cell >= CELLS - STEEP) return normalQuantile(u);
  const t = place - cell;
  const a = VALUE[cell];
  const step = VALUE[cell + 1] - a;
  const rise = RISE[cell];
  const curve = 3 * step - 2 * rise - RISE[cell + 1];
  return a + t * (rise + t * (curve + t * (step - rise - curve)));
}

export class NormalNoise {
  private readonly uniform: Alea = new Alea();

  /** Starts a stream; nothing drawn before matters. */
  reset(seed: AleaSeed): void {
    this.uniform.start(seed);
  }

  next(): number {
    return tabulatedQuantile(this.uniform.next());
  }
}
