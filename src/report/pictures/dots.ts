/**
 * One mark a flight, in the shape and colour of how it ended: which flights are drawn, their mark, their part in
 * choosing.
 */
import { column, type FlightColumns, type FlightKey } from '../../analysis/flights/flightColumns.ts';
import { OUTCOMES } from '../../flight/outputs.ts';
import type { Drawn, Plot } from '../drawing.ts';
import type { Acting } from '../figure.ts';
import { evenly, type FlightsInPage } from '../flightsInPage.ts';
import { ENDINGS, type Ending, endingOf, SHAPES } from '../palette.ts';

/** Dots in a picture at most: beyond, they hide each other and slow the page. */
const MOST_DOTS = 1500;

export interface Dot {
  readonly x: number;
  readonly y: number;
  readonly ending: Ending;
  /** Its place among the flights in the page. */
  readonly place: number;
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

/**
 * Flights of the page as dots by two of their columns: those shown, evenly spaced by number where there are many.
 * @param shown of a row of the flights
 */
export function dotsOf(
  flights: FlightColumns,
  inPage: FlightsInPage,
  [x, y]: readonly [FlightKey, FlightKey],
  shown: (row: number) => boolean,
): readonly Dot[] {
  const [across, up] = [column(flights, x), column(flights, y)];
  const all = [...inPage.rows].map((row, place) => ({ row, place })).filter(({ row }) => shown(row));
  return [...evenly(all.length, MOST_DOTS)].map((k): Dot => {
    const { row, place } = all[k];
    return { x: across[row], y: up[row], ending: endingOf(OUTCOMES[flights.outcome[row]]), place };
  });
}

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

/** The endings among the dots, in their order. */
export function endingsAmong(dots: readonly Dot[]): readonly Ending[] {
  return ENDINGS.filter((ending) => dots.some((dot) => dot.ending === ending));
}

/** How a picture of dots takes part in choosing; null where its scales are not linear. */
export function actingDots(figure: string, drawn: Drawn, [x, y]: readonly [string, string], dots: readonly Dot[]): Acting | null {
  if (drawn.x === null || drawn.y === null) return null;
  return {
    figure,
    x: { key: x, factor: 1, scale: drawn.x },
    y: { key: y, factor: 1, scale: drawn.y },
    dots: dots.map(({ place }) => place),
    bins: null,
  };
}
