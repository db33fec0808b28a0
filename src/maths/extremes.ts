/**
 * The least and the greatest of many numbers: the language's own take them as arguments, of which there may be too
 * many.
 */

/** @returns infinity for no value */
export function least(values: ArrayLike<number>): number {
  let found = Number.POSITIVE_INFINITY;
  for (let i = 0; i < values.length; i++) found = Math.min(found, values[i]);
  return found;
}

/** @returns minus infinity for no value */
export function greatest(values: ArrayLike<number>): number {
  let found = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < values.length; i++) found = Math.max(found, values[i]);
  return found;
}
