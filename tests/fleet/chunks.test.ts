import fc from 'fast-check';
import { expect, test } from 'vitest';
import { chunkSize, chunks } from '../../src/fleet/chunks.ts';

test('chunks follow each other up to the limit, none too large, none across a check', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 0, max: 2000 }),
      fc.integer({ min: 1, max: 100 }),
      fc.option(fc.integer({ min: 1, max: 300 })),
      (limit, size, every) => {
        let done = 0;
        for (const chunk of chunks(limit, size, every)) {
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

test.each([
  [0, 2, 1],
  [1, 8, 1],
  [80, 2, 10],
  [81, 2, 11],
  [1e6, 2, 64],
])('%d flights on %d threads fly in chunks of %d', (limit, threads, size) => {
  expect(chunkSize(limit, threads)).toBe(size);
});
