/**
 * A histogram with a mark that parts its bars: drawn once for all that flights go through. Knows no flight and words no
 * finding.
 */
import type { Histogram } from '../../statistics/samples/histogram.ts';
import type { Interval } from '../../statistics/samples/interval.ts';
import { type Drawing, type Drawn, WIDTH } from '../drawing.ts';
import { flightCount } from '../findings.ts';
import { count, plain, shown, withInterval } from '../words.ts';

export interface Marked {
  readonly histogram: Histogram;
  readonly quantiles: readonly { readonly share: number; readonly value: number; readonly interval: Interval | null }[];
  /** SI; null: none. */
  readonly mark: number | null;
  /** What stands beside the mark, before its value. */
  readonly markName: string;
  /** Of the measure, in SI. */
  readonly unit: string;
  /** Of the axis, without the unit. */
  readonly label: string;
}

export interface MarkedHistogram {
  /** Of the bins, in the unit shown. */
  readonly edges: readonly number[];
  readonly unit: string;
  readonly factor: number;
  /** " 12 beyond 3 m/s are not drawn."; empty where all are. */
  readonly beyond: string;
  /** A quantile in words, without its unit. */
  readonly value: (share: number) => string;
  /** @param alt what the picture shows, given the mark's value with its unit; null where there is none */
  readonly draw: (alt: (mark: string | null) => string) => Drawn;
}

/** Room for the mark's name beside it, as a share of the picture. */
const RIGHT_OF_MARK = 0.8;

export function markedHistogram({ Plot, draw }: Drawing, marked: Marked): MarkedHistogram {
  const { histogram, quantiles, markName, label } = marked;
  const { unit, factor } = shown(marked.unit);
  const edges = histogram.edges.map((edge) => edge * factor);
  const mark = marked.mark === null ? Number.POSITIVE_INFINITY : marked.mark * factor;
  const bars = histogram.counts.map((n, i) => ({
    low: edges[i],
    high: edges[i + 1],
    count: n,
    colour: edges[i + 1] <= mark * (1 + 1e-9) ? 'var(--measure)' : 'var(--beyond)',
    title: `${plain(edges[i])} to ${plain(edges[i + 1])} ${unit}: ${flightCount(n)}`,
  }));
  const last = edges[edges.length - 1];
  const most = Math.max(1, ...histogram.counts);
  const left = mark > RIGHT_OF_MARK * last;
  const marks =
    marked.mark === null
      ? []
      : [
          Plot.ruleX([mark], { stroke: 'var(--ink)', strokeWidth: 1.5, strokeDasharray: '4 3' }),
          Plot.text([`${markName} ${plain(mark)} ${unit}`], {
            x: mark,
            frameAnchor: 'top',
            textAnchor: left ? 'end' : 'start',
            dx: left ? -5 : 5,
            dy: 2,
            fill: 'var(--ink)',
          }),
        ];
  return {
    edges,
    unit,
    factor,
    beyond: histogram.above > 0 ? ` ${count(histogram.above)} beyond ${plain(last)} ${unit} are not drawn.` : '',
    value: (share) => {
      const q = quantiles.find((one) => one.share === share);
      if (q === undefined) return 'none';
      return withInterval(q.value * factor, q.interval === null ? null : [q.interval[0] * factor, q.interval[1] * factor]);
    },
    draw: (alt) =>
      draw(alt(marked.mark === null ? null : `${plain(mark)} ${unit}`), {
        width: WIDTH,
        height: 250,
        marginLeft: 62,
        x: { label: `${label}, ${unit}`, domain: [0, last], ticks: 8 },
        y: { label: 'flights', grid: true, ticks: Math.min(4, most), domain: [0, most], nice: true, labelOffset: 54 },
        marks: [
          Plot.rectY(bars, { x1: 'low', x2: 'high', y: 'count', fill: 'colour', insetRight: 1, title: 'title' }),
          Plot.ruleY([0], { stroke: 'var(--faint)' }),
          ...marks,
        ],
      }),
  };
}
