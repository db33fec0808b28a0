/** Where belief and truth parted: the height error at ignition against the sink speed it led to. */

import { column, type FlightColumns } from '../../analysis/flights/flightColumns.ts';
import { type BeliefGroup, beliefByOutcome } from '../../analysis/fly/belief.ts';
import { LEVEL } from '../../analysis/fly/summary.ts';
import { quantile, sorted } from '../../statistics/samples/quantiles.ts';
import type { Study } from '../../study/study.ts';
import { heldLimits } from '../../study/touchdownLimits.ts';
import { type Drawing, WIDTH } from '../drawing.ts';
import { type Figure, key } from '../figure.ts';
import { beliefFinding, flightCount, levelOf } from '../findings.ts';
import type { FlightsInPage } from '../flightsInPage.ts';
import { count, plain, withInterval } from '../words.ts';
import { actingDots, dotsMark, dotsOf, ENDING_SCALES, endingsAmong } from './dots.ts';

const AXES = ['ignitionHeightError', 'sink'] as const;

export function beliefFigure(drawing: Drawing, study: Study, flights: FlightColumns, inPage: FlightsInPage): Figure | null {
  const errors = column(flights, 'ignitionHeightError');
  const sink = column(flights, 'sink');
  const both = (i: number): boolean => Number.isFinite(errors[i]) && Number.isFinite(sink[i]);
  const all = [...flights.outcome.keys()].filter(both);
  if (all.length === 0) return null;
  const groups = beliefByOutcome(flights);
  const title = beliefFinding(groups);
  const { Plot, draw } = drawing;
  const range = sorted(all.map((i) => errors[i]));
  const [low, high] = [quantile(range, 0.002), quantile(range, 0.998)];
  const pad = 0.06 * Math.max(high - low, 1);
  const limit = heldLimits(study).sink;
  const most = Math.max(Math.min(4 * limit, 1.05 * all.reduce((m, i) => Math.max(m, sink[i]), 0)), 1.2 * limit);
  const shown = (i: number): boolean => both(i) && errors[i] >= low - pad && errors[i] <= high + pad && sink[i] <= most;
  const dots = dotsOf(flights, inPage, AXES, shown);
  const drawn = draw(
    `Dots: height error at ignition against sink speed at touchdown. ${title}.`,
    {
      width: WIDTH,
      height: 380,
      x: { label: 'believed minus true height at ignition, m', domain: [low - pad, high + pad], ticks: 7, grid: true },
      y: { label: 'sink speed at touchdown, m/s', domain: [0, most], ticks: 6, grid: true },
      ...ENDING_SCALES,
      marks: [
        dotsMark(Plot, dots),
        Plot.ruleY([limit], { stroke: 'var(--ink)', strokeWidth: 1.5, strokeDasharray: '4 3' }),
        Plot.text([`${study.limits.sink === null ? 'the legs stand' : 'limit'} ${plain(limit)} m/s`], {
          y: limit,
          frameAnchor: 'right',
          dy: -8,
          dx: -2,
          fill: 'var(--ink)',
          stroke: 'var(--paper)',
          strokeWidth: 4,
        }),
      ],
    },
    true,
  );
  const out = all.length - all.filter(shown).length;
  const caption = [
    `${count(dots.length)} of ${flightCount(all.length)} that gave the ignition command and touched the ground${dots.length < all.length ? ', evenly spaced by number' : ''}; ${count(out)} beyond the picture.`,
    `Median error: ${groups.slice(0, 4).map(groupWords).join('; ')} m.`,
    `${levelOf(LEVEL)} distribution-free intervals; differences by both medians’ intervals at half the error each. A mean error is no harm, since the rule’s constants absorb it: the spread is.`,
  ].join(' ');
  return { id: 'belief', title, picture: drawn.svg + key(endingsAmong(dots)), caption, acting: actingDots('belief', drawn, AXES, dots) };
}

function groupWords(g: BeliefGroup): string {
  return `${g.outcome} ${withInterval(g.median, g.interval)}`;
}
