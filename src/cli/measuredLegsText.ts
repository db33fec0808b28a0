/** Drops on the legs as text for a terminal. Computes nothing. */
import type { Estimate, LegsMeasurement } from '../analysis/measure/measurement.ts';
import { plain, withInterval } from '../report/words.ts';
import { measuredText } from './measuredText.ts';
import { scatterPlot } from './scatterPlot.ts';
import { heading, table } from './terminal.ts';

export function measuredLegsText(m: LegsMeasurement): string {
  return measuredText(m, [
    heading(m.drops.length === 1 ? 'One drop' : `${m.drops.length} drops`),
    table(
      ['line', 'drop, m', 'rebound, m', 'damping of a leg, N s/m'],
      m.drops.map(({ line, drop, rebound, damping }) => [
        String(line),
        plain(drop),
        plain(rebound),
        damping === null ? 'no rebound' : plain(damping),
      ]),
    ),
    `  damping ${estimate(m.damping)} N s/m, ${estimate(m.ratio)} of critical`,
    '',
    heading('Rebound'),
    ...scatterPlot(
      [
        { mark: '·', label: 'by that damping', points: m.curve.map(({ drop, rebound }) => [drop, rebound] as const) },
        { mark: 'o', label: 'seen', points: m.drops.map(({ drop, rebound }) => [drop, rebound] as const) },
      ],
      { x: 'drop, m', y: 'rebound, m' },
    ),
  ]);
}

function estimate({ value, interval }: Estimate): string {
  return interval === null ? `${plain(value)} (one value: no interval)` : withInterval(value, interval);
}
