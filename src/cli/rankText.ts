/**
 * Rankings by flights already flown and by shares of the variance, as text for a terminal; of fixes: fixRankText.ts.
 * Computes nothing.
 */

import type {
  FixRanking,
  FlownRanking,
  GroupShare,
  InputMeasures,
  Measured,
  OutputShares,
  SobolRanking,
} from '../analysis/rank/ranking.ts';
import type { RunFacts } from '../fleet/session.ts';
import { placeText, rankingOpening } from '../report/rankAdvice.ts';
import { pText } from '../report/verdict.ts';
import { count, withInterval } from '../report/words.ts';
import { flightsOf, flownText } from './flownText.ts';
import { bar, heading, table } from './terminal.ts';

/** Cells of the longest bar. */
export const BAR = 16;
/** Rows of a convergence table and of the pairs. */
export const FEW = 6;
export const PLACES =
  '  place: every place that these flights leave open (95 %, the whole list together); a range is not told apart further';

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

export function listed(names: readonly string[]): string {
  const shown = names.slice(0, 2 * FEW).join(', ');
  return names.length > 2 * FEW ? `${shown} and ${names.length - 2 * FEW} more` : shown;
}

export function cautionLines(cautions: readonly string[]): string[] {
  return cautions.length === 0 ? [] : ['', ...cautions.map((caution) => `caution: ${caution}`)];
}

export function runText({ lost }: Pick<FixRanking, 'lost'>, run: RunFacts): string {
  const lines = [
    flownText(run, flightsOf(run)),
    ...lost.map((l) => `flight ${l.flight} of "${l.work}" has no result: its worker failed twice: ${l.reason}`),
  ];
  return lines.join('\n');
}
