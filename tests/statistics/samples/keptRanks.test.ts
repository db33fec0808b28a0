import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type KeptRanks, keptRanks, ranksFromMiddle } from '../../../src/statistics/samples/keptRanks.ts';
import { partition } from '../../../src/statistics/samples/partition.ts';
import { type Ranked, ranked } from '../../../src/statistics/samples/ranks.ts';

/** Columns with many equal values, few, and none. */
const column = fc
  .array(fc.oneof(fc.integer({ min: 0, max: 5 }), fc.double({ noNaN: true })), { minLength: 1, maxLength: 400 })
  .map((list) => Float64Array.from(list, (value) => Math.atan(value)));

/** Ranks and classes are those of the column itself. */
function isThatOf(kept: KeptRanks, x: Ranked): void {
  const { doubled, classes } = kept;
  expect([...doubled]).toEqual(Array.from(x.ranks, (rank) => 2 * rank));
  const { classOf, count } = partition(x, 128);
  const found = new Uint8Array(doubled.length);
  classes.fill(found, doubled, 0, doubled.length);
  expect(classes.count).toBe(count);
  expect(found).toEqual(classOf);
}

describe('kept ranks', () => {
  it('are those of the column, with the classes of its partition', () => {
    fc.assert(
      fc.property(column, (values) => isThatOf(keptRanks(ranked(values)), ranked(values))),
      { seed: 6, numRuns: 200 },
    );
  });

  it('of distances from the middle rank are had without sorting them', () => {
    fc.assert(
      fc.property(column, (values) => {
        const x = ranked(values);
        isThatOf(ranksFromMiddle(x), ranked(x.ranks.map((rank) => Math.abs(rank - (values.length + 1) / 2))));
      }),
      { seed: 7, numRuns: 300 },
    );
  });
});
