/** How hard the touchdowns are: a histogram of sink, slide and tilt, each with its limit. */
import type { Touchdown, TouchdownMeasure } from '../../analysis/fly/touchdown.ts';
import { type Drawing, WIDTH } from '../drawing.ts';
import type { Figure } from '../figure.ts';
import { flightCount, levelOf, MEASURE_UNITS, touchdownFinding } from '../findings.ts';
import type { FlightsInPage } from '../flightsInPage.ts';
import { count, percent, plain, shown, withInterval } from '../words.ts';

const LABELS: Readonly<Record<TouchdownMeasure, string>> = { sink: 'sink speed', slide: 'slide speed', tilt: 'tilt' };

export function touchdownFigure(drawing: Drawing, t: Touchdown, measure: TouchdownMeasure, inPage: FlightsInPage): Figure | null {
  if (t.touched === 0) return null;
  const { Plot, draw } = drawing;
  const m = t.measures[measure];
  const to = shown(MEASURE_UNITS[measure]);
  const edges = m.histogram.edges.map((edge) => edge * to.factor);
  const limit = m.limit === null ? Number.POSITIVE_INFINITY : m.limit * to.factor;
  const limitName = m.ofLegs ? 'the legs stand' : 'limit';
  const bars = m.histogram.counts.map((n, i) => ({
    low: edges[i],
    high: edges[i + 1],
    count: n,
    colour: edges[i + 1] <= limit * (1 + 1e-9) ? 'var(--measure)' : 'var(--beyond)',
    title: `${plain(edges[i])} to ${plain(edges[i + 1])} ${to.unit}: ${flightCount(n)}`,
  }));
  const last = edges[edges.length - 1];
  const middle = m.quantiles.find((q) => q.share === 0.5);
  const tail = m.quantiles.find((q) => q.share === 0.95);
  const value = (q: typeof middle): string =>
    q === undefined
      ? 'none'
      : withInterval(q.value * to.factor, q.interval === null ? null : [q.interval[0] * to.factor, q.interval[1] * to.factor]);
  const title = touchdownFinding(t, measure);
  const drawn = draw(
    `Histogram of ${LABELS[measure]} at touchdown${m.limit === null ? '' : ` with the limit at ${plain(limit)} ${to.unit}`}. ${title}. Median ${value(middle)} ${to.unit}.`,
    {
      width: WIDTH,
      height: 250,
      marginLeft: 62,
      x: { label: `${LABELS[measure]} at touchdown, ${to.unit}`, domain: [0, last], ticks: 8 },
      y: {
        label: 'flights',
        grid: true,
        ticks: Math.min(4, Math.max(1, ...m.histogram.counts)),
        domain: [0, Math.max(1, ...m.histogram.counts)],
        nice: true,
        labelOffset: 54,
      },
      marks: [
        Plot.rectY(bars, { x1: 'low', x2: 'high', y: 'count', fill: 'colour', insetRight: 1, title: 'title' }),
        Plot.ruleY([0], { stroke: 'var(--faint)' }),
        ...(m.limit === null
          ? []
          : [
              Plot.ruleX([limit], { stroke: 'var(--ink)', strokeWidth: 1.5, strokeDasharray: '4 3' }),
              Plot.text([`${limitName} ${plain(limit)} ${to.unit}`], {
                x: limit,
                frameAnchor: 'top',
                textAnchor: 'start',
                dx: 5,
                dy: 2,
                fill: 'var(--ink)',
              }),
            ]),
      ],
    },
  );
  const beyond = m.histogram.above > 0 ? ` ${count(m.histogram.above)} beyond ${plain(last)} ${to.unit} are not drawn.` : '';
  const untouched = t.untouched > 0 ? ` ${count(t.untouched)} never touched the ground.` : '';
  const caption = `The worst contact of each of ${flightCount(t.touched)} that touched the ground; ${count(t.noResult)} without a result left out.${untouched}${beyond} Median ${value(middle)}, 95 % quantile ${value(tail)} ${to.unit}: ${levelOf(t.level)} distribution-free intervals${m.shareWithin === null ? '' : `; dark bars lie within the limit, pale ones beyond; share within ${percent(m.shareWithin, m.shareWithinInterval)}: Clopper and Pearson’s`}.`;
  const acting =
    drawn.x === null || drawn.y === null
      ? null
      : {
          figure: `touchdown-${measure}`,
          x: { key: measure, factor: to.factor, scale: drawn.x },
          y: null,
          dots: null,
          bins: { edges, y: drawn.y, weight: inPage.flown / inPage.rows.length },
        };
  return { id: `touchdown-${measure}`, title, picture: drawn.svg, caption, acting };
}
