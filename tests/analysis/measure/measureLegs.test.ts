/** Drops made up from known legs: their damping comes back. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { measureLegs } from '../../../src/analysis/measure/measureLegs.ts';
import { ratioOf, reboundHeight } from '../../../src/analysis/measure/rebound.ts';
import { UserError } from '../../../src/errors.ts';
import { makeNormalNoise } from '../../helpers/normals.ts';
import { plainText, read } from '../../study/plainStudy.ts';

let root = '';
beforeAll(() => {
  root = mkdtempSync(join(tmpdir(), 'drops-'));
});
afterAll(() => rmSync(root, { recursive: true }));

const OPTIONS = { columns: null, mass: 1, legs: 4, stiffness: 600 } as const;
const W0 = Math.sqrt(2400);
/** Damping of one leg at the ratio 1. */
const CRITICAL = 2 * Math.sqrt(600 / 4);

function file(rows: readonly (readonly [number, number])[]): string {
  const path = join(root, 'drops.csv');
  writeFileSync(path, `drop [m],rebound [mm]\n${rows.map(([drop, rebound]) => `${drop},${1000 * rebound}`).join('\n')}\n`);
  return path;
}

const problems = async (rows: readonly (readonly [number, number])[]): Promise<readonly string[]> => {
  const path = file(rows);
  try {
    await measureLegs(path, OPTIONS);
  } catch (error) {
    if (error instanceof UserError) return error.problems.map((line) => line.replaceAll(path, 'drops.csv'));
    throw error;
  }
  return [];
};

describe('a rebound', () => {
  it('falls as damping grows, and gives the damping back', () => {
    for (const drop of [0.1, 0.3, 0.8]) {
      let last = drop;
      for (const ratio of [0.05, 0.2, 0.4, 0.6]) {
        const rebound = reboundHeight(ratio, W0, drop);
        expect(rebound).toBeLessThan(last);
        last = rebound;
        if (rebound > 0) expect(Math.abs((ratioOf(drop, rebound, W0) ?? 0) - ratio)).toBeLessThan(1e-9);
      }
    }
  });

  it('of an undamped spring is the drop itself', () => {
    expect(reboundHeight(0, W0, 0.4)).toBeCloseTo(0.4, 10);
    expect(ratioOf(0.4, 0.41, W0)).toBeNull();
  });
});

describe('several drops', () => {
  it('give the damping of one leg within its interval as often as it says', async () => {
    const ratio = 0.3;
    const normal = makeNormalNoise('drops');
    const runs = 100;
    let held = 0;
    for (let k = 0; k < runs; k++) {
      const rows = [0.3, 0.4, 0.5, 0.6, 0.5].map((drop) => [drop, reboundHeight(ratio, W0, drop) + 0.002 * normal()] as const);
      const { damping } = await measureLegs(file(rows), OPTIONS);
      const [low, high] = damping.interval ?? [0, 0];
      if (low <= ratio * CRITICAL && ratio * CRITICAL <= high) held++;
    }
    // 95 of 100, standard error 2.2; errors from lower drops are larger, which costs a little
    expect(held).toBeGreaterThan(85);
  });

  it('one says no interval, none that nothing was seen, some that they are left out', async () => {
    const rebound = reboundHeight(0.3, W0, 0.5);
    const one = await measureLegs(file([[0.5, rebound]]), OPTIONS);
    expect(one.damping.interval).toBeNull();
    expect(one.distribution).toBeNull();
    expect(one.finding).toBe(
      'Each leg’s damping is 7.35 N s/m, 0.3 of critical; the legs throw the vehicle back, and more damping would keep it down; one rebound cannot say how sure that is, so drop it again.',
    );
    const some = await measureLegs(
      file([
        [0.5, rebound],
        [0.05, 0],
      ]),
      OPTIONS,
    );
    expect(some.how.join(' ')).toContain('1 of 2 drops had no rebound');
    expect(await problems([[0.5, 0]])).toEqual([
      'drops.csv:2:1: read no rebound; expected one at least. Drop it from higher; none above 2 mm from 0.5 m takes a damping of at least 16.2 N*s/m a leg.',
    ]);
  });

  it('the block is read by a study whose legs spring', async () => {
    const rows = [0.4, 0.5, 0.6].map((drop, i) => [drop, reboundHeight(0.3, W0, drop) + 0.001 * (i - 1)] as const);
    const { block, damping } = await measureLegs(file(rows), OPTIONS);
    const [, legs, , factor] = block;
    const line = plainText()
      .split('\n')[16]
      .replace(/ }$/, `, ${legs.trim().replace(/^legs: \{ /, '')}`);
    const { study } = await read(plainText({ 17: line, 37: factor }));
    expect((study.vehicle.legs.damping ?? 0) / damping.value).toBeCloseTo(1, 3);
    expect(study.inputs['legs.dampingFactor']).toMatchObject({ kind: 'student', mean: 1, freedom: 2 });
  });

  it('what cannot be is said with its line', async () => {
    expect(
      await problems([
        [0.001, 0],
        [0.2, 0.4],
      ]),
    ).toEqual([
      'drops.csv:2:1: read a drop of 0.001 m; expected at least 0.0123 m, three times the sag under its own weight. Drop it from higher.',
      'drops.csv:3:1: read a rebound of 0.4 m from 0.2 m; expected 0 m to less than the drop. Columns may be swapped: name them in --columns.',
    ]);
  });
});
