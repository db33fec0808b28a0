/** A sweep as text for a terminal. Computes nothing. */
import type { Sweep, SweepPoint } from '../analysis/designs/sweep.ts';
import { OUTCOMES } from '../flight/outputs.ts';
import { staleWords } from '../report/heightWords.ts';
import { bandWords, pointWords, spreadWords, sweepFinding } from '../report/sweepWords.ts';
import { levelText } from '../report/verdict.ts';
import { count, percent, plain, rounded, withInterval } from '../report/words.ts';
import { bar, heading, table } from './terminal.ts';

/** Cells of the bar of a share. */
const BAR = 20;
/** Outcomes shown beside landing; the rest is counted together. */
const CAUSES = 4;

export function sweepText(sweep: Sweep): string {
  return [
    heading(sweepFinding(sweep)),
    successText(sweep),
    outcomesText(sweep),
    ...(sweep.axes.some(({ path }) => /\.curve$/.test(path)) ? [motorsText(sweep)] : []),
    heightsText(sweep),
  ].join('\n\n');
}

function successText(sweep: Sweep): string {
  const { axes, points, flights, bandLevel } = sweep;
  const sink = (point: SweepPoint, share: number): string => {
    const found = point.sink.find((q) => q.share === share);
    return found === undefined ? '' : withInterval(found.value, found.interval);
  };
  const heads = [...axes.map(({ path }) => path), 'landed', 'band', '', '', 'points to the best', 'sink 50 %, m/s', 'sink 95 %, m/s'];
  const rows = points.map((point) => {
    const { share, band } = bandWords(point);
    const { toBest, verdict } = point;
    const difference = toBest === null ? '' : withInterval(100 * toBest.difference, [100 * toBest.interval[0], 100 * toBest.interval[1]]);
    const mark = { best: 'best', alike: 'alike', worse: '' }[verdict];
    return [...point.values, share, band, bar(point.odds.share ?? 0, BAR), mark, difference, sink(point, 0.5), sink(point, 0.95)];
  });
  const left = [...axes.map((_, a) => a), axes.length + 2, axes.length + 3];
  const none = points.reduce((sum, { odds }) => sum + odds.noResult, 0);
  const lines = [
    heading(`Landing success, ${count(flights)} flights each on the same luck`),
    table(heads, rows, left),
    `  bands hold for all ${points.length} together (${levelText(bandLevel)} each); ${count(none)} flights without a result are left out`,
    '  alike: cannot be told from the best, all pairs taken together (McNemar’s exact test, Holm); points to the best with an interval for that',
    '  pair alone, and the best is picked from these very flights, so expect a little less of it',
  ];
  lines.push(...spreadWords(axes).map((line) => `  ${line}`));
  return lines.join('\n');
}

function outcomesText(sweep: Sweep): string {
  const { points, axes } = sweep;
  const landed = OUTCOMES.indexOf('landed');
  const totals = OUTCOMES.map((_, o) => points.reduce((sum, { outcomes }) => sum + outcomes[o], 0));
  const seen = OUTCOMES.map((_, o) => o).filter((o) => o !== landed && totals[o] > 0);
  const shown = seen.sort((a, b) => totals[b] - totals[a]).slice(0, CAUSES);
  const rest = seen.filter((o) => !shown.includes(o));
  const rows = points.map(({ values, outcomes, odds }) => {
    const share = (n: number): string => (odds.flights === 0 ? '' : percent(n / odds.flights, [0, 1]));
    const others = rest.reduce((sum, o) => sum + outcomes[o], 0);
    return [...values, share(outcomes[landed]), ...shown.map((o) => share(outcomes[o])), ...(rest.length === 0 ? [] : [share(others)])];
  });
  const heads = [...axes.map(({ path }) => path), 'landed', ...shown.map((o) => OUTCOMES[o]), ...(rest.length === 0 ? [] : ['others'])];
  const left = axes.map((_, a) => a);
  const most = points.reduce((largest, { odds }) => Math.max(largest, odds.flights), 0);
  const half = most === 0 ? '' : `; at ${count(most)} flights a share is known to about ${rounded(98 / Math.sqrt(most), 1)} points at most`;
  return [heading('How they ended, share of all flights'), table(heads, rows, left), `  counts are in sweep.json${half}`].join('\n');
}

function motorsText({ points, axes }: Sweep): string {
  const rows = points.map(({ values, impulse, fallEnergy }) => [
    ...values,
    plain(impulse.ascent),
    plain(impulse.landing),
    fallEnergy === null ? '' : withInterval(fallEnergy.value, fallEnergy.interval),
  ]);
  return [
    heading('Motors and the fall they meet'),
    table(
      [...axes.map(({ path }) => path), 'ascent, N s', 'landing, N s', 'fall, J'],
      rows,
      axes.map((_, a) => a),
    ),
    '  fall: nominal falling mass times gravity times the median apogee, with that median’s 95 % interval',
  ].join('\n');
}

function heightsText(sweep: Sweep): string {
  const { points, asProgrammed, axes, rule } = sweep;
  if (asProgrammed) {
    const lines = points.flatMap((point) =>
      staleWords(`${rule} at ${pointWords(sweep, point)}`, point.heightMiss, 'leave out --as-programmed'),
    );
    const open = points.filter(({ heightMiss }) => heightMiss === null).length;
    if (open > 0) lines.push(`of ${count(open)} of ${count(points.length)} points it cannot be told whether the constants are stale`);
    if (lines.length === 0) lines.push('no constants look stale');
    return [heading('Flown as programmed'), ...lines.map((line) => `  ${line}`)].join('\n');
  }
  const rows = points.flatMap(({ values, retuned }) =>
    retuned === null
      ? []
      : [
          [
            ...values,
            rounded(retuned.to, 2),
            withInterval(retuned.shift, retuned.interval),
            `${rounded(retuned.flat[0], 1)} to ${rounded(retuned.flat[1], 1)}${retuned.onEdge ? ', on the edge' : ''}`,
          ],
        ],
  );
  const [first] = points;
  const cost = first?.retuned
    ? `${count(first.retuned.flights)} flights on other luck and ${first.retuned.nominalFlights} nominal ones`
    : '';
  const constant = first?.retuned?.constant ?? '';
  return [
    heading(`Retuned: each with its own lighting height by rule ${rule}`),
    table(
      [...axes.map(({ path }) => path), `${constant}, m`, 'shift, m', 'not shown to be worse, m'],
      rows,
      axes.map((_, a) => a),
    ),
    `  each shift found by ${cost}; within its interval a value could be tuned better than it flew`,
  ].join('\n');
}
