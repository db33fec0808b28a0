/** The three kinds of ranking as text for a terminal. Computes nothing. */

import type { Gain } from '../analysis/rank/fixGain.ts';
import type {
  FixRanking,
  FixRow,
  FlownRanking,
  GroupShare,
  InputMeasures,
  Measured,
  OutputShares,
  SobolRanking,
} from '../analysis/rank/ranking.ts';
import type { Part } from '../analysis/rank/trends.ts';
import type { RunFacts } from '../fleet/session.ts';
import { CATALOGUE, type InputKey, inputIndex } from '../inputs/catalogue.ts';
import { bandRange } from '../report/findings.ts';
import { staleWords } from '../report/heightWords.ts';
import { placeText, rankingOpening } from '../report/rankAdvice.ts';
import { pText } from '../report/verdict.ts';
import { count, duration, percent, percentInterval, withInterval } from '../report/words.ts';
import { FLY_RETUNED } from './options.ts';
import { bar, heading, table } from './terminal.ts';

/** Cells of the longest bar. */
const BAR = 16;
/** Rows of a convergence table and of the pairs. */
const FEW = 6;
const PLACES = '  place: every place that these flights leave open (95 %, the whole list together); a range is not told apart further';

export function fixRankingText(r: FixRanking): string {
  const lines = [
    rankingOpening(r),
    '',
    `${r.title}: ${count(r.flights)} flights with each fix, the same luck every time, by rule ${r.rule}, seed ${r.seed}`,
  ];
  const { odds } = r;
  if (odds !== null && odds.share !== null && odds.interval !== null) {
    lines.push(
      '',
      heading(`Landing success as it is  ${percent(odds.share, odds.interval)}   95 % interval ${percentInterval(odds.interval)}`),
      `  ${count(odds.landed)} of ${count(odds.counted)} flights with a result landed; ${count(odds.noResult)} without a result`,
    );
  }
  const remedy = r.retuned !== null ? 'gains retuned are free of that' : r.asked.length > 0 ? 'judge the fixes with --retune' : FLY_RETUNED;
  const stale = staleWords(`rule ${r.rule}`, r.heightMiss, remedy);
  if (stale.length > 0) lines.push('', ...stale);
  if (r.asked.length > 0) lines.push('', askedText(r));
  if (r.groups.length > 0) lines.push('', heading('Which fix first: points of success gained'), fixTable(r.groups, false), PLACES);
  if (r.inputs.length > 0) {
    const which = r.leaders.length === 0 ? 'every input' : `the inputs of ${r.leaders.join(', ')}`;
    lines.push('', heading(`Input by input: ${which}`), fixTable(r.inputs, true), PLACES);
  }
  lines.push(...besideSpread(r));
  lines.push(
    '',
    "  perfect: held at its mean (a lognormal's median, a direction's middle; a chance never happens); halved: half the spread, or half the noise. Rule and constants stay.",
    '  points with 95 % intervals for pairs that hold for the whole column at once; motor pairs: attempts until the first success (1/p), without',
    '  less with the fix; failure: the kind that falls most in points of all flights, where beyond chance over the whole table',
  );
  const without = Math.max(
    0,
    ...[...r.groups, ...r.inputs].map(({ perfect }) => perfect?.noResult ?? 0),
    ...r.asked.map(({ gain }) => gain.noResult),
  );
  if (without > 0) lines.push(`  up to ${count(without)} flights of a row have no result with or without the fix and are left out of it`);
  if (r.unfinished.length > 0) lines.push('', `Interrupted: not flown: ${listed(r.unfinished)}`);
  return [...lines, ...cautionLines(r.cautions)].join('\n');
}

function askedText({ asked, retuned }: FixRanking): string {
  const cells = (gain: Gain): string[] => [points(gain), gain.p <= 1 ? pText(gain.p) : '', saved(gain), failure(gain)];
  const rows = asked.flatMap(({ name, part, gain, retuned: own }) => {
    const indent = part ? '  ' : '';
    const { beyond } = own ?? { beyond: null };
    // Where both say the same within the noise, the one retuned would only repeat it.
    const apart = beyond !== null && (beyond.interval[0] > 0 || beyond.interval[1] < 0);
    const programmed = [`${indent}${name}${apart ? ', as programmed' : ''}`, ...cells(gain)];
    return own === null || !apart ? [programmed] : [programmed, [`${indent}${name}, retuned`, ...cells(own.gain)]];
  });
  const lines = [heading('What these fixes buy'), table(['', 'points', 'p', 'motor pairs saved', 'failure'], rows, [0, 4])];
  if (retuned !== null) {
    lines.push(
      '  with and without each fix also retuned; shown where the two gains differ by more than noise (95 % interval). Height shifts:',
    );
    for (const { name, retuned: own } of [{ name: 'as it is', retuned: { shift: retuned } }, ...asked]) {
      if (own !== null) lines.push(`  ${name}: ${withInterval(own.shift.shift, own.shift.interval)} m`);
    }
  }
  return lines.join('\n');
}

function fixTable(rows: readonly FixRow[], directions: boolean): string {
  const longest = Math.max(...rows.map(({ perfect }) => perfect?.gain ?? 0));
  const cells = rows.map(({ name, place, perfect, half, direction, leftFree }) => [
    placeText(place),
    leftFree.length === 0 ? name : `${name} (${leftFree.join(', ')} left)`,
    perfect === null ? '' : points(perfect),
    longest > 0 ? bar((perfect?.gain ?? 0) / longest, BAR) : '',
    half === null ? '' : points(half),
    perfect === null ? '' : saved(perfect),
    ...(directions ? [direction ?? ''] : []),
    perfect === null ? '' : failure(perfect),
  ]);
  const heads = ['place', '', 'if perfect', '', 'if halved', 'motor pairs saved', ...(directions ? ['direction'] : []), 'failure'];
  return table(heads, cells, directions ? [0, 1, 3, 6, 7] : [0, 1, 3, 6]);
}

function points({ gain, interval }: Gain): string {
  if (gain === null || interval === null) return 'no pairs';
  return withInterval(100 * gain, [100 * interval[0], 100 * interval[1]]);
}

function saved({ pairsSaved }: Gain): string {
  return pairsSaved === null ? '' : withInterval(pairsSaved.estimate, pairsSaved.interval);
}

/** "lit too low -4.0 (-5.1 to -2.9)": the failure most reduced, in points. */
function failure({ causes }: Gain): string {
  const [first] = causes;
  if (first === undefined || first.change >= 0) return '';
  return `${first.outcome} ${withInterval(100 * first.change, [100 * first.interval[0], 100 * first.interval[1]])}`;
}

/** Inputs whose size matters though their spread is not shown to, and directions that may be any. */
function besideSpread({ bySize, circles }: FixRanking): string[] {
  const lines = bySize.slice(0, FEW).map(({ key, least, most }) => {
    const less = (least.share ?? 0) > (most.share ?? 0);
    return `  ${less ? 'less' : 'more'} ${key} goes with more landings, steadier is not shown to: ${partText(key, least)} with least of it, ${partText(key, most)} with most`;
  });
  const rest = bySize.length - lines.length;
  if (rest > 0) lines.push(`  and ${rest} more; ranking.json has them`);
  for (const { key, sectors, best, worst } of circles) {
    if (best === null || worst === null)
      lines.push(`  ${key} may be any direction and has no perfect one; success is not shown to differ between directions`);
    else
      lines.push(
        `  ${key} may be any direction and has no perfect one; best ${partText(key, sectors[best])}, worst ${partText(key, sectors[worst])}`,
      );
  }
  if (lines.length === 0) return [];
  return [
    '',
    heading('Size, not spread: landings by how much there is of an input (a fifth of the flights at either end)'),
    ...lines,
    '  as flown: what goes along with an input is in it; 95 % intervals, all of them together',
  ];
}

function partText(key: InputKey, part: Part): string {
  const { unit } = CATALOGUE[inputIndex(key)];
  const landed =
    part.share === null || part.interval === null
      ? 'no flight'
      : `${percent(part.share, part.interval)} (${percentInterval(part.interval)})`;
  return `${landed} at ${bandRange(part, unit)}`;
}

export function flownRankingText(r: FlownRanking): string {
  const lines = [
    rankingOpening(r),
    '',
    `${r.title}: ranked by ${count(r.counted)} flights with a result, already flown by rule ${r.rule}; ${count(r.landed)} landed, ${count(r.noResult)} without a result are left out`,
  ];
  const outputs = [
    ['success', 'Landing success: what its variance comes from'],
    ['sink', 'Sink speed: what its variance comes from'],
  ] as const;
  for (const [output, title] of outputs) {
    const groups = r.groups[output];
    if (groups !== null) lines.push('', heading(title), groupTable(groups));
    const order = r.advice[output]?.order ?? [];
    const shown = order.flatMap((key) => r.inputs.filter((input) => input.key === key && input[output]?.shown === true));
    if (shown.length === 0) continue;
    lines.push('', inputTable(shown, output));
    const silent = order.length - shown.length;
    if (silent > 0) lines.push(`  ${silent} more inputs show nothing beyond chance, all inputs and tests of the list together`);
  }
  lines.push(
    PLACES,
    '  share: of the variance (of sink speed: of its ranks), what the input alone explains; a group has the sum of its inputs',
    '  delta: how much knowing it changes the whole distribution, 0 to 1, at least (95 %); p: landed against lost flights (Kolmogorov-Smirnov, exact for yes/no inputs, Holm)',
  );
  lines.push('', heading('Spreads halved, by weighing the flights anew: points of success gained'), halvedTable(r));
  const refused = r.halved.filter((one) => one.refused !== null);
  if (refused.length > 0) {
    lines.push(`  no answer without new flights: ${listed(refused.map((one) => `${one.name} (${one.refused})`))}`);
  }
  if (r.unvarying.length > 0) lines.push(`  did not vary in these flights: ${r.unvarying.join(', ')}`);
  return [...lines, ...cautionLines(r.cautions)].join('\n');
}

function groupTable(groups: readonly GroupShare[]): string {
  const most = Math.max(...groups.map(({ estimate }) => estimate));
  const rows = groups.map((g) => [placeText(g.place), g.name, share(g), bar(most > 0 ? g.estimate / most : 0, BAR)]);
  return table(['place', 'group', 'share', ''], rows, [0, 1, 3]);
}

function inputTable(inputs: readonly InputMeasures[], output: 'success' | 'sink'): string {
  const rows = inputs.flatMap((input) => {
    const m = input[output];
    if (m === null) return [];
    const own =
      output === 'success'
        ? [input.split === null ? '' : pText(input.split.adjustedP), input.direction ?? '', input.drives?.outcome ?? '']
        : [];
    const partial = m.partialRankCorrelation ?? m.rankCorrelation;
    return [
      [
        placeText(m.place),
        input.key,
        share(m.firstOrder),
        `${m.delta.atLeast.toFixed(2)}`,
        partial === null ? '' : withInterval(partial.estimate, partial.interval),
        ...own,
      ],
    ];
  });
  const heads = [
    'place',
    'input',
    'share',
    'delta at least',
    inputs.every((i) => i[output]?.partialRankCorrelation) ? 'partial rank corr.' : 'rank corr.',
  ];
  return output === 'success' ? table([...heads, 'p', 'direction', 'drives'], rows, [0, 1, 6, 7]) : table(heads, rows, [0, 1]);
}

function halvedTable({ halved }: FlownRanking): string {
  const answered = halved.flatMap((one) => (one.refused === null ? [one] : []));
  if (answered.length === 0) return '  none';
  const groups = answered.filter(({ kind }) => kind === 'group');
  const inputs = answered.filter(({ kind }) => kind === 'input').slice(0, 2 * FEW);
  const rows = [...groups, ...inputs].map((one) => [
    one.name,
    withInterval(100 * one.gain, [100 * one.interval[0], 100 * one.interval[1]]),
    count(Math.round(one.effectiveFlights)),
  ]);
  return table(['', 'points', 'worth flights'], rows);
}

export function sobolRankingText(r: SobolRanking): string {
  const last = r.looks.at(-1);
  const lines = [
    rankingOpening(r),
    '',
    `${r.title}: variance shares by ${r.by}, ${count(r.flights)} flights (${count(last?.size ?? 0)} rows) by rule ${r.rule}, seed ${r.seed}`,
  ];
  if (last?.success) lines.push('', sobolText('Landing success', last.success));
  if (last?.sink) lines.push('', sobolText('Sink speed', last.sink));
  if (last?.success) lines.push('', convergenceText(r, last.success));
  if (r.looks.length > 0) {
    lines.push(
      PLACES,
      '  alone: what knowing it would take off the variance; in all: with what it does together with others, so these may sum to more than 1',
    );
  }
  if (r.noResult > 0) lines.push(`  ${count(r.noResult)} flights have no result; their rows are left out of all blocks`);
  const stops = {
    limit: [],
    separated: [`Stopped at ${count(last?.size ?? 0)} of ${count(r.size)} rows: one stands first by success.`],
    interrupted: [`Interrupted after ${count(last?.size ?? 0)} of ${count(r.size)} rows; what was flown by then is ranked.`],
  }[r.stoppedBy];
  return [...lines, ...stops, ...cautionLines(r.cautions)].join('\n');
}

function sobolText(title: string, shares: OutputShares): string {
  const { subjects, alone, pairs, rows, leftOut } = shares;
  const most = Math.max(...subjects.map(({ total }) => total.estimate));
  const cells = subjects.map(({ name, place, first, total }) => [
    placeText(place),
    name,
    share(total),
    bar(most > 0 ? total.estimate / most : 0, BAR),
    share(first),
  ]);
  const lines = [
    heading(`${title}: shares of its variance, ${count(rows)} rows${leftOut > 0 ? `, ${count(leftOut)} left out` : ''}`),
    table(['place', '', 'in all', '', 'alone'], cells, [0, 1, 3]),
    `  alone they make up ${share(alone)} of it; what is missing to 1 is done together`,
  ];
  if (pairs !== null) {
    const shown = pairs.slice(0, FEW).map((p) => [`${p.a} with ${p.b}`, share(p)]);
    lines.push(table(['largest pairs', 'share'], shown));
  }
  return lines.join('\n');
}

function convergenceText({ looks }: SobolRanking, last: OutputShares): string {
  const rows = last.subjects.slice(0, FEW).map(({ name }) => [
    name,
    ...looks.map((look) => {
      const found = look.success?.subjects.find((one) => one.name === name);
      return found === undefined ? 'unsteady' : share(found.total);
    }),
  ]);
  return [heading('Shares of success in all, as rows were added'), table(['', ...looks.map(({ size }) => count(size))], rows)].join('\n');
}

function share({ estimate, interval }: Measured): string {
  return withInterval(estimate, interval);
}

function listed(names: readonly string[]): string {
  const shown = names.slice(0, 2 * FEW).join(', ');
  return names.length > 2 * FEW ? `${shown} and ${names.length - 2 * FEW} more` : shown;
}

function cautionLines(cautions: readonly string[]): string[] {
  return cautions.length === 0 ? [] : ['', ...cautions.map((caution) => `caution: ${caution}`)];
}

export function runText({ lost }: FixRanking | SobolRanking, { seconds, threads, flightsPerSecond }: RunFacts): string {
  const flown = count(Math.round(seconds * flightsPerSecond));
  const lines = [
    `${flown} flights in ${duration(seconds)} on ${threads} thread${threads === 1 ? '' : 's'}: ${count(Math.round(flightsPerSecond))} flights/s`,
    ...lost.map((l) => `flight ${l.flight} of "${l.work}" has no result: its worker failed twice: ${l.reason}`),
  ];
  return lines.join('\n');
}
