/** What legs and ground go through: a histogram of the greatest force on a foot, the greatest lean and the slid path. */
import type { ContactAnswer, ContactMeasure } from '../../analysis/fly/contact.ts';
import { type Drawing, WIDTH } from '../drawing.ts';
import type { Figure } from '../figure.ts';
import { CONTACT_UNITS, contactFinding, flightCount, levelOf } from '../findings.ts';
import { count, percent, percentInterval, plain, shown, withInterval } from '../words.ts';

const LABELS: Readonly<Record<ContactMeasure, string>> = {
  peakFootForce: 'greatest force on a foot',
  greatestLean: 'greatest lean after touchdown',
  slidPath: 'longest way a foot slid',
};

/** Room for the mark's name beside it, as a share of the picture. */
const RIGHT_OF_MARK = 0.8;

export function contactFigure(drawing: Drawing, c: ContactAnswer, measure: ContactMeasure): Figure | null {
  if (c.touched === 0) return null;
  const { Plot, draw } = drawing;
  const m = c.measures[measure];
  const to = shown(CONTACT_UNITS[measure]);
  const edges = m.histogram.edges.map((edge) => edge * to.factor);
  const mark = m.mark === null ? Number.POSITIVE_INFINITY : m.mark * to.factor;
  const bars = m.histogram.counts.map((n, i) => ({
    low: edges[i],
    high: edges[i + 1],
    count: n,
    colour: edges[i + 1] <= mark * (1 + 1e-9) ? 'var(--measure)' : 'var(--beyond)',
    title: `${plain(edges[i])} to ${plain(edges[i + 1])} ${to.unit}: ${flightCount(n)}`,
  }));
  const last = edges[edges.length - 1];
  const value = (share: number): string => {
    const q = m.quantiles.find((one) => one.share === share);
    if (q === undefined) return 'none';
    return withInterval(q.value * to.factor, q.interval === null ? null : [q.interval[0] * to.factor, q.interval[1] * to.factor]);
  };
  const title = contactFinding(c, measure);
  const marked = m.mark === null ? '' : ` with the nominal strength at ${plain(mark)} ${to.unit}`;
  const drawn = draw(`Histogram of ${LABELS[measure]}${marked}. ${title}. Median ${value(0.5)} ${to.unit}.`, {
    width: WIDTH,
    height: 250,
    marginLeft: 62,
    x: { label: `${LABELS[measure]}, ${to.unit}`, domain: [0, last], ticks: 8 },
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
      ...(m.mark === null
        ? []
        : [
            Plot.ruleX([mark], { stroke: 'var(--ink)', strokeWidth: 1.5, strokeDasharray: '4 3' }),
            Plot.text([`strength ${plain(mark)} ${to.unit}`], {
              x: mark,
              frameAnchor: 'top',
              textAnchor: mark > RIGHT_OF_MARK * last ? 'end' : 'start',
              dx: mark > RIGHT_OF_MARK * last ? -5 : 5,
              dy: 2,
              fill: 'var(--ink)',
            }),
          ]),
    ],
  });
  const above = m.histogram.above > 0 ? ` ${count(m.histogram.above)} beyond ${plain(last)} ${to.unit} are not drawn.` : '';
  const unpressed = c.unpressed > 0 ? ` ${count(c.unpressed)} others never pressed a foot on the ground.` : '';
  const within =
    m.shareWithin === null || m.shareWithinInterval === null
      ? ''
      : ` Under the nominal strength ${percent(m.shareWithin, m.shareWithinInterval)} (${percentInterval(m.shareWithinInterval)}: Clopper and Pearson’s); each flight has a strength of its own where that varies.`;
  const end = measure === 'greatestLean' ? ' A lean past 60 degrees on its feet, or a hull on the ground, ends a flight.' : '';
  return {
    id: `contact-${measure}`,
    title,
    picture: drawn.svg,
    caption: `${flightCount(c.touched)} in which a foot touched the ground.${unpressed}${above} Median ${value(0.5)}, 95 % quantile ${value(0.95)} ${to.unit}: ${levelOf(c.level)} distribution-free intervals.${within}${end}`,
    acting: null,
  };
}
