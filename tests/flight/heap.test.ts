/**
 * What flying costs in memory in tsc's build, once warm. Nothing may stay: a study is tens of millions of ticks. On the
 * way numbers that pass from function to function may be boxed, 16 bytes each, and are swept up young: some 600 bytes a
 * tick without noise (40 numbers), 900 with (another dozen normals, each a few). An object or a closure made each tick
 * would not change the first figure but would the second. The compiled kernel makes nothing at all
 * (kernel/rules.test.ts).
 */
import { execFileSync } from 'node:child_process';
import { describe, expect, it } from 'vitest';

describe('a warm flight', () => {
  const script = new URL('./heap.mjs', import.meta.url).pathname;
  const printed = execFileSync(process.execPath, ['--expose-gc', script], { encoding: 'utf8' });
  const { flown, left, withoutNoise, withNoise } = JSON.parse(printed) as Record<string, number>;

  it('leaves less than a byte a tick behind', () => {
    expect(flown).toBeGreaterThan(200_000);
    expect(left).toBeLessThan(1);
  });

  it.each([
    ['without noise', withoutNoise, 900],
    ['with noise', withNoise, 1800],
  ] as const)('%s takes less than so many bytes a tick on the way', (_, bytes, most) => {
    expect(bytes).toBeLessThan(most);
    expect(bytes).toBeGreaterThan(0);
  });
});
