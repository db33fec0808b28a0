/**
 * The bottom of a single dip of a function of one number. Knows no derivative; finding the dip's neighbourhood is the
 * caller's.
 */

export interface Bottom {
  readonly at: number;
  readonly value: number;
}

const RATIO = (Math.sqrt(5) - 1) / 2;

/**
 * Golden-section search: of a function that falls and then rises between two ends (it may jump), a place within
 * `tolerance` of its bottom.
 * @param low,high the ends, low < high   @param tolerance > 0, length of the last bracket
 * @returns the best place tried; of two equals the first
 * @throws RangeError for ends or tolerance out of order, or a value that is NaN
 * Source: J. Kiefer, Sequential minimax search for a maximum, Proceedings of the American Mathematical Society 4 (1953)
 * 502-506.
 */
export function goldenSection(f: (x: number) => number, low: number, high: number, tolerance: number): Bottom {
  if (!(low < high && tolerance > 0)) throw new RangeError(`no bracket: ${low} to ${high} within ${tolerance}`);
  const bottomAt = (x: number): Bottom => {
    const value = f(x);
    if (Number.isNaN(value)) throw new RangeError(`the function is not a number at ${x}`);
    return { at: x, value };
  };
  let [a, b] = [low, high];
  let left = bottomAt(b - RATIO * (b - a));
  let right = bottomAt(a + RATIO * (b - a));
  let best = left.value <= right.value ? left : right;
  while (b - a > tolerance) {
    let tried: Bottom;
    if (left.value <= right.value) {
      b = right.at;
      right = left;
      tried = bottomAt(b - RATIO * (b - a));
      left = tried;
    } else {
      a = left.at;
      left = right;
      tried = bottomAt(a + RATIO * (b - a));
      right = tried;
    }
    if (tried.value < best.value) best = tried;
    // Rounding can put the two places in one another's way once the bracket is a few units of the last digit.
    if (!(left.at < right.at)) break;
  }
  return best;
}
