/**
 * The kernel's elementary functions: the same bits from both compilers; right to the last digits, against the engine's
 * own functions (other programs, each within 1 unit in the last place); and right at arguments where the value is known
 * in closed form.
 */
import { describe, expect, it } from 'vitest';
import { compile } from '../../src/flight/kernel/build.mjs';
import { SMALL_ANGLE, tan, tanSeries } from '../../src/maths/elementary/circular.ts';
import { stream } from '../../src/maths/streams.ts';
import * as ours from '../helpers/elementary.ts';
import { near } from '../helpers/near.ts';

type Name = keyof typeof ours;
const { binary } = await compile('tests/helpers/elementary.ts');
const { exports } = new WebAssembly.Instance(new WebAssembly.Module(binary), { env: { abort: () => expect.unreachable() } });
const call = (table: object, name: Name, x: readonly number[]): number =>
  (table as Record<Name, (...x: readonly number[]) => number>)[name](...x);

/** Arguments where each function matters, most of them near 0. */
const random = stream('elementary functions');
const between = (low: number, high: number): number => low + (high - low) * random();
const either = (near: number, far: number): number => (random() < 0.5 ? between(-near, near) : between(-far, far));
const DRAWN: Readonly<Record<Name, () => readonly number[]>> = {
  exp: () => [either(2, 745)],
  expm1: () => [either(1, 60)],
  log: () => [Math.exp(either(1, 740))],
  log1p: () => [random() < 0.5 ? between(-0.9999, 2) : Math.exp(either(1, 700))],
  sin: () => [either(4, 1e5)],
  cos: () => [either(4, 1e5)],
  tan: () => [either(2, 1e3)],
  atan: () => [Math.tan(between(-1.57, 1.57))],
  atan2: () => [either(1, 1e3), either(1, 1e3)],
  acos: () => [between(-1, 1)],
};
const EDGES = [
  0, -0, 5e-324, 1e-310, 1e-9, -1e-9, 0.25, -0.5, 1, -1, 1.5, 36.9, -37.5, 709.78, 709.79, -744.9, -745.14, 1e6, 1e7, 1e300, -1e300,
];
const NAMES = Object.keys(DRAWN) as Name[];

/** Doubles between two numbers of one sign. */
const BITS = new BigInt64Array(1);
const VALUE = new Float64Array(BITS.buffer);
function unitsApart(a: number, b: number): number {
  if (a === b) return 0;
  VALUE[0] = a;
  const first = BITS[0];
  VALUE[0] = b;
  return Math.abs(Number(first - BITS[0]));
}

describe.each(NAMES)('%s', (name) => {
  it('has the same bits from both compilers', () => {
    const edges = [...EDGES, Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
    const cases = name === 'atan2' ? edges.flatMap((y) => edges.map((x) => [y, x])) : edges.map((x) => [x]);
    for (let i = 0; i < 100_000; i++) cases.push([...DRAWN[name]()]);
    const unlike = cases.filter((x) => !Object.is(call(ours, name, x), call(exports, name, x)));
    expect(unlike).toEqual([]);
  });

  it('is within two units in the last place of the engine’s', () => {
    let worst = 0;
    for (let i = 0; i < 100_000; i++) {
      const x = DRAWN[name]();
      worst = Math.max(worst, unitsApart(call(ours, name, x), call(Math, name, x)));
    }
    // Each is within 1 of the truth.
    expect(worst).toBeLessThanOrEqual(2);
  });
});

it('the series of a small angle’s tangent is good to two units in the last place, also at its end', () => {
  let worst = 0;
  for (let i = -100_000; i <= 100_000; i++) {
    const x = (SMALL_ANGLE * i) / 100_000;
    worst = Math.max(worst, unitsApart(tanSeries(x), tan(x)));
  }
  expect(worst).toBeLessThanOrEqual(2);
});

it.each<[Name, readonly number[], number]>([
  ['exp', [1], Math.E],
  ['exp', [0], 1],
  ['exp', [-Math.LN2], 0.5],
  ['log', [2], Math.LN2],
  ['log', [10], Math.LN10],
  ['log', [2 ** -1074], -1074 * Math.LN2],
  ['log1p', [1], Math.LN2],
  ['log1p', [1e-10], 1e-10 - 5e-21],
  ['expm1', [Math.LN2], 1],
  ['expm1', [1e-10], 1e-10 + 5e-21],
  ['sin', [Math.PI / 6], 0.5],
  ['sin', [-Math.PI / 2], -1],
  ['cos', [Math.PI / 3], 0.5],
  ['cos', [Math.PI], -1],
  ['tan', [Math.PI / 4], 1],
  ['tan', [Math.PI / 3], Math.sqrt(3)],
  ['atan', [1], Math.PI / 4],
  ['atan', [Math.sqrt(3)], Math.PI / 3],
  ['atan2', [1, -1], (3 * Math.PI) / 4],
  ['atan2', [-2, 0], -Math.PI / 2],
  ['acos', [0.5], Math.PI / 3],
  ['acos', [-1], Math.PI],
])('%s of %j', (name, x, value) => {
  // The argument's own rounding counts once, the function's once.
  near(call(ours, name, x), value, 2 * Number.EPSILON * Math.abs(value));
});

it.each<[Name, readonly number[], number]>([
  ['exp', [800], Number.POSITIVE_INFINITY],
  ['exp', [-800], 0],
  ['exp', [Number.NEGATIVE_INFINITY], 0],
  ['log', [0], Number.NEGATIVE_INFINITY],
  ['log', [-1], Number.NaN],
  ['log1p', [-1], Number.NEGATIVE_INFINITY],
  ['log1p', [-2], Number.NaN],
  ['expm1', [Number.NEGATIVE_INFINITY], -1],
  ['sin', [Number.POSITIVE_INFINITY], Number.NaN],
  ['atan', [Number.NEGATIVE_INFINITY], -Math.PI / 2],
  ['atan2', [0, 0], 0],
  ['acos', [1 + Number.EPSILON], 0],
  ['acos', [Number.NaN], Number.NaN],
])('%s of %j is %d', (name, x, value) => {
  expect(call(ours, name, x)).toBe(value);
});
