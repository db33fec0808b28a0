/** How flights end, as bars with their intervals. */
import type { Causes } from '../../analysis/fly/causes.ts';
import type { Odds } from '../../analysis/fly/odds.ts';
import { type Drawing, WIDTH } from '../drawing.ts';
import { type Figure, still } from '../figure.ts';
import { causesFinding, flightCount, levelOf, sentence } from '../findings.ts';
import { endingOf } from '../palette.ts';
import { count, percent, percentInterval } from '../words.ts';

export function causesFigure(drawing: Drawing, c: Causes, o: Odds): Figure | null {
  if (c.counted === 0) return null;
  const landed = { outcome: 'landed' as const, count: o.landed, share: o.share ?? 0, interval: o.interval ?? ([0, 1] as const) };
  const bars = [landed, ...c.ranked].map((bar) => ({
    name: sentence(bar.outcome),
    share: 100 * bar.share,
    low: 100 * bar.interval[0],
    high: 100 * bar.interval[1],
    colour: `var(--${endingOf(bar.outcome)})`,
    words: percent(bar.share, bar.interval),
    title: `${sentence(bar.outcome)}: ${count(bar.count)} of ${flightCount(c.counted)}, ${percent(bar.share, bar.interval)} (${percentInterval(bar.interval)})`,
  }));
  const { Plot, draw } = drawing;
  const most = Math.max(...bars.map((b) => b.high));
  const alt = `Bars of how flights end. ${bars.map((b) => b.title).join('; ')}.`;
  const drawn = draw(alt, {
    height: 62 + 32 * bars.length,
    width: WIDTH,
    marginLeft: 168,
    marginRight: 56,
    x: { label: 'share of flights with a result, %', domain: [0, Math.min(100, 1.05 * most)], ticks: 5, grid: true },
    y: { label: null, domain: bars.map((b) => b.name), padding: 0.35 },
    marks: [
      Plot.barX(bars, { y: 'name', x: 'share', fill: 'colour', title: 'title' }),
      Plot.ruleY(bars, { y: 'name', x1: 'low', x2: 'high', stroke: 'var(--ink)', strokeWidth: 1.5, title: 'title' }),
      Plot.text(bars, { y: 'name', x: 'high', text: 'words', textAnchor: 'start', dx: 6, fill: 'var(--ink)' }),
    ],
  });
  const unseen =
    c.unseen === null
      ? ''
      : ` Not seen: ${c.unseen.outcomes.join(', ')} (each at most ${percent(c.unseen.interval[1], c.unseen.interval)}).`;
  const ties = tiesWords(c);
  const caption = `${flightCount(c.counted)} with a result, ${count(c.noResult)} without. Each flight ends in exactly one way. Lines: ${levelOf(c.level)} intervals (Clopper and Pearson), each for its share alone.${ties}${unseen}`;
  return still('causes', causesFinding(c), drawn, caption);
}

/** Which neighbours share a place. */
function tiesWords({ ranked }: Causes): string {
  const places = [...new Set(ranked.filter(({ shared }) => shared).map(({ place }) => place))];
  if (places.length === 0) return '';
  const groups = places.map((place) =>
    ranked
      .filter((cause) => cause.place === place)
      .map(({ outcome }) => `“${outcome}”`)
      .join(', '),
  );
  return ` Between neighbours of these the order may be luck: ${groups.join('; ')}.`;
}
