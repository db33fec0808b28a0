/**
 * How differently an input lies in flights of different ends: landed against lost, each failure against all others, and
 * which way the input works. Inputs are met one after the other, and what all of them together show is told at the end.
 */
import { OUTCOMES } from '../../flight/outputs.ts';
import { holm } from '../../statistics/samples/holm.ts';
import {
  type Distance,
  distanceInterval,
  kolmogorovSmirnovByKind,
  kolmogorovSmirnovSplit,
} from '../../statistics/samples/kolmogorovSmirnov.ts';
import type { Ranked } from '../../statistics/samples/ranks.ts';
import type { Stated } from '../../statistics/sensitivity/influence.ts';
import { countOutcomes } from '../flights/flightColumns.ts';
import { LEVEL } from '../fly/summary.ts';
import { direction, type RankedSuccess, rankedSuccess } from './direction.ts';
import type { InputMeasures, Split } from './ranking.ts';

/** Fewest flights of either kind, and of a kind of failure, for measures of it. */
export const LEAST_EACH = 30;

export class Splits {
  readonly #success: RankedSuccess;
  readonly #landed: Uint8Array;
  readonly #outcome: Uint8Array;
  readonly #failures: readonly number[];
  readonly #inputs: number;
  readonly #splits: Omit<Split, 'adjustedP'>[] = [];
  readonly #directions: InputMeasures['direction'][] = [];
  readonly #drives: Distance[][] = [];

  /** @param success 0/1   @param outcome of the same flights, all with a result   @param inputs to be met */
  constructor(success: Ranked, outcome: Uint8Array, inputs: number) {
    const counts = countOutcomes(outcome);
    this.#success = rankedSuccess(success);
    this.#landed = Uint8Array.from(success.values);
    this.#outcome = outcome;
    this.#inputs = inputs;
    this.#failures = OUTCOMES.map((_, i) => i).filter((i) => {
      if (OUTCOMES[i] === 'landed' || OUTCOMES[i] === 'no result') return false;
      return counts[i] >= LEAST_EACH && outcome.length - counts[i] >= LEAST_EACH;
    });
  }

  /** p of the splits landed against lost, one an input met. */
  get pValues(): readonly number[] {
    return this.#splits.map(({ pValue }) => pValue);
  }

  /**
   * @param along its rank correlation with success; null where success is not ranked   @param circle its ranks mean
   * nothing
   */
  meet(x: Ranked, along: Stated | null, circle: boolean): void {
    const byKind = kolmogorovSmirnovByKind(x, this.#outcome, OUTCOMES.length);
    // none is null: every failure kept has rows enough
    this.#drives.push(this.#failures.map((o) => byKind[o]).filter((split) => split !== null));
    this.#directions.push(along === null || circle ? null : direction(x, this.#success, this.#inputs, along));
    if (along === null) return;
    const split = kolmogorovSmirnovSplit(x, this.#landed);
    this.#splits.push({ estimate: split.estimate, interval: distanceInterval(split, LEVEL), pValue: split.pValue, at: split.at });
  }

  /** One an input met, in their order. */
  told(): Pick<InputMeasures, 'split' | 'direction' | 'drives'>[] {
    const splitP = holm(this.pValues);
    const driveP = holm(this.#drives.flatMap((row) => row.map(({ pValue }) => pValue)));
    return this.#drives.map((row, i) => {
      const split = this.#splits[i];
      return {
        split: split === undefined ? null : { ...split, adjustedP: splitP[i] },
        direction: this.#directions[i],
        drives: this.#drive(row, driveP.slice(i * this.#failures.length)),
      };
    });
  }

  /** The failure whose flights are farthest from the others, of those that are beyond chance. */
  #drive(row: readonly Distance[], p: readonly number[]): InputMeasures['drives'] {
    const shown = row
      .map(({ distance }, k) => ({ outcome: OUTCOMES[this.#failures[k]], distance, p: p[k] }))
      .filter(({ p: adjusted }) => adjusted <= 1 - LEVEL)
      .sort((a, b) => b.distance - a.distance);
    return shown.length === 0 ? null : { outcome: shown[0].outcome, distance: shown[0].distance };
  }
}
