/** A few typical flights in full: height as true and as believed, speed, tilt, with the events marked. */
import type { TypicalFlight } from '../../analysis/fly/typicalFlights.ts';
import type { FlightTrace } from '../../flight/trace.ts';
import type { Drawing } from '../drawing.ts';
import { sentence } from '../findings.ts';
import { escaped } from '../markup.ts';
import { endingOf } from '../palette.ts';
import { traceCommand } from '../traceCommand.ts';
import { plain } from '../words.ts';

/** Points of a curve: the eye sees no more at this size. */
const POINTS = 160;

/** The events marked, and the letter each goes by in the pictures. */
const MARKED: readonly (readonly [event: string, letter: string])[] = [
  ['ascent thrust ends', 'B'],
  ['apogee', 'A'],
  ['legs out', 'L'],
  ['ignition commanded', 'I'],
  ['landing thrust starts', 'T'],
  ['landing thrust ends', 'E'],
];

export const EVENT_KEY = `Marks: ${MARKED.map(([event, letter]) => `${letter} ${event}`).join(', ')}.`;

/** One flight a block, three pictures each. */
export function typicalFlightMarkup(drawing: Drawing, flight: TypicalFlight, studyPath: string, rule: string): string {
  const command = `<code>${escaped(traceCommand(studyPath, flight.number, rule))}</code>`;
  const head = `<h3>Flight ${flight.number}: ${escaped(sentence(flight.outcome))}</h3>\n<p>${escaped(sentence(flight.why))}.`;
  if (flight.traced === null) {
    return `<section class="flight">${head} Not drawn: this program flies it to another end than the file says, so another version flew it.</p></section>`;
  }
  const { outputs } = flight.traced;
  const number = (key: string): string => {
    const value = outputs[key];
    return typeof value === 'number' ? plain(value) : '–';
  };
  const reason = outputs.noResultReason === '' ? '' : ` Reason: ${outputs.noResultReason}.`;
  const words = `Apogee ${number('apogee')} m (believed ${number('believedApogee')} m); ignition commanded at ${number('ignitionHeight')} m (believed ${number('believedIgnitionHeight')} m); touchdown at ${number('sink')} m/s.${reason}`;
  const colour = `var(--${endingOf(flight.outcome)})`;
  const curves = [
    curve(drawing, flight, 'height, m', ['height', 'believedHeight'], 1, colour),
    curve(drawing, flight, 'upward speed, m/s', ['speedUp', 'believedSpeedUp'], 1, colour),
    curve(drawing, flight, 'tilt, deg', ['tilt', 'believedTilt'], 180 / Math.PI, colour),
  ];
  return `<section class="flight">${head} ${escaped(words)}</p>
<div class="curves">${curves.join('\n')}</div>
<p class="note">${command}</p></section>`;
}

function curve(
  drawing: Drawing,
  flight: TypicalFlight,
  label: string,
  [truth, belief]: readonly [string, string],
  factor: number,
  colour: string,
): string {
  const trace = flight.traced?.trace;
  if (trace === undefined) throw new Error('a flight that was not flown again has no curve');
  const { Plot, draw } = drawing;
  const time = dataOf(trace, 'time');
  const rows = thinned(time.length);
  const points = (key: string): { t: number; v: number }[] => {
    const values = dataOf(trace, key);
    return rows.map((i) => ({ t: time[i], v: values[i] * factor }));
  };
  const real = points(truth);
  const believed = points(belief);
  const events = MARKED.flatMap(([what, letter]) => {
    const event = trace.events.find((e) => e.what === what);
    return event === undefined ? [] : [{ t: event.time, letter, title: `${what} at ${event.time.toFixed(2)} s` }];
  });
  const end = time[time.length - 1];
  // Letters of events close together would print over one another: each takes the first of three rows that is free.
  const last = [-1, -1, -1];
  const rowsOfEvents = events
    .sort((a, b) => a.t - b.t)
    .map((event) => {
      const free = last.findIndex((t) => event.t - t > 0.045 * end);
      const row = free < 0 ? 2 : free;
      last[row] = event.t;
      return { ...event, row };
    });
  return draw(`Flight ${flight.number}, ${flight.outcome}: ${label} over time, true and believed.`, {
    width: 360,
    height: 230,
    marginLeft: 58,
    marginTop: 46,
    x: { label: 'time, s', domain: [0, end], ticks: 6 },
    y: { label, ticks: 5, grid: true, nice: true, labelOffset: 52 },
    marks: [
      Plot.ruleX(rowsOfEvents, { x: 't', stroke: 'var(--line)', title: 'title' }),
      ...[0, 1, 2].map((row) =>
        Plot.text(
          rowsOfEvents.filter((e) => e.row === row),
          { x: 't', text: 'letter', frameAnchor: 'top', dy: -13 - 13 * row, fill: 'var(--faint)', title: 'title' },
        ),
      ),
      Plot.line(believed, { x: 't', y: 'v', stroke: 'var(--ink)', strokeDasharray: '4 3', strokeWidth: 1.2 }),
      Plot.line(real, { x: 't', y: 'v', stroke: colour, strokeWidth: 2 }),
    ],
  }).svg;
}

function dataOf(trace: FlightTrace, key: string): Float64Array {
  const place = trace.columns.findIndex((column) => column.key === key);
  const data = trace.data[place];
  if (data === undefined) throw new Error(`a trace has no column ${key}`);
  return data;
}

/** Evenly spaced rows, the first and the last among them. */
function thinned(length: number): number[] {
  const n = Math.min(length, POINTS);
  return Array.from({ length: n }, (_, k) => (n === 1 ? 0 : Math.round((k * (length - 1)) / (n - 1))));
}
