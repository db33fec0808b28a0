/** One mark a flight, in the shape and colour of how it ended. */
import type { FlightColumns } from '../../analysis/flights/flightColumns.ts';
import { OUTCOMES } from '../../flight/outputs.ts';
import type { Plot } from '../drawing.ts';
import { ENDINGS, type Ending, endingOf, SHAPES } from '../palette.ts';

/** Dots in a picture at most: beyond, they hide each other and slow the page. */
export const MOST_DOTS = 1500;

export interface Dot {
  readonly x: number;
  readonly y: number;
  readonly ending: Ending;
}

/** Plot's symbols from our shapes. */
const SYMBOLS = ENDINGS.map((ending) => {
  const shape = SHAPES[ending];
  if (shape === null) return 'circle' as const;
  return {
    draw: (context: { moveTo(x: number, y: number): void; lineTo(x: number, y: number): void; closePath(): void }, size: number): void => {
      const r = Math.sqrt(size / Math.PI);
      shape.forEach(([x, y], i) => {
        if (i === 0) context.moveTo(r * x, r * y);
        else context.lineTo(r * x, r * y);
      });
      context.closePath();
    },
  };
});

/** Scales that every picture of dots shares. */
export const ENDING_SCALES = {
  color: { domain: ENDINGS, range: ENDINGS.map((e) => `var(--${e})`) },
  symbol: { domain: ENDINGS, range: SYMBOLS },
} as const;

/** The mark: first in its picture, so that its group is found. */
export function dotsMark(plot: Plot, dots: readonly Dot[]): ReturnType<Plot['dot']> {
  return plot.dot(dots, {
    x: 'x',
    y: 'y',
    r: dots.length > 500 ? 2.3 : 3.4,
    fill: 'ending',
    symbol: 'ending',
    fillOpacity: 0.6,
    sort: null,
  });
}

export function endingOfRow(flights: FlightColumns, row: number): Ending {
  return endingOf(OUTCOMES[flights.outcome[row]]);
}
