/**
 * Rules side by side on the same luck: success of each, the statements about each pair, success across the inputs asked
 * for.
 */
import type { Across } from '../../analysis/compare/across.ts';
import type { Comparison, PairAnswers } from '../../analysis/compare/comparison.ts';
import { type Drawing, WIDTH } from '../drawing.ts';
import { type Figure, figureMarkup, still } from '../figure.ts';
import { flightCount, levelOf, sentence } from '../findings.ts';
import { retunedWords, staleWords } from '../heightWords.ts';
import { inputWords } from '../inputWords.ts';
import { escaped, htmlTable, paragraphs } from '../markup.ts';
import { attemptsText, levelText, pText, verdictText } from '../verdict.ts';
import { count, percent, percentInterval, plain, shown, withInterval } from '../words.ts';

/** Colours and dashes of rules, in their order; more rules than these repeat them and differ by name alone. */
const RULE_COLOURS = ['var(--ruleA)', 'var(--ruleB)', 'var(--measure)', 'var(--faint)'];
const RULE_DASHES = ['none', '6 3', '2 3', '8 3 2 3'];

const colourOf = (i: number): string => RULE_COLOURS[i % RULE_COLOURS.length];
const dashOf = (i: number): string => RULE_DASHES[i % RULE_DASHES.length];

export function comparisonSection(drawing: Drawing, c: Comparison): string {
  const finding = c.pairs.map((pair) => sentence(verdictText(pair, c.pairs.length)));
  const figures = [sharesFigure(drawing, c), ...c.across.map((a) => acrossFigure(drawing, a, c))].filter((f): f is Figure => f !== null);
  const procedure =
    c.untilResolved === null
      ? 'One look at a number of flights fixed in advance: differences with 95 % intervals for pairs, each by itself; p by McNemar’s exact test, for all pairs together by Holm’s.'
      : `Looked at every ${flightCount(c.untilResolved.lookEvery)} as planned (group sequential): all statements about pairs hold together, over all looks.`;
  const pairs = htmlTable(
    'Pairs of rules on the same flights',
    [
      { head: 'pair' },
      { head: 'both landed' },
      { head: 'first only' },
      { head: 'second only' },
      { head: 'neither' },
      { head: 'no result' },
      { head: 'p, all pairs' },
      { head: 'to see it in real attempts', align: 'left' },
    ],
    c.pairs.map(pairRow),
    'Pairs of rules on the same flights',
  );
  const never = c.rules
    .filter((r) => r.neverFired > 0)
    .map((r) => `${r.rule} never gave the ignition command in ${count(r.neverFired)} of ${flightCount(r.odds.counted)}.`);
  const designs = (c.designs ?? []).map(({ name, from, replacements }) => {
    const what = [...(from === null ? [] : [`from ${from}`]), ...replacements].join(', ');
    return `${name}: ${what === '' ? 'the study as it is' : what}.`;
  });
  const heights = c.rules.flatMap(({ rule, retuned, heightMiss }) => [
    ...(retuned === null ? [] : [`${sentence(retunedWords({ ...retuned, rule }).join('; '))}.`]),
    ...staleWords(rule, heightMiss, retuned === null ? 'compare them retuned' : 'retuning left that').map((line) => `${sentence(line)}.`),
  ]);
  return `<section><h2 id="rules">${c.designs === null ? 'Rules' : 'Designs'} side by side</h2>
${paragraphs([...designs, ...heights])}
${finding.map((f) => `<p>${escaped(f)}.</p>`).join('\n')}
<p class="note">${escaped([procedure, ...never].join(' '))}</p>
<div class="grid">${figures.map(figureMarkup).join('\n')}</div>
${pairs}</section>`;
}

function pairRow({ first, second, counts, noResult, statement, attempts }: PairAnswers): string[] {
  return [
    `${first} against ${second}`,
    count(counts.both),
    count(counts.firstOnly),
    count(counts.secondOnly),
    count(counts.neither),
    count(noResult),
    pText(statement.adjustedP),
    attempts === null ? '' : attemptsText(attempts),
  ];
}

function sharesFigure({ Plot, draw }: Drawing, c: Comparison): Figure | null {
  const bars = c.rules.flatMap(({ rule, odds }, i) =>
    odds.share === null || odds.interval === null
      ? []
      : [
          {
            rule,
            share: 100 * odds.share,
            low: 100 * odds.interval[0],
            high: 100 * odds.interval[1],
            colour: colourOf(i),
            words: `${percent(odds.share, odds.interval)} (${percentInterval(odds.interval)})`,
            n: odds.counted,
          },
        ],
  );
  if (bars.length === 0) return null;
  const title = `By rule: ${bars.map((b) => `${b.rule} ${b.words}`).join(', ')}`;
  const drawn = draw(`Success share of each rule with its interval. ${title}.`, {
    width: WIDTH,
    height: 70 + 38 * bars.length,
    marginLeft: 120,
    x: {
      label: 'landed, % of flights with a result',
      domain: [0, Math.min(100, 1.15 * Math.max(...bars.map((b) => b.high)))],
      ticks: 5,
      grid: true,
    },
    y: { label: null, domain: bars.map((b) => b.rule), padding: 0.4 },
    marks: [
      Plot.barX(bars, { y: 'rule', x: 'share', fill: 'colour' }),
      Plot.ruleY(bars, { y: 'rule', x1: 'low', x2: 'high', stroke: 'var(--ink)', strokeWidth: 1.5 }),
    ],
  });
  const none = c.rules.reduce((sum, r) => sum + r.odds.noResult, 0);
  const caption = `${flightCount(c.flights)} by each rule with the same inputs and noise; ${count(none)} without a result. ${levelText(c.rules[0].odds.level)} intervals (Clopper and Pearson), each for its rule alone: compare rules by the pairs below, not by these.`;
  return still('rule-shares', title, drawn, caption);
}

function acrossFigure({ Plot, draw }: Drawing, a: Across, c: Comparison): Figure | null {
  const to = shown(a.unit);
  const name = inputWords(a.input);
  const names = c.rules.map((r) => r.rule);
  const step = (a.bins[a.bins.length - 1].high - a.bins[0].low) / 120;
  const points = a.bins.flatMap((bin, b) =>
    bin.rules.flatMap((r) => {
      if (r.share === null || r.interval === null) return [];
      const k = names.indexOf(r.rule);
      // Side by side at the band's middle, by the same step in every band: a wide band must not look like a trend.
      const place = (0.5 * (bin.low + bin.high) + step * (k - (names.length - 1) / 2)) * to.factor;
      return [
        {
          rule: r.rule,
          b,
          place,
          share: 100 * r.share,
          low: 100 * r.interval[0],
          high: 100 * r.interval[1],
          colour: colourOf(k),
          title: `${r.rule}: ${percent(r.share, r.interval)} (${percentInterval(r.interval)}) of ${flightCount(r.counted)}, ${plain(bin.low * to.factor)} to ${plain(bin.high * to.factor)} ${to.unit}`,
        },
      ];
    }),
  );
  if (points.length === 0 || a.bins.length < 2) return null;
  const apart = a.bins.filter((bin) =>
    bin.rules.some((r) => r.toFirst !== null && (r.toFirst.interval[0] > 0 || r.toFirst.interval[1] < 0)),
  ).length;
  const title =
    apart === 0
      ? `No band of ${name} sets a rule apart from ${names[0]}`
      : `In ${apart} of ${a.bins.length} bands of ${name} a rule differs from ${names[0]}, each band taken by itself`;
  const top = Math.min(100, Math.ceil(Math.max(...points.map((p) => p.high)) / 10) * 10);
  const labelStep = Math.min(150, (WIDTH - 80) / names.length);
  const drawn = draw(`Success of each rule over bands of ${name}. ${title}.`, {
    width: WIDTH,
    height: 290,
    marginTop: 34,
    x: { label: `${name}${to.unit === '' ? '' : `, ${to.unit}`}`, ticks: 6 },
    y: { label: 'landed, %', domain: [0, top], ticks: 5, grid: true },
    marks: [
      ...names.map((rule, k) =>
        Plot.line(
          points.filter((p) => p.rule === rule),
          { x: 'place', y: 'share', stroke: colourOf(k), strokeDasharray: dashOf(k), strokeWidth: 1.5 },
        ),
      ),
      Plot.ruleX(points, { x: 'place', y1: 'low', y2: 'high', stroke: 'colour', strokeWidth: 1.2, title: 'title' }),
      Plot.dot(points, { x: 'place', y: 'share', fill: 'colour', r: 3, title: 'title' }),
      ...names.map((rule, k) =>
        Plot.text([rule], { frameAnchor: 'top-left', dx: 8 + k * labelStep, dy: -20, fill: colourOf(k), fontWeight: 'bold' }),
      ),
    ],
  });
  const none = a.bins.reduce((sum, bin) => sum + bin.rules.reduce((s, r) => s + r.noResult, 0), 0);
  const caption = `${sentence(a.meaning)}. ${flightCount(c.flights)} in ${a.bins.length} bands of about equally many; ${count(none)} without a result. ${levelOf(a.level)} intervals (Clopper and Pearson), each for itself; differences to ${names[0]} by Newcombe’s interval for pairs. Says how success goes with the input as drawn, not what the input alone does.`;
  return still(`across-${a.input.replaceAll('.', '-')}`, title, drawn, caption);
}

/** The widest honest summary of a rule's touchdowns, for the table of rules. */
export function ruleRows(c: Comparison): string[][] {
  return c.rules.map(({ rule, odds, touchdown }) => {
    const quantile = (share: number): string => {
      const q = touchdown.measures.sink.quantiles.find((x) => x.share === share);
      return q === undefined ? '' : withInterval(q.value, q.interval);
    };
    return [
      rule,
      odds.share === null || odds.interval === null
        ? 'unknown'
        : `${percent(odds.share, odds.interval)} (${percentInterval(odds.interval)})`,
      count(odds.counted),
      count(odds.noResult),
      quantile(0.5),
      quantile(0.95),
    ];
  });
}
