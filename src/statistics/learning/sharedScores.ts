/**
 * Draws scores that several factors share anew from their normal distribution given every sum they are in: own scores
 * give way, no sum changes, and so nothing is worked out again. Knows no likelihood.
 *
 * Source: Y. Yu and X.-L. Meng, J. Computational and Graphical Statistics 20 (2011) 531-570 (interweaving).
 */
import { normalQuantile } from '../../maths/normal.ts';
import type { Stream } from '../../maths/streams.ts';
import type { Feature } from './particleProblem.ts';

/** A score, and in each sum with it the own score that gives way, by how much for one unit. */
interface SharedScore {
  readonly place: number;
  readonly ties: readonly { readonly own: number; readonly ratio: number }[];
}

export class SharedScores {
  readonly #shared: readonly SharedScore[];

  /** @param features sums that must stay as they are; a score that is in one without an own score is left alone */
  constructor(features: readonly Feature[]) {
    const ties = new Map<number, { own: number; ratio: number }[]>();
    const stiff = new Set<number>();
    for (const feature of features) {
      const own = feature.find((part) => part.own);
      for (const { place, weight, own: isOwn } of feature) {
        if (isOwn) continue;
        if (own === undefined) stiff.add(place);
        else ties.set(place, [...(ties.get(place) ?? []), { own: own.place, ratio: weight / own.weight }]);
      }
    }
    this.#shared = [...ties].filter(([place]) => !stiff.has(place)).map(([place, all]) => ({ place, ties: all }));
  }

  /** In place. @param start of the particle's scores */
  redraw(scores: Float64Array, start: number, uniform: Stream): void {
    for (const { place, ties } of this.#shared) {
      const old = scores[start + place];
      let precision = 1;
      let mean = 0;
      for (const { own, ratio } of ties) {
        precision += ratio * ratio;
        mean += ratio * (scores[start + own] + ratio * old);
      }
      const drawn = mean / precision + normalQuantile(uniform()) / Math.sqrt(precision);
      scores[start + place] = drawn;
      for (const { own, ratio } of ties) scores[start + own] += ratio * (old - drawn);
    }
  }
}
