/** The drag of a cylinder of finite length across the flow. */

/**
 * Its drag coefficient over an endless one's: 0.57 at a fineness of 2, 0.68 at 10, towards 1 for ever longer ones.
 * @param fineness length over diameter, > 0
 * Source: L. H. Jorgensen, NASA TR R-474 (1977), fig. 4, through a public fit to that figure; within 0.02 of the drag
 * of finite cylinders in S. F. Hoerner's book (1965).
 */
export function crossflowEfficiency(fineness: number): number {
  return 1 - 23.00906 / (fineness + 122.769) - (13.00645 / (fineness + 24.36756)) ** 2;
}
