/** How well a study's number of flights will tell the landing odds, before anything has flown. Flies nothing. */
import { trialsForHalfWidth, widestHalfWidth } from '../../statistics/proportions/plannedWidth.ts';
import { LEVEL } from './summary.ts';

export interface Precision {
  readonly flights: number;
  readonly level: number;
  /** Of the success interval at even odds, where it is widest. */
  readonly halfWidth: number;
  /** Flights that narrower intervals take, whatever the odds. */
  readonly wishes: readonly { readonly halfWidth: number; readonly flights: number }[];
}

/** Half-widths that people ask for. */
const WISHES = [0.03, 0.01, 0.005];

export function precisionOf(flights: number): Precision {
  const halfWidth = widestHalfWidth(flights, LEVEL);
  return {
    flights,
    level: LEVEL,
    halfWidth,
    wishes: WISHES.filter((wish) => wish < halfWidth).map((wish) => ({ halfWidth: wish, flights: trialsForHalfWidth(wish, LEVEL) })),
  };
}
