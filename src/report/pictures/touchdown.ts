/** How hard the touchdowns are: a histogram of sink, slide and tilt, each with its limit. */
import type { Touchdown, TouchdownMeasure } from '../../analysis/fly/touchdown.ts';
import type { Drawing } from '../drawing.ts';
import type { Figure } from '../figure.ts';
import { flightCount, levelOf, MEASURE_UNITS, touchdownFinding } from '../findings.ts';
import type { FlightsInPage } from '../flightsInPage.ts';
import { count, percent } from '../words.ts';
import { markedHistogram } from './markedHistogram.ts';

const LABELS: Readonly<Record<TouchdownMeasure, string>> = { sink: 'sink speed', slide: 'slide speed', tilt: 'tilt' };

export function touchdownFigure(drawing: Drawing, t: Touchdown, measure: TouchdownMeasure, inPage: FlightsInPage): Figure | null {
  if (t.touched === 0) return null;
  const m = t.measures[measure];
  const label = `${LABELS[measure]} at touchdown`;
  const { edges, unit, factor, value, beyond, draw } = markedHistogram(drawing, {
    ...m,
    mark: m.limit,
    markName: m.ofLegs ? 'the legs stand' : 'limit',
    unit: MEASURE_UNITS[measure],
    label,
  });
  const title = touchdownFinding(t, measure);
  const { svg, x, y } = draw(
    (limit) => `Histogram of ${label}${limit === null ? '' : ` with the limit at ${limit}`}. ${title}. Median ${value(0.5)} ${unit}.`,
  );
  const untouched = t.untouched > 0 ? ` ${count(t.untouched)} never touched the ground.` : '';
  const caption = `The worst contact of each of ${flightCount(t.touched)} that touched the ground; ${count(t.noResult)} without a result left out.${untouched}${beyond} Median ${value(0.5)}, 95 % quantile ${value(0.95)} ${unit}: ${levelOf(t.level)} distribution-free intervals${m.shareWithin === null ? '' : `; dark bars lie within the limit, pale ones beyond; share within ${percent(m.shareWithin, m.shareWithinInterval)}: Clopper and Pearson’s`}.`;
  const acting =
    x === null || y === null
      ? null
      : {
          figure: `touchdown-${measure}`,
          x: { key: measure, factor, scale: x },
          y: null,
          dots: null,
          bins: { edges, y, weight: inPage.flown / inPage.rows.length },
        };
  return { id: `touchdown-${measure}`, title, picture: svg, caption, acting };
}
