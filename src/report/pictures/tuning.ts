/** What tuning a rule found: the best constants against the present ones, and how flat the optimum is. */

import type { FreshAnswer, Tuning } from '../../analysis/tune/tuning.ts';
import type { MapPoint, TuningMap } from '../../analysis/tune/tuningMap.ts';
import { ruleKind } from '../../avionics/rules/kinds.ts';
import { type Drawing, type Drawn, WIDTH } from '../drawing.ts';
import { type Figure, figureMarkup, still } from '../figure.ts';
import { flightCount } from '../findings.ts';
import { escaped, htmlTable, paragraphs } from '../markup.ts';
import { tuningOpening } from '../openings.ts';
import { ruleBlock } from '../ruleBlock.ts';
import { pText } from '../verdict.ts';
import { count, decimalsFor, percent, percentInterval, rounded, unitWords } from '../words.ts';

const VERDICTS: Readonly<Record<MapPoint['verdict'], { readonly words: string; readonly colour: string }>> = {
  best: { words: 'the best', colour: 'var(--ink)' },
  alike: { words: 'not told from it', colour: 'var(--measure)' },
  worse: { words: 'worse', colour: 'var(--line)' },
  better: { words: 'better', colour: 'var(--ruleB)' },
};

/** @param number of this tuning on the page */
export function tuningSection(drawing: Drawing, t: Tuning, number: number): string {
  const figures = t.map === null ? [] : [mapFigure(drawing, t, t.map, `tuning-map-${number}`)].filter((f): f is Figure => f !== null);
  const digits = (value: number): string => String(Number(value.toPrecision(6)));
  const rows = Object.keys(t.best.constants).map((key) => {
    const constant = ruleKind(t.kind).constants.find((c) => c.key === key);
    const unit = constant?.unit ?? '';
    const flat = t.map?.alike[key];
    return [
      `${constant === undefined ? '' : `${constant.meaning}: `}${key}${unit === '' ? '' : `, ${unitWords(unit)}`}`,
      digits(t.best.constants[key]),
      digits(t.present[key]),
      flat === undefined ? '' : `${digits(flat.low)} to ${digits(flat.high)}`,
    ];
  });
  const notes = [
    ...(t.finished ? [] : [`Unfinished: interrupted after ${count(t.flown)} of ${flightCount(t.budget)}; the best so far.`]),
    ...(t.unsettled ? ['The search had not settled: its last round found the best on the edge of its region.'] : []),
    ...t.onBounds.map(({ key, side }) => `${key} lies on its ${side === 'low' ? 'lower' : 'upper'} bound.`),
    ...(t.map?.reachesRim ? ['The flat region reaches the map’s rim: the ranges may be wider.'] : []),
    ...(t.free.length > 1 && t.map !== null ? ['The ranges hold where the constants move together as in the map, not one by one.'] : []),
  ];
  return `<section><h2 id="tuning-${number}">${escaped(`Constants of rule ${t.rule}`)}</h2>
${paragraphs([tuningOpening(t), freshFinding(t)])}
${htmlTable(null, [{ head: '' }, { head: 'best found' }, { head: 'in the study' }, { head: 'not told from the best' }], rows, `Constants of rule ${t.rule}`)}
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
  return `${base} Paired difference ${p(pair.difference)} points (95 % interval ${p(pair.interval[0])} to ${p(pair.interval[1])}; McNemar’s exact p ${pText(pair.p)}).`;
}

/** A setting of the map, ready to draw. */
interface Setting {
  readonly x: number;
  readonly y: number;
  readonly share: number;
  readonly low: number;
  readonly high: number;
  readonly words: string;
  readonly verdict: MapPoint['verdict'];
  readonly title: string;
}

/** The grid over two coordinates, or the line over one. */
function mapFigure(drawing: Drawing, t: Tuning, map: TuningMap, id: string): Figure | null {
  const plane = map.points.filter(({ share, offset }) => share !== null && offset.slice(2).every((part) => part === 0));
  const [only] = t.free;
  const alone = map.axes.length === 1 && only !== undefined;
  // One constant has its own axis; of more, the first coordinate is the mean height, the best's being known.
  const settings = plane.flatMap((point): Setting[] => {
    if (point.share === null || point.interval === null) return [];
    const constants = Object.entries(point.constants).map(([name, value]) => `${name} ${Number(value.toPrecision(5))}`);
    return [
      {
        x: alone ? point.constants[only.key] : t.lightingHeight + point.offset[0],
        y: point.offset[1] ?? 0,
        share: 100 * point.share,
        low: 100 * point.interval[0],
        high: 100 * point.interval[1],
        words: (100 * point.share).toFixed(0),
        verdict: point.verdict,
        title: `${constants.join(', ')}: ${percent(point.share, point.interval)} (${percentInterval(point.interval)}), ${VERDICTS[point.verdict].words}`,
      },
    ];
  });
  if (settings.length < 2) return null;
  const alike = plane.filter(({ verdict }) => verdict === 'alike' || verdict === 'best').length;
  const better = plane.filter(({ verdict }) => verdict === 'better').length;
  const title = `${alike} of ${plane.length} settings around the best are not told apart from it${better > 0 ? `; ${better} came out better` : ''}`;
  const none = plane.reduce((sum, p) => sum + p.flights - p.counted, 0);
  const good = t.aim.kind === 'landed' ? 'landed' : 'soft enough';
  const axes = alone
    ? 'Along: the value to program.'
    : 'Across: the believed height of ignition, mean over falls from all apogees. Up: how much more than the best’s it grows with the fall. A cell’s constants show under the pointer.';
  const caption = `${flightCount(map.flightsEach)} at each setting, all on the same luck; ${count(none)} in all without a result left out. Numbers: per cent ${good}. Against the best by McNemar’s exact test for all settings together (Holm, 5 %). ${axes}`;
  const drawn = alone ? lineMap(drawing, t, settings, good) : gridMap(drawing, title, settings);
  return still(id, title, { ...drawn, svg: drawn.svg + verdictKey(settings) }, caption);
}

function lineMap({ Plot, draw }: Drawing, t: Tuning, settings: readonly Setting[], good: string): Drawn {
  const [{ key, unit }] = t.free;
  const constant = ruleKind(t.kind).constants.find((c) => c.key === key);
  return draw(`Success along the rule’s constant. ${settings.map((p) => p.title).join('; ')}.`, {
    width: WIDTH,
    height: 280,
    x: { label: `${constant?.meaning ?? key}${unit === '' ? '' : `, ${unitWords(unit)}`}`, ticks: 6 },
    y: { label: `${good}, %`, grid: true, ticks: 5 },
    marks: [
      Plot.ruleX(settings, { x: 'x', y1: 'low', y2: 'high', stroke: colourOf, title: 'title' }),
      Plot.dot(settings, { x: 'x', y: 'share', fill: colourOf, r: 4, title: 'title' }),
    ],
  });
}

function gridMap({ Plot, draw }: Drawing, title: string, settings: readonly Setting[]): Drawn {
  // The tint stays pale enough for the number in the cell; it spans what the map holds.
  const [least, most] = [Math.min(...settings.map((p) => p.share)), Math.max(...settings.map((p) => p.share))];
  const cells = settings.map((p) => ({ ...p, tint: most > least ? (0.4 * (p.share - least)) / (most - least) : 0 }));
  const unique = (values: readonly number[]): number[] => [...new Set(values)].sort((a, b) => a - b);
  return draw(`Success over two coordinates of the rule’s constants. ${title}.`, {
    width: WIDTH,
    height: 380,
    x: {
      type: 'band',
      label: 'mean believed height of ignition, m',
      domain: unique(settings.map((p) => p.x)),
      tickFormat: (v: number) => rounded(v, 1),
      padding: 0.08,
    },
    y: {
      type: 'band',
      label: 'its growth over the fall moved by, m',
      domain: unique(settings.map((p) => p.y)).reverse(),
      tickFormat: (v: number) => rounded(v, 1),
      padding: 0.08,
    },
    opacity: { type: 'identity' },
    marks: [
      Plot.cell(cells, { x: 'x', y: 'y', fill: 'var(--measure)', fillOpacity: 'tint', stroke: colourOf, strokeWidth: 2, title: 'title' }),
      Plot.text(cells, { x: 'x', y: 'y', text: 'words', fill: 'var(--ink)', title: 'title' }),
    ],
  });
}

function colourOf({ verdict }: Setting): string {
  return VERDICTS[verdict].colour;
}

/** The verdicts that the map holds. */
function verdictKey(settings: readonly Setting[]): string {
  const items = Object.entries(VERDICTS).flatMap(([verdict, { words, colour }]) =>
    settings.every((p) => p.verdict !== verdict)
      ? []
      : [
          `<li><svg class="mark" viewBox="0 0 14 14" width="14" height="14" aria-hidden="true"><rect x="1" y="1" width="12" height="12" fill="var(--panel)" stroke="${colour}" stroke-width="2"/></svg>${words}</li>`,
        ],
  );
  return `<ul class="key">${items.join('')}</ul>`;
}
