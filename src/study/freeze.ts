/** Plain data made unchangeable to the bottom. */

/** Freezes in place and gives the same back. @param value plain data without cycles */
export function freezeDeep<T>(value: T): T {
  if (typeof value === 'object' && value !== null && !Object.isFrozen(value)) {
    Object.freeze(value);
    for (const child of Object.values(value)) freezeDeep(child);
  }
  return value;
}
