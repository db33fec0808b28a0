/**
 * The ranks of a column kept in four bytes a row, with classes of them that are looked up and not kept: what measures
 * need that walk the rows once more, or meet many columns at once.
 */
import { classSizes } from './partition.ts';
import { type Ranked, tieEnd } from './ranks.ts';

export interface KeptRanks {
  /** Twice the average ranks: whole numbers. */
  readonly doubled: Uint32Array;
  readonly classes: RankClasses;
}

/**
 * Classes in which is worked out how ranks themselves depend on each row: that is a smooth function of each rank, so the
 * error is of order 1/128^2 of a small part of a standard error.
 */
const RANK_CLASSES = 128;

/** @param doubled where the ranks are put, as long as the column */
export function keptRanks(x: Ranked, doubled = new Uint32Array(x.ranks.length)): KeptRanks {
  const { ranks } = x;
  for (let i = 0; i < ranks.length; i++) doubled[i] = 2 * ranks[i];
  return { doubled, classes: new RankClasses(classSizes(x.ascending, RANK_CLASSES)) };
}

/** How far each row's rank is from the middle, (n + 1)/2, and the ranks of that. */
export function ranksFromMiddle({ ascending, ranks }: Ranked): KeptRanks {
  const n = ranks.length;
  // By twice the distance: how many rows have it, then twice their shared rank.
  const shared = new Uint32Array(n);
  const twiceFrom = (rank: number): number => Math.abs(2 * rank - (n + 1));
  for (let start = 0; start < n; ) {
    const end = tieEnd(ascending, start);
    shared[twiceFrom((start + 1 + end) / 2)] += end - start;
    start = end;
  }
  const outwards = new Float64Array(n);
  let before = 0;
  for (let distance = 0; distance < n; distance++) {
    const count = shared[distance];
    outwards.fill(distance, before, before + count);
    shared[distance] = 2 * before + 1 + count;
    before += count;
  }
  const doubled = new Uint32Array(n);
  for (let i = 0; i < n; i++) doubled[i] = shared[twiceFrom(ranks[i])];
  return { doubled, classes: new RankClasses(classSizes(outwards, RANK_CLASSES)) };
}

/** Ranks a lookup serves: a power of two, by its exponent. */
const STRETCH = 6;

/** Which class a rank belongs to, without a byte for every row. */
export class RankClasses {
  readonly count: number;
  /** Twice the place after each class. */
  readonly #ends: Uint32Array;
  /** Class of the first of each stretch of doubled ranks. */
  readonly #first: Uint8Array;

  /** @param sizes rows of each class, ascending */
  constructor(sizes: Uint32Array) {
    this.count = sizes.length;
    let end = 0;
    this.#ends = Uint32Array.from(sizes, (size) => {
      end += size;
      return 2 * end;
    });
    this.#first = new Uint8Array(((2 * end) >> STRETCH) + 1);
    let c = 0;
    for (let s = 0; s < this.#first.length; s++) {
      while (c < this.count - 1 && s << STRETCH > this.#ends[c]) c++;
      this.#first[s] = c;
    }
  }

  /** Classes of the ranks of `count` rows from `start` on, into `out`. */
  fill(out: Uint8Array, doubled: Uint32Array, start: number, count: number): void {
    const [ends, first] = [this.#ends, this.#first];
    for (let i = 0; i < count; i++) {
      const rank = doubled[start + i];
      let c = first[rank >> STRETCH];
      while (rank > ends[c]) c++;
      out[i] = c;
    }
  }
}
