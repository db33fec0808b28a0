/** A comparison of rules as text for a terminal. Computes nothing. */
import type { Across, AcrossShare } from '../analysis/compare/across.ts';
import type { Comparison, PairAnswers, RuleAnswers } from '../analysis/compare/comparison.ts';
import { retunedWords, staleWords } from '../report/heightWords.ts';
import { attemptsText, levelText, pText, verdictText } from '../report/verdict.ts';
import { count, percent, percentInterval, plain, shown, withInterval } from '../report/words.ts';
import { FLY_RETUNED, TUNE } from './options.ts';
import { heading, table } from './terminal.ts';

/** Flights named of each kind; comparison.json has them all. */
const NAMED = 10;
/** Cells of a strip that shows a share with its interval. */
const STRIP = 30;

/** Each rule's answers, then each pair's, then the inputs asked for. */
export function comparisonText(c: Comparison): string {
  return [
    ...designsText(c),
    ...heightText(c),
    rulesText(c),
    procedureText(c),
    ...c.pairs.map((pair, p) => pairText(pair, c, p)),
    ...c.across.map(acrossText),
  ].join('\n\n');
}

/** How rules were retuned, and which look stale; nothing where neither is to be said. */
function heightText({ rules, designs }: Comparison): string[] {
  const remedy = designs === null ? FLY_RETUNED : 'leave out --as-programmed';
  const lines = rules.flatMap(({ rule, retuned, heightMiss }) => [
    ...(retuned === null ? [] : retunedWords({ ...retuned, rule })),
    ...staleWords(rule, heightMiss, retuned === null ? remedy : TUNE),
  ]);
  return lines.length === 0 ? [] : [lines.join('\n')];
}

/** What each design is; nothing where rules are compared. */
function designsText({ designs, rules }: Comparison): string[] {
  if (designs === null) return [];
  const lines = designs.map(({ name, variant, from, replacements }) => {
    const what = [...(from === null ? [] : [`from ${from}`]), ...replacements].join(', ');
    return `  ${name}: ${what !== '' ? what : variant === 'base' ? 'the study as it is' : 'nothing replaced'}`;
  });
  const all = rules.every(({ retuned: shift }) => shift !== null);
  const retuned = all ? ', each retuned' : ', as programmed';
  if (all) lines.push('  a difference is that of the constants flown; each design could be tuned better within the interval of its shift');
  return [[heading(`Designs on the same flight numbers, noise and draws${retuned}`), ...lines].join('\n')];
}

function rulesText({ rules, designs, untilResolved }: Comparison): string {
  const rows = rules.map(({ rule, odds, touchdown }) => {
    const quantile = (share: number): string => {
      const found = touchdown.measures.sink.quantiles.find((q) => q.share === share);
      return found === undefined ? '' : withInterval(found.value, found.interval);
    };
    const landed = odds.share === null ? 'unknown' : percent(odds.share, odds.interval);
    const interval = odds.interval === null ? '' : percentInterval(odds.interval);
    return [rule, landed, interval, count(odds.counted), count(odds.noResult), quantile(0.5), quantile(0.95)];
  });
  const one = designs === null ? 'rule' : 'design';
  const heads = [one, 'landed', '95 % interval', 'of flights', 'no result', 'sink 50 %, m/s', 'sink 95 %, m/s'];
  const lines = [heading(`Landing success by ${one}, on the same luck`), table(heads, rows)];
  if (untilResolved !== null) {
    lines.push(
      '  these intervals are for a number of flights fixed in advance; a run that stops when decided makes them a little too hopeful',
    );
  }
  for (const { rule, neverFired, odds } of rules) {
    if (neverFired > 0) lines.push(`  ${rule} never gave the ignition command in ${count(neverFired)} of ${count(odds.counted)} flights`);
  }
  return [...lines, '', heading('Causes of failure, share of flights'), causesText(rules)].join('\n');
}

/** One outcome a row, one rule a column. */
function causesText(rules: readonly RuleAnswers[]): string {
  const seen = new Map<string, number>();
  for (const { causes } of rules) for (const { outcome, count } of causes.ranked) seen.set(outcome, (seen.get(outcome) ?? 0) + count);
  if (seen.size === 0) return '  none seen';
  const rows = [...seen]
    .sort((a, b) => b[1] - a[1])
    .map(([outcome]) => [
      outcome,
      ...rules.map(({ causes }) => {
        const cause = causes.ranked.find((c) => c.outcome === outcome);
        if (cause !== undefined) return `${percent(cause.share, cause.interval)} (${percentInterval(cause.interval)})`;
        return causes.unseen === null ? '' : `0 (at most ${percent(causes.unseen.interval[1], causes.unseen.interval)})`;
      }),
    ]);
  return table(['outcome', ...rules.map((r) => r.rule)], rows);
}

function pairText(pair: PairAnswers, { pairs, discordant }: Comparison, p: number): string {
  const { first, second, counts, noResult, statement, attempts, luck } = pair;
  const both = counts.both + counts.firstOnly + counts.secondOnly + counts.neither;
  const kept = noResult === 0 ? '' : `; ${count(noResult)} without a result by one or both are left out`;
  const lines = [
    heading(verdictText(pair, pairs.length)),
    `  of ${count(both)} flights both landed ${count(counts.both)}, only ${first} ${count(counts.firstOnly)}, only ${second} ${count(counts.secondOnly)}, neither ${count(counts.neither)}${kept}`,
    `  ${pairProcedureText(statement, pairs.length)}`,
  ];
  if (attempts !== null) lines.push(`  ${attemptsText(attempts)}`);
  if (luck !== null) {
    lines.push(`  on the same luck each flight is worth ${withInterval(luck.ratio, luck.interval)} independent ones (95 % interval)`);
  }
  const { firstOnly, secondOnly } = discordant[p];
  for (const [rule, flights] of [
    [first, firstOnly],
    [second, secondOnly],
  ] as const) {
    if (flights.length === 0) continue;
    const more = flights.length > NAMED ? ', ...' : '';
    lines.push(`  only ${rule} lands flight${flights.length === 1 ? '' : 's'} ${flights.slice(0, NAMED).join(', ')}${more}`);
  }
  return lines.join('\n');
}

/** Which procedure makes the statements about pairs, said once for all of them. */
function procedureText({ pairs, untilResolved }: Comparison): string {
  const lines =
    untilResolved === null
      ? ["  one look at a number of flights fixed in advance: differences with 95 % intervals for pairs, p by McNemar's exact test"]
      : [
          `  looked at every ${count(untilResolved.lookEvery)} flights, as planned; intervals and p hold for all looks together (group sequential), so each is stricter`,
          '  than for one look. A decided pair keeps the statement of its look; the flights counted below are all that flew.',
        ];
  if (pairs.length > 1) {
    lines.push(
      untilResolved === null
        ? `  each interval holds by itself; p also for all ${pairs.length} pairs together (Holm)`
        : `  all ${pairs.length} pairs hold together: the 5 % of error are shared between them (Bonferroni)`,
    );
  }
  return [heading('Pair by pair, differences in percentage points'), ...lines].join('\n');
}

function pairProcedureText({ procedure, flights, verdict, p, adjustedP }: PairAnswers['statement'], comparisons: number): string {
  const together = comparisons === 1 ? '' : `, ${pText(adjustedP)} for all ${comparisons} pairs together`;
  if (procedure === 'fixed') return `p ${pText(p)}${together}`;
  return `${verdict === 'open' ? 'not decided by' : 'decided at'} ${count(flights)} flights; p ${pText(p)}${together}`;
}

function acrossText({ input, unit, meaning, yesNo, level, bins }: Across): string {
  const to = shown(unit);
  const label = (low: number, high: number): string => {
    if (yesNo) return low < high ? 'no or yes' : low === 1 ? 'yes' : 'no';
    if (low === high) return plain(low * to.factor);
    return `${plain(low * to.factor)} to ${plain(high * to.factor)}`;
  };
  const scale = scaleOf(bins.flatMap((bin) => bin.rules));
  const rows = bins.flatMap((bin) =>
    bin.rules.map((r, i) => [
      i === 0 ? label(bin.low, bin.high) : '',
      r.rule,
      count(r.counted),
      r.share === null ? '' : percent(r.share, r.interval),
      strip(r, scale),
      r.toFirst === null ? '' : points(r.toFirst),
    ]),
  );
  const ends = `${percent(scale[0], [0, 1])}`.padEnd(STRIP - 6) + percent(scale[1], [0, 1]).padStart(6);
  const none = bins.reduce((sum, bin) => sum + bin.rules.reduce((total, r) => total + r.noResult, 0), 0);
  return [
    heading(`Across ${input}${to.unit === '' ? '' : `, ${to.unit}`}: ${meaning}`),
    table(['', 'rule', 'flights', 'landed', ends, 'points over the first'], rows, [0, 1, 4]),
    `  ${levelText(level)} intervals, each for itself: exact for a share, paired for a difference${none === 0 ? '' : `; ${count(none)} flights without a result left out`}`,
  ].join('\n');
}

/** The range of all intervals, widened to whole tenths. */
function scaleOf(shares: readonly AcrossShare[]): readonly [number, number] {
  const intervals = shares.flatMap(({ interval }) => (interval === null ? [] : [interval]));
  if (intervals.length === 0) return [0, 1];
  const low = Math.min(...intervals.map((i) => i[0]));
  const high = Math.max(...intervals.map((i) => i[1]));
  return [Math.floor(10 * low) / 10, Math.ceil(10 * high) / 10];
}

/** `   ├──●──┤   `: a share and its interval on the scale. */
function strip({ share, interval }: AcrossShare, [low, high]: readonly [number, number]): string {
  if (share === null || interval === null) return '';
  const cell = (x: number): number => Math.min(STRIP - 1, Math.max(0, Math.floor((STRIP * (x - low)) / (high - low))));
  const [from, middle, to] = [interval[0], share, interval[1]].map(cell);
  return Array.from({ length: STRIP }, (_, i) => {
    if (i === middle) return '●';
    if (i < from || i > to) return '·';
    return i === from ? '├' : i === to ? '┤' : '─';
  }).join('');
}

/** A difference in points with its interval. */
function points({ difference, interval }: NonNullable<AcrossShare['toFirst']>): string {
  return withInterval(100 * difference, [100 * interval[0], 100 * interval[1]]);
}
