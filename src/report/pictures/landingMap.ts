/** Where flights come down: the places about the pad, the ellipses that should hold them, the field's limit, the wind. */
import { column, type FlightColumns, hasResult } from '../../analysis/flights/flightColumns.ts';
import type { Scatter } from '../../analysis/fly/scatter.ts';
import { LEVEL } from '../../analysis/fly/summary.ts';
import { type InputKey, inputIndex } from '../../inputs/catalogue.ts';
import type { Ellipse } from '../../statistics/samples/ellipse.ts';
import { quantile, quantileInterval, sorted } from '../../statistics/samples/quantiles.ts';
import { nominalInputs } from '../../study/nominal.ts';
import type { Study } from '../../study/study.ts';
import { type Drawing, WIDTH } from '../drawing.ts';
import { type Figure, key } from '../figure.ts';
import { flightCount, levelOf, mapFinding } from '../findings.ts';
import { evenly, type FlightsInPage } from '../flightsInPage.ts';
import { ENDINGS } from '../palette.ts';
import { count, percent, plain } from '../words.ts';
import { type Dot, dotsMark, ENDING_SCALES, endingOfRow, MOST_DOTS } from './dots.ts';

/** The share of landing places that the title speaks of. */
const REACH = 0.95;

/** Where along each ellipse its share is written, in turns: apart, so that near ellipses do not write over one another. */
const LABEL_PLACES = [0.125, 0.32, 0.06];

export function landingMapFigure(drawing: Drawing, study: Study, flights: FlightColumns, s: Scatter, inPage: FlightsInPage): Figure | null {
  if (s.farthest === null) return null;
  const { Plot, draw } = drawing;
  const east = column(flights, 'landingEast');
  const north = column(flights, 'landingNorth');
  const distance = column(flights, 'landingDistance');
  const placed: number[] = [];
  east.forEach((x, i) => {
    if (hasResult(flights, i) && Number.isFinite(x)) placed.push(i);
  });
  const reach = sorted(placed.map((i) => distance[i]));
  const title = mapFinding(REACH, quantile(reach, REACH), quantileInterval(reach, REACH, LEVEL));

  const ellipses = (s.cloud?.ellipses ?? []).map((e) => ({ ...e, points: outline(e) }));
  const { radius } = study.limits;
  const wanted = Math.max(
    1,
    1.15 * quantile(reach, 0.99),
    ...ellipses.flatMap(({ points }) => points.map(({ x, y }) => 1.02 * Math.max(Math.abs(x), Math.abs(y)))),
  );
  // The field's limit is shown when it does not shrink the places to a blot.
  const circle = radius !== null && radius < 3 * wanted ? radius : null;
  const half = Math.max(wanted, circle === null ? 0 : 1.05 * circle);
  const inside = (i: number): boolean => Math.abs(east[i]) <= half && Math.abs(north[i]) <= half;
  const inPagePlaced = [...inPage.rows]
    .map((row, place) => ({ row, place }))
    .filter(({ row }) => hasResult(flights, row) && Number.isFinite(east[row]) && inside(row));
  const shownDots = [...evenly(inPagePlaced.length, MOST_DOTS)].map((k) => inPagePlaced[k]);
  const dots = shownDots.map(({ row }): Dot => ({ x: east[row], y: north[row], ending: endingOfRow(flights, row) }));
  const outside = placed.filter((i) => !inside(i)).length;
  const wind = meanWind(study, flights);

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
        ...ellipses.map((e) => Plot.line(e.points, { x: 'x', y: 'y', stroke: 'var(--ink)', strokeWidth: 1.3 })),
        ...ellipses.map((e, i) =>
          Plot.text([e.points[Math.round(e.points.length * (LABEL_PLACES[i] ?? 0))]], {
            x: 'x',
            y: 'y',
            text: () => percent(e.share, [0, 1]),
            dx: 4,
            dy: -6,
            textAnchor: 'start',
            fill: 'var(--ink)',
            stroke: 'var(--paper)',
            strokeWidth: 4,
          }),
        ),
        ...(circle === null
          ? []
          : [
              Plot.line(outline({ centreX: 0, centreY: 0, semiMajor: circle, semiMinor: circle, angle: 0 }), {
                x: 'x',
                y: 'y',
                stroke: 'var(--mark)',
                strokeDasharray: '5 4',
              }),
              Plot.text([`limit ${plain(circle)} m`], { x: 0, y: circle, dy: 12, fill: 'var(--ink)' }),
            ]),
        Plot.dot([0], { x: 0, y: 0, symbol: 'plus', r: 7, stroke: 'var(--ink)', strokeWidth: 2 }),
        ...(wind.steady
          ? [
              Plot.arrow([0], {
                x1: -0.9 * half,
                y1: 0.88 * half,
                x2: -0.9 * half + 0.16 * half * wind.east,
                y2: 0.88 * half + 0.16 * half * wind.north,
                stroke: 'var(--ink)',
                strokeWidth: 2,
                headLength: 10,
              }),
              Plot.text([`wind ${plain(wind.speed)} m/s`], {
                x: -0.9 * half,
                y: 0.88 * half,
                dy: 18,
                textAnchor: 'start',
                fill: 'var(--ink)',
                stroke: 'var(--paper)',
                strokeWidth: 4,
              }),
            ]
          : []),
      ],
    },
    true,
  );
  const parts = [
    `${count(placed.length)} places of the last contact; ${flightCount(s.unplaced)} never touched the ground, ${count(s.noResult)} have no result.`,
    dots.length < placed.length - outside ? `${count(dots.length)} of them drawn, evenly spaced by number.` : 'All of them drawn.',
    outside > 0
      ? `${count(outside)} lie beyond the picture; the farthest, flight ${s.farthest.number}, at ${plain(s.farthest.distance)} m.`
      : `The farthest, flight ${s.farthest.number}, at ${plain(s.farthest.distance)} m.`,
    ellipses.length === 0
      ? 'Too few places for ellipses.'
      : `Ellipses would hold ${ellipses.map((e) => percent(e.share, [0, 1])).join(', ')} of normally distributed places; they hold ${ellipses.map((e) => count(e.inside)).join(', ')} of these ${count(s.placed)}.`,
    `Distance quantile: ${levelOf(LEVEL)} distribution-free interval.`,
    radius === null
      ? 'The study sets no limit to the field.'
      : circle === null
        ? `The field’s limit, ${plain(radius)} m, lies outside the picture.`
        : '',
    wind.steady
      ? `Mean wind ${plain(wind.speed)} m/s, blowing as the arrow points.`
      : `No prevailing wind: directions vary too much for an arrow; mean speed ${plain(wind.speed)} m/s.`,
  ];
  const acting =
    drawn.x === null || drawn.y === null
      ? null
      : {
          figure: 'map',
          x: { key: 'landingEast', factor: 1, scale: drawn.x },
          y: { key: 'landingNorth', factor: 1, scale: drawn.y },
          dots: shownDots.map(({ place }) => place),
          bins: null,
        };
  const endings = ENDINGS.filter((ending) => dots.some((dot) => dot.ending === ending));
  return { id: 'map', title, picture: drawn.svg + key(endings), caption: parts.filter((p) => p !== '').join(' '), acting };
}

function outline(e: Pick<Ellipse, 'centreX' | 'centreY' | 'semiMajor' | 'semiMinor' | 'angle'>): { x: number; y: number }[] {
  const [c, s] = [Math.cos(e.angle), Math.sin(e.angle)];
  return Array.from({ length: 97 }, (_, i) => {
    const t = (2 * Math.PI * i) / 96;
    const [a, b] = [e.semiMajor * Math.cos(t), e.semiMinor * Math.sin(t)];
    return { x: e.centreX + a * c - b * s, y: e.centreY + a * s + b * c };
  });
}

/** The wind's mean over the flights: speed, and direction it blows toward (a unit vector) when directions agree enough to speak of one. */
function meanWind(study: Study, flights: FlightColumns): { speed: number; east: number; north: number; steady: boolean } {
  const nominal = nominalInputs(study);
  const values = (name: InputKey): Float64Array =>
    flights.columns[name] ?? new Float64Array(flights.outcome.length).fill(nominal[inputIndex(name)]);
  const speed = values('wind.speed');
  const from = values('wind.direction');
  const n = speed.length;
  const sum = (f: (i: number) => number): number => speed.reduce((total, _, i) => total + f(i), 0) / n;
  const mean = sum((i) => speed[i]);
  const east = sum((i) => -speed[i] * Math.sin(from[i]));
  const north = sum((i) => -speed[i] * Math.cos(from[i]));
  const resultant = Math.hypot(east, north);
  return { speed: mean, east: east / resultant, north: north / resultant, steady: mean > 0 && resultant > 0.5 * mean };
}
