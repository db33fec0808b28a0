/**
 * G. W. Housner, The behavior of inverted pendulum structures during earthquakes, Bull. Seismological Society of
 * America 53(2), 1963, 403-417 (formulas from memory; digits recomputed, impact speeds confirmed by integration), and
 * the same two balances, angular momentum about the edge and energy to the balance point, for a vehicle on legs
 * (statics: any text; own digits). Judged on the kernel's contact check:
 *
 *     w+ = (m h v + It w_t)/(It + m rho^2)        tips when (1/2)(It + m rho^2) w+^2 > m g rho (1 - cos(phi - theta))
 */
import { describe, expect, it } from 'vitest';
import { leaningAttitude } from '../../src/maths/quaternion.ts';
import { Contact, STANDS, TIPPED_OVER } from '../../src/plant/contact/groundContact.ts';
import { judgeContact } from '../../src/plant/contact/judgement.ts';
import { STANDARD_GRAVITY } from '../../src/plant/gravity.ts';
import { Load, TrueState } from '../../src/plant/state.ts';
import { near } from '../helpers/near.ts';
import { plantForTests } from '../helpers/plantForTests.ts';

const NO_LIMITS = { sink: 1e9, slide: 1e9, tilt: 1e9 };

interface Stance {
  readonly legs: number;
  readonly radius: number;
  readonly height: number;
  readonly mass: number;
  readonly inertia: number;
}

interface Arrival {
  /** m/s toward north. */
  readonly slide?: number;
  /** rad toward north. */
  readonly lean?: number;
  /** rad/s, tipping toward north. */
  readonly rate?: number;
  readonly gravity?: number;
}

/** Whether a vehicle that arrives so tips over. */
function tips(stance: Stance, { slide = 0, lean = 0, rate = 0, gravity = STANDARD_GRAVITY }: Arrival): boolean {
  const turns = Array.from({ length: stance.legs }, (_, i) => (2 * Math.PI * i) / stance.legs);
  const p = plantForTests({
    gravity,
    bodyLength: 1,
    footStation: 1,
    legCount: stance.legs,
    legRadius: stance.radius,
    legCos: Float64Array.from(turns, Math.cos),
    legSin: Float64Array.from(turns, Math.sin),
    legFails: new Float64Array(stance.legs),
  });
  const load = Object.assign(new Load(), { mass: stance.mass, xcg: 1 - stance.height, inertiaTransverse: stance.inertia });
  const q = new Float64Array(4);
  leaningAttitude(q, 0, lean, 0);
  // Tipping toward north turns about local -x (west), which upright is -y of the body; a lean about that axis leaves
  // it.
  const s = Object.assign(new TrueState(), { qw: q[0], qx: q[1], qy: q[2], qz: q[3], vy: slide, wy: -rate });
  const verdict = judgeContact(new Contact(), s, load, 1, p, NO_LIMITS);
  expect([STANDS, TIPPED_OVER]).toContain(verdict);
  return verdict === TIPPED_OVER;
}

/** The printed value is critical: one unit of its last digit less stands, one more tips. */
function critical(value: number, digit: number, tipsAt: (x: number) => boolean): void {
  expect(tipsAt(value - digit)).toBe(false);
  expect(tipsAt(value + digit)).toBe(true);
}

const DEG = Math.PI / 180;
const stance = (legs: number): Stance => ({ legs, radius: 0.15, height: 0.35, mass: 0.5, inertia: 0.02 });

describe('legs at 0.15 m, centre of mass 0.35 m up, 0.5 kg, It = 0.02 kg m^2', () => {
  it.each([
    [3, 0.4624712956],
    [4, 0.6612639491],
  ])('%d legs, upright: tips from a slide of %d m/s', (legs, v) => {
    critical(v, 1e-10, (slide) => tips(stance(legs), { slide }));
  });

  it.each([
    [3, 0.2716153514],
    [4, 0.4659998265],
  ])('%d legs, leaning 5 degrees with the slide: from %d m/s', (legs, v) => {
    critical(v, 1e-10, (slide) => tips(stance(legs), { slide, lean: 5 * DEG }));
  });

  it.each([
    [3, 0.2144724943],
    [4, 0.4088569694],
  ])('%d legs, and turning at 0.5 rad/s too: from %d m/s', (legs, v) => {
    critical(v, 1e-10, (slide) => tips(stance(legs), { slide, lean: 5 * DEG, rate: 0.5 }));
  });

  it.each([
    [3, 12.094757077],
    [4, 16.8592100756],
    [6, 20.3625965482],
  ])('%d legs: the static angle is %d degrees', (legs, degrees) => {
    // A lean without slide or rate: only the static check can tip it.
    critical(degrees, 1e-10, (lean) => tips(stance(legs), { lean: lean * DEG }));
  });

  it.each([
    [3, 0.075, 0.0840625, 1.112267658],
    [4, 0.1060660172, 0.086875, 1.0762589928],
  ])('%d legs, slide 0.5 m/s and 0.3 rad/s: w+ = %4$d rad/s', (legs, edge, inertia, after) => {
    near(0.15 * Math.cos(Math.PI / legs), edge, 5e-11);
    const rho = Math.hypot(0.35, edge);
    near(0.02 + 0.5 * rho ** 2, inertia, 1e-10);
    // The gravity that just holds it tells the rate after contact.
    const holds = (rate: number): number => (0.5 * inertia * rate ** 2) / (0.5 * rho * (1 - Math.cos(Math.atan2(edge, 0.35))));
    const arrival = { slide: 0.5, rate: 0.3 };
    // Relative 1e-9: the printed edge and inertia have ten digits.
    expect(tips(stance(legs), { ...arrival, gravity: holds(after) * (1 - 2e-9) })).toBe(true);
    expect(tips(stance(legs), { ...arrival, gravity: holds(after) * (1 + 2e-9) })).toBe(false);
  });

  it.each([
    [3, 0.0389594991, 0.9627655225],
    [4, 0.0770727716, 1.3320424874],
  ])('%d legs: %d J to tip, or %d rad/s after contact', (legs, energy, rate) => {
    const edge = 0.15 * Math.cos(Math.PI / legs);
    const inertia = 0.02 + 0.5 * (0.35 ** 2 + edge ** 2);
    near(0.5 * inertia * rate ** 2, energy, 1e-10);
    // That rate after contact, from a slide: w+ (It + m rho^2)/(m h).
    critical(rate, 1e-10, (w) => tips(stance(legs), { slide: (w * inertia) / (0.5 * 0.35) }));
  });

  it('a slide against the lean or a rate that rights it helps', () => {
    const v = 0.4659998265;
    expect(tips(stance(4), { slide: v + 1e-10, lean: 5 * DEG })).toBe(true);
    expect(tips(stance(4), { slide: v + 1e-10, lean: -5 * DEG })).toBe(false);
    expect(tips(stance(4), { slide: v + 1e-10, lean: 5 * DEG, rate: -0.01 })).toBe(false);
  });
});

describe("Housner's block, 2b by 2h", () => {
  /** A block as a vehicle: edge b, centre of mass h up, It = m (b^2 + h^2)/3. */
  const block = (b: number, h: number): Stance => ({
    legs: 4,
    radius: b / Math.cos(Math.PI / 4),
    height: h,
    mass: 1,
    inertia: (b ** 2 + h ** 2) / 3,
  });

  /** rad/s just after contact that tips a block leaning so. */
  const tippingRate = (b: number, h: number, lean: number): number => {
    const i0 = (4 / 3) * (b ** 2 + h ** 2);
    let low = 0;
    let high = 10;
    while (high - low > 1e-14) {
      const middle = (low + high) / 2;
      // The slide whose angular momentum about the edge gives that rate: w+ I0/(m h).
      if (tips(block(b, h), { slide: (middle * i0) / h, lean })) high = middle;
      else low = middle;
      if (middle === low && middle === high) break;
    }
    return low;
  };

  it.each([
    [0.3, 1.5, 0.19739556, 0.5290394493],
    [0.5, 2, 0.244978663, 0.5649483347],
    [1, 2, 0.463647609, 1.0183607072],
  ])('%d x %d m: static angle %d rad; released at half of it, it comes down at %d rad/s', (width, height, alpha, speed) => {
    const [b, h] = [width / 2, height / 2];
    critical(alpha, 1e-9, (lean) => tips(block(b, h), { lean }));
    // Energy: w^2 to tip from upright is w^2 to tip from the lean, and what it gains on the way down between.
    const half = Math.atan2(b, h) / 2;
    near(Math.sqrt(tippingRate(b, h, 0) ** 2 - tippingRate(b, h, half) ** 2), speed, 1e-10);
  });

  it.each([
    [0.3, 1.5, 0.942307692],
    [0.5, 2, 0.911764706],
    [1, 2, 0.7],
  ])('%d x %d m: an impact keeps %d of the speed', (width, height, kept) => {
    const [b, h] = [width / 2, height / 2];
    const radius2 = b ** 2 + h ** 2;
    const before = 0.5;
    // Upright at the impact, turning about the other edge: slide h w; the rate after is read off the gravity that just
    // holds it.
    let low = 0;
    let high = 50;
    for (let i = 0; i < 60; i++) {
      const gravity = (low + high) / 2;
      if (tips(block(b, h), { slide: h * before, rate: before, gravity })) low = gravity;
      else high = gravity;
    }
    const after = Math.sqrt((2 * low * Math.sqrt(radius2) * (1 - Math.cos(Math.atan2(b, h)))) / ((4 / 3) * radius2));
    // The check leaves out the sink's righting momentum, m b (b w): the one term by which it exceeds Housner's ratio,
    // on the safe side.
    const leftOut = (b ** 2 * before) / ((4 / 3) * radius2);
    near((after - leftOut) / before, kept, 1e-9);
  });
});
