/** Places along a line moved as little as keeps them apart, as labels need it. Knows no picture. */

/**
 * The places nearest to those wanted, in the sum of squares, that keep their order and `gap` between neighbours, within
 * low to high. Where they cannot all fit, they stand evenly over the whole.
 * @param wanted ascending
 */
export function spreadApart(wanted: readonly number[], gap: number, low: number, high: number): readonly number[] {
  const n = wanted.length;
  if (n > 1 && (n - 1) * gap > high - low) return wanted.map((_, i) => low + ((high - low) * i) / (n - 1));
  // With the gaps taken out, order is all that is left to keep: neighbours out of order share their mean (pool adjacent
  // violators).
  const blocks: { sum: number; count: number }[] = [];
  wanted.forEach((place, i) => {
    let block = { sum: place - i * gap, count: 1 };
    for (let last = blocks.at(-1); last !== undefined && last.sum / last.count > block.sum / block.count; last = blocks.at(-1)) {
      block = { sum: block.sum + last.sum, count: block.count + last.count };
      blocks.pop();
    }
    blocks.push(block);
  });
  const [least, most] = [low, high - (n - 1) * gap];
  const bare = blocks.flatMap(({ sum, count }) => new Array<number>(count).fill(Math.min(most, Math.max(least, sum / count))));
  return bare.map((place, i) => place + i * gap);
}
