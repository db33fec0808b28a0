/** Chance that two of a sample's values enclose a quantile: what distribution-free intervals are judged by. */
import { atMost } from '../../src/statistics/proportions/binomialTail.ts';

/** @param l, u from 1   Source: H. A. David and H. N. Nagaraja, Order Statistics, 3rd ed., Wiley 2003, section 7.1. */
export function orderStatisticCoverage(n: number, p: number, l: number, u: number): number {
  return atMost(u - 1, n, p) - atMost(l - 1, n, p);
}
