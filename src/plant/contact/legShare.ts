/** A leg and the ground under its foot as two springs in series (model section 16). Computes that share and nothing else. */

/**
 * The leg's share of what a foot moves, 0..1; 1 on rigid ground.
 * @param own N/m of the leg   @param under N/m of the ground, Infinity where it is rigid
 */
export function legShare(own: number, under: number): number {
  return under === Number.POSITIVE_INFINITY ? 1 : under / (own + under);
}
