/** What legs and ground go through: a histogram of the greatest force on a foot, the greatest lean and the slid path. */
import type { ContactAnswer, ContactMeasure } from '../../analysis/fly/contact.ts';
import type { Drawing } from '../drawing.ts';
import type { Figure } from '../figure.ts';
import { CONTACT_UNITS, contactFinding, flightCount, levelOf } from '../findings.ts';
import { count, percent, percentInterval } from '../words.ts';
import { markedHistogram } from './markedHistogram.ts';

const LABELS: Readonly<Record<ContactMeasure, string>> = {
  peakFootForce: 'greatest force on a foot',
  greatestLean: 'greatest lean after touchdown',
  slidPath: 'longest way a foot slid',
};

export function contactFigure(drawing: Drawing, c: ContactAnswer, measure: ContactMeasure): Figure | null {
  if (c.touched === 0) return null;
  const m = c.measures[measure];
  const label = LABELS[measure];
  const { unit, value, beyond, draw } = markedHistogram(drawing, { ...m, markName: 'strength', unit: CONTACT_UNITS[measure], label });
  const title = contactFinding(c, measure);
  const { svg } = draw(
    (mark) =>
      `Histogram of ${label}${mark === null ? '' : ` with the nominal strength at ${mark}`}. ${title}. Median ${value(0.5)} ${unit}.`,
  );
  const unpressed = c.unpressed > 0 ? ` ${count(c.unpressed)} others never pressed a foot on the ground.` : '';
  const within =
    m.shareWithin === null || m.shareWithinInterval === null
      ? ''
      : ` Under the nominal strength ${percent(m.shareWithin, m.shareWithinInterval)} (${percentInterval(m.shareWithinInterval)}: Clopper and Pearson’s); each flight has a strength of its own where that varies.`;
  const end = measure === 'greatestLean' ? ' A lean past 60 degrees on its feet, or a hull on the ground, ends a flight.' : '';
  return {
    id: `contact-${measure}`,
    title,
    picture: svg,
    caption: `${flightCount(c.touched)} in which a foot touched the ground.${unpressed}${beyond} Median ${value(0.5)}, 95 % quantile ${value(0.95)} ${unit}: ${levelOf(c.level)} distribution-free intervals.${within}${end}`,
    acting: null,
  };
}
