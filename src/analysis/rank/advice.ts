/**
 * What a list tells a builder to do: what comes first, what cannot be told from it, what does not matter. Measures
 * nothing itself.
 */
import type { Interval } from '../../statistics/samples/interval.ts';
import type { Place } from '../../statistics/sensitivity/sharedPlaces.ts';

/** Names out of one list. All of it holds at once at the list's level, up to what its intervals and places hold. */
export interface Advice {
  /** The one with the largest estimate, where its interval lies above 0; null where nothing is shown to do anything. */
  readonly first: string | null;
  /** Others that may be the first as well. */
  readonly alike: readonly string[];
  /** Those whose whole interval is within `little` of 0. */
  readonly idle: readonly string[];
  /** In the list's own unit: a share of flights, or of a variance. */
  readonly little: number;
}

export interface Listed {
  readonly name: string;
  readonly estimate: number;
  readonly interval: Interval;
  /** null where places were not had. */
  readonly place: Place | null;
}

/** One in a hundred: a point of success, a hundredth of a variance. Under it nobody sees a difference on the field. */
export const LITTLE = 0.01;

export function adviceOf(list: readonly Listed[], little = LITTLE): Advice {
  const shown = list.filter(({ interval: [low] }) => low > 0);
  const first = shown.length === 0 ? null : shown.reduce((a, b) => (b.estimate > a.estimate ? b : a));
  const names = (holds: (one: Listed) => boolean): string[] => list.filter(holds).map(({ name }) => name);
  return {
    first: first?.name ?? null,
    alike: first === null ? [] : names((one) => one !== first && one.place?.best === 1),
    idle: names((one) => one !== first && one.interval[0] >= -little && one.interval[1] <= little),
    little,
  };
}
