/** A replayed log: believed height beside the logged one, and when each rule would have lit. */
import type { Replay } from '../../analysis/replay/replayLog.ts';
import { type Drawing, WIDTH } from '../drawing.ts';
import { type Figure, still } from '../figure.ts';
import { evenly } from '../flightsInPage.ts';
import { count, plain } from '../words.ts';

/** Points along a line at most. */
const MOST = 600;
/** Room of the names beside the rules, and height of their rows, in the picture's units. */
const NAME_ROOM = 16;
const LETTER_ROOM = 7.4;
const ROW = 30;
const AROUND = 62;
/** s; around the first and last lighting. */
const MARGIN = 0.25;

export function replayedFigures(drawing: Drawing, replay: Replay): readonly Figure[] {
  return [heightFigure(drawing, replay), rulesFigure(drawing, replay)].filter((figure) => figure !== null);
}

function heightFigure({ Plot, draw }: Drawing, { believed, partings, rules, rule }: Replay): Figure {
  const series = (key: string): Float64Array | null => believed.find((one) => one.key === key)?.values ?? null;
  const [time, height, logged] = [series('time'), series('height'), series('logged.height')];
  if (time === null || height === null) throw new Error('a replay without time or height');
  const line = (values: Float64Array) =>
    [...evenly(values.length, MOST)].map((i) => ({ time: time[i], height: values[i] })).filter((point) => Number.isFinite(point.height));
  const lit = rules.filter((one) => one.rule === rule && one.time !== null && one.height !== null);
  const parting = partings.find(({ key }) => key === 'height');
  const title =
    parting === undefined
      ? 'The log has no believed height to compare with'
      : parting.same === parting.rows
        ? 'The believed height is the logged one at every row'
        : `The believed height differs from the logged one by ${plain(parting.largest)} m at most`;
  const drawn = draw(`Height over time, as the study’s flight computer believes it${logged === null ? '' : ' and as logged'}. ${title}.`, {
    width: WIDTH,
    height: 280,
    x: { label: 'time on the log’s clock, s', ticks: 6 },
    y: { label: 'believed height, m', grid: true, ticks: 5 },
    marks: [
      Plot.ruleY([0], { stroke: 'var(--faint)' }),
      Plot.line(line(height), { x: 'time', y: 'height', stroke: 'var(--measure)', strokeWidth: 3 }),
      ...(logged === null
        ? []
        : [Plot.line(line(logged), { x: 'time', y: 'height', stroke: 'var(--ink)', strokeWidth: 1.2, strokeDasharray: '5 3' })]),
      Plot.dot(lit, { x: 'time', y: 'height', r: 4.5, fill: 'var(--ink)', title: 'rule' }),
    ],
  });
  const dot = lit.length === 0 ? `${rule} would not have lit.` : `Dot: ${rule} lights, by this replay.`;
  return still(
    'replayed-height',
    title,
    drawn,
    `Blue: by this replay of the raw samples.${logged === null ? '' : ' Black dashes: as logged.'} ${dot}`,
  );
}

function rulesFigure({ Plot, draw }: Drawing, { rules, phases }: Replay): Figure | null {
  const lit = rules.flatMap(({ rule, time, height, tooLate }) =>
    time === null || height === null ? [] : [{ rule, time, height, tooLate }],
  );
  if (lit.length === 0) return null;
  const logged = phases.find(({ what }) => what === 'ignition commanded')?.logged ?? null;
  const times = [...lit.map(({ time }) => time), ...(logged === null ? [] : [logged])];
  const rows = lit.map((one) => ({
    ...one,
    words: `${plain(one.height)} m`,
    title: `${one.rule} at ${one.time.toFixed(2)} s, ${plain(one.height)} m${one.tooLate ? ', after the own lighting' : ''}`,
  }));
  const missing = rules.filter(({ time }) => time === null).map(({ rule }) => rule);
  const drawn = draw(`When each rule would have lit. ${rows.map(({ title }) => title).join('; ')}.`, {
    width: WIDTH,
    height: AROUND + ROW * rows.length,
    marginLeft: NAME_ROOM + LETTER_ROOM * Math.max(...rows.map(({ rule }) => rule.length)),
    marginRight: 58,
    x: {
      label: 'lights at, s on the log’s clock',
      domain: [Math.min(...times) - MARGIN, Math.max(...times) + MARGIN],
      ticks: 5,
      grid: true,
    },
    y: { type: 'point', label: null, domain: rows.map(({ rule }) => rule), padding: 0.5 },
    marks: [
      ...(logged === null ? [] : [Plot.ruleX([logged], { stroke: 'var(--ink)', strokeWidth: 1.5, strokeDasharray: '4 3' })]),
      Plot.dot(rows, {
        x: 'time',
        y: 'rule',
        r: 4.5,
        stroke: 'var(--measure)',
        strokeWidth: 1.5,
        fill: (row) => (row.tooLate ? 'var(--paper)' : 'var(--measure)'),
        title: 'title',
      }),
      Plot.text(rows, { x: 'time', y: 'rule', text: 'words', dx: 9, textAnchor: 'start', fill: 'var(--ink)' }),
    ],
  });
  const first = Math.min(...lit.map(({ time }) => time)).toFixed(2);
  const last = Math.max(...lit.map(({ time }) => time)).toFixed(2);
  const when = first === last ? `at ${first} s` : `between ${first} and ${last} s`;
  const title = `${lit.length} of ${count(rules.length)} rule${rules.length === 1 ? '' : 's'} would have lit, ${when}`;
  const caption = [
    'Beside each dot: the height it believed.',
    ...(logged === null ? [] : ['Dashes: the lighting that was logged.']),
    ...(rows.some(({ tooLate }) => tooLate) ? ['Open: after the own lighting, so on samples of another fall.'] : []),
    ...(missing.length === 0 ? [] : [`Would not have lit: ${missing.join(', ')}.`]),
  ].join(' ');
  return still('replayed-rules', title, drawn, caption);
}
