/**
 * The recurrence of J. Baagoe's Alea generator (2010), multiply-with-carry on three fractions: what a stream goes on
 * with once seedrandom has made its seed from a key (streams.ts). Here so that the kernel draws its own noise; a test
 * holds both together.
 */

/** Where a stream starts. */
export class AleaSeed {
  s0: number = 0;
  s1: number = 0;
  s2: number = 0;
}

/** 2^-32, and half of it: draws are whole multiples of the first. */
const STEP = 2.3283064365386963e-10;
const HALF_STEP = 1.1641532182693481e-10;

export class Alea {
  /** Not numbers until a seed is given, and so is what is drawn. */
  private s0: number = Number.NaN;
  private s1: number = Number.NaN;
  private s2: number = Number.NaN;
  private carry: number = 1;
  private readonly one: Float64Array = new Float64Array(1);

  /** Starts anew; nothing drawn before matters. */
  start(seed: AleaSeed): void {
    this.s0 = seed.s0;
    this.s1 = seed.s1;
    this.s2 = seed.s2;
    this.carry = 1;
  }

  /** Uniform on (0, 1), 32 bits a draw, centred in their cells: enough for noise. */
  next(): number {
    this.fill(this.one, 0);
    return this.one[0];
  }

  /** The next draws into `out`, from place `from` to its end. */
  fill(out: Float64Array, from: i32): void {
    let s0 = this.s0;
    let s1 = this.s1;
    let s2 = this.s2;
    let carry = this.carry;
    for (let i = from; i < out.length; i++) {
      // The carry is the whole part of product + carry * STEP. Whether what comes in carries once more, hardly ever, is
      // asked last, so that draws need not wait for each other. All of it is exact.
      const product = 2091639 * s0;
      const whole = Math.floor(product);
      s0 = s1;
      s1 = s2;
      s2 = product - whole + carry * STEP;
      carry = whole;
      if (s2 >= 1) {
        s2 -= 1;
        carry += 1;
      }
      out[i] = s2 + HALF_STEP;
    }
    this.s0 = s0;
    this.s1 = s1;
    this.s2 = s2;
    this.carry = carry;
  }
}
