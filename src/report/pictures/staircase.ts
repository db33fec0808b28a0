/** The way to a wished success on the page: a row a step, what it adds to the one before, and the wish as a line. */
import type { Stage, Staircase } from '../../analysis/rank/staircase.ts';
import { type Drawing, WIDTH } from '../drawing.ts';
import { type Figure, figureMarkup, still } from '../figure.ts';
import { flightCount } from '../findings.ts';
import { inputWords } from '../inputWords.ts';
import { escaped, htmlTable, paragraphs } from '../markup.ts';
import { alikeWords, staircaseOpening, stepWords, wishWords } from '../staircaseWords.ts';
import { percent, percentInterval, withInterval } from '../words.ts';

/** Room of the names beside the bars, in the picture's units; longer ones are cut in the picture, not in the table. */
const NAME_ROOM = 16;
const LETTER_ROOM = 7.4;
const LETTERS = 34;

export function staircaseSection(drawing: Drawing, r: Staircase): string {
  const figure = staircaseFigure(drawing, r);
  const points = (gain: number | null, interval: readonly [number, number] | null): string =>
    gain === null || interval === null ? '' : withInterval(100 * gain, [100 * interval[0], 100 * interval[1]]);
  const rows = r.steps.map((step) => [
    stepWords(step, inputWords),
    ...landed(step),
    points(step.gain, step.interval),
    step.shift === null ? '' : withInterval(step.shift.shift, step.shift.interval),
    alikeWords(step, inputWords),
  ]);
  const first = r.programmed === null ? [] : [['as programmed', ...landed(r.programmed), '', '', '']];
  const last = r.everything === null ? [] : [[GONE, ...landed(r.everything), '', '', '']];
  const heads = [
    { head: 'beside all before', align: 'left' as const },
    { head: 'landed' },
    { head: 'band' },
    { head: 'points gained' },
    { head: 'height shift, m' },
    { head: 'could as well be', align: 'left' as const },
  ];
  const note = `${flightCount(r.flights)} of each vehicle by rule ${r.rule}, with a height shift of its own where that was found to land more. Steps are chosen by other flights than those that report here. Bands hold for all rows together, gains for all steps together (95 %). The best next step each time is not the best set of fixes: two that help only together are not found.`;
  return `<section><h2 id="staircase">${escaped(`The way to ${wishWords(r.wish)}`)}</h2>
${paragraphs([staircaseOpening(r, inputWords)])}
${figure === null ? '' : figureMarkup(figure)}
${htmlTable(null, heads, [...first, ...rows, ...last], `The way to ${wishWords(r.wish)}`)}
<div class="note">${paragraphs([note])}</div></section>`;
}

const GONE = 'every spread and noise gone';

function landed({ odds: { share }, band }: Stage): [string, string] {
  return share === null || band === null ? ['unknown', ''] : [percent(share, band), percentInterval(band)];
}

interface Row {
  readonly name: string;
  readonly from: number;
  readonly to: number;
  readonly low: number;
  readonly high: number;
}

function staircaseFigure({ Plot, draw }: Drawing, r: Staircase): Figure | null {
  const stages = [
    ...(r.programmed === null ? [] : [{ name: 'as programmed', stage: r.programmed }]),
    ...r.steps.map((step) => ({ name: stepWords(step, inputWords), stage: step })),
  ];
  const rows: Row[] = [];
  const add = (name: string, { odds: { share }, band }: Stage, from: number): void => {
    if (share !== null && band !== null)
      rows.push({ name: named(name, rows.length), from, to: 100 * share, low: 100 * band[0], high: 100 * band[1] });
  };
  for (const { name, stage } of stages) add(name, stage, rows.at(-1)?.to ?? 0);
  if (rows.length === 0) return null;
  const steps = [...rows];
  if (r.everything !== null) add(GONE, r.everything, rows.at(-1)?.to ?? 0);
  const wish = 100 * r.wish;
  const last = steps[steps.length - 1];
  const title = `From ${number(steps[0])} to ${number(last)} landed in ${steps.length - 1} step${steps.length === 2 ? '' : 's'}; wished for: ${wishWords(r.wish)}`;
  const words = rows.map((row) => `${row.name}: ${number(row)}`).join('; ');
  const drawn = draw(`Success step by step. ${words}. ${title}.`, {
    width: WIDTH,
    height: 62 + 24 * rows.length,
    marginLeft: NAME_ROOM + LETTER_ROOM * Math.max(...rows.map(({ name }) => name.length)),
    x: { label: 'landed, %', domain: [0, 100], ticks: 5, grid: true },
    y: { label: null, domain: rows.map(({ name }) => name), padding: 0.3 },
    marks: [
      Plot.barX(rows, { y: 'name', x1: 0, x2: (row: Row) => Math.min(row.from, row.to), fill: 'var(--measure)', fillOpacity: 0.25 }),
      Plot.barX(steps, {
        y: 'name',
        x1: (row: Row) => Math.min(row.from, row.to),
        x2: (row: Row) => Math.max(row.from, row.to),
        fill: 'var(--measure)',
      }),
      Plot.barX(rows.slice(steps.length), { y: 'name', x1: 0, x2: 'to', fill: 'none', stroke: 'var(--measure)' }),
      Plot.ruleY(rows, { y: 'name', x1: 'low', x2: 'high', stroke: 'var(--ink)', strokeWidth: 1.5 }),
      Plot.ruleX([wish], { stroke: 'var(--ink)', strokeDasharray: '4 3' }),
    ],
  });
  const caption = `Full: what a step adds to all before it. Broken line: the wish. Outlined: with every spread and noise of the list gone. Lines: bands that hold for all rows together (exact, Bonferroni). ${flightCount(r.flights)} a row.`;
  return still('staircase-steps', title, drawn, caption);
}

/** Names of rows must differ, so each has its number; long ones are cut. */
function named(name: string, row: number): string {
  const whole = `${row === 0 ? '' : `${row}. `}${name}`;
  return whole.length <= LETTERS ? whole : `${whole.slice(0, LETTERS - 1)}…`;
}

function number({ to, low, high }: Row): string {
  return percent(to / 100, [low / 100, high / 100]);
}
