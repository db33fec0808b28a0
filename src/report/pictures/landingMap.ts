/**
 * Where flights come down: the places about the pad, the ellipses that should hold them, the field's limit, the wind.
 */
import type { Markish } from '@observablehq/plot';
import { column, type FlightColumns, hasResult } from '../../analysis/flights/flightColumns.ts';
import type { Scatter } from '../../analysis/fly/scatter.ts';
import { type Answers, LEVEL } from '../../analysis/fly/summary.ts';
import type { MeanWind } from '../../analysis/fly/wind.ts';
import type { Ellipse } from '../../statistics/samples/ellipse.ts';
import { type Drawing, type Plot, WIDTH } from '../drawing.ts';
import { type Figure, key } from '../figure.ts';
import { flightCount, levelOf, mapFinding } from '../findings.ts';
import type { FlightsInPage } from '../flightsInPage.ts';
import { count, percent, plain } from '../words.ts';
import { actingDots, dotsMark, dotsOf, ENDING_SCALES, endingsAmong } from './dots.ts';

/** The share of landing places that the title speaks of. */
const REACH = 0.95;

/**
 * Where along each ellipse its share is written, in turns: apart, so that near ellipses do not write over one another.
 */
const LABEL_PLACES = [0.125, 0.32, 0.06];

const AXES = ['landingEast', 'landingNorth'] as const;

interface Point {
  readonly x: number;
  readonly y: number;
}

/** Words over dots: readable on them. */
const OVER_DOTS = { fill: 'var(--ink)', stroke: 'var(--paper)', strokeWidth: 4 } as const;

/** @param radius of the field, m; null: none */
export function landingMapFigure(
  drawing: Drawing,
  radius: number | null,
  flights: FlightColumns,
  { scatter, wind }: Pick<Answers, 'scatter' | 'wind'>,
  inPage: FlightsInPage,
): Figure | null {
  if (scatter.farthest === null) return null;
  const { Plot, draw } = drawing;
  const reach = scatter.distances.find(({ share }) => share === REACH);
  const title = mapFinding(REACH, reach?.value ?? null, reach?.interval ?? null);
  const ellipses = (scatter.cloud?.ellipses ?? []).map((e) => ({ ...e, points: outline(e) }));
  const { half, circle } = frame(scatter, ellipses, radius);
  const [east, north] = AXES.map((axis) => column(flights, axis));
  const placed = (row: number): boolean => hasResult(flights, row) && Number.isFinite(east[row]);
  const inside = (row: number): boolean => placed(row) && Math.abs(east[row]) <= half && Math.abs(north[row]) <= half;
  const dots = dotsOf(flights, inPage, AXES, inside);
  const outside = [...flights.outcome.keys()].filter((row) => placed(row) && !inside(row)).length;
  const drawn = draw(
    `Map of landing places about the pad. ${title}.`,
    {
      width: WIDTH,
      height: WIDTH - 66 + 62,
      marginLeft: 52,
      marginRight: 14,
      x: { label: 'east of the pad, m', domain: [-half, half], ticks: 6, grid: true },
      y: { label: 'north of the pad, m', domain: [-half, half], ticks: 6, grid: true },
      ...ENDING_SCALES,
      marks: [
        dotsMark(Plot, dots),
        ...ellipses.flatMap((e, i) => ellipseMarks(Plot, e, i)),
        ...(circle === null ? [] : limitMarks(Plot, circle)),
        Plot.dot([0], { x: 0, y: 0, symbol: 'plus', r: 7, stroke: 'var(--ink)', strokeWidth: 2 }),
        ...windMarks(Plot, wind, half),
      ],
    },
    true,
  );
  const caption = [
    placesWords(scatter, dots.length, outside),
    ellipses.length === 0
      ? 'Too few places for ellipses.'
      : `Ellipses would hold ${ellipses.map((e) => percent(e.share, [0, 1])).join(', ')} of normally distributed places; they hold ${ellipses.map((e) => count(e.inside)).join(', ')} of these ${count(scatter.placed)}.`,
    `Distance quantile: ${levelOf(LEVEL)} distribution-free interval.`,
    limitWords(radius, circle),
    windWords(wind),
  ];
  return {
    id: 'map',
    title,
    picture: drawn.svg + key(endingsAmong(dots)),
    caption: caption.filter((part) => part !== '').join(' '),
    acting: actingDots('map', drawn, AXES, dots),
  };
}

/** Half the picture's side, m, and the field's limit where it does not shrink the places to a blot. */
function frame(
  { distances }: Scatter,
  ellipses: readonly { readonly points: readonly Point[] }[],
  radius: number | null,
): { readonly half: number; readonly circle: number | null } {
  const far = Math.max(0, ...distances.map(({ value }) => value));
  const wanted = Math.max(
    1,
    1.15 * far,
    ...ellipses.flatMap(({ points }) => points.map(({ x, y }) => 1.02 * Math.max(Math.abs(x), Math.abs(y)))),
  );
  const circle = radius !== null && radius < 3 * wanted ? radius : null;
  return { half: Math.max(wanted, circle === null ? 0 : 1.05 * circle), circle };
}

function ellipseMarks(plot: Plot, e: { readonly share: number; readonly points: readonly Point[] }, i: number): Markish[] {
  const place = e.points[Math.round(e.points.length * (LABEL_PLACES[i] ?? 0))];
  return [
    plot.line(e.points, { x: 'x', y: 'y', stroke: 'var(--ink)', strokeWidth: 1.3 }),
    plot.text([place], { x: 'x', y: 'y', text: () => percent(e.share, [0, 1]), dx: 4, dy: -6, textAnchor: 'start', ...OVER_DOTS }),
  ];
}

function limitMarks(plot: Plot, radius: number): Markish[] {
  const circle = outline({ centreX: 0, centreY: 0, semiMajor: radius, semiMinor: radius, angle: 0 });
  return [
    plot.line(circle, { x: 'x', y: 'y', stroke: 'var(--ink)', strokeDasharray: '5 4' }),
    plot.text([`limit ${plain(radius)} m`], { x: 0, y: radius, dy: 12, fill: 'var(--ink)' }),
  ];
}

/** An arrow in the upper left corner, with the speed under it. */
function windMarks(plot: Plot, { speed, toward }: MeanWind, half: number): Markish[] {
  if (speed === null || toward === null) return [];
  const [x, y, length] = [-0.8 * half, 0.82 * half, 0.16 * half];
  return [
    plot.arrow([0], {
      x1: x - 0.5 * length * toward.east,
      y1: y - 0.5 * length * toward.north,
      x2: x + 0.5 * length * toward.east,
      y2: y + 0.5 * length * toward.north,
      stroke: 'var(--ink)',
      strokeWidth: 2,
      headLength: 10,
    }),
    plot.text([`wind ${plain(speed)} m/s`], { x: -0.97 * half, y, dy: 34, textAnchor: 'start', ...OVER_DOTS }),
  ];
}

function placesWords({ placed, unplaced, noResult, farthest }: Scatter, drawn: number, outside: number): string {
  const counts = `${count(placed)} places of the last contact; ${flightCount(unplaced)} never touched the ground, ${count(noResult)} have no result.`;
  const shown = drawn < placed - outside ? `${count(drawn)} drawn, evenly spaced by number.` : `${count(drawn)} drawn.`;
  const beyond = outside > 0 ? ` ${count(outside)} lie beyond the picture.` : '';
  const far = farthest === null ? '' : ` The farthest, flight ${farthest.number}, at ${plain(farthest.distance)} m.`;
  return `${counts} ${shown}${beyond}${far}`;
}

function limitWords(radius: number | null, circle: number | null): string {
  if (radius === null) return 'The study sets no limit to the field.';
  return circle === null ? `The field’s limit, ${plain(radius)} m, lies outside the picture.` : '';
}

function windWords({ speed, toward }: MeanWind): string {
  if (speed === null) return '';
  return toward === null
    ? `No prevailing wind: directions vary too much for an arrow; mean speed ${plain(speed)} m/s.`
    : `Mean wind ${plain(speed)} m/s, blowing as the arrow points.`;
}

function outline(e: Pick<Ellipse, 'centreX' | 'centreY' | 'semiMajor' | 'semiMinor' | 'angle'>): Point[] {
  const [c, s] = [Math.cos(e.angle), Math.sin(e.angle)];
  return Array.from({ length: 97 }, (_, i) => {
    const t = (2 * Math.PI * i) / 96;
    const [a, b] = [e.semiMajor * Math.cos(t), e.semiMinor * Math.sin(t)];
    return { x: e.centreX + a * c - b * s, y: e.centreY + a * s + b * c };
  });
}
