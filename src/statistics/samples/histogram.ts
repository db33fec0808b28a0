/**
 * Counts of a sample in bins. Draws nothing, and chooses no range: whoever shows a quantity knows what range says
 * something.
 */
/**
 * Bin i holds edges[i] < x <= edges[i + 1] (the first bin its lower edge too), so that a value exactly at a limit
 * counts as within it.
 */
export interface Histogram {
  /** Strictly increasing, one more than there are bins. */
  readonly edges: readonly number[];
  readonly counts: readonly number[];
  /** Values under the first edge. */
  readonly below: number;
  /** Values over the last edge. */
  readonly above: number;
}

/**
 * @param values any numbers; infinite ones land in `below` and `above`
 * @param edges at least two, strictly increasing, finite
 * @throws RangeError for NaN among the values or unfit edges
 */
export function histogram(values: ArrayLike<number>, edges: readonly number[]): Histogram {
  const first = edges[0];
  const last = edges.at(-1);
  const rising = edges.every((edge, i) => Number.isFinite(edge) && (i === 0 || edge > (edges[i - 1] ?? Number.NaN)));
  if (first === undefined || last === undefined || edges.length < 2 || !rising) {
    throw new RangeError('bins need at least two finite, strictly increasing edges');
  }
  const counts = new Array<number>(edges.length - 1).fill(0);
  let below = 0;
  let above = 0;
  // Edges stand about evenly nearly always: a place guessed by that is at most a step or two from the right one.
  const perUnit = counts.length / (last - first);
  for (let i = 0; i < values.length; i++) {
    const value = values[i] ?? Number.NaN;
    if (Number.isNaN(value)) throw new RangeError(`value ${i} of ${values.length} is NaN and belongs in no bin`);
    if (value < first) below++;
    else if (value > last) above++;
    else {
      let bin = Math.min(counts.length - 1, Math.floor((value - first) * perUnit));
      while (bin > 0 && value <= edges[bin]) bin--;
      while (value > edges[bin + 1]) bin++;
      counts[bin] += 1;
    }
  }
  return { edges: [...edges], counts, below, above };
}

/**
 * Equal bins from 0, with one edge exactly on the limit.
 * @param limit > 0, finite
 * @param within bins up to the limit, whole, >= 1
 * @param beyond bins past the limit, whole, >= 0
 * @throws RangeError otherwise
 */
export function edgesOnLimit(limit: number, within: number, beyond: number): number[] {
  if (!(limit > 0 && Number.isFinite(limit))) throw new RangeError(`a marked limit is positive and finite, not ${limit}`);
  if (!Number.isSafeInteger(within) || within < 1 || !Number.isSafeInteger(beyond) || beyond < 0) {
    throw new RangeError(`bins are counted in whole numbers, not ${within} and ${beyond}`);
  }
  // i/within is exactly 1 at the limit, so that edge is the limit itself and not its neighbour.
  return Array.from({ length: within + beyond + 1 }, (_, i) => limit * (i / within));
}
