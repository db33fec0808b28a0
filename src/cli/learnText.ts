/** What a logbook taught, as text for a terminal. Computes nothing. */
import type { Learning } from '../analysis/learn/learning.ts';
import type { Range } from '../analysis/learn/narrowed.ts';
import type { LandingOdds } from '../analysis/learn/nextAttempt.ts';
import type { SeenSurprise } from '../analysis/learn/surprise.ts';
import { count, percent, percentInterval, plain, shown } from '../report/words.ts';
import { heading, table } from './terminal.ts';

export function learnText(learning: Learning): string[] {
  return [
    ...surpriseLines(learning),
    '',
    ...settledLines(learning),
    '',
    ...nextLines(learning),
    '',
    ...narrowedLines(learning),
    ...ownLines(learning),
    ...pairLines(learning),
    ...worthLines(learning),
  ];
}

const odds = ({ share, interval }: LandingOdds): string => `${percent(share, interval)} (${percentInterval(interval)})`;

function rangeText(range: Range | null, unit: string): string {
  if (range === null) return 'a direction';
  const { factor } = shown(unit);
  const [low, middle, high] = range.map((value) => plain(value * factor));
  return `${middle} (${low} to ${high})`;
}

function surpriseLines({ surprise, attempts }: Learning): string[] {
  const rows = surprise.observations.map((one) => [
    one.attempt,
    one.key,
    one.seen,
    one.foretold === null ? `in ${percent(one.happened, null)} of flights` : `${rangeText(one.foretold, one.unit)} ${shown(one.unit).unit}`,
    percent(one.share, one.interval),
    percent(one.adjusted, null),
    one.surprising ? 'surprise' : '',
  ]);
  const surprises = surprise.observations.filter((one) => one.surprising);
  const { share, interval } = surprise.joint;
  return [
    heading('How surprising was what was seen?'),
    table(['attempt', 'what', 'seen', 'study: middle (5 to 95 %)', 'as far out', 'of all', ''], rows, [0, 1, 2, 3, 6]),
    `  as far out: share of ${count(surprise.flights)} flights of the study, under that attempt’s settings, at least as far to either side; of all: adjusted for ${rows.length} observations (Holm)`,
    `  all together: ${percent(share, interval)} (${percentInterval(interval)}) of simulated logbooks of ${attempts.length} attempt${attempts.length === 1 ? '' : 's'} are farther out`,
    ...surprises.map(surpriseText),
    ...(surprises.length === 0 ? ['  nothing that the study, as spread, would hardly ever do'] : []),
  ];
}

function surpriseText({ key, attempt, culprits }: SeenSurprise): string {
  const why =
    culprits.length === 0
      ? ''
      : ` Likeliest, together: ${culprits.map(({ input, sds }) => `${input} ${plain(Math.abs(sds))} sd ${sds > 0 ? 'high' : 'low'}`).join(', ')}.`;
  return `  ${key} of ${attempt}: the study, as spread, hardly ever does that: the model, a spread or the entry is wrong.${why}`;
}

function settledLines({ agreement, runs, particles }: Learning): string[] {
  const { typical, largest, settled } = agreement;
  const moved = runs.map(
    (run) =>
      `${count(run.distinct)} of ${count(particles / runs.length)} differ, ${run.stops} stops, ${percent(run.accepted, null)} of moves accepted at the end`,
  );
  return [
    heading('Is the answer settled?'),
    `  ${settled ? 'yes' : 'NO'}: two runs from different seeds differ by ${plain(typical)} of the spread that is left, on the whole, and by ${plain(largest)} at most`,
    ...moved.map((line, i) => `  run ${i + 1}: ${line}`),
    ...(settled
      ? []
      : ['  do not act on what follows: learn again with more --particles, or with larger errors where they were optimistic']),
  ];
}

function nextLines({ next }: Learning): string[] {
  const { rule, before, after, change } = next;
  const lines = [
    heading('The next attempt'),
    `  by rule ${rule} it lands with ${odds(after)}; before the logbook that was ${odds(before)}`,
  ];
  if (change === null) return [...lines, '  no other lighting height did better'];
  const { constant, proposed, now, shift, gain, interval } = change;
  const sure = interval[0] > 0;
  return [
    ...lines,
    `  lighting ${plain(Math.abs(shift))} m ${shift > 0 ? 'higher' : 'lower'} (${constant} ${plain(proposed)} in place of ${plain(now)}): ${odds(change.odds)}, a difference of ${percent(gain, interval)} (${percentInterval(interval)}) on the same luck${sure ? '' : ', which may be chance'}`,
  ];
}

function narrowedLines({ narrowed, hardly }: Learning): string[] {
  const rows = narrowed.map(({ input, unit, before, after, sdRatio, shift, noise, bits }) => [
    input,
    shown(unit).unit,
    rangeText(before, unit),
    rangeText(after, unit),
    plain(sdRatio),
    `${shift >= 0 ? '+' : '−'}${Math.abs(shift).toFixed(2)} ± ${(2 * noise).toFixed(2)}`,
    bits.toFixed(2),
  ]);
  return [
    heading('What stays with this vehicle, and was narrowed'),
    ...(rows.length === 0
      ? ['  nothing: what was seen tells hardly anything of what stays']
      : [
          table(['input', 'unit', 'before: middle (5 to 95 %)', 'after', 'spread left', 'shift in sd', 'bits'], rows, [0, 1, 2, 3]),
          '  before and after: of the next attempt, its fresh luck and all; spread left, shift and bits: of what stays alone',
        ]),
    ...(hardly.length === 0 ? [] : [`  hardly moved, so nothing was learnt of them: ${hardly.join(', ')}`]),
  ];
}

function ownLines({ own }: Learning): string[] {
  if (own.length === 0) return [];
  const rows = own.map(({ attempt, input, unit, before, after, bits }) => [
    attempt,
    input,
    shown(unit).unit,
    rangeText(before, unit),
    rangeText(after, unit),
    bits.toFixed(2),
  ]);
  return [
    '',
    heading('What the attempts themselves were like'),
    table(['attempt', 'input', 'unit', 'before: middle (5 to 95 %)', 'after', 'bits'], rows, [0, 1, 2, 3, 4]),
  ];
}

function pairLines({ pairs }: Learning): string[] {
  if (pairs.length === 0) return [];
  const rows = pairs.map(({ a, b, correlation }) => [a, b, correlation.toFixed(2)]);
  return ['', heading('What now hangs together'), table(['input', 'with', 'correlation'], rows, [0, 1])];
}

function worthLines({ worthSeeing }: Learning): string[] {
  if (worthSeeing.length === 0) return [];
  const rows = worthSeeing.map(({ output, unit, error, bits, interval }) => {
    const { factor, unit: words } = shown(unit);
    return [output, `± ${plain(error * factor)} ${words}`, `${bits.toFixed(2)} (${interval[0].toFixed(2)} to ${interval[1].toFixed(2)})`];
  });
  return [
    '',
    heading('What to look at next time'),
    table(['output', 'seen to', 'bits expected'], rows, [0, 1]),
    '  bits about what stays with the vehicle, by a linear fit over flights of the next attempt; each output on its own',
  ];
}
