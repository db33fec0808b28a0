/** The success curve: share landed over bands of one quantity, with its intervals. */
import type { Band } from '../../analysis/fly/bands.ts';
import { LEVEL } from '../../analysis/fly/summary.ts';
import { type Drawing, WIDTH } from '../drawing.ts';
import { type Figure, still } from '../figure.ts';
import { bandRange, bandsFinding, flightCount, levelOf } from '../findings.ts';
import { count, percent, percentInterval, shown } from '../words.ts';

export interface Quantity {
  readonly id: string;
  /** As a person names it: "wind speed". */
  readonly name: string;
  readonly unit: string;
}

/** @param note why this quantity is shown */
export function bandsFigure(drawing: Drawing, quantity: Quantity, all: readonly Band[], note: string): Figure | null {
  const to = shown(quantity.unit);
  const points = all.flatMap((band) => {
    if (band.share === null || band.interval === null) return [];
    return [
      {
        low: band.low * to.factor,
        high: band.high * to.factor,
        middle: 0.5 * (band.low + band.high) * to.factor,
        share: 100 * band.share,
        least: 100 * band.interval[0],
        most: 100 * band.interval[1],
        title: `${bandRange(band, quantity.unit)}: ${percent(band.share, band.interval)} (${percentInterval(band.interval)}), ${flightCount(band.counted)}`,
      },
    ];
  });
  if (points.length < 2) return null;
  const { Plot, draw } = drawing;
  const title = bandsFinding(quantity.name, all, quantity.unit);
  const unit = to.unit === '' ? '' : `, ${to.unit}`;
  const top = Math.min(100, Math.ceil(Math.max(...points.map((p) => p.most)) / 10) * 10);
  const drawn = draw(`Success share over bands of ${quantity.name}. ${points.map((p) => p.title).join('; ')}.`, {
    width: WIDTH,
    height: 250,
    x: { label: `${quantity.name}${unit}`, ticks: 6 },
    y: { label: 'landed, %', domain: [0, top], ticks: 5, grid: true },
    marks: [
      Plot.ruleY(points, { y: 'share', x1: 'low', x2: 'high', stroke: 'var(--measure)', strokeWidth: 2.5, title: 'title' }),
      Plot.ruleX(points, { x: 'middle', y1: 'least', y2: 'most', stroke: 'var(--ink)', strokeWidth: 1.3, title: 'title' }),
      Plot.dot(points, { x: 'middle', y: 'share', r: 3.5, fill: 'var(--measure)', title: 'title' }),
      Plot.ruleY([0], { stroke: 'var(--faint)' }),
    ],
  });
  const counted = all.reduce((sum, band) => sum + band.counted, 0);
  const none = all.reduce((sum, band) => sum + band.noResult, 0);
  const caption = `${flightCount(counted)} with a result in ${all.length} bands of about equally many, ${count(none)} without. Upright lines: ${levelOf(LEVEL)} intervals (Clopper and Pearson), each for its band alone; the title’s claim holds for all bands at once. ${note}`;
  return still(`bands-${quantity.id}`, title, drawn, caption);
}
