/** What `check` says of how many flights to fly. Text only. */
import type { Precision } from '../analysis/fly/precision.ts';
import { count } from '../report/words.ts';
import type { Study } from '../study/study.ts';

const percent = (share: number): string => `± ${(100 * share).toPrecision(2)} %`;

/**
 * Measured on the demo study by tests/bench/designs.mjs: 48 scrambles each of 256, 1,024 and 4,096 flights, 95 %
 * interval of the three together.
 */
const WORTH = 'On the demo study a flight of design sobol was worth 1.7 (1.3 to 2.1) independent ones for the odds';

export function precisionText({ flights, level, halfWidth, wishes }: Precision, design: Study['design']): string {
  const more = wishes.map((wish) => `${percent(wish.halfWidth)} takes ${count(wish.flights)}`).join(', ');
  const told = `${count(flights)} flights will tell the landing odds to ${percent(halfWidth)} or better (${100 * level} % interval)`;
  const even =
    design === 'independent'
      ? 'more flights buy the same, with an interval that is exact'
      : 'the interval said here takes them as independent, and is then usually too wide';
  return `${told}${more === '' ? '' : `; ${more}`}.\n${WORTH}: ${even}.`;
}
