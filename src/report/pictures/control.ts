/** What tuning the control found: the best gains against the present ones, and landings along each about the best. */
import type { ControlTuning, GainLine } from '../../analysis/tune/controlTuning.ts';
import { GAIN_KEYS, GAIN_ROWS } from '../../analysis/tune/gains.ts';
import { controlBlock, controlOpening, gainHead, gainNumber } from '../controlWords.ts';
import { type Drawing, turnedLabels, WIDTH } from '../drawing.ts';
import { type Figure, figureMarkup, still } from '../figure.ts';
import { flightCount, sentence } from '../findings.ts';
import { staleWords } from '../heightWords.ts';
import { escaped, htmlTable, paragraphs } from '../markup.ts';
import { count, percent, percentInterval } from '../words.ts';

export function controlSection(drawing: Drawing, t: ControlTuning): string {
  const figures = t.lines.map((line) => lineFigure(drawing, t, line)).filter((f): f is Figure => f !== null);
  const rows = GAIN_KEYS.map((key) => {
    const line = t.lines.find((one) => one.key === key);
    return [
      `${GAIN_ROWS[key].meaning}: ${gainHead(key)}`,
      gainNumber(key, t.best[key]),
      gainNumber(key, t.present[key]),
      line === undefined ? '' : flatWords(line),
    ];
  });
  const heads = [{ head: '' }, { head: 'best found' }, { head: 'in the study' }, { head: 'may be, the others at their best' }];
  const stale = staleWords(`rule ${t.rule}`, t.fresh?.heightMiss ?? null, 'tune the rule, then the control again');
  return `<section><h2 id="control">${escaped(`Gains of the control, rule ${t.rule}`)}</h2>
${paragraphs([controlOpening(t)])}
${htmlTable(null, heads, rows, 'Gains of the control')}
<div class="grid">${figures.map(figureMarkup).join('\n')}</div>
<div class="note">${paragraphs(stale.map((line) => `${sentence(line)}.`))}</div>
<pre>${escaped(controlBlock(t))}</pre></section>`;
}

function flatWords({ key, flat: { low, high, opensLow, opensHigh } }: GainLine): string {
  return `${gainNumber(key, low)}${opensLow ? ' or less' : ''} to ${gainNumber(key, high)}${opensHigh ? ' or more' : ''}`;
}

function lineFigure({ Plot, draw }: Drawing, t: ControlTuning, line: GainLine): Figure | null {
  const { key, points } = line;
  const marks = points.flatMap(({ value, share, interval, verdict }) =>
    share === null || interval === null
      ? []
      : [
          {
            value: gainNumber(key, value),
            share: 100 * share,
            low: 100 * interval[0],
            high: 100 * interval[1],
            best: verdict === 'best',
            open: verdict === 'worse',
            title: `${gainNumber(key, value)}: ${percent(share, interval)} (${percentInterval(interval)})`,
          },
        ],
  );
  if (marks.length === 0) return null;
  const worse = points.filter(({ verdict }) => verdict === 'worse').length;
  const title =
    worse === 0
      ? `${key}: nothing from ${gainNumber(key, points[0].value)} to ${gainNumber(key, points[points.length - 1].value)} is shown to be worse`
      : `${key} may be ${flatWords(line)}`;
  const drawn = draw(`Landings along ${key}. ${marks.map((m) => m.title).join('; ')}.`, {
    width: WIDTH,
    x: {
      type: 'point',
      label: gainHead(key),
      domain: marks.map(({ value }) => value),
      padding: 0.5,
      ...turnedLabels(marks.map(({ value }) => value)),
    },
    y: { label: 'landed, %', domain: [0, Math.min(100, 1.15 * Math.max(...marks.map(({ high }) => high)))], ticks: 5, grid: true },
    marks: [
      Plot.ruleX(marks, { x: 'value', y1: 'low', y2: 'high', stroke: 'var(--measure)', strokeWidth: 2 }),
      Plot.dot(marks, {
        x: 'value',
        y: 'share',
        r: 4.5,
        stroke: (m) => (m.best ? 'var(--ink)' : 'var(--measure)'),
        strokeWidth: 1.5,
        fill: (m) => (m.open ? 'var(--paper)' : m.best ? 'var(--ink)' : 'var(--measure)'),
        title: 'title',
      }),
    ],
  });
  const caption = `Black: the best. Filled: cannot be told from it; open: worse, all points of all lines together (McNemar’s exact test, Holm). Lines: 95 % intervals, each for itself. ${flightCount(t.lineFlights)} each, the same ${count(t.lineFlights)} for all.`;
  return still(`control-${key}`, title, drawn, caption);
}
