/** Why a flight has no result, as numbers; each is a place in the list of outputs.ts, which has the words. */

/** It has one. */
export const FINISHED = 0;
export const TIME_LIMIT = 1;
export const NEVER_LEFT = 2;
export const NOT_FINITE = 3;
export const ABSURD = 4;
