/** What tuning a rule found: the best constants against the present ones, and how flat the optimum is. */

import type { FreshAnswer, Tuning } from '../../analysis/tune/tuning.ts';
import type { MapPoint, TuningMap } from '../../analysis/tune/tuningMap.ts';
import { type Drawing, WIDTH } from '../drawing.ts';
import { type Figure, figureMarkup, still } from '../figure.ts';
import { flightCount, sentence } from '../findings.ts';
import { escaped, htmlTable, paragraphs } from '../markup.ts';
import { ruleBlock } from '../ruleBlock.ts';
import { changeCaution, pText } from '../verdict.ts';
import { count, decimalsFor, percent, percentInterval, rounded } from '../words.ts';

const VERDICTS = ['best', 'alike', 'worse', 'better'] as const;
const VERDICT_WORDS: Readonly<Record<MapPoint['verdict'], string>> = {
  best: 'the best',
  alike: 'not told from it',
  worse: 'worse',
  better: 'better',
};

/** @param number of this tuning on the page */
export function tuningSection(drawing: Drawing, t: Tuning, number: number): string {
  const figures = t.map === null ? [] : [mapFigure(drawing, t, t.map, `tuning-map-${number}`)].filter((f): f is Figure => f !== null);
  const digits = (value: number): string => String(Number(value.toPrecision(6)));
  const rows = Object.keys(t.best.constants).map((key) => {
    const unit = t.free.find((c) => c.key === key)?.unit ?? '';
    const flat = t.map?.alike[key];
    return [
      unit === '' ? key : `${key}, ${unit}`,
      digits(t.best.constants[key]),
      digits(t.present[key]),
      flat === undefined ? '' : `${digits(flat.low)} to ${digits(flat.high)}`,
    ];
  });
  const change = changeCaution(t);
  const notes = [
    ...(change === null ? [] : [`${sentence(change)}.`]),
    ...(t.finished ? [] : [`Unfinished: interrupted after ${count(t.flown)} of ${flightCount(t.budget)}; the best so far.`]),
    ...(t.unsettled ? ['The search had not settled: its last round found the best on the edge of its region.'] : []),
    ...t.onBounds.map(({ key, side }) => `${key} lies on its ${side === 'low' ? 'lower' : 'upper'} bound.`),
    ...(t.map?.reachesRim ? ['The flat region reaches the map’s rim: the ranges may be wider.'] : []),
    ...(t.free.length > 1 && t.map !== null ? ['The ranges hold where the constants move together as in the map, not one by one.'] : []),
  ];
  return `<section><h2 id="tuning-${number}">${escaped(`Constants of rule ${t.rule}`)}</h2>
${paragraphs([freshFinding(t)])}
${htmlTable(`Constants of ${t.rule}, found and present`, [{ head: '' }, { head: 'best found' }, { head: 'in the study' }, { head: 'not told from the best' }], rows)}
<div class="grid">${figures.map(figureMarkup).join('\n')}</div>
<div class="note">${paragraphs(notes)}</div>
<pre>${escaped(ruleBlock([t.best]))}</pre></section>`;
}

function freshFinding({ fresh }: Tuning): string {
  if (fresh === null) return 'No fresh flights were flown with the best constants: their success probability is not known.';
  const { best, present, pair } = fresh;
  const words = ({ odds }: FreshAnswer): string =>
    odds.share === null || odds.interval === null ? 'unknown' : `${percent(odds.share, odds.interval)} (${percentInterval(odds.interval)})`;
  const base = `On ${count(fresh.flights)} fresh flights the best constants land ${words(best)}, the study’s own ${words(present)}; ${count(best.odds.noResult)} and ${flightCount(present.odds.noResult)} have no result.`;
  if (pair.difference === null || pair.interval === null) return base;
  const d = decimalsFor(50 * (pair.interval[1] - pair.interval[0]));
  const p = (share: number): string => rounded(100 * share, d);
  return `${base} Paired difference ${p(pair.difference)} points (95 % interval by Newcombe ${p(pair.interval[0])} to ${p(pair.interval[1])}; McNemar’s exact p ${pText(pair.p)}).`;
}

/** The grid over two coordinates, or the line over one. */
function mapFigure(drawing: Drawing, t: Tuning, map: TuningMap, id: string): Figure | null {
  const { Plot, draw } = drawing;
  const plane = map.points.filter(({ offset, share }) => share !== null && offset.slice(2).every((part) => part === 0));
  const points = plane.flatMap((point) =>
    point.share === null || point.interval === null
      ? []
      : [
          {
            x: point.offset[0],
            y: point.offset[1] ?? 0,
            share: 100 * point.share,
            low: 100 * point.interval[0],
            high: 100 * point.interval[1],
            words: (100 * point.share).toFixed(0),
            verdict: VERDICT_WORDS[point.verdict],
            title: `${Object.entries(point.constants)
              .map(([key, value]) => `${key} ${Number(value.toPrecision(5))}`)
              .join(', ')}: ${percent(point.share, point.interval)} (${percentInterval(point.interval)}), ${VERDICT_WORDS[point.verdict]}`,
          },
        ],
  );
  if (points.length < 2) return null;
  const alike = plane.filter(({ verdict }) => verdict === 'alike' || verdict === 'best').length;
  const better = plane.filter(({ verdict }) => verdict === 'better').length;
  const title = `${alike} of ${plane.length} settings around the best are not told apart from it${better > 0 ? `; ${better} came out better` : ''}`;
  const good = t.aim.kind === 'landed' ? 'landed' : 'soft enough';
  const none = plane.reduce((sum, p) => sum + p.flights - p.counted, 0);
  const caption = `${flightCount(map.flightsEach)} at each setting, all on the same luck; ${count(none)} in all without a result left out. Numbers: per cent ${good}. Against the best by McNemar’s exact test for all settings together (Holm, 5 %). Each step moves the mean believed height of ignition, or how it grows with the fall, in metres.`;
  const colour = { domain: VERDICTS.map((v) => VERDICT_WORDS[v]), range: ['var(--ink)', 'var(--landed)', 'var(--other)', 'var(--low)'] };
  if (map.axes.length === 1) {
    const drawn = draw(`Success along the rule’s constant. ${points.map((p) => p.title).join('; ')}.`, {
      width: WIDTH,
      height: 280,
      x: { label: 'ignition height moved by, m', ticks: 6 },
      y: { label: `${good}, %`, grid: true, ticks: 5 },
      color: colour,
      marks: [
        Plot.ruleX(points, { x: 'x', y1: 'low', y2: 'high', stroke: 'verdict', title: 'title' }),
        Plot.dot(points, { x: 'x', y: 'share', fill: 'verdict', r: 4, title: 'title' }),
      ],
    });
    return still(id, title, { ...drawn, svg: drawn.svg + verdictKey() }, caption);
  }
  // The tint stays pale enough for the number in the cell; it spans what the map holds.
  const [least, most] = [Math.min(...points.map((p) => p.share)), Math.max(...points.map((p) => p.share))];
  const cells = points.map((p) => ({ ...p, tint: most > least ? (0.4 * (p.share - least)) / (most - least) : 0 }));
  const unique = (values: readonly number[]): number[] => [...new Set(values)].sort((a, b) => a - b);
  const drawn = draw(`Success over two coordinates of the rule’s constants. ${title}.`, {
    width: WIDTH,
    height: 380,
    x: {
      type: 'band',
      label: 'mean ignition height moved by, m',
      domain: unique(map.axes[0]),
      tickFormat: (v: number) => rounded(v, 1),
      padding: 0.08,
    },
    y: {
      type: 'band',
      label: 'its growth over the fall moved by, m',
      domain: unique(map.axes[1]).reverse(),
      tickFormat: (v: number) => rounded(v, 1),
      padding: 0.08,
    },
    color: colour,
    opacity: { type: 'identity' },
    marks: [
      Plot.cell(cells, { x: 'x', y: 'y', fill: 'var(--landed)', fillOpacity: 'tint', stroke: 'verdict', strokeWidth: 2, title: 'title' }),
      Plot.text(points, { x: 'x', y: 'y', text: 'words', fill: 'var(--ink)', title: 'title' }),
    ],
  });
  return still(id, title, { ...drawn, svg: drawn.svg + verdictKey() }, caption);
}

function verdictKey(): string {
  const colours = { best: 'ink', alike: 'landed', worse: 'other', better: 'low' };
  const items = VERDICTS.map(
    (v) =>
      `<li><svg class="mark" viewBox="0 0 14 14" width="14" height="14" aria-hidden="true"><rect x="1" y="1" width="12" height="12" fill="var(--panel)" stroke="var(--${colours[v]})" stroke-width="2"/></svg>${VERDICT_WORDS[v]}</li>`,
  );
  return `<ul class="key">${items.join('')}</ul>`;
}
