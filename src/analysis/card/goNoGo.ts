/** Is enough success shown? The verdict on a share with its interval, against the share wanted. */
import type { Interval } from '../../statistics/samples/interval.ts';

export type GoNoGo = 'go' | 'no-go' | 'unclear';

/**
 * Go only where the whole interval reaches the share wanted, no-go where all of it stays under.
 * @param least in (0, 1)
 */
export function goNoGo(interval: Interval | null, least: number): GoNoGo {
  if (interval === null) return 'unclear';
  if (interval[0] >= least) return 'go';
  return interval[1] < least ? 'no-go' : 'unclear';
}
