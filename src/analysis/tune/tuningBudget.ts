/** How the flights of a tuning are shared out between its stages. Flies nothing. */
import { leastSearchBudget } from './searchConstants.ts';
import { mapOffsets } from './tuningMap.ts';

export const DEFAULT_BUDGET = 60_000;

/** Shares of the budget; what is left of it the map gets. */
const SHARES = { search: 0.4, finalists: 0.1, fresh: 0.2 } as const;
const MAP_SHARE = 1 - SHARES.search - SHARES.finalists - SHARES.fresh;
/** Flights of a point of the map that say anything at all. */
const LEAST_POINT = 20;

export interface TuningBudget {
  /** Of the search, and of the finalists, all together. */
  readonly search: number;
  readonly finalists: number;
  /** Of each of the two sets of constants that fly fresh flights. */
  readonly freshEach: number;
  /** Of each point of the map. */
  readonly mapEach: number;
}

/** @param constants how many are tuned */
export function shareOut(budget: number, constants: number): TuningBudget {
  const freshEach = Math.floor((SHARES.fresh * budget) / 2);
  return {
    search: Math.floor(SHARES.search * budget),
    finalists: Math.floor(SHARES.finalists * budget),
    freshEach,
    mapEach: Math.min(freshEach, Math.floor((MAP_SHARE * budget) / mapPoints(constants))),
  };
}

/** The smallest budget that gives every stage something to go by, in whole thousands. */
export function leastBudget(constants: number): number {
  const least = Math.max(leastSearchBudget(constants) / SHARES.search, (LEAST_POINT * mapPoints(constants)) / MAP_SHARE);
  return 1000 * Math.ceil(least / 1000);
}

function mapPoints(constants: number): number {
  return mapOffsets(new Array<number>(constants).fill(1)).offsets.length;
}
