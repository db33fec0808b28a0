/** The sentence a sweep is opened with: true whatever the numbers. Computes nothing. */
import type { Sweep, SweepPoint } from '../analysis/designs/sweep.ts';
import { count, percent, percentInterval } from './words.ts';

/** `airframe.mass 0.9 kg`, of both axes where there are two. */
export function pointWords({ axes }: Pick<Sweep, 'axes'>, { values }: Pick<SweepPoint, 'values'>): string {
  return values.map((value, a) => `${axes[a].path} ${value}`).join(', ');
}

/** What became of the spread of inputs that vary; nothing of others. */
export function spreadWords(axes: Sweep['axes']): string[] {
  return axes.flatMap(({ path, spread }) => {
    if (spread === null) return [];
    return spread === 'kept'
      ? [`${path} varies about each value as it does in the study; --hold holds it there`]
      : [`${path} is held at each value, without its spread`];
  });
}

/** What of the sweep is best, and what cannot be told from it. */
export function sweepFinding(sweep: Sweep): string {
  const { points } = sweep;
  const best = points.find(({ verdict }) => verdict === 'best');
  if (best === undefined || best.odds.share === null || best.odds.interval === null) return 'Nothing can be said: no flight has a result';
  const alike = points.filter(({ verdict }) => verdict === 'alike');
  const share = percent(best.odds.share, best.band ?? best.odds.interval);
  if (best.odds.landed === 0) return `Not one of ${count(best.odds.counted * points.length)} flights landed, whatever the value`;
  const head = `Best of ${points.length}: ${pointWords(sweep, best)}, landing ${share}`;
  if (points.length === 1) return `Only ${pointWords(sweep, best)} was flown, landing ${share}`;
  if (alike.length === points.length - 1)
    return `${head}; no other value can be told from it: ${count(best.odds.flights)} flights each leave it open`;
  if (alike.length === 0) return `${head}; every other value is shown to land less often than some other`;
  return `${head}; cannot be told from it: ${alike.map(({ values }) => values.join(', ')).join('; ')}`;
}

/** A share and the interval that holds for all points together. */
export function bandWords({ odds, band }: SweepPoint): { readonly share: string; readonly band: string } {
  if (odds.share === null || band === null) return { share: 'unknown', band: '' };
  return { share: percent(odds.share, band), band: percentInterval(band) };
}
