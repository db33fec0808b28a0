/**
 * What a builder does to the program after a miss: a policy says by how much of what was seen the lighting height is
 * moved against it. Pure numbers; which constant moves the height is the business of whoever flies.
 *
 * Sources: F. E. Grubbs, An optimum procedure for setting machines or adjusting processes, Industrial Quality Control,
 * July 1954 (harmonic, and its extension for known variances; not opened); W. E. Deming, Out of the Crisis, ch. 11 (the
 * funnel: what full corrections of mere chance cost).
 */

/** Plain data; sent to workers. */
export type Policy =
  | { readonly kind: 'keep' }
  /** The same part of every miss, 0 to 2. */
  | { readonly kind: 'correct'; readonly gain: number }
  /** The n-th miss by 1/n of it: what is left is the mean of the chances seen, whatever stays. */
  | { readonly kind: 'harmonic' }
  /** By 1/(n + ratio): variance of what is fresh over variance of what stays; Infinity where nothing stays. */
  | { readonly kind: 'weighted'; readonly ratio: number };

export const KEEP: Policy = { kind: 'keep' };

/** Part of the n-th miss seen, n from 1, by which the lighting height is moved against it. */
export function gainOf(policy: Policy, n: number): number {
  switch (policy.kind) {
    case 'keep':
      return 0;
    case 'correct':
      return policy.gain;
    case 'harmonic':
      return 1 / n;
    case 'weighted':
      return 1 / (n + policy.ratio);
  }
}

/** How it is written after --policies, and in results. */
export function policyName(policy: Policy): string {
  if (policy.kind === 'correct') return `correct:${policy.gain}`;
  if (policy.kind === 'weighted') return `weighted:${policy.ratio}`;
  return policy.kind;
}
