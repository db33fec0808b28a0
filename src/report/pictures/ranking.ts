/**
 * Which uncertainty matters: bars with intervals, of what a fix buys or of what share of the variance an input
 * explains.
 */

import type { Advice } from '../../analysis/rank/advice.ts';
import type { FixRanking, FixRow, FlownRanking, Measured, OutputShares, Ranking, SobolRanking } from '../../analysis/rank/ranking.ts';
import type { Place } from '../../statistics/sensitivity/sharedPlaces.ts';
import { type Drawing, WIDTH } from '../drawing.ts';
import { type Figure, figureMarkup, still } from '../figure.ts';
import { flightCount } from '../findings.ts';
import { inputWords } from '../inputWords.ts';
import { escaped, paragraphs } from '../markup.ts';
import { rankingOpening } from '../rankAdvice.ts';
import { count, percent, percentInterval, withInterval } from '../words.ts';

/** Bars in a picture at most. */
const MOST = 14;

/** Room of the names beside the bars, in the picture's units. */
const NAME_ROOM = 16;
const LETTER_ROOM = 7.4;

interface Bar extends Measured {
  readonly name: string;
  readonly place: Place | null;
}

const HEADINGS: Readonly<Record<Ranking['kind'], string>> = {
  fixes: 'Which fix first',
  flown: 'Which uncertainty matters, by the flights flown',
  sobol: 'Which uncertainty matters, by shares of the variance',
};

export function rankingSection(drawing: Drawing, r: Ranking): string {
  const figures = (
    r.kind === 'fixes' ? fixFigures(drawing, r) : r.kind === 'flown' ? flownFigures(drawing, r) : sobolFigures(drawing, r)
  ).filter((f): f is Figure => f !== null);
  const body = figures.length === 0 ? '<p>Nothing could be ranked.</p>' : `<div class="grid">${figures.map(figureMarkup).join('\n')}</div>`;
  const cautions = r.cautions.length === 0 ? '' : `<div class="note">${paragraphs(r.cautions)}</div>`;
  return `<section><h2 id="ranking-${r.kind}">${escaped(`${HEADINGS[r.kind]}, rule ${r.rule}`)}</h2>${paragraphs([rankingOpening(r, inputWords)])}${body}${cautions}</section>`;
}

function fixFigures(drawing: Drawing, r: FixRanking): (Figure | null)[] {
  const bars = (rows: readonly FixRow[]): Bar[] =>
    rows.flatMap(({ name, place, perfect }) =>
      perfect === null || perfect.gain === null || perfect.interval === null
        ? []
        : [
            {
              name,
              place,
              estimate: 100 * perfect.gain,
              interval: [100 * perfect.interval[0], 100 * perfect.interval[1]] as const,
            },
          ],
    );
  const none = Math.max(0, ...[...r.groups, ...r.inputs].map(({ perfect }) => perfect?.noResult ?? 0));
  const caption = `${flightCount(r.flights)} with each fix, on the same luck as without it; up to ${count(none)} of a row without a result left out. Perfect: held at its mean (a lognormal’s median; a chance never happens). Lines: 95 % intervals for pairs; they and the title hold for the whole list together.`;
  const finding = (advice: Advice) => (bars: readonly Bar[]) =>
    leading(
      bars,
      advice,
      (b) => `perfecting ${inputWords(b.name)} buys ${withInterval(b.estimate, b.interval)} points of success`,
      'no fix is shown to buy anything',
    );
  return [
    barsFigure(drawing, 'ranking-groups', bars(r.groups), 'points of success gained if perfect', finding(r.advice.groups), caption),
    barsFigure(drawing, 'ranking-inputs', bars(r.inputs), 'points of success gained if perfect', finding(r.advice.inputs), caption),
    campaignFigure(drawing, r.campaign),
  ];
}

/** The same fixes for a first landing by an attempt of one vehicle. */
function campaignFigure(drawing: Drawing, gains: FixRanking['campaign']): Figure | null {
  if (gains === null) return null;
  const { attempts, campaigns, share, interval, rows } = gains;
  const bars = rows.map(
    ({ name, gain, interval: [low, high] }): Bar => ({
      name,
      place: null,
      estimate: 100 * gain,
      interval: [100 * low, 100 * high],
    }),
  );
  const finding = ([first]: readonly Bar[]): string =>
    first.interval[0] > 0
      ? `For a first landing by attempt ${count(attempts)}, ${inputWords(first.name)} buys most: ${withInterval(first.estimate, first.interval)} points`
      : `No fix is shown to buy anything for a first landing by attempt ${count(attempts)}`;
  const caption = `${count(campaigns)} campaigns of one vehicle each with each fix, on the same luck as without it; as it is ${percent(share, interval)} (${percentInterval(interval)}) have landed by then. Lines: 95 % intervals for pairs, which hold for the whole list together.`;
  return barsFigure(drawing, 'ranking-campaign', bars, `points gained by attempt ${count(attempts)}`, finding, caption);
}

function flownFigures(drawing: Drawing, r: FlownRanking): (Figure | null)[] {
  const caption = `By ${flightCount(r.counted)} with a result, already flown; ${count(r.noResult)} without are left out. Share of the variance that the input alone explains (a group: the sum of its inputs); lines: 95 % intervals by influence, each for itself; places hold for the whole list together.`;
  return (['success', 'sink'] as const).flatMap((output) => {
    const whose = output === 'success' ? 'of landing success' : 'of sink speed';
    const groups = r.groups[output] ?? [];
    const inputs = (r.advice[output]?.order ?? []).flatMap((key): Bar[] => {
      const m = r.inputs.find((input) => input.key === key)?.[output] ?? null;
      return m === null ? [] : [{ name: key, place: m.place, estimate: m.firstOrder.estimate, interval: m.firstOrder.interval }];
    });
    const finding = (advice: Advice | null) => (bars: readonly Bar[]) =>
      leading(
        bars,
        advice,
        (b) => `${withInterval(b.estimate, b.interval)} of the variance ${whose} is explained by ${inputWords(b.name)}`,
        `no input is shown to explain any ${whose}`,
      );
    return [
      barsFigure(
        drawing,
        `ranking-groups-${output}`,
        groups,
        `share of the variance ${whose}`,
        finding(r.advice[output]?.groups ?? null),
        caption,
      ),
      barsFigure(
        drawing,
        `ranking-inputs-${output}`,
        inputs,
        `share of the variance ${whose}`,
        finding(r.advice[output]?.inputs ?? null),
        caption,
      ),
    ];
  });
}

function sobolFigures(drawing: Drawing, r: SobolRanking): (Figure | null)[] {
  const last = r.looks.at(-1);
  if (last === undefined) return [];
  const figure = (id: string, whose: string, shares: OutputShares | null): Figure | null => {
    if (shares === null) return null;
    const bars = shares.subjects.map(({ name, total, place }): Bar => ({ name, place, ...total }));
    const finding = (all: readonly Bar[]): string =>
      leading(
        all,
        shares.advice,
        (b) => `${withInterval(b.estimate, b.interval)} of the variance ${whose} involves ${inputWords(b.name)}`,
        `nothing is shown to move ${whose.replace('of ', '')}`,
      );
    const caption = `${count(shares.rows)} rows of a design of its own, ${count(shares.leftOut)} left out for flights without this output; ${flightCount(r.noResult)} have no result. Share in all, with what it does together with others, so shares may sum to more than 1; alone they make up ${withInterval(shares.alone.estimate, shares.alone.interval)}. Lines: 95 % intervals, each for itself; places hold for the whole list together.`;
    return barsFigure(drawing, id, bars, `share of the variance ${whose}, in all`, finding, caption);
  };
  return [figure('ranking-success', 'of landing success', last.success), figure('ranking-sink', 'of sink speed', last.sink)];
}

/** What stands first with its number and what cannot be told from it, or that nothing stands out. */
function leading(bars: readonly Bar[], advice: Advice | null, words: (bar: Bar) => string, none: string): string {
  const first = bars.find(({ name }) => name === advice?.first);
  if (first === undefined || advice === null) return upper(none);
  const others = advice.alike.length;
  if (others > 0) return `${upper(words(first))}, but ${others === 1 ? 'one other is' : `${others} others are`} not told apart from it`;
  return `${upper(words(first))}, more than any other`;
}

const upper = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

function barsFigure(
  drawing: Drawing,
  id: string,
  all: readonly Bar[],
  label: string,
  finding: (bars: readonly Bar[]) => string,
  caption: string,
): Figure | null {
  if (all.length === 0) return null;
  const { Plot, draw } = drawing;
  const bars = all.slice(0, MOST).map((b) => ({
    name: inputWords(b.name),
    estimate: b.estimate,
    low: b.interval[0],
    high: b.interval[1],
    title: `${inputWords(b.name)}: ${withInterval(b.estimate, b.interval)}`,
  }));
  const title = finding(all);
  // An estimate may lie below an interval that is cut at 0.
  const low = Math.min(0, ...bars.map((b) => Math.min(b.low, b.estimate)));
  const high = Math.max(...bars.map((b) => b.high), low + 1e-9);
  const drawn = draw(`Bars: ${label}. ${bars.map((b) => b.title).join('; ')}.`, {
    width: WIDTH,
    height: 62 + 24 * bars.length,
    marginLeft: NAME_ROOM + LETTER_ROOM * Math.max(...bars.map(({ name }) => name.length)),
    x: { label, domain: [low, high + 0.03 * (high - low)], ticks: 5, grid: true },
    y: { label: null, domain: bars.map((b) => b.name), padding: 0.35 },
    marks: [
      Plot.barX(bars, { y: 'name', x1: 0, x2: 'estimate', fill: 'var(--measure)', title: 'title' }),
      Plot.ruleX([0], { stroke: 'var(--faint)' }),
      Plot.ruleY(bars, { y: 'name', x1: 'low', x2: 'high', stroke: 'var(--ink)', strokeWidth: 1.5, title: 'title' }),
    ],
  });
  const more = all.length > MOST ? ` The first ${MOST} of ${all.length} are drawn.` : '';
  return still(id, title, drawn, caption + more);
}
