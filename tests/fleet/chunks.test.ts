import fc from 'fast-check';
import { expect, test } from 'vitest';
import { chunkSize, chunks } from '../../src/fleet/chunks.ts';

test('chunks follow each other up to the limit, none too large, none across a check', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 0, max: 2000 }),
      fc.integer({ min: 1, max: 100 }),
      fc.option(fc.integer({ min: 1, max: 300 })),
      fc.option(fc.integer({ min: 1, max: 16 })),
      (limit, size, every, sharing) => {
        let done = 0;
        for (const chunk of chunks(limit, size, every, 0, sharing)) {
          expect(chunk.done).toBe(done);
          expect(chunk.count).toBeGreaterThan(0);
          expect(chunk.count).toBeLessThanOrEqual(size);
          done += chunk.count;
          if (every !== null) expect(Math.floor((done - 1) / every)).toBe(Math.floor(chunk.done / every));
        }
        expect(done).toBe(limit);
      },
    ),
    { seed: 1 },
  );
});

test('the last flights are shared out between the threads', () => {
  const counts = [...chunks(400, 64, null, 0, 2)].map(({ count }) => count);
  expect(counts).toEqual([64, 64, 64, 52, 39, 30, 22, 17, 12, 9, 7, 5, 4, 4, 4, 3]);
});

test.each([
  [0, 2, 1],
  [1, 8, 1],
  [80, 2, 10],
  [81, 2, 11],
  [1e6, 2, 128],
])('%d flights on %d threads fly in chunks of %d', (limit, threads, size) => {
  expect(chunkSize(limit, threads)).toBe(size);
});
